"""A service visit beside its baseline: each day over what it should have been, what moved first."""

import json
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissioning import evidence
from commissioning.asbuilt import services as asbuilt
from commissioning.baseline import baseline_of
from commissioning.models import Measurement, Site, Visit
from commissioning.models.event import Origin
from commissioning.service.comparison import comparisons
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
FIRST = datetime.fromisoformat("2027-04-14T12:00:00-06:00")
LATER = FIRST + timedelta(days=730)
HAND_PUMP = "volume_per_stroke"


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


@pytest.fixture
def first(site: Site, technician: Any) -> Visit:
    visit = visit_on(site, technician, at=FIRST)
    measure(visit, "static_level", "W1", *level("24.10"), actor=technician, at=FIRST)
    strokes(visit, technician, "15.0", FIRST)
    return visit


@pytest.fixture
def later(site: Site, first: Visit, technician: Any) -> Visit:
    return visit_on(site, technician, "service", at=LATER)


def level(typed: str) -> list[tuple[str, ...]]:
    return [("level", typed, "m", repeat) for repeat in ("1", "2")]


def strokes(visit: Visit, actor: Any, litres: str, at: datetime) -> Measurement:
    readings = [r for n in "123" for r in (("volume", litres, "L", n), ("strokes", "40", "1", n))]
    return measure(visit, HAND_PUMP, "HP1", *readings, actor=actor, at=at)


def list_url(visit: Visit) -> str:
    return reverse("comparison-list", args=[visit.pk])


def page_url(visit: Visit, check: str, subject: str) -> str:
    return reverse("comparison", args=[visit.pk, check, subject])


def only(visit: Visit, check: str) -> Any:
    return next(one for one in comparisons(visit) if one.check.key == check)


def test_what_moved_stands_first_and_the_rest_below(as_technician: Client, later: Visit, technician: Any) -> None:
    measure(later, "static_level", "W1", *level("24.11"), actor=technician, at=LATER)
    strokes(later, technician, "12.9", LATER)
    page = as_technician.get(list_url(later))
    assert [one.check.key for one in page.context["moved"]] == [HAND_PUMP]
    assert [one.check.key for one in page.context["still"]] == ["static_level"]
    text = page.content.decode()
    assert text.index("Has moved") < text.index("Water per stroke") < text.index("No change shown")
    assert page_url(later, HAND_PUMP, "HP1") in text


def test_change_is_measured_over_expected_on_both_days(later: Visit, technician: Any) -> None:
    strokes(later, technician, "12.9", LATER)
    (pair,) = only(later, HAND_PUMP).compared
    # The same pump on both days, so the same expected volume: 12.9 / 15.0 − 1 = −14.0 %.
    assert pair.change == "−14.0\u00a0%"
    assert pair.words == "has moved"
    assert (pair.then, pair.now, pair.unit) == ("0.3750", "0.3225", "L")
    assert pair.expected_then == pair.expected_now


def test_small_change_is_no_change_shown(later: Visit, technician: Any) -> None:
    strokes(later, technician, "14.9", LATER)
    (pair,) = only(later, HAND_PUMP).compared
    assert (pair.words, pair.has_moved) == ("no change shown", False)


def test_weather_of_both_days_stands_beside_the_values(as_technician: Client, site: Site, technician: Any) -> None:
    for kind, at, sun in (("start_up", FIRST, "905"), ("service", LATER, "612")):
        visit = visit_on(site, technician, kind, at=at)
        measure(visit, "irradiance", "A1", ("irradiance", sun, "W/m2"), actor=technician, at=at, way="meter")
        heat = ("back_temperature", "44", "degC")
        measure(visit, "module_temperature", "A1", heat, actor=technician, at=at, way="contact")
        currents = [("current", f"{float(sun) * 5.85 / 1000:.2f}", "A", f"string {n}") for n in (1, 2)]
        measure(visit, "short_circuit_current", "A1", *currents, actor=technician, at=at)
    text = as_technician.get(page_url(visit, "short_circuit_current", "A1")).content.decode()
    assert "905" in text
    assert "612" in text
    assert all(pair.words == "no change shown" for pair in only(visit, "short_circuit_current").compared)


def test_page_of_one_check_says_what_it_was_and_should_have_been(
    as_technician: Client, later: Visit, technician: Any
) -> None:
    strokes(later, technician, "12.9", LATER)
    text = as_technician.get(page_url(later, HAND_PUMP, "HP1")).content.decode()
    for words in ("−14.0\u00a0%", "has moved", "14 Apr 2027", "13 Apr 2029", "Should have been", "comparable"):
        assert words.lower() in text.lower(), words


def test_what_was_never_measured_before_says_so(as_technician: Client, later: Visit, technician: Any) -> None:
    measure(later, "turbidity", "W1", ("turbidity", "0.8", "NTU"), actor=technician, at=LATER)
    assert "Measured for the first time" in as_technician.get(list_url(later)).content.decode()
    text = as_technician.get(page_url(later, "turbidity", "W1")).content.decode()
    assert "nothing to compare with" in text


def test_bound_is_not_compared(later: Visit, first: Visit, technician: Any) -> None:
    readings = (("insulation", "> 999", "Mohm"), ("test_voltage", "500", ""))
    for visit, at in ((first, FIRST), (later, LATER)):
        measure(visit, "pump_cable_insulation", "PU1", *readings, actor=technician, at=at)
    (pair,) = only(later, "pump_cable_insulation").compared
    assert pair.words == "cannot be compared"
    assert "bound" in pair.why


def test_without_an_earlier_visit_it_says_that_this_is_the_first(as_technician: Client, first: Visit) -> None:
    assert baseline_of(first) is None
    page = as_technician.get(list_url(first)).content.decode()
    assert "no earlier visit" in page
    assert list_url(first) not in as_technician.get(reverse("visit-detail", args=[first.pk])).content.decode()


def test_visit_and_result_lead_to_the_comparison(as_technician: Client, later: Visit, technician: Any) -> None:
    strokes(later, technician, "12.9", LATER)
    measure(later, "turbidity", "W1", ("turbidity", "0.8", "NTU"), actor=technician, at=LATER)
    visit = as_technician.get(reverse("visit-detail", args=[later.pk])).content.decode()
    result = as_technician.get(reverse("measurement", args=[later.pk, f"{HAND_PUMP}:HP1"])).content.decode()
    first_of_its_kind = as_technician.get(reverse("measurement", args=[later.pk, "turbidity:W1"])).content.decode()
    assert list_url(later) in visit
    assert page_url(later, HAND_PUMP, "HP1") in result
    assert "Beside the baseline" not in first_of_its_kind


def test_what_was_said_on_the_day_stands_beside_what_is_reckoned_today(
    later: Visit, first: Visit, technician: Any
) -> None:
    then = first.measurements.get(check_key=HAND_PUMP)
    said = then.judgement()
    assert said is not None
    findings = json.loads(json.dumps(said.findings))
    findings[0]["expected"]["nominal"] *= 0.9  # as an earlier core might have reckoned
    body = {
        "id": str(uuid4()), "measurement": str(then.pk), "snapshot": said.snapshot_id,
        "check_revision": said.check_revision, "core_version": "an earlier one", "verdict": said.verdict,
        "findings": json.dumps(findings), "conditions": json.dumps(said.conditions), "because": "",
    }  # fmt: skip
    evidence.append(site=first.site, kind="judgement.made", body=body, actor=technician, origin=Origin.SYSTEM)
    strokes(later, technician, "12.9", LATER)
    (pair,) = only(later, HAND_PUMP).compared
    assert pair.originally
    assert pair.originally != pair.expected_then
    assert pair.change == "−14.0\u00a0%"


def test_unknown_visit_and_unknown_check_are_not_found(as_technician: Client, later: Visit) -> None:
    assert as_technician.get(reverse("comparison-list", args=[uuid4()])).status_code == 404
    assert as_technician.get(page_url(later, HAND_PUMP, "HP1")).status_code == 404
    assert as_technician.get(page_url(later, "nonsense", "HP1")).status_code == 404


def test_stranger_is_sent_to_sign_in(client: Client, later: Visit) -> None:
    for url in (list_url(later), page_url(later, HAND_PUMP, "HP1")):
        assert client.get(url).headers["Location"].startswith("/account/sign-in")


def test_number_of_queries_does_not_grow_with_what_is_compared(
    as_technician: Client, later: Visit, first: Visit, technician: Any
) -> None:
    strokes(later, technician, "12.9", LATER)
    as_technician.get(list_url(later))
    few = counted(as_technician, list_url(later))
    for visit, at in ((first, FIRST), (later, LATER)):
        measure(visit, "turbidity", "W1", ("turbidity", "0.8", "NTU"), actor=technician, at=at)
        measure(visit, "sand", "W1", ("sand", "0.0", "mL/L"), actor=technician, at=at)
        measure(visit, "strokes_to_water", "HP1", ("strokes", "3", "1"), actor=technician, at=at)
    measure(later, "static_level", "W1", *level("24.11"), actor=technician, at=LATER)
    assert counted(as_technician, list_url(later)) == few


def counted(client: Client, url: str) -> int:
    with CaptureQueriesContext(connection) as seen:
        client.get(url)
    return len(seen)


def replace(site: Site, tag: str, actor: Any) -> None:
    entry = {"is_same": True, "maker": "", "model": "", "serial": "2", "reason": "worn"}
    asbuilt.replace(component=site.components.standing().get(tag=tag), entry=entry, actor=actor)


def test_a_part_replaced_begins_a_new_baseline(
    as_technician: Client, site: Site, later: Visit, technician: Any
) -> None:
    replace(site, "HP1", technician)
    strokes(later, technician, "12.9", LATER)
    (pair,) = only(later, HAND_PUMP).compared
    assert (pair.words, pair.comparable, pair.change) == ("cannot be compared", "not comparable", "")
    assert "HP1 was replaced" in pair.why
    third_day = LATER + timedelta(days=365)
    third = visit_on(site, technician, "service", at=third_day)
    strokes(third, technician, "12.0", third_day)
    found = only(third, HAND_PUMP)
    # 12.0 / 12.9 − 1 = −7.0 %: against the first measurement of the new pump.
    assert (found.then.visit.started_at, found.compared[0].change) == (LATER, "−7.0\u00a0%")
    text = as_technician.get(page_url(third, HAND_PUMP, "HP1")).content.decode()
    assert "since 13 April 2029" in " ".join(text.split())


def test_what_was_first_measured_on_a_service_visit_is_compared_later(
    as_technician: Client, site: Site, later: Visit, technician: Any
) -> None:
    measure(later, "turbidity", "W1", ("turbidity", "0.8", "NTU"), actor=technician, at=LATER)
    third_day = LATER + timedelta(days=365)
    third = visit_on(site, technician, "service", at=third_day)
    measure(third, "turbidity", "W1", ("turbidity", "0.9", "NTU"), actor=technician, at=third_day)
    assert only(third, "turbidity").then.visit.started_at == LATER
    result = as_technician.get(reverse("measurement", args=[third.pk, "turbidity:W1"])).content.decode()
    assert page_url(third, "turbidity", "W1") in result


def test_a_misplaced_point_looks_like_a_slip(later: Visit, technician: Any) -> None:
    # 15.0 L typed as 1.50 L: a tenth.
    strokes(later, technician, "1.50", LATER)
    (pair,) = only(later, HAND_PUMP).compared
    assert pair.comparable == "comparable with care"
    assert "the point misplaced" in pair.why


def test_page_prints_the_normalised_error(as_technician: Client, later: Visit, technician: Any) -> None:
    strokes(later, technician, "12.9", LATER)
    (pair,) = only(later, HAND_PUMP).compared
    assert float(pair.normalised) > 1
    text = as_technician.get(page_url(later, HAND_PUMP, "HP1")).content.decode()
    assert "normalised error" in text
    assert f">{pair.normalised}</td>" in text


def test_what_moved_has_likely_causes_with_the_test_that_parts_them(
    as_technician: Client, later: Visit, technician: Any
) -> None:
    strokes(later, technician, "12.9", LATER)
    page = as_technician.get(list_url(later))
    found = page.context["causes"]
    # Less water in a stroke: worn seals before all else (WHO/IRC 2003, 4.8; the row's own source).
    assert found[0].words.startswith("Leathers or piston seals worn")
    assert "water per stroke down" in found[0].speaks_for
    text = page.content.decode()
    assert "Likely causes, and the test that parts them" in text
    assert "40 full strokes into a marked bucket" in text


def test_nothing_moved_has_no_causes(as_technician: Client, later: Visit, technician: Any) -> None:
    strokes(later, technician, "15.0", LATER)
    assert as_technician.get(list_url(later)).context["causes"] == []
