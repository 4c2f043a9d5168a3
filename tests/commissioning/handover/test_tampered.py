"""Evidence tampered with by whoever owns the database, found by the chain, by daily heads, or by what left the machine.

Each attack drops the triggers first, as an owner of the file can. What the chain alone cannot find (the tail cut, the
whole rewritten) is found by any head kept elsewhere: an earlier output of `verify`, or a sheet. What happened after
the last such copy is not found: the last tests say so.
"""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from commissioning import evidence, files, pdf
from commissioning.canonical import canonical_json, digest
from commissioning.chain import NOTHING_BEFORE, event_hash
from commissioning.handover.authenticity import examine
from commissioning.models import Event, Sheet
from tests.commissioning.handover.conftest import site_of_a_tank
from tests.tampering import without_triggers

pytestmark = pytest.mark.django_db


def verify(*args):
    out = StringIO()
    try:
        call_command("verify", *args, stdout=out)
    except CommandError as error:
        return error.returncode, f"{out.getvalue()}{error}"
    return 0, out.getvalue()


@pytest.fixture
def site(technician):
    """A site with ten events."""
    site = site_of_a_tank(technician)
    for place in range(Event.objects.of_site(site.pk).count(), 10):
        described = {"name": f"Quince {place}", "place": "", "unit_system": "metric", "zone": "UTC", "plate": {}}
        evidence.append(site=site, kind="site.described", body=described, actor=technician)
    return site


def sql(statement, *values):
    with without_triggers() as cursor:
        cursor.execute(statement, values)


def put(event, **changed):
    columns = ", ".join(f"{name} = %s" for name in changed)
    sql(f"UPDATE commissioning_event SET {columns} WHERE id = %s", *changed.values(), event.pk.hex)


def numbered(site, number):
    return Event.objects.get(site=site, sequence=number)


def edited(site):
    put(numbered(site, 5), body=numbered(site, 5).body.replace("Quince", "Quinze"))


def of_another_actor(site):
    put(numbered(site, 5), kind="site.forgotten")


def deleted(site):
    sql("DELETE FROM commissioning_event WHERE id = %s", numbered(site, 5).pk.hex)


def swapped(site):
    one, other = numbered(site, 5), numbered(site, 6)
    put(one, body=other.body)
    put(other, body=one.body)


def renumbered(site):
    one, other = numbered(site, 5), numbered(site, 6)
    put(one, sequence=99)
    put(other, sequence=5)
    put(one, sequence=6)


def inserted(site):
    one = numbered(site, 10)
    for number in range(10, 4, -1):
        put(numbered(site, number), sequence=number + 1)
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM commissioning_event WHERE id = %s", [one.pk.hex])
        names = [column[0] for column in cursor.description]
        row = dict(zip(names, cursor.fetchone(), strict=True))
    row |= {"id": "f" * 32, "sequence": 5, "hash": "f" * 64}
    places = ", ".join(["%s"] * len(names))
    sql(f"INSERT INTO commissioning_event ({', '.join(names)}) VALUES ({places})", *row.values())


FOUND_BY_THE_CHAIN = [edited, of_another_actor, deleted, swapped, renumbered, inserted]


@pytest.mark.parametrize("attack", FOUND_BY_THE_CHAIN)
def test_chain_alone_finds(attack, site):
    assert verify()[0] == 0
    attack(site)
    status, said = verify()
    assert status == 1
    assert f"chain {site.pk}" in said


def cut(site, last=7):
    sql("DELETE FROM commissioning_event WHERE site_id = %s AND sequence > %s", site.pk.hex, last)


def rewrite(site, **changed):
    """Change one event and compute every hash after it anew, as the code itself would."""
    put(numbered(site, 5), **changed)
    before = NOTHING_BEFORE
    for event in Event.objects.filter(site=site).select_related("actor").order_by("sequence"):
        event.previous_hash = before
        before = event_hash(event)
        put(event, previous_hash=event.previous_hash, hash=before)


def rewritten(site):
    rewrite(site, body=numbered(site, 5).body.replace("Quince", "Quinze"))


@pytest.mark.parametrize("attack", [cut, rewritten])
def test_what_the_chain_cannot_find_is_found_by_a_head_kept_elsewhere(attack, site, tmp_path):
    elsewhere = tmp_path / "said.txt"
    elsewhere.write_text(verify()[1])
    assert verify("--against", str(elsewhere))[0] == 0
    attack(site)
    assert verify()[0] == 0  # the honest limit of a chain
    status, said = verify("--against", str(elsewhere))
    assert status == 1
    assert f"chain {site.pk}: event 10 is gone or another" in said


def test_what_came_after_the_last_copy_can_be_cut_unseen(site, technician, tmp_path):
    """The window: from the last head that left the machine until now."""
    elsewhere = tmp_path / "said.txt"
    elsewhere.write_text(verify()[1])
    described = {"name": "Late", "place": "", "unit_system": "metric", "zone": "UTC", "plate": {}}
    evidence.append(site=site, kind="site.described", body=described, actor=technician)
    cut(site, last=10)
    assert verify("--against", str(elsewhere))[0] == 0


@pytest.mark.parametrize("said", ["", "chain x: y events", "\udcff"])
def test_what_names_no_head_is_no_copy(said, tmp_path):
    (tmp_path / "said.txt").write_text(said, errors="surrogateescape")
    with pytest.raises(CommandError, match=r"names no head|read as text"):
        call_command("verify", "--against", str(tmp_path / "said.txt"))


needs_pdf = pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available()))


@needs_pdf
def test_sheet_finds_the_rewriting_of_what_it_stands_on(tank_sheet):
    sheet = tank_sheet
    made = files.read(sheet.file_hash)
    first = numbered(sheet.site, 1)
    put(first, body=first.body.replace("Quince", "Quinze"))
    before = NOTHING_BEFORE
    for event in Event.objects.filter(site=sheet.site).select_related("actor").order_by("sequence"):
        event.previous_hash = before
        before = event_hash(event)
        put(event, previous_hash=event.previous_hash, hash=before)
    status, said = verify()
    assert (status, "the evidence was rewritten since" in said) == (1, True)
    found = examine(made)
    assert found.answer == "changed"
    assert "rewritten since" in found.words


@needs_pdf
def test_file_in_the_owners_hands_finds_a_sheet_rewritten_with_its_whole_chain(tank_sheet):
    """Record, hash, event and chain changed alike: only the file that left the office still says what was issued."""
    sheet = tank_sheet
    made = files.read(sheet.file_hash)
    record = json.loads(sheet.body)
    record["sheet"]["issued_by"] = "S. Reed"
    text = canonical_json(record)
    event = Event.objects.get(pk=sheet.pk)
    put(event, body=canonical_json({**json.loads(event.body), "record": text}))
    Sheet.objects.filter(pk=sheet.pk).update(body=text, hash=digest(text))
    put(event, hash=event_hash(Event.objects.select_related("actor").get(pk=event.pk)))
    assert verify()[0] == 0
    found = examine(made)
    assert (found.answer, found.is_good) == ("changed", False)
    assert "the record it encloses is not the one kept here" in found.words
