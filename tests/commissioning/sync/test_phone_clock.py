"""What a phone's clock said is kept, and what is wrong with it is said."""

import json
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from django.test import Client

from commissioning.models import Event
from commissioning.phone_said import backwards, clock_words, span_words
from tests.commissioning.sync.phones import Phone, at, clock, states

RECEIVED = at("2027-04-14T10:00:00+00:00")


def event(wall: str, ahead: int | None = 0, bound: int = 300, n: int = 1, device: str = "a") -> Any:
    said = {"wall": wall, "zone": "", "ahead_ms": None if ahead is None else str(ahead), "bound_ms": str(bound)}
    text = json.dumps(said)
    return SimpleNamespace(clock=text, received_at=RECEIVED, device=device, device_sequence=n)


HOUR = 3_600_000  # ms

CLOCKS = [
    ("2027-04-14T12:59:00+03:00", 0, []),
    ("2027-04-14T09:59:00+00:00", None, []),
    ("2027-04-14T07:59:00+00:00", 2 * HOUR, ["The phone's clock was 2 h slow."]),
    ("2027-04-14T11:59:00+00:00", -2 * HOUR, ["The phone's clock was 2 h fast."]),
    ("2027-04-14T09:54:00+00:00", 5 * 60_000, []),  # five minutes are not more than five minutes
    ("2027-04-14T11:00:00+00:00", None, ["By the phone's clock it was kept after it had arrived here."]),
    ("2027-04-10T10:00:00+00:00", 0, ["It arrived 4 days after it was kept."]),
    ("2027-04-11T10:00:01+00:00", 0, []),  # 72 hours less a second
    ("2027-04-11T09:00:00+00:00", 0, ["It arrived 3 days after it was kept."]),
    ("1970-01-01T00:00:00+00:00", None, ["It arrived 20922 days after it was kept."]),
    (
        "9999-12-31T23:00:00+00:00", 10**15,
        ["The phone's clock was 11574074 days slow.", "By the phone's clock it was kept after it had arrived here."],
    ),
]  # fmt: skip


@pytest.mark.parametrize(("wall", "ahead", "words"), CLOCKS)
def test_what_is_wrong_with_a_clock_is_said(wall: str, ahead: int | None, words: list[str]) -> None:
    assert clock_words(event(wall, ahead)) == words


def test_doubt_of_the_estimate_counts_for_the_phone() -> None:
    """Two hours ahead, give or take three, is no proof of a wrong clock."""
    assert clock_words(event("2027-04-14T09:59:00+00:00", 2 * HOUR, bound=3 * HOUR)) == []


def test_event_of_a_form_has_no_clock() -> None:
    assert clock_words(SimpleNamespace(clock="")) == []  # type: ignore[arg-type]


def test_clock_set_back_between_two_readings_is_found_by_the_phones_own_count() -> None:
    first, second, third = (event(f"2027-04-14T0{hour}:00:00+00:00", n=n) for hour, n in ((9, 1), (7, 2), (8, 3)))
    elsewhere = event("2027-04-14T06:00:00+00:00", n=9, device="b")
    assert backwards([third, second, first, elsewhere]) == [second]


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (timedelta(minutes=12), "12 min"),
        (timedelta(hours=3), "3 h"),
        (timedelta(hours=47), "47 h"),
        (timedelta(4), "4 days"),
    ],
)
def test_span_is_said_in_the_unit_that_fits(span: timedelta, words: str) -> None:
    assert span_words(span) == words


@pytest.mark.django_db
@pytest.mark.parametrize(
    "wall",
    [
        "2027-02-30T10:00:00+00:00",
        "0001-01-01T00:00:00+14:00",
        "9999-12-31T23:59:59-14:00",
        "2027-04-14T10:00:00",
        "noon",
    ],
)
def test_times_that_are_none_are_refused_at_their_place(phone: Phone, wall: str) -> None:
    for item in (phone.measured(clock={**clock(), "wall": wall}), phone.measured(body={"taken_at": wall})):
        (result,) = phone.send(item)
        assert result["state"] == "refused"
        assert any("wall" in place or "taken_at" in place for place in result["faults"]), result


@pytest.mark.django_db
def test_late_evidence_is_flagged_for_the_office_and_in_the_draft(phone: Phone, as_office: Client) -> None:
    item = phone.measured(clock=clock(late=timedelta(days=5), ahead_ms=str(2 * HOUR)))
    assert states(phone.send(item)) == ["stored"]
    assert Event.objects.get(pk=item["id"]).recorded_at.isoformat(timespec="milliseconds") == item["clock"]["wall"]
    for address in (f"/acceptance/{phone.visit.pk}/", f"/sheets/draft/{phone.visit.pk}/"):
        page = as_office.get(address)
        assert page.status_code == 200, address
        assert "clock was 2 h slow" in page.text
        assert "It arrived 4 days after it was kept" in page.text
