"""The append door: what it lets in, what it refuses, and that the database keeps it as it was written."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from commissioning import evidence
from commissioning.models import DailyHead, Event
from commissioning.models.append_only import AppendOnlyError, AppendOnlyModel
from tests.tampering import guarded

pytestmark = pytest.mark.django_db

NOTE = "test.note"
SCHEMA = {
    "type": "object",
    "properties": {"text": {"type": "string"}, "count": {"type": "integer"}},
    "required": ["text"],
    "additionalProperties": False,
}


@pytest.fixture(autouse=True)
def note_kind() -> Iterator[list[str]]:
    """A kind of evidence that projects into a list, and fails on demand."""
    written: list[str] = []

    @evidence.kind(NOTE, schema=SCHEMA)
    def project(event: Event, body: dict[str, Any]) -> str:
        if body["text"] == "fail":
            raise RuntimeError("the projection failed")
        written.append(body["text"])
        return body["text"]

    yield written
    del evidence.KINDS[NOTE]


@pytest.fixture
def note(technician: Any) -> Callable[..., Event]:
    def append(text: str = "dry", **given: Any) -> Event:
        return evidence.append(**{"site": None, "kind": NOTE, "body": {"text": text}, "actor": technician, **given})

    return append


def test_event_holds_canonical_body_and_who_and_when(note, technician):
    event = note(body={"text": "e\u0301tang", "count": 3})
    assert event.body == '{"count":3,"text":"\u00e9tang"}'
    assert (event.actor, event.origin, event.sequence) == (technician, "web", 1)
    assert event.recorded_at == event.received_at


def test_projection_sees_the_body_that_was_hashed(note, note_kind):
    assert note("e\u0301tang").projected == "\u00e9tang"
    assert note_kind == ["\u00e9tang"]


def test_each_event_follows_the_one_before(note):
    first, second = note("one"), note("two")
    assert (first.sequence, second.sequence) == (1, 2)
    assert first.previous_hash == "0" * 64
    assert second.previous_hash == first.hash


def test_unknown_kind_is_refused(note):
    with pytest.raises(evidence.UnknownKindError):
        note(kind="test.unheard")
    assert not Event.objects.exists()


@pytest.mark.parametrize(
    ("body", "place"),
    [
        ({}, "$"),
        ({"text": 5}, "$.text"),
        ({"text": "x", "more": 1}, "$"),
        ({"text": "x", "count": 1.5}, "$.count"),
        ({"text": "x", "count": 1.0}, "body"),  # JSON Schema takes 1.0 for an integer; the canonical text does not
        ({"text": "x", "count": 2**53}, "body"),
        ({"text": "\ud800"}, "body"),
    ],
)
def test_wrong_body_is_refused_by_its_place(note, body, place):
    with pytest.raises(evidence.RefusedError) as refused:
        note(body=body)
    assert place in refused.value.faults
    assert not Event.objects.exists()


def test_time_without_offset_is_refused(note):
    with pytest.raises(evidence.RefusedError, match="offset"):
        note(at=datetime(2027, 4, 14, 9, 0))  # noqa: DTZ001  # the very fault


@pytest.mark.parametrize("given", [{"device": "phone-1"}, {"device_sequence": 4}])
def test_device_and_its_count_belong_together(note, given):
    with pytest.raises(evidence.RefusedError, match="count"):
        note(**given)


def test_unknown_origin_is_refused(note):
    with pytest.raises(ValueError, match="carrier pigeon"):
        note(origin="carrier pigeon")


def test_failing_projection_leaves_no_event(note):
    with pytest.raises(RuntimeError):
        note("fail")
    assert not Event.objects.exists()


def test_time_of_the_phone_stands_beside_time_of_the_server(note):
    at = datetime(2027, 4, 14, 9, 0, tzinfo=UTC)
    event = note(at=at)
    assert event.recorded_at == at
    assert abs(event.received_at - timezone.now()) < timedelta(minutes=1)


def test_twice_delivered_is_once_stored(note, note_kind):
    given = {"event_id": uuid4(), "device": "phone-1", "device_sequence": 7, "at": timezone.now()}
    first, again = note(**given), note(**given)
    assert again.pk == first.pk
    assert again.projected is None
    assert (Event.objects.count(), note_kind) == (1, ["dry"])


@pytest.mark.parametrize(
    "other",
    [{"body": {"text": "wet"}}, {"device_sequence": 8}, {"at": datetime(2027, 1, 1, tzinfo=UTC)}],
)
def test_same_id_with_other_content_is_a_conflict_and_the_first_stands(note, other):
    given = {"event_id": uuid4(), "device": "phone-1", "device_sequence": 7, "at": timezone.now()}
    first = note(**given)
    with pytest.raises(evidence.ConflictError):
        note(**{**given, **other})
    assert Event.objects.get().hash == first.hash


def test_same_id_by_another_person_is_a_conflict(note, office):
    event_id = uuid4()
    note(event_id=event_id)
    with pytest.raises(evidence.ConflictError):
        note(event_id=event_id, actor=office)


def test_device_count_used_twice_is_a_conflict(note):
    note("one", device="phone-1", device_sequence=7)
    with pytest.raises(evidence.ConflictError, match="used its number 7"):
        note("two", device="phone-1", device_sequence=7)


def test_kind_is_declared_once():
    with pytest.raises(ValueError, match="twice"):
        evidence.kind(NOTE, schema=SCHEMA)(lambda event, body: None)


def test_first_append_of_a_new_day_writes_the_head_of_the_day_before(note, monkeypatch):
    yesterday = timezone.now() - timedelta(days=1)
    monkeypatch.setattr(evidence.timezone, "now", lambda: yesterday)
    last = note("one"), note("two")
    monkeypatch.undo()
    assert not DailyHead.objects.exists()
    note("three"), note("four")
    head = DailyHead.objects.get()
    assert head.day == yesterday.astimezone(UTC).date()
    assert head.heads == f'{{"office":[2,"{last[1].hash}"]}}'


def test_stored_event_is_neither_saved_nor_deleted(note):
    event = note()
    for attempt in (event.save, event.delete):
        with pytest.raises(AppendOnlyError):
            attempt()


def test_saving_over_a_stored_event_fails(note):
    stored = note()
    other = Event.objects.get()
    other._state.adding = True
    with pytest.raises(IntegrityError), transaction.atomic():
        other.save()
    assert Event.objects.get().hash == stored.hash


@pytest.mark.parametrize(
    "attempt",
    [
        lambda: Event.objects.update(kind="x"),
        lambda: Event.objects.all().delete(),
        lambda: Event.objects.filter(sequence=1).update(kind="x"),
        lambda: Event.objects.bulk_update(list(Event.objects.all()), ["kind"]),
        lambda: Event.objects.all()._raw_delete("default"),
        lambda: Event._base_manager.update(kind="x"),
        lambda: Event.objects.bulk_create(
            list(Event.objects.all()), update_conflicts=True, update_fields=["kind"], unique_fields=["id"]
        ),
    ],
    ids=["update", "delete", "filtered", "bulk", "raw-delete", "base-manager", "upsert"],
)
def test_query_set_changes_no_event(note, attempt):
    note()
    with pytest.raises((AppendOnlyError, IntegrityError)), transaction.atomic():
        attempt()
    assert Event.objects.get().kind == NOTE


ON_SQLITE = ("INSERT OR REPLACE", "UPDATE OR REPLACE", "INSERT INTO commissioning_event SELECT")


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE commissioning_event SET body = '{}'",
        "UPDATE commissioning_event SET sequence = sequence + 1",
        "DELETE FROM commissioning_event",
        "INSERT OR REPLACE INTO commissioning_event SELECT * FROM commissioning_event",
        "UPDATE OR REPLACE commissioning_event SET kind = 'x'",
        "INSERT INTO commissioning_event SELECT * FROM commissioning_event WHERE 1 "
        "ON CONFLICT (id) DO UPDATE SET kind = 'x'",
    ],
)
def test_database_itself_refuses(note, statement):
    if statement.startswith(ON_SQLITE) and connection.vendor != "sqlite":
        pytest.skip("SQLite's own words")
    stored = note()
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)
    assert Event.objects.get().hash == stored.hash


def test_every_append_only_table_has_both_triggers():
    with connection.cursor() as cursor:
        there = guarded(cursor, connection.vendor)
    tables = [m._meta.db_table for m in apps.get_models() if issubclass(m, AppendOnlyModel)]
    assert "commissioning_event" in tables
    assert [(t, a) for t in tables for a in ("UPDATE", "DELETE") if (t, a) not in there] == []


def test_ids_are_uuids(note):
    assert isinstance(Event.objects.get(pk=note().pk).pk, UUID)
