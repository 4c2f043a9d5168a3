"""Writers at once, on either engine: each waits for its turn, none fails, and the chain has no gap."""

import threading
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection, connections, transaction

from commissioning import evidence
from commissioning.chain import problems
from commissioning.models import Event, Visit
from tests.commissioning.worlds import visit_on

WRITERS, EACH = 4, 10


def write(visit: Visit, actor: Any, failed: list[Exception]) -> None:
    """Append one event after the other, each after a look at what is there, as forms do."""
    for number in range(EACH):
        body = {
            "id": str(uuid4()), "visit": str(visit.pk), "check": "static_level", "subject": "W1", "how": "parked",
            "reason": str(number),
        }  # fmt: skip
        try:
            with transaction.atomic():
                Event.objects.filter(site=visit.site).count()
                evidence.append(site=visit.site, kind="check.set_aside", body=body, actor=actor)
        except Exception as error:
            failed.append(error)
    connections.close_all()


@pytest.mark.django_db(transaction=True)
def test_writers_at_once_take_turns(site: Any, technician: Any) -> None:
    visit = visit_on(site, technician)
    before = Event.objects.count()
    failed: list[Exception] = []
    threads = [threading.Thread(target=write, args=(visit, technician, failed)) for _ in range(WRITERS)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert failed == []
    assert Event.objects.count() == before + WRITERS * EACH
    assert problems() == []


@pytest.mark.django_db(transaction=True)
@pytest.mark.skipif("connection.vendor != 'postgresql'", reason="PostgreSQL's own")
def test_who_waits_too_long_for_a_turn_is_told_and_the_connection_stays_fit() -> None:
    from django.db import OperationalError
    from django.db.utils import load_backend

    other = load_backend("commissioning.postgresql").DatabaseWrapper({**connection.settings_dict}, "other")
    try:
        with transaction.atomic():
            with other.cursor() as cursor:
                cursor.execute("SET lock_timeout = '50ms'")
            with pytest.raises(OperationalError):
                other.set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)
        assert other.get_autocommit()
        with other.cursor() as cursor:
            cursor.execute("SELECT 1")
            assert cursor.fetchone() == (1,)
    finally:
        other.close()
