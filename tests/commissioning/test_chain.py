"""What `manage.py verify` finds: each test tampers with the file as its owner could, with the triggers dropped."""

import hashlib
import json
from collections.abc import Callable, Iterator
from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from commissioning import evidence
from commissioning.chain import problems
from commissioning.models import DailyHead, Event

pytestmark = pytest.mark.django_db

KIND = "test.level"
ALL_COLUMNS = (
    "id, site_id, sequence, device, device_sequence, kind, actor_id, origin, recorded_at, received_at, "
    "clock, shown, digest"
)


@pytest.fixture
def five(technician: Any) -> Iterator[list[Event]]:
    """Five events of the office's chain, the first three of them of yesterday."""
    evidence.kind(KIND, schema={"type": "object"})(lambda event, body: None)
    yesterday = timezone.now() - timedelta(days=1)
    patch = pytest.MonkeyPatch()
    patch.setattr(evidence.timezone, "now", lambda: yesterday)

    def append(number: int) -> Event:
        return evidence.append(site=None, kind=KIND, body={"level": str(number)}, actor=technician)

    events = [append(n) for n in range(3)]
    patch.undo()
    yield [*events, append(3), append(4)]
    del evidence.KINDS[KIND]


@pytest.fixture
def tamper() -> Callable[..., None]:
    def execute(*statements: str) -> None:
        with connection.cursor() as cursor:
            for table in ("event", "dailyhead"):
                for action in ("update", "delete"):
                    of_table = f" ON commissioning_{table}" if connection.vendor == "postgresql" else ""
                    cursor.execute(f"DROP TRIGGER IF EXISTS commissioning_{table}_no_{action}{of_table}")
            for statement in statements:
                cursor.execute(statement)

    return execute


def verify() -> str:
    out = StringIO()
    call_command("verify", stdout=out)
    return out.getvalue()


def test_untouched_chain_verifies(five):
    assert problems() == []
    assert "5 events in 1 chains and 1 daily heads are as they were written" in verify()
    assert five[-1].hash in verify()


def test_hash_can_be_recomputed_without_the_program(five):
    """The recipe of the documentation, by hand: hash before, header, body, one on each line."""
    event = five[1]
    utc = "%Y-%m-%dT%H:%M:%S.%f+00:00"
    header = {
        "actor": str(event.actor.handle),
        "device": "",
        "device_sequence": None,
        "id": str(event.id),
        "kind": KIND,
        "origin": "web",
        "received_at": event.received_at.strftime(utc),
        "recorded_at": event.recorded_at.strftime(utc),
        "sequence": 2,
        "site": None,
    }
    lines = [five[0].hash, json.dumps(header, separators=(",", ":")), '{"level":"1"}']
    assert event.hash == hashlib.sha256("\n".join(lines).encode()).hexdigest()


HEADER_EDITS = [
    ("body", """'{"level":"9"}'"""),
    ("kind", "'test.other'"),
    ("origin", "'phone'"),
    ("recorded_at", "'2027-01-01 00:00:00'"),
    ("received_at", "'2027-01-01 00:00:00'"),
    ("device_sequence", "3, device = 'phone'"),
    ("id", "'00000000000000000000000000000001'"),
    ("hash", "'" + "a" * 64 + "'"),
    ("previous_hash", "'" + "a" * 64 + "'"),
]


@pytest.mark.parametrize(("column", "value"), HEADER_EDITS, ids=[column for column, _ in HEADER_EDITS])
def test_edited_event_is_found(five, tamper, column, value):
    tamper(f"UPDATE commissioning_event SET {column} = {value} WHERE sequence = 4")
    assert any("event 4" in line for line in problems())


def test_edited_actor_is_found(five, tamper, office):
    tamper(f"UPDATE commissioning_event SET actor_id = {office.pk} WHERE sequence = 4")
    assert any("event 4" in line and "content" in line for line in problems())


def test_swapped_bodies_are_found(five, tamper):
    tamper(
        'UPDATE commissioning_event SET body = CASE sequence WHEN 4 THEN \'{"level":"4"}\' '
        'WHEN 5 THEN \'{"level":"3"}\' ELSE body END'
    )
    assert sum("content is not what was hashed" in line for line in problems()) == 2


def test_swapped_places_are_found(five, tamper):
    tamper(
        "UPDATE commissioning_event SET sequence = 99 WHERE sequence = 4",
        "UPDATE commissioning_event SET sequence = 4 WHERE sequence = 5",
        "UPDATE commissioning_event SET sequence = 5 WHERE sequence = 99",
    )
    assert sum("does not follow" in line for line in problems()) == 2


def test_event_deleted_in_the_middle_is_found(five, tamper):
    tamper("DELETE FROM commissioning_event WHERE sequence = 4")
    assert any("events 4 to 4 are missing" in line for line in problems())


def test_first_event_deleted_is_found(five, tamper):
    tamper("DELETE FROM commissioning_event WHERE sequence = 1")
    assert any("events 1 to 1 are missing" in line for line in problems())


def test_event_put_in_between_is_found(five, tamper):
    tamper(
        "UPDATE commissioning_event SET sequence = sequence + 100 WHERE sequence > 3",
        "UPDATE commissioning_event SET sequence = sequence - 99 WHERE sequence > 100",
        f"INSERT INTO commissioning_event ({ALL_COLUMNS}, body, previous_hash, hash) "
        "SELECT '00000000000000000000000000000001', site_id, 4, device, device_sequence, kind, actor_id, origin, "
        "recorded_at, received_at, clock, shown, digest, body, hash, 'x' FROM commissioning_event WHERE sequence = 3",
    )
    assert any("event 4" in line and "content" in line for line in problems())


def test_days_cut_off_the_end_are_found_by_the_daily_head(five, tamper):
    tamper("DELETE FROM commissioning_event WHERE sequence > 2")
    assert problems() == [f"daily head {DailyHead.objects.get().day}: chain office, event 3 is gone or another"]


def test_chain_made_anew_is_found_by_the_daily_head(five, tamper):
    tamper()
    before = "0" * 64
    from commissioning.chain import event_hash

    for event in Event.objects.order_by("sequence"):
        event.body, event.previous_hash = event.body.replace("2", "7"), before
        before = event_hash(event)
        Event._base_manager.filter(pk=event.pk).update(body=event.body, previous_hash=event.previous_hash, hash=before)
    assert [line for line in problems() if not line.startswith("daily head")] == []
    assert len(problems()) == 1


@pytest.mark.parametrize("column", ["heads = '{}'", "hash = 'x'", "previous_hash = 'x'", "day = '2020-01-01'"])
def test_edited_daily_head_is_found(five, tamper, column):
    tamper(f"UPDATE commissioning_dailyhead SET {column}")
    assert any("is not as it was written" in line for line in problems())


@pytest.mark.parametrize("heads", ["[]", "{", '{"office":1}', "null"])
def test_unreadable_daily_head_is_a_problem_not_a_crash(five, tamper, heads):
    tamper(f"UPDATE commissioning_dailyhead SET heads = '{heads}'")
    assert problems()


def test_body_that_is_not_canonical_is_found(five, tamper):
    tamper("UPDATE commissioning_event SET body = '{ }' WHERE sequence = 2")
    assert any("not canonical" in line for line in problems())


def test_verify_ends_with_status_one_and_a_line_for_each_problem(five, tamper):
    tamper("UPDATE commissioning_event SET body = '{}' WHERE sequence = 2")
    out = StringIO()
    with pytest.raises(CommandError, match="1 problems in 5 events") as failed:
        call_command("verify", stdout=out)
    assert failed.value.returncode == 1
    assert out.getvalue().count("\n") == 1


def test_verify_closes_days_that_are_over(five, tamper):
    tamper("DELETE FROM commissioning_dailyhead", "DELETE FROM commissioning_event WHERE sequence > 3")
    verify()
    assert DailyHead.objects.count() == 1


def test_verify_of_nothing_is_fine(db):
    assert "0 events" in verify()
