"""Drift: what both days share cancels, what belongs to the day counts."""

import math
from typing import Any

import pytest

from sizing.checks.case import Expected, Term
from sizing.cross.measured import Other
from sizing.drift import Between, Comparable, Pair, drift
from sizing.judgement import Finding
from sizing.quantities import Quantity
from sizing.verdict import Verdict


def finding(value: float | None, nominal: float | None, *terms: Term, bound: str = "") -> Finding:
    expected = Expected(Quantity.FLOW, nominal) if nominal is not None else None
    spread = 2 * math.sqrt(sum(t.u**2 for t in terms))
    fields: dict[str, Any] = {"label": "Flow", "repeat": "", "steps": (), "reason": "", "missing": ()}
    return Finding(
        "flow", quantity=Quantity.FLOW, value=value, bound=bound, spread=spread, expected=expected, terms=terms,
        verdict=Verdict.WITHIN, **fields,
    )  # fmt: skip


def test_a_weaker_sun_is_no_drift() -> None:
    # Half the sun, half the flow expected, half the flow found: the ratio stands still.
    found = drift(finding(30.0, 31.0), finding(15.0, 15.5))
    assert found.change == pytest.approx(0)
    assert not found.has_moved


def test_a_loss_under_the_same_conditions_is_the_drift() -> None:
    # By hand: (24/30) / (30/30) − 1 = −0.2; U of each ratio 2·0.3/30 = 0.02;
    # spread = 0.8·√(0.02² + (0.02/0.8)²) = 0.025612; En = 0.2/√(0.02² + 0.02²) = 7.07 (ISO 13528:2022, 9.7).
    found = drift(finding(30.0, 30.0, Term("meter", 0.3)), finding(24.0, 30.0, Term("meter", 0.3)))
    assert found.change == pytest.approx(-0.2)
    assert found.spread == pytest.approx(0.025612, rel=1e-4)
    assert found.normalised == pytest.approx(7.0711, rel=1e-4)
    assert found.has_moved
    assert found.comparable is Comparable.YES


def test_terms_shared_by_both_days_cancel() -> None:
    plate = Term("nameplate", 3.0, shared=True)
    with_plate = drift(finding(30.0, 30.0, Term("meter", 0.3), plate), finding(24.0, 30.0, Term("meter", 0.3), plate))
    without = drift(finding(30.0, 30.0, Term("meter", 0.3)), finding(24.0, 30.0, Term("meter", 0.3)))
    assert with_plate == without


def test_a_change_smaller_than_both_days_can_tell_is_none() -> None:
    found = drift(finding(30.0, 30.0, Term("meter", 1.0)), finding(29.0, 30.0, Term("meter", 1.0)))
    assert found.change == pytest.approx(-1 / 30)
    assert not found.has_moved


@pytest.mark.parametrize(
    ("then", "now", "why"),
    [
        (finding(None, 30.0), finding(29.0, 30.0), "the baseline has no value"),
        (finding(30.0, 30.0), finding(999.0, 30.0, bound=">"), "today is a bound"),
        (finding(30.0, None), finding(29.0, 30.0), "on one of the two days only"),
        (finding(0.0, 30.0), finding(29.0, 30.0), "the baseline is zero"),
    ],
)
def test_what_cannot_be_compared_says_why(then: Finding, now: Finding, why: str) -> None:
    found = drift(then, now)
    assert found.comparable is Comparable.NO
    assert why in found.why
    assert found.change is None


def test_conditions_very_unlike_ask_for_care() -> None:
    found = drift(finding(30.0, 30.0), finding(9.0, 9.0))
    assert found.comparable is Comparable.WITH_CARE
    assert "0.3 times" in found.why


def test_without_an_expected_value_the_difference_itself_is_shown_with_care() -> None:
    found = drift(finding(18.0, None, Term("tape", 0.01)), finding(19.5, None, Term("tape", 0.01)))
    assert found.change == pytest.approx(1.5)
    assert not found.is_relative
    assert found.comparable is Comparable.WITH_CARE
    assert found.has_moved


def test_normalised_error_of_a_worked_comparison() -> None:
    # ISO 13528:2015, 9.7 (formula; from memory), by hand: x 10.03 and 10.00, U 0.02 and 0.03:
    # En = 0.03 / √(0.02² + 0.03²) = 0.03 / 0.036056 = 0.832; no change is shown. At 10.04 En = 1.109: one is.
    first = finding(10.00, None, Term("meter", 0.015))
    small = drift(first, finding(10.03, None, Term("meter", 0.01)))
    great = drift(first, finding(10.04, None, Term("meter", 0.01)))
    assert (small.normalised, small.has_moved) == (pytest.approx(0.8321, abs=1e-4), False)
    assert (great.normalised, great.has_moved) == (pytest.approx(1.1094, abs=1e-4), True)


def test_an_exact_value_of_today_is_held_against_the_spread_of_the_first() -> None:
    # By hand: |12 − 10| / √(2² + 0²) = 1.
    assert drift(finding(10.0, None, Term("meter", 1.0)), finding(12.0, None)).normalised == pytest.approx(1.0)


def test_what_was_replaced_since_is_not_compared() -> None:
    found = drift(finding(30.0, 30.0), finding(24.0, 30.0), Between(changed="PU1 was replaced"))
    assert (found.comparable, found.why, found.change) == (Comparable.NO, "PU1 was replaced", None)


def test_another_instrument_asks_for_care() -> None:
    then, now = finding(30.0, 30.0, Term("meter", 0.3)), finding(29.0, 30.0, Term("meter", 0.3))
    other = drift(then, now, Between(then_taken="flow meter", now_taken="bucket and watch"))
    same = drift(then, now, Between(then_taken="flow meter", now_taken="flow meter"))
    assert other.comparable is Comparable.WITH_CARE
    assert "flow meter then, bucket and watch today" in other.why
    assert same.comparable is Comparable.YES


@pytest.mark.parametrize(("sun", "cares"), [(900.0, False), (450.0, False), (440.0, True)])
def test_a_condition_that_differs_by_more_than_two_asks_for_care(sun: float, cares: bool) -> None:
    between = Between(conditions=(Pair(words="irradiance", then=900.0, now=sun),))
    found = drift(finding(30.0, 30.0), finding(29.0, 30.0), between)
    assert ("irradiance" in found.why) is cares


# One US gallon is 3.785412 L (NIST SP 811:2008, B.8): read in gallons, typed as litres.
GALLON = Between(unit="L/min", others=(Other("gal/min", 3.785412), Other("L/s", 60.0)))


@pytest.mark.parametrize(
    ("now", "words"),
    [
        (30 / 3.785412, "read in gal/min and typed as L/min"),
        (3.0, "the point misplaced"),
        (24.0, ""),
        (12.0, ""),
    ],
)
def test_a_change_as_great_as_a_slip_says_so(now: float, words: str) -> None:
    found = drift(finding(30.0, 30.0, Term("meter", 0.3)), finding(now, 30.0, Term("meter", 0.1)), GALLON)
    assert words in found.why
    assert (found.comparable is Comparable.WITH_CARE) is bool(words)
