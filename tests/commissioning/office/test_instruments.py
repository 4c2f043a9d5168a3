"""Instruments at the desk: calibrations kept, overdue ones marked, one found bad puts its readings in doubt."""

from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse

from commissioning import evidence
from commissioning.chain import problems
from commissioning.doubts import doubts_in
from commissioning.ledger import lines_of
from commissioning.models import Calibration, Event, FoundBad, Instrument, Measurement, Visit
from commissioning.open_items import open_items
from commissioning.progress import Line, progress_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
NOON = datetime(2025, 4, 14, 18, tzinfo=UTC)
CARD = {
    "tag": "DP9", "name": "dip meter, metres", "quantity": "depth", "unit": "m", "of_reading_percent": "0.05",
    "counts": "1", "resolution": "0.01", "of_full_scale_percent": "", "full_scale": "100", "serial": "D9",
}  # fmt: skip
TYPED = {
    "tag": "DP9", "name": "dip meter, metres", "quantity": "depth", "unit": "m", "serial": "D9",
    "statement": "± (0.05 % of reading + 1 digit)", "resolution": "0.01", "full_scale": "100",
}  # fmt: skip


@pytest.fixture
def meter() -> Instrument:
    return Instrument.objects.create(**CARD)


@pytest.fixture
def visit(technician: Any) -> Visit:
    return visit_on(site_with_record(technician), technician, at=NOON)


def read(visit: Visit, meter: Instrument, actor: Any, at: datetime = NOON, **more: Any) -> Measurement:
    one = {"input": "depth", "typed": "2.05", "unit": "m", "label": "", "instrument": str(meter.pk)}
    return measure(visit, "fill_stop_level", "LS1", actor=actor, at=at, way="dip", **{"readings": [one], **more})


def line(visit: Visit) -> Line:
    found = progress_of(visit).line("fill_stop_level:LS1")
    assert found is not None
    return found


def calibrated(meter: Instrument, actor: Any, on: str, due: str | None, at: datetime = NOON) -> None:
    body = {"id": str(uuid4()), "instrument": str(meter.pk), "on": on, "due": due, "reference": "K-7"}
    evidence.append(site=None, kind="instrument.calibrated", body=body, actor=actor, at=at)


def found_bad(meter: Instrument, actor: Any, since: str, at: datetime = NOON + timedelta(days=5)) -> None:
    body = {"id": str(uuid4()), "instrument": str(meter.pk), "since": since, "words": "Reads 0.30 m short."}
    evidence.append(site=None, kind="instrument.found_bad", body=body, actor=actor, at=at)


def test_a_reading_with_an_overdue_instrument_is_marked_and_still_counts(visit, meter, technician, office):
    calibrated(meter, office, "2024-04-13", "2025-04-13")
    read(visit, meter, technician)
    progress = progress_of(visit)
    words = "DP9 was overdue: calibration due 13 April 2025, read 14 April 2025."
    assert [w for one in lines_of(progress) for w in one["remarks"]] == [words]
    assert [one.found for one in doubts_in(progress)] == [words.rstrip(".")]
    assert line(visit).is_good


@pytest.mark.parametrize(("due", "is_marked"), [("2025-04-13", True), ("2025-04-14", False), (None, False)])
def test_the_last_day_of_a_calibration_still_holds(visit, meter, technician, office, due, is_marked):
    calibrated(meter, office, "2024-04-13", due)
    read(visit, meter, technician)
    assert bool(doubts_in(progress_of(visit))) is is_marked


def test_a_later_calibration_does_not_whitewash_an_earlier_reading(visit, meter, technician, office):
    calibrated(meter, office, "2024-04-13", "2025-04-13")
    calibrated(meter, office, "2025-05-01", "2026-05-01")
    read(visit, meter, technician)
    meter.refresh_from_db()
    assert meter.calibrated_on == date(2025, 5, 1)
    assert len(doubts_in(progress_of(visit))) == 1


def test_a_calibration_entered_late_leaves_the_card_at_the_latest(meter, office):
    calibrated(meter, office, "2025-05-01", "2026-05-01")
    calibrated(meter, office, "2024-04-13", "2025-04-13")
    meter.refresh_from_db()
    assert (meter.calibrated_on, meter.calibration_due) == (date(2025, 5, 1), date(2026, 5, 1))


def test_one_found_bad_puts_its_readings_in_doubt_until_taken_again(visit, meter, technician, office):
    old = read(visit, meter, technician)
    assert line(visit).is_good
    found_bad(meter, office, "2025-04-14")
    said = "in doubt: DP9 was found bad from 14 April 2025 on: Reads 0.30 m short."
    assert not line(visit).is_good
    assert said in [one.words for one in open_items(progress_of(visit))]
    other = Instrument.objects.create(**{**CARD, "tag": "DP8"})
    read(visit, other, technician, NOON, supersedes=str(old.pk), supersedes_reason="read again with DP8")
    assert line(visit).is_good


@pytest.mark.parametrize(("since", "is_in_doubt"), [("2025-04-14", True), ("2025-04-15", False)])
def test_what_was_read_before_that_day_stands(visit, meter, technician, office, since, is_in_doubt):
    read(visit, meter, technician)
    found_bad(meter, office, since)
    assert bool(line(visit).in_doubt) is is_in_doubt


def test_what_is_read_after_its_repair_stands(visit, meter, technician, office):
    found_bad(meter, office, "2025-04-01", NOON - timedelta(days=3))
    calibrated(meter, office, "2025-04-13", "2026-04-13", NOON - timedelta(days=1))
    read(visit, meter, technician)
    assert line(visit).in_doubt == ""


def test_what_is_read_between_the_finding_and_the_repair_is_in_doubt(visit, meter, technician, office):
    found_bad(meter, office, "2025-04-01", NOON - timedelta(days=3))
    calibrated(meter, office, "2025-04-15", "2026-04-13", NOON + timedelta(days=1))
    read(visit, meter, technician)
    assert line(visit).in_doubt


def test_a_concession_counts_for_what_was_known_when_it_was_granted(visit, meter, technician, office):
    def concede(days: int) -> None:
        body = {
            "id": str(uuid4()), "visit": str(visit.pk), "check": "fill_stop_level", "subject": "LS1",
            "reason": "Enough.",
        }  # fmt: skip
        at = NOON + timedelta(days=days)
        evidence.append(site=visit.site, kind="concession.granted", body=body, actor=office, at=at)

    read(visit, meter, technician)
    concede(1)
    found_bad(meter, office, "2025-04-14")
    assert line(visit).in_doubt
    concede(6)
    assert line(visit).is_good


def test_what_was_conceded_before_it_was_found_bad_can_be_conceded_again(as_office, visit, meter, technician, office):
    read(visit, meter, technician, readings=[
        {"input": "depth", "typed": "1.05", "unit": "m", "label": "", "instrument": str(meter.pk)},
    ])  # fmt: skip
    url = reverse("concession-grant", args=[visit.pk, "fill_stop_level:LS1"])
    assert as_office.post(url, {"reason": "Low enough."}).status_code == 302
    assert "It is conceded already." in as_office.post(url, {"reason": "Twice."}).text
    body = {"id": str(uuid4()), "instrument": str(meter.pk), "since": "2025-04-14", "words": "Reads short."}
    evidence.append(site=None, kind="instrument.found_bad", body=body, actor=office)  # just now, after the concession
    assert line(visit).in_doubt
    assert as_office.post(url, {"reason": "Low enough all the same."}).status_code == 302
    assert line(visit).is_good


def test_page_keeps_a_card_a_calibration_and_what_was_found(as_office: Client, visit, technician):
    assert as_office.post(reverse("instrument-new"), TYPED).status_code == 302
    meter = Instrument.objects.get(tag="DP9")
    read(visit, meter, technician)
    before = Event.objects.filter(site=None).count()
    typed = {"on": "2024-04-13", "due": "2025-04-13", "reference": "K-7"}
    assert as_office.post(reverse("instrument-calibrate", args=[meter.pk]), typed).status_code == 302
    typed = {"since": "2025-04-14", "words": "<i>short</i>"}
    assert as_office.post(reverse("instrument-found-bad", args=[meter.pk]), typed).status_code == 302
    assert Event.objects.filter(site=None).count() == before + 2
    page = as_office.get(reverse("instrument-detail", args=[meter.pk])).content.decode()
    assert "&lt;i&gt;short" in page
    assert reverse("measurement", args=[visit.pk, "fill_stop_level:LS1"]) in page
    assert "found bad from 14 April 2025 on" in as_office.get(reverse("instrument-list")).content.decode()
    assert problems() == []


@pytest.mark.parametrize(
    ("name", "typed", "words"),
    [
        ("instrument-calibrate", {"on": "2024-04-13", "due": "2024-04-12"}, "This lies before the calibration."),
        ("instrument-calibrate", {"on": "2999-01-01"}, "That day is still to come."),
        ("instrument-calibrate", {"on": "soon", "reference": "K-7"}, "Type the day as year-month-day"),
        ("instrument-found-bad", {"since": "2024-04-13", "words": ""}, "Say what was found."),
        ("instrument-edit", {**TYPED, "unit": "V"}, "This is no unit of what it reads."),
        ("instrument-edit", {**TYPED, "resolution": "+1"}, "Type a number, such as 0.5."),
        ("instrument-edit", {**TYPED, "statement": "± 0,05 %"}, "Type decimals with a point: 1.5, not 1,5."),
        ("instrument-edit", {**TYPED, "statement": "fairly good"}, "cannot be read here. Type it such as"),
        ("instrument-edit", {**TYPED, "tag": "DP8"}, "already exists"),
    ],
)
def test_bad_input_is_said_at_its_field_and_nothing_is_kept(as_office, meter, name, typed, words):
    Instrument.objects.create(**{**CARD, "tag": "DP8"})
    answer = as_office.post(reverse(name, args=[meter.pk]), typed)
    assert answer.status_code == 200
    assert words in answer.content.decode()
    assert not Calibration.objects.exists()
    assert not FoundBad.objects.exists()


def test_a_retired_one_is_offered_no_more_and_its_history_stays(
    as_office: Client, as_technician, visit, meter, technician
):
    read(visit, meter, technician)
    before = Event.objects.filter(site=None).count()
    url = reverse("instrument-retire", args=[meter.pk])
    check = reverse("measurement", args=[visit.pk, "well_depth_measured:W1"])
    assert "DP9" in as_technician.get(check).text
    assert as_office.post(url, {"words": "Fell into the <b>well</b>."}).status_code == 302
    assert as_office.post(url, {"words": "Twice."}).status_code == 302  # a double tap keeps it once
    assert Event.objects.filter(site=None).count() == before + 1
    assert "DP9" not in as_technician.get(check).text
    listed = as_office.get(reverse("instrument-list")).text
    assert "Fell into the &lt;b&gt;well" in listed[listed.index("In use no more") :]
    assert "DP9" in as_technician.get(reverse("measurement", args=[visit.pk, "fill_stop_level:LS1"])).text
    found_bad(meter, technician, "2025-04-14")  # found out later: its readings are in doubt all the same
    assert line(visit).in_doubt
    assert as_office.post(url, {"take_up": "yes"}).status_code == 302
    assert "DP9" in as_technician.get(check).text


def test_retiring_wants_a_reason_and_is_for_the_office(as_office: Client, as_technician: Client, meter):
    url = reverse("instrument-retire", args=[meter.pk])
    assert "Say why." in as_office.post(url, {"words": " "}).text
    assert as_technician.post(url, {"words": "Lost."}).status_code == 404
    meter.refresh_from_db()
    assert meter.retired_at is None


def test_rooms_are_for_the_office(as_technician: Client, meter):
    for name in ("instrument-list", "instrument-new"):
        assert as_technician.get(reverse(name)).status_code == 404
    assert as_technician.get(reverse("instrument-detail", args=[meter.pk])).status_code == 404


def test_database_refuses_to_change_what_was_found(meter, office):
    calibrated(meter, office, "2024-04-13", None)
    found_bad(meter, office, "2025-04-14")
    for table in ("calibration", "foundbad"):
        with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM commissioning_{table}")


def test_the_card_shows_its_statement_as_typed_and_what_it_comes_to(as_office, meter):
    """0.05 % of 50 m and one digit of 0.01 m are 0.035 m."""
    page = as_office.get(reverse("instrument-detail", args=[meter.pk])).content.decode()
    assert "± (0.05 % of reading + 0.01 m)" in page
    assert "at 50.00\u00a0m: ±\u00a00.035\u00a0m" in page
    edit = as_office.get(reverse("instrument-edit", args=[meter.pk])).content.decode()
    assert 'value="± (0.05 % of reading + 0.01 m)"' in edit


def test_a_card_kept_as_it_is_shown_stays_as_it_was(as_office, meter):
    shown = as_office.get(reverse("instrument-edit", args=[meter.pk])).context["form"]
    again = {name: shown[name].value() or "" for name in shown.fields}
    assert as_office.post(reverse("instrument-edit", args=[meter.pk]), again).status_code == 302
    meter.refresh_from_db()
    assert {name: getattr(meter, name) for name in CARD} == CARD
