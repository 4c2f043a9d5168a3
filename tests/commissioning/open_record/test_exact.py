"""A site goes out to a file and comes back exactly: the same evidence, and rows rebuilt from it alone."""

import io
import json
import zipfile
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.forms.models import model_to_dict

from commissioning import evidence, files
from commissioning.asbuilt.services import put_component
from commissioning.canonical import canonical_json
from commissioning.chain import problems
from commissioning.models import (
    Choice,
    Component,
    Event,
    HoldRelease,
    ItemSettled,
    Judgement,
    LaboratoryReport,
    LaboratorySample,
    Measurement,
    OwnerSaid,
    PassedOver,
    Photo,
    PhotoLoss,
    Question,
    Reading,
    Reply,
    Run,
    SettingAside,
    Site,
    Snapshot,
    User,
    Visit,
)
from commissioning.open_record import LoadError, export_site, load_site
from tests.commissioning.sync.phones import Phone, photo_of, picture, states
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.tampering import without_triggers

pytestmark = pytest.mark.django_db(transaction=True)
ROWS = (
    Site, Component, Run, Visit, Measurement, Reading, Judgement, SettingAside, HoldRelease, Photo, Snapshot,
    Choice, PassedOver, PhotoLoss, ItemSettled, LaboratorySample, LaboratoryReport, OwnerSaid, Question, Reply,
)  # fmt: skip
MADE_HERE = {"opened_at", "changed_at", "made_at"}  # when this database wrote the row, no part of the evidence


@pytest.fixture
def told(technician: User, settings: Any, tmp_path: Any) -> Site:
    """A site with a visit and a few measurements."""
    settings.MEDIA_ROOT = tmp_path
    site = site_with_record(technician)
    fuse = {"tag": "FU1", "name": "", "maker": "", "model": "", "serial": "", "host": str(site.runs.get(tag="K1").pk)}
    put_component(site=site, kind="overcurrent_device", entry=fuse, plate={}, actor=technician)
    visit = visit_on(site, technician)
    readings = (("level", "18.20", "m", "1"), ("level", "18.21", "m", "2"))
    taken = measure(visit, "static_level", "W1", *readings, actor=technician)
    asked = {"id": str(uuid4()), "visit": str(visit.pk), "check": "static_level", "subject": "W1", "words": "How?"}
    evidence.append(site=site, kind="question.asked", body={**asked, "measurement": str(taken.pk)}, actor=technician)
    said = {"id": str(uuid4()), "question": asked["id"], "words": "The yellow one.", "measurement": str(taken.pk)}
    evidence.append(site=site, kind="question.answered", body=said, actor=technician)
    return site


def rows() -> dict[str, list[dict[str, Any]]]:
    """Every projected row, but for the moments at which this database wrote it."""
    return {
        model.__name__: [
            {name: str(value) for name, value in model_to_dict(row).items() if name not in MADE_HERE | {"technicians"}}
            for row in model.objects.order_by("pk")
        ]
        for model in ROWS
    }


def emptied() -> None:
    """Take everything of sites out of the database, past the triggers, as a new installation would be."""
    with without_triggers() as cursor:
        is_sqlite = connection.vendor == "sqlite"
        if is_sqlite:
            cursor.execute("PRAGMA foreign_keys=OFF")
        for table in connection.introspection.table_names(cursor):
            if table.startswith("commissioning_") and table != "commissioning_user":
                cursor.execute(f'DELETE FROM "{table}"')
        if is_sqlite:
            cursor.execute("PRAGMA foreign_keys=ON")


def test_import_gives_the_same_rows_and_the_same_file(told: Site) -> None:
    before, data = rows(), export_site(told)
    emptied()
    assert not Site.objects.exists()
    site = load_site(data)
    assert rows() == before
    assert export_site(site) == data
    assert problems() == []


def test_what_phones_brought_goes_out_and_comes_back(told: Site, technician: User) -> None:
    """Two values and a choice, an item dropped, a photo that is here, one to come, one that never will."""
    phone = Phone(technician, told.visits.get())
    here, to_come, never = picture(1), picture(2), picture(3)
    mine = phone.measured(body={"photos": [photo_of(here)]}, shown={"verdict": "within"})
    theirs = phone.measured(body={"photos": [photo_of(to_come), photo_of(never)]})
    choice = {"id": str(uuid4()), "visit": str(phone.visit.pk), "measurement": mine["body"]["id"], "reason": "twice"}
    others = [str(pk) for pk in phone.visit.measurements.filter(check_key="static_level").values_list("pk", flat=True)]
    chosen = phone.keep("measurement.chosen", {**choice, "others": [*others, theirs["body"]["id"]]})
    lost = phone.keep("photo.lost", {"photo": theirs["body"]["photos"][1]["id"], "reason": "the phone is broken"})
    dropped = phone.keep(
        "item.dropped", {"item": str(uuid4()), "digest": "a" * 64, "kind": "x", "reason": "typed anew"}
    )
    assert states(phone.send(mine, theirs, chosen, lost, dropped)) == ["stored"] * 5
    phone.put(here)
    before, data = rows(), export_site(told)
    assert [len(before[name]) for name in ("Choice", "PassedOver", "PhotoLoss", "ItemSettled")] == [1, 2, 1, 1]
    emptied()
    site = load_site(data)
    assert rows() == before
    assert export_site(site) == data
    assert problems() == []


def changed(data: bytes, change: Any) -> bytes:
    """The archive with its record changed in one place."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        record = json.loads(archive.read("record.json"))
        change(record)
        buffer = io.BytesIO()
        with zipfile.ZipFile(buffer, "w") as made:
            made.writestr("record.json", json.dumps(record))
            for entry in archive.namelist():
                if entry != "record.json":
                    made.writestr(entry, archive.read(entry))
    return buffer.getvalue()


def taken(record: dict[str, Any]) -> dict[str, Any]:
    return next(e for e in record["events"] if e["kind"] == "measurement.taken")


def edit_a_reading(record: dict[str, Any]) -> None:
    taken(record)["body"] = taken(record)["body"].replace("18.20", "17.20")


def drop_an_event(record: dict[str, Any]) -> None:
    record["events"].remove(taken(record))


def swap_two(record: dict[str, Any]) -> None:
    record["events"][0], record["events"][1] = record["events"][1], record["events"][0]


def blame_another(record: dict[str, Any]) -> None:
    other = dict(record["people"][0], handle="00000000-0000-4000-8000-000000000000")
    record["people"].append(other)
    taken(record)["actor"] = other["handle"]


def change_a_snapshot(record: dict[str, Any]) -> None:
    record["snapshots"][0]["body"] = record["snapshots"][0]["body"].replace("W1", "W2")


def change_the_as_built(record: dict[str, Any]) -> None:
    record["as_built"]["components"].pop()


@pytest.mark.parametrize(
    "change", [edit_a_reading, drop_an_event, swap_two, blame_another, change_a_snapshot, change_the_as_built]
)
def test_a_changed_file_is_refused_whole(told: Site, change: Any) -> None:
    data = changed(export_site(told), change)
    emptied()
    with pytest.raises(LoadError):
        load_site(data)
    assert not Site.objects.exists()
    assert not Event.objects.exists()


@pytest.mark.parametrize("data", [b"", b"PK\x05\x06" + b"\0" * 18, b"{}", b"\x00" * 5000])
def test_what_is_no_exported_site_is_refused(db: None, data: bytes) -> None:
    with pytest.raises(LoadError, match="not an exported site"):
        load_site(data)


def test_a_site_that_is_here_is_not_read_again(told: Site) -> None:
    with pytest.raises(LoadError, match="here already"):
        load_site(export_site(told))


def test_a_file_under_a_wrong_name_is_refused(told: Site) -> None:
    name = files.keep(b"a photograph")

    def name_it(record: dict[str, Any]) -> None:
        record["files"] = [{"sha256": name, "bytes": 12}]

    data = changed(export_site(told), name_it)
    buffer = io.BytesIO(data)
    with zipfile.ZipFile(buffer, "a") as archive:
        archive.writestr(f"files/{name}", b"another one")
    emptied()
    with pytest.raises(LoadError, match="not what its name says"):
        load_site(buffer.getvalue())


def test_a_judgement_rests_on_the_snapshot_it_names(told: Site) -> None:
    judgement = Judgement.objects.get()
    assert canonical_json(json.loads(judgement.snapshot.body)) == judgement.snapshot.body
