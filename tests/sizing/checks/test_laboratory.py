"""Contact and what is left of it; the laboratory's panel, by code family and by where the water comes from."""

import pytest

from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.laboratory import is_of_health
from sizing.order import order_of_checks
from sizing.system import System, build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, expected, finding, good, judged
from tests.sizing.systems import component, quince_ridge, run

# Limits as published, from memory: US EPA 40 CFR 141.62, 141.80, 143.3; WHO Guidelines, fourth edition [mg/L]
PUBLISHED = [
    ("nitrate", "US", 10 * 62.004 / 14.007), ("nitrate", "IEC", 50.0),
    ("arsenic", "US", 0.010), ("arsenic", "IEC", 0.010),
    ("fluoride", "US", 4.0), ("fluoride", "IEC", 1.5),
    ("iron", "US", 0.3), ("iron", "IEC", 0.3),
    ("manganese", "US", 0.05), ("manganese", "IEC", 0.08),
    ("lead", "US", 0.015), ("lead", "IEC", 0.010),
    ("ph", "US", 8.5), ("ph", "IEC", 8.5),
]  # fmt: skip


def family(code: str | None) -> System:
    document = quince_ridge()
    document["site"]["code_family"] = code
    return build(document)


@pytest.mark.parametrize(("key", "code", "upper"), PUBLISHED)
def test_limits_follow_the_code_family(key: str, code: str, upper: float) -> None:
    assert expected(good(key), system=family(code)).upper == pytest.approx(upper, rel=1e-5)


def test_without_a_code_family_nothing_is_guessed() -> None:
    found = finding(good("arsenic"), system=family(None))
    assert found.verdict is Verdict.UNJUDGED
    assert found.missing[0].field == "code_family"


def test_nitrate_printed_as_nitrogen_is_no_fifth_of_it() -> None:
    # 12 mg/L of nitrogen are 53 mg/L of nitrate: beyond either family's limit, though 12 as nitrate is within
    as_nitrogen = Taken("nitrate", "site", {"nitrogen": (12.0, 0.2)}, {}, "nitrogen")
    assert finding(as_nitrogen).value == pytest.approx(53.1, abs=0.05)
    assert judged(as_nitrogen).verdict is Verdict.OUTSIDE
    assert judged(changed(good("nitrate", "nitrate"), nitrate=(12.0, 0.2))).verdict is Verdict.WITHIN


def test_below_detection_is_a_bound_and_is_judged() -> None:
    low = Taken("arsenic", "site", {"arsenic": (0.001, 0.0, "<")})
    assert judged(low).verdict is Verdict.WITHIN
    coarse = Taken("arsenic", "site", {"arsenic": (0.05, 0.0, "<")})
    assert judged(coarse).verdict is Verdict.UNJUDGED, "a detection limit above the limit says nothing"


def test_water_off_a_roof_is_not_asked_for_what_rock_gives() -> None:
    roof = {
        "site": {},
        "components": [component("SR1", "spring_or_roof", source="roof"), component("T1", "storage_tank"),
                       component("O1", "outlet")],
        "runs": [run("P1", "pipe", "SR1.outlet", "T1.inlet"), run("P2", "pipe", "T1.outlet", "O1.inlet")],
    }  # fmt: skip
    asked = {key for key in ("nitrate", "arsenic", "fluoride", "lead", "ph") if CHECKS[key].subjects(build(roof))}
    assert asked == {"lead", "ph"}


def test_the_panel_is_offered_and_keeps_nobody_waiting() -> None:
    order = {one.check: one for one in order_of_checks(build(quince_ridge()))}
    assert all(order[key].optional for key in ("nitrate", "arsenic", "ph"))
    assert not order["coliform"].optional


@pytest.mark.parametrize(
    ("celsius", "hours", "verdict"),
    [(13.0, 25, Verdict.WITHIN), (13.0, 20, Verdict.OUTSIDE), (4.0, 25, Verdict.OUTSIDE), (4.0, 49, Verdict.WITHIN)],
)
def test_a_day_of_contact_and_two_in_the_cold(celsius: float, hours: float, verdict: Verdict) -> None:
    # 50 mg/L for 24 hours (Loudoun County 1040.16); 48 hours below 5 °C (AWWA C651)
    taken = Taken("contact_time", "W1", {"time": (hours * 3600, 170.0)})
    assert finding(taken, water_temperature=Value(celsius, 0.3)).verdict is verdict


def test_some_chlorine_is_left_and_not_more_than_was_poured() -> None:
    left = good("residual_after_contact")
    assert finding(changed(left, residual=(3.0, 0.4))).verdict is Verdict.OUTSIDE  # all used up
    assert finding(changed(left, residual=(160.0, 12.0))).verdict is Verdict.OUTSIDE  # 100 mg/L went in
    assert finding(left, chlorine_dose=None).expected.upper is None  # type: ignore[union-attr]


def test_late_yield_is_held_against_the_fresh_pump() -> None:
    # 120 strokes of 0.3725 L in three minutes are 14.9 L/min; 32 L caught are 10.7, 28 % less
    late = good("hand_pump_late_yield")
    assert expected(late).nominal == pytest.approx(14.9e-3 / 60, rel=1e-6)
    assert finding(changed(late, volume=(0.032, 3e-4))).verdict is Verdict.OUTSIDE


# What each limit is for: US EPA 40 CFR 143.3 holds the secondary levels for taste and looks, 141.62 and 141.80 the
# primary ones; WHO Guidelines, fourth edition, give no value of health for iron and pH (from memory).
FOR_TASTE = {("iron", "US"), ("manganese", "US"), ("ph", "US"), ("iron", "IEC"), ("ph", "IEC")}


@pytest.mark.parametrize(("key", "code"), [(key, code) for key, code, _ in PUBLISHED])
def test_limits_of_health_are_told_from_those_of_taste(key: str, code: str) -> None:
    assert is_of_health(expected(good(key), system=family(code)).basis) is ((key, code) not in FOR_TASTE)


def test_limit_whose_origin_nobody_knows_is_one_of_health() -> None:
    assert is_of_health("")
    assert is_of_health("set for this site by the office")
