"""Drift: what both days share cancels, what belongs to the day counts."""

import math
from typing import Any

import pytest

from sizing.checks.case import Expected, Term
from sizing.drift import Comparable, drift
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
