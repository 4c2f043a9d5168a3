"""What the owner says: kept as evidence, said on page, record and phone, and what it asks for stands first."""

import json
import re
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from commissioning import evidence
from commissioning.models import Event, OwnerSaid, Visit
from commissioning.progress import progress_of
from commissioning.service.record import record_context
from commissioning.service.services import keep_saying
from commissioning.sync.declared import check_data, unit_table
from commissioning.sync.standing import standing_of
from commissioning.told import asked_first, owner_words
from commissioning.visits.sections import next_line, sections_of
from commissioning.visits.services import end_visit
from commissioning.visits.times import zone_of
from tests.commissioning.worlds import site_with_record, visit_on
from tests.phone.node import run

pytestmark = pytest.mark.django_db
HAND_PUMP = ["hand_pump"]


@pytest.fixture
def visit(technician: Any) -> Visit:
    site = site_with_record(technician)
    visit_on(site, technician, at=timezone.now() - timedelta(days=400))
    return visit_on(site, technician, "service")


def url(visit: Visit) -> str:
    return reverse("arrival", args=[visit.pk])


def say(visit: Visit, technician: Any, *symptoms: str, words: str = "") -> OwnerSaid:
    return keep_saying(visit=visit, id=uuid4(), symptoms=list(symptoms), words=words, actor=technician)


def test_what_is_chosen_and_written_is_one_piece_of_evidence(as_technician: Client, visit: Visit) -> None:
    before = Event.objects.count()
    sent = {"id": str(uuid4()), "symptoms": HAND_PUMP, "words": "Since the dry season."}
    for _ in range(2):  # a double tap
        assert as_technician.post(url(visit), sent).status_code == 302
    assert Event.objects.count() == before + 1
    said = OwnerSaid.objects.get()
    assert (said.symptoms, said.words, str(said.by)) == (HAND_PUMP, "Since the dry season.", "T. Marsh")
    text = as_technician.get(url(visit)).content.decode()
    assert "The hand pump gives little, or wants many strokes. Since the dry season." in text
    assert "The hand pump gives little" in as_technician.get(visit.get_absolute_url()).content.decode()
    assert record_context(visit)["said"].endswith("Since the dry season")


@pytest.mark.parametrize(
    ("sent", "error"),
    [({}, "Choose what the owner says, or write it."), ({"symptoms": ["bad luck"]}, "bad luck is not on the list.")],
)
def test_nothing_said_is_asked_for_at_its_field(
    as_technician: Client, visit: Visit, sent: dict[str, Any], error: str
) -> None:
    answer = as_technician.post(url(visit), {"id": str(uuid4()), "words": "", **sent})
    assert (answer.status_code, error in answer.content.decode()) == (200, True)
    assert not OwnerSaid.objects.exists()


def test_a_wrong_form_loses_nothing_typed(as_technician: Client, visit: Visit) -> None:
    sent = {"id": str(uuid4()), "words": "It <hums>", "symptoms": ["bad luck", "air"]}
    text = as_technician.post(url(visit), sent).content.decode()
    assert "It &lt;hums&gt;" in text
    chosen = re.findall(r'<input type="checkbox" name="symptoms" value="(\w+)"[^>]* checked', text)
    assert chosen == ["air"]


def test_what_is_asked_for_stands_first_with_its_reason(visit: Visit, technician: Any) -> None:
    usual = {line.owed.id: line.owed.number for line in progress_of(visit).lines}
    say(visit, technician, *HAND_PUMP)
    progress = progress_of(visit)
    first, *_ = sections_of(progress, zone_of(visit.site))
    words = {one.title: one.words for one in first.lines}
    assert first.title == "Take first"
    assert "parts foot valve leaking from handle bearings worn" in words["Water per stroke"]
    assert {line.owed.id: line.owed.number for line in progress.lines if line.owed.id in usual} == usual
    assert progress.line("hand_pump_late_yield:HP1") in progress.lines  # owed now, not only offered
    coming = next_line(progress)
    assert coming is not None
    assert coming.check.key == "as_found"


def test_the_latest_counts_and_the_former_stays(visit: Visit, technician: Any) -> None:
    say(visit, technician, *HAND_PUMP)
    say(visit, technician, "nothing")
    assert owner_words(visit) == "Nothing is wrong: a visit that was due"
    assert OwnerSaid.objects.count() == 2
    line = progress_of(visit).line("volume_per_stroke:HP1")
    assert line is not None
    assert not line.owed.first


def test_a_saying_that_can_hurt_says_so(as_technician: Client, visit: Visit, technician: Any) -> None:
    say(visit, technician, "water_changed")
    assert "Nobody drinks it or cooks with it" in as_technician.get(url(visit)).content.decode()


def test_nothing_can_be_said_on_a_start_up_or_after_the_end(
    as_technician: Client, visit: Visit, technician: Any
) -> None:
    start_up = Visit.objects.get(site=visit.site, kind="start_up")
    end_visit(visit=visit, left_isolated=False, reason="", actor=technician)
    for one in (start_up, visit):
        assert "data-owner-said" not in as_technician.get(url(one)).content.decode()
        as_technician.post(url(one), {"id": str(uuid4()), "words": "It hums"})
    assert not OwnerSaid.objects.exists()


def test_another_persons_visit_and_no_login(client: Client, visit: Visit) -> None:
    assert client.post(url(visit), {"words": "It hums"}).headers["Location"].startswith("/account/sign-in")
    assert not OwnerSaid.objects.exists()


def test_append_door_refuses_what_says_nothing(visit: Visit, technician: Any) -> None:
    for symptoms, words in (([], " "), (["air", "air"], ""), (["x"], "")):
        body = {"id": str(uuid4()), "visit": str(visit.pk), "symptoms": symptoms, "words": words}
        with pytest.raises(evidence.RefusedError):
            evidence.append(site=visit.site, kind="owner.said", body=body, actor=technician)


def test_database_refuses_to_change_what_was_said(visit: Visit, technician: Any) -> None:
    say(visit, technician, "air")
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE commissioning_ownersaid SET words = 'other'")


STANDING = """
const visit = m.standingOf(it.pack, it.records, () => null);
return visit.all.map((line) => [line.id, line.first, line.isOptional]);"""


@pytest.mark.parametrize("before", [[], ["water_changed"]])
def test_phone_puts_first_what_the_server_does(visit: Visit, technician: Any, before: list[str]) -> None:
    """Said on the phone, over a pack in which nothing was said, or something else."""
    if before:
        say(visit, technician, *before)
    progress = progress_of(visit)
    checks = {line.check.key: check_data(line.check) for line in (*progress.lines, *progress.offered)}
    pack = {**standing_of(progress), "zone": visit.site.zone, "units": unit_table("metric"), "checks": checks,
            "known": [], "user": "", "name": "", "asked": asked_first(progress)}  # fmt: skip
    body = {"id": str(uuid4()), "visit": str(visit.pk), "symptoms": ["hand_pump", "since_storm"], "words": ""}
    item = {"body": body, "clock": {"wall": timezone.now().isoformat()}}
    records = [{"id": "1", "kind": "owner.said", "state": "kept", "user": "", "item": item}]
    (found,) = run("standing.js", STANDING, [json.loads(json.dumps({"pack": pack, "records": records}))])
    say(visit, technician, *body["symptoms"])
    told = progress_of(visit)
    owed = {line.owed.id: line.owed for line in (*told.lines, *told.offered)}
    assert {one: (first.startswith("parts"), optional) for one, first, optional in found} == {
        one: (line.first.startswith("parts"), line.optional) for one, line in owed.items()
    }
    assert any(first.startswith("parts") for _, first, _ in found)


def test_what_waits_behind_a_hold_says_why_it_is_asked_for(visit: Visit, technician: Any) -> None:
    say(visit, technician, "tank_stays_low")
    folded = [one for section in sections_of(progress_of(visit), zone_of(visit.site)) for one in section.folded]
    asked = [one.words for one in folded if " · parts " in one.words]
    assert asked
    assert all(words.endswith("after this hold") for words in asked)
