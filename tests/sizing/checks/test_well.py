"""The well: levels, drawdown and specific capacity by hand, and the first water."""

import pytest

from sizing.checks.case import Value
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Q27, changed, expected, finding, good, in_advance, judged
from tests.sizing.systems import L_PER_MIN, plate, quince_ridge


def test_static_level_is_the_mean_of_a_pair_that_agrees() -> None:
    assert finding(good("static_level")).value == pytest.approx(24.305)
    apart = judged(changed(good("static_level"), level__2=(24.36, 0.01)))
    assert apart.verdict is Verdict.UNJUDGED
    assert "do not agree" in apart.findings[0].reason


def test_static_level_far_off_the_log_is_outside() -> None:
    off = changed(good("static_level"), level__1=(27.4, 0.01), level__2=(27.41, 0.01))
    assert judged(off).verdict is Verdict.OUTSIDE
    assert (expected(off).lower, expected(off).upper) == (21.0, 27.0)


def test_a_silted_well_is_outside() -> None:
    assert judged(changed(good("well_depth_measured"), depth=(57.6, 0.05))).verdict is Verdict.OUTSIDE


@pytest.mark.parametrize(
    ("key", "name", "reading", "verdict"),
    [
        ("turbidity", "turbidity", (5.0, 0.0, "<"), Verdict.WITHIN),
        ("turbidity", "turbidity", (12.0, 1.0), Verdict.OUTSIDE),
        ("turbidity", "turbidity", (4.9, 0.4), Verdict.BORDERLINE),
        ("turbidity", "turbidity", (10.0, 0.0, "<"), Verdict.UNJUDGED),
        ("turbidity", "turbidity", (50.0, 0.0, ">"), Verdict.OUTSIDE),
        ("sand", "sand", (0.3, 0.03), Verdict.OUTSIDE),
    ],
)
def test_first_water(key: str, name: str, reading: tuple, verdict: Verdict) -> None:
    assert judged(changed(good(key), **{name: reading})).verdict is verdict


def test_pumping_level_by_hand() -> None:
    # well test 45 L/min at 3 m: 15 L/min a metre. 27 L/min draw 1.8 m, so 25.8 m;
    # with a quarter of the capacity lost 11.25 L/min a metre: 2.4 m, so 26.4 m
    e = expected(good("pumping_level"))
    assert e.nominal == pytest.approx(25.8)
    assert (e.lower, e.upper) == (None, pytest.approx(26.4))


def test_a_level_higher_than_expected_is_no_fault() -> None:
    assert finding(changed(good("pumping_level"), level=(24.6, 0.01))).verdict is Verdict.WITHIN


def test_a_well_that_has_lost_its_yield_is_outside() -> None:
    assert finding(changed(good("pumping_level"), level=(27.2, 0.01))).verdict is Verdict.OUTSIDE


def test_the_intake_must_stay_under_water() -> None:
    # intake at 45 m: 19.2 m of water over it, 0.4 m when the level is at 44.6
    assert finding(good("pumping_level"), "submergence").value == pytest.approx(19.2)
    dry = finding(changed(good("pumping_level"), level=(44.6, 0.01)), "submergence")
    assert dry.verdict is Verdict.OUTSIDE


def test_more_than_the_tested_yield_is_outside() -> None:
    much = changed(good("pumping_level"), flow=(50 * L_PER_MIN, 0.5 * L_PER_MIN))
    assert finding(much, "flow").verdict is Verdict.OUTSIDE


def test_drawdown_is_the_difference_and_at_most_that_of_the_test() -> None:
    one = finding(good("well_drawdown"))
    assert one.value == pytest.approx(1.8)
    assert one.expected is not None
    assert one.expected.upper == 3.0
    assert judged(good("well_drawdown"), pumping_level=Value(27.5, 0.01)).verdict is Verdict.OUTSIDE


def test_a_pumping_level_above_the_static_one_is_a_slip_and_said_so() -> None:
    slip = finding(good("well_drawdown"), pumping_level=Value(23.0, 0.01))
    assert slip.verdict is Verdict.UNJUDGED
    assert "static level" in slip.reason


def test_specific_capacity_by_hand() -> None:
    # 27 L/min over 1.8 m are 15 L/min a metre, and the limit is 11.25
    one = finding(good("specific_capacity"))
    assert one.value is not None
    assert one.value / L_PER_MIN == pytest.approx(15)
    assert one.expected is not None
    assert one.expected.lower is not None
    assert one.expected.lower / L_PER_MIN == pytest.approx(11.25)
    assert judged(good("specific_capacity"), well_drawdown=Value(2.7, 0.02)).verdict is Verdict.OUTSIDE
    assert judged(good("specific_capacity"), well_drawdown=Value(1.2, 0.02)).verdict is Verdict.WITHIN


def test_the_uncertainty_of_a_capacity_is_that_of_a_quotient() -> None:
    # 1 % of flow and 0.02 of 1.8 m: u/C = √(0.01² + 0.0111²) = 1.495 %, U = 2.99 %
    one = finding(good("specific_capacity"))
    assert one.spread is not None
    assert one.value is not None
    assert one.spread / one.value == pytest.approx(0.0299, abs=2e-4)


def test_limits_follow_the_record() -> None:
    document = quince_ridge()
    plate(document, "W1")["drawdown_at_yield"] = 6.0
    assert expected(good("pumping_level"), system=build(document)).nominal == pytest.approx(
        24 + Q27 / (7.5 * L_PER_MIN)
    )


def test_expected_level_is_known_before_the_reading() -> None:
    e = in_advance(good("static_level"))
    assert e is not None
    assert e.nominal == 24.0
