"""Questions and readings in doubt wait on somebody, oldest first, and leave the list when they are settled."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissioning import evidence
from commissioning.models import Instrument, Measurement, Question, Sheet, Visit
from commissioning.office.waiting import Waiting, Whom, waiting_on
from tests.commissioning.office.test_instruments import CARD, calibrated, found_bad
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
NOON = datetime(2025, 4, 14, 18, tzinfo=UTC)
TODAY = datetime(2025, 6, 1, tzinfo=UTC).date()
DAY = timedelta(days=1)


@pytest.fixture
def meter() -> Instrument:
    return Instrument.objects.create(**CARD)


@pytest.fixture
def visit(technician: Any) -> Visit:
    return visit_on(site_with_record(technician), technician, at=NOON)


def read(visit: Visit, meter: Instrument, actor: Any, check: str = "fill_stop_level", **more: Any) -> Measurement:
    one = {"input": "depth", "typed": "2.05", "unit": "m", "label": "", "instrument": str(meter.pk)}
    return measure(visit, check, "LS1", actor=actor, at=NOON, way="dip", readings=[one], **more)


def put(on: Visit, kind: str, actor: Any, days: int = 0, **body: Any) -> None:
    evidence.append(site=on.site, kind=kind, actor=actor, at=NOON + DAY * days, body=body)


def ask(visit: Visit, actor: Any, days: int = 0, measurement: Measurement | None = None) -> Question:
    body = {"id": str(uuid4()), "visit": str(visit.pk), "check": "fill_stop_level", "subject": "LS1", "words": "How?"}
    put(visit, "question.asked", actor, days, **body, measurement=str(measurement.pk) if measurement else None)
    return Question.objects.get(pk=body["id"])


def concede(visit: Visit, actor: Any, days: int) -> None:
    place = {"visit": str(visit.pk), "check": "fill_stop_level", "subject": "LS1"}
    put(visit, "concession.granted", actor, days, id=str(uuid4()), reason="Enough.", **place)


def end(visit: Visit, actor: Any) -> None:
    put(visit, "visit.ended", actor, visit=str(visit.pk), left_isolated=False, reason="")


def issued(visit: Visit, office: Any) -> Sheet:
    return Sheet.objects.create(
        site=visit.site, visit=visit, year=2025, sequence=1, body='{"sheet":{}}', hash="0" * 64, token_hash="1" * 64,
        issued_by=office, issued_at=NOON + DAY,
    )  # fmt: skip


def doubts(office: Any) -> list[Waiting]:
    return [one for one in waiting_on(office, TODAY) if "doubt" in one.what.lower()]


def test_question_waits_on_whoever_took_the_check_until_it_is_answered(visit, meter, technician, office, make_user):
    other = make_user("reed", display_name="P. Reed")
    asked = ask(visit, office, 2, read(visit, meter, other))
    found = next(one for one in waiting_on(office, TODAY) if one.what.startswith("Question"))
    assert (found.what, found.detail) == ("Question, Filling stops by itself, LS1", "How?")
    assert (found.whom, found.name, found.since) == (Whom.TECHNICIAN, "P. Reed", NOON.date() + DAY * 2)
    assert found.url == reverse("question-detail", args=[visit.pk, asked.pk])
    put(visit, "question.answered", technician, id=str(uuid4()), question=str(asked.pk), words="With the dip meter.")
    assert not [one for one in waiting_on(office, TODAY) if one.what.startswith("Question")]


def test_question_on_what_nobody_took_waits_on_those_of_the_visit(visit, office):
    ask(visit, office)
    found = next(one for one in waiting_on(office, TODAY) if one.what.startswith("Question"))
    assert found.name == "T. Marsh"


def test_reading_with_what_was_found_bad_waits_on_whoever_took_it_while_the_visit_goes_on(
    visit, meter, technician, office
):
    read(visit, meter, technician)
    assert doubts(office) == []
    found_bad(meter, office, "2025-04-14")
    [one] = doubts(office)
    assert (one.what, one.whom, one.name) == ("In doubt: Filling stops by itself, LS1", Whom.TECHNICIAN, "T. Marsh")
    assert one.detail == "DP9 was found bad from 14 April 2025 on: Reads 0.30 m short."
    assert one.since == NOON.date() + DAY * 5  # since it was found, not since it was read
    assert one.url == reverse("measurement", args=[visit.pk, "fill_stop_level:LS1"])
    end(visit, technician)
    assert [(one.whom, one.name) for one in doubts(office)] == [(Whom.OFFICE, "")]


def test_readings_of_one_visit_with_one_instrument_are_one_thing(visit, meter, technician, office):
    read(visit, meter, technician)
    read(visit, meter, technician, "fill_restart_level")
    found_bad(meter, office, "2025-04-14")
    [one] = doubts(office)
    assert one.what == "2 readings in doubt"
    assert one.url == reverse("acceptance-detail", args=[visit.pk])


@pytest.mark.parametrize(("days", "waits"), [(1, True), (6, False)])
def test_only_a_concession_after_the_finding_settles_it(visit, meter, technician, office, days, waits):
    read(visit, meter, technician)
    found_bad(meter, office, "2025-04-14")  # found on the fifth day
    concede(visit, office, days)
    assert bool(doubts(office)) is waits


def test_taken_again_with_another_it_waits_no_more(visit, meter, technician, office):
    old = read(visit, meter, technician)
    found_bad(meter, office, "2025-04-14")
    other = Instrument.objects.create(**{**CARD, "tag": "DP8"})
    read(visit, other, technician, supersedes=str(old.pk), supersedes_reason="read again with DP8")
    assert doubts(office) == []


def test_reading_with_an_overdue_instrument_waits_on_the_office_until_it_is_calibrated(
    visit, meter, technician, office
):
    calibrated(meter, office, "2024-04-13", "2025-04-13")
    read(visit, meter, technician)
    [one] = doubts(office)
    assert (one.whom, one.since) == (Whom.OFFICE, NOON.date())
    assert one.detail.startswith("DP9 was overdue: calibration due 13 April 2025, read 14 April 2025")
    assert one.url == reverse("instrument-detail", args=[meter.pk])
    calibrated(meter, office, "2025-05-02", "2026-05-02", NOON + DAY * 18)
    assert doubts(office) == []


@pytest.mark.parametrize("due", ["2025-04-14", None])
def test_reading_on_the_last_day_of_a_calibration_waits_for_nothing(visit, meter, technician, office, due):
    calibrated(meter, office, "2024-04-13", due)
    read(visit, meter, technician)
    assert doubts(office) == []


def test_sheet_issued_over_an_overdue_instrument_ends_the_wait_and_over_a_bad_one_it_does_not(
    visit, meter, technician, office
):
    calibrated(meter, office, "2024-04-13", "2025-04-13")
    read(visit, meter, technician)
    issued(visit, office)
    assert doubts(office) == []
    found_bad(meter, office, "2025-04-14")
    assert len(doubts(office)) == 1


def test_queries_do_not_grow_with_what_waits(meter, technician, office):
    def many() -> int:
        with CaptureQueriesContext(connection) as asked:
            waiting_on(office, TODAY)
        return len(asked)

    def world(name: str) -> None:
        visit = visit_on(site_with_record(technician, name=name), technician, at=NOON)
        ask(visit, office, 0, read(visit, meter, technician))

    found_bad(meter, office, "2025-04-14")
    world("Fennel")
    once = many()
    world("Tarn Side")
    assert many() == once
