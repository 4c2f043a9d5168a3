"""The page of an arrival: as left, open, due, changed, before anything is touched."""

import json
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.asbuilt import services as asbuilt
from commissioning.models import Sheet, Site, Visit
from commissioning.service import arrival, due
from commissioning.visits import services
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
FIRST = datetime.fromisoformat("2025-04-14T12:00:00-06:00")
LATER = FIRST + timedelta(days=365)


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


@pytest.fixture
def first(site: Site, technician: Any) -> Visit:
    visit = visit_on(site, technician, at=FIRST)
    measure(visit, "static_level", "W1", ("level", "24.10", "m", "1"), ("level", "24.11", "m", "2"),
            actor=technician, at=FIRST)  # fmt: skip
    note = "V2 shut, meter at 1204"
    measure(visit, "as_left", "site", actor=technician, at=FIRST, answer="as it should be", note=note)
    return visit


@pytest.fixture
def later(site: Site, first: Visit, technician: Any) -> Visit:
    return visit_on(site, technician, "service", at=LATER)


def page(client: Client, visit: Visit) -> str:
    return client.get(reverse("arrival", args=[visit.pk])).content.decode()


def test_arrival_says_how_it_was_left_and_what_is_normal(as_technician: Client, later: Visit) -> None:
    text = page(as_technician, later)
    for words in ("As it should be", "V2 shut, meter at 1204", "14 April 2025", "Static level", "24.10"):
        assert words in text, words


def test_what_is_open_stands_there_unsafe_first(
    as_technician: Client, first: Visit, later: Visit, technician: Any
) -> None:
    for words, unsafe in (("Lid does not lock.", False), ("Frame is live.", True)):
        services.raise_defect(visit=first, id=uuid4(), words=words, is_unsafe=unsafe, actor=technician)
    aside: dict[str, Any] = {"check": "walk_round_well", "subject": "W1", "how": "cannot_be_taken"}
    services.set_aside(visit=first, id=uuid4(), reason="Bull in the paddock", actor=technician, **aside)
    found = arrival.arrival_of(later)["open"]
    assert [one.words for one in found] == ["Frame is live.", "Lid does not lock.", "Bull in the paddock"]
    assert "Bull in the paddock" in page(as_technician, later)


def test_a_check_taken_after_all_is_not_open(first: Visit, later: Visit, technician: Any) -> None:
    aside: dict[str, Any] = {"check": "static_level", "subject": "W1", "how": "parked", "reason": "tape in the truck"}
    services.set_aside(visit=first, id=uuid4(), actor=technician, **aside)
    assert arrival.arrival_of(later)["open"] == []


@pytest.mark.parametrize(("typed", "when"), [("4 April 2026", "10 days ago"), ("24 April 2026", "in 10 days")])
def test_inspection_advised_by_the_sheet_is_due(
    first: Visit, later: Visit, technician: Any, typed: str, when: str
) -> None:
    Sheet.objects.create(
        site=first.site, visit=first, year=2025, sequence=1, body=json.dumps({"sheet": {"next_inspection": typed}}),
        hash=typed, token_hash="0", issued_by=technician, issued_at=FIRST,
    )  # fmt: skip
    (told,) = arrival.due_on(later)
    assert (told.words, told.when) == (typed, when)


def test_nothing_is_due_without_a_sheet_or_a_day(later: Visit) -> None:
    assert due.service_due(later.site) is None
    assert arrival.due_on(later) == []


def test_what_was_changed_since_is_named_with_its_reason(site: Site, first: Visit, technician: Any) -> None:
    services.end_visit(visit=first, left_isolated=True, reason="Pump cable cut", actor=technician)
    entry = {"is_same": True, "maker": "", "model": "", "serial": "2", "reason": "seals worn"}
    asbuilt.replace(component=site.components.standing().get(tag="HP1"), entry=entry, actor=technician)
    later = visit_on(site, technician, "service")
    found = arrival.arrival_of(later)
    assert [(one.title.split(",")[0], one.words) for one in found["changes"]] == [("HP1", "seals worn")]
    assert found["isolated"] == "Pump cable cut"


def test_only_a_service_visit_leads_there(as_technician: Client, first: Visit, later: Visit) -> None:
    for visit, leads in ((first, False), (later, True)):
        text = as_technician.get(reverse("visit-detail", args=[visit.pk])).content.decode()
        assert (reverse("arrival", args=[visit.pk]) in text) is leads


def test_another_persons_page_is_not_found_without_signing_in(client: Client, later: Visit) -> None:
    answer = client.get(reverse("arrival", args=[later.pk]))
    assert answer.headers["Location"].startswith("/account/sign-in")


def told(visit: Visit, name: str) -> dict[str, tuple[str, str]]:
    return {one.title: (one.words, one.when) for one in arrival.tasks_on(visit)[name]}


STROKES = "Seals and strokes against the first ones."


def strokes(visit: Visit, technician: Any, at: datetime) -> None:
    measure(visit, "strokes_to_water", "HP1", ("strokes", "4", "1"), actor=technician, at=at)
    rows = [r for n in "123" for r in (("volume", "15", "L", n), ("strokes", "40", "1", n))]
    measure(visit, "volume_per_stroke", "HP1", *rows, actor=technician, at=at)


def test_a_task_that_the_record_never_shows_counts_from_the_hand_over(first: Visit, technician: Any) -> None:
    services.end_visit(visit=first, left_isolated=False, reason="", actor=technician)
    Visit.objects.filter(pk=first.pk).update(ended_at=FIRST)
    late = visit_on(first.site, technician, "service", at=LATER + timedelta(days=10))
    assert told(late, "tasks")[STROKES] == ("HP1 · not on record", "due 10 days ago")


def test_a_task_counts_from_the_day_on_which_all_its_checks_were_taken(first: Visit, technician: Any) -> None:
    between = visit_on(first.site, technician, "service", at=LATER - timedelta(days=100))
    measure(between, "strokes_to_water", "HP1", ("strokes", "4", "1"), actor=technician, at=LATER - timedelta(days=100))
    late = visit_on(first.site, technician, "service", at=LATER)
    assert "not on record" in {**told(late, "tasks"), **told(late, "tasks_later")}[STROKES][0]  # one half is not it
    fifty_ago = LATER - timedelta(days=50)
    rows = [r for n in "123" for r in (("volume", "15", "L", n), ("strokes", "40", "1", n))]
    measure(between, "volume_per_stroke", "HP1", *rows, actor=technician, at=fifty_ago)
    words, when = told(late, "tasks_later")[STROKES]
    assert (words, when) == ("HP1 · last shown done 4 January 2026", "due in 265 days")


def test_what_was_shown_on_a_part_that_is_gone_shows_nothing_of_the_new_one(
    site: Site, first: Visit, technician: Any
) -> None:
    strokes(first, technician, FIRST)
    late = visit_on(site, technician, "service", at=LATER)
    assert "14 April 2025" in told(late, "tasks")[STROKES][0]
    entry = {"is_same": True, "maker": "", "model": "", "serial": "2", "reason": "seals worn"}
    asbuilt.replace(component=site.components.standing().get(tag="HP1"), entry=entry, actor=technician)
    assert "not on record" in {**told(late, "tasks"), **told(late, "tasks_later")}[STROKES][0]


def test_the_owners_own_tasks_are_asked_about(as_technician: Client, later: Visit) -> None:
    text = page(as_technician, later)
    assert "ask whether they are done" in text
    assert told(later, "tasks_owner")["Lid shut, screens whole, overflow dry."] == ("T1", "every month")
