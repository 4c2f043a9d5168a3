"""Whoever watches the server is told whether it can take evidence in; a stranger is told only that it answers."""

from collections import namedtuple

import pytest
from django.contrib.sessions.models import Session
from django.db import OperationalError

from commissioning import health

pytestmark = pytest.mark.django_db
Usage = namedtuple("Usage", "total used free")


def test_process_answers_without_the_database(client, django_assert_num_queries):
    with django_assert_num_queries(0):
        answer = client.get("/healthz")
    assert (answer.status_code, answer.content) == (200, b"alive\n")
    assert client.post("/healthz").status_code in (403, 405)


def test_ready_says_what_it_looked_at_and_leaves_nothing(client):
    answer = client.get("/readyz")
    assert answer.status_code == 200
    assert answer.json()["ready"] is True
    assert set(answer.json()["needs"]) == {"database", "migrations", "space"}
    assert answer.json()["notes"]["not_taken_in"] == 0
    assert not Session.objects.exists()


@pytest.mark.parametrize(
    "more",
    [{"REMOTE_ADDR": "192.0.2.7"}, {"HTTP_X_FORWARDED_FOR": "192.0.2.7"}, {"HTTP_X_FORWARDED_PROTO": "https"}],
)
def test_ready_is_for_this_machine_alone(client, more):
    assert client.get("/readyz", **more).status_code == 404


def test_full_disk_is_not_ready(client, monkeypatch):
    monkeypatch.setattr(health.shutil, "disk_usage", lambda _: Usage(1, 1, health.LEAST_FREE - 1))
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.json()["needs"]["space"]["ok"] is False


def test_database_that_cannot_be_written_is_not_ready(client, monkeypatch):
    def refuse(**_):
        raise OperationalError("attempt to write a readonly database")

    monkeypatch.setattr(health.Session.objects, "create", refuse)
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert answer.json()["needs"]["database"] == {"ok": False, "found": "OperationalError"}


def test_owed_migration_is_not_ready(client, monkeypatch):
    monkeypatch.setattr(health.MigrationExecutor, "migration_plan", lambda *_: [("one", False)])
    assert client.get("/readyz").json()["needs"]["migrations"] == {"ok": False, "found": "1 migrations owed"}
