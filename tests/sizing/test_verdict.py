"""The decision rule against published risks, with SciPy's normal distribution as the second opinion."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from sizing.formulas.uncertainty import conformance_probability, consumer_risk_at_guard_band
from sizing.verdict import COVERAGE, GRAVITY, NEGLIGIBLE, Verdict, decide, gravest

LEAST_RISK = 0.02275  # 1 − Φ(2), standard normal table
GRID = [i / 200 for i in range(-600, 1001)]


def verdict(value, spread, lower=None, upper=None, **more):
    return decide(value, spread, lower=lower, upper=upper, **more).verdict


def risk_of(value, spread, lower=None, upper=None):
    """Return the chance that the true value lies beyond a limit, by SciPy."""
    u = spread / COVERAGE
    below = norm.cdf(lower, value, u) if lower is not None else 0.0
    above = norm.sf(upper, value, u) if upper is not None else 0.0
    return float(below + above)


def edge(of, spread, lower, upper, inside, outside):
    """Return by bisection the value farthest from `inside`, towards `outside`, that still gets the verdict."""
    for _ in range(200):
        middle = (inside + outside) / 2
        inside, outside = (middle, outside) if verdict(middle, spread, lower, upper) is of else (inside, middle)
    return inside


# ILAC-G8:09/2019, Table 1 (from memory): guard band over U → specific risk of false acceptance.
ILAC_G8 = [(0.0, 0.50), (1.0, 0.025)]


@pytest.mark.parametrize(("guard", "risk"), ILAC_G8)
def test_published_risks_of_guard_bands(guard, risk):
    assert norm.sf(guard * COVERAGE) <= risk
    assert consumer_risk_at_guard_band(guard, COVERAGE) == pytest.approx(norm.sf(guard * COVERAGE))


@pytest.mark.parametrize("spread", [0.1, 0.3, 1.0])
def test_guard_band_of_the_rule_is_the_expanded_uncertainty(spread):
    """So the risk at the edge of `within` is the 2.3 % behind the table's "< 2.5 %"."""
    lowest = edge(Verdict.WITHIN, spread, 0.0, 10.0, 5.0, -5.0)
    assert lowest == pytest.approx(spread) or spread <= NEGLIGIBLE * 5
    if spread > NEGLIGIBLE * 5:
        assert risk_of(lowest, spread, 0.0, 10.0) == pytest.approx(LEAST_RISK, abs=1e-4)


@pytest.mark.parametrize("spread", [0.3, 1.0, 3.0])
def test_guarded_rejection_is_as_sure_as_guarded_acceptance(spread):
    nearest = edge(Verdict.OUTSIDE, spread, 0.0, 10.0, -20.0, 5.0)
    assert nearest == pytest.approx(-spread)
    assert 1 - risk_of(nearest, spread, 0.0, 10.0) == pytest.approx(LEAST_RISK, abs=1e-4)


@pytest.mark.parametrize("spread", [0.06, 0.2, 0.5, 0.9, 1.0])
def test_whatever_is_called_within_or_outside_is_so_at_97_per_cent_for_each_limit(spread):
    for value in GRID:
        given_verdict = verdict(value, spread, 0.0, 2.0)
        if given_verdict is Verdict.WITHIN:
            assert risk_of(value, spread, 0.0) <= LEAST_RISK + 1e-6
            assert risk_of(value, spread, None, 2.0) <= LEAST_RISK + 1e-6
        if given_verdict is Verdict.OUTSIDE:
            assert risk_of(value, spread, 0.0, 2.0) >= 1 - LEAST_RISK - 1e-6


def test_the_greatest_risk_between_two_limits_is_both_tails():
    """U as wide as half the width, value in the middle: 2 · 2.275 % (exact, by the normal distribution)."""
    assert verdict(1.0, 1.0, 0.0, 2.0) is Verdict.WITHIN
    assert risk_of(1.0, 1.0, 0.0, 2.0) == pytest.approx(2 * norm.sf(2))
    assert conformance_probability(1.0, 0.5, 0.0, 2.0) == pytest.approx(1 - 2 * norm.sf(2))


def test_bottle_of_the_guide_to_conformity():
    """JCGM 106:2012, clause 7: burst at 509.7 kPa, u 8.6 kPa, at least 490 kPa asked: 99 % (from memory)."""
    assert conformance_probability(509.7, 8.6, 490.0, None) == pytest.approx(0.99, abs=0.005)
    assert verdict(509.7, 2 * 8.6, 490.0) is Verdict.WITHIN
    assert verdict(505.0, 2 * 8.6, 490.0) is Verdict.BORDERLINE


# JCGM 106:2012, Table 1 (from memory): confidence → standard uncertainties inside a limit.
@pytest.mark.parametrize(("confidence", "multiple"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33)])
def test_table_of_multiples_falls_on_the_right_side_of_the_rule(confidence, multiple):
    """The rule asks for 2 u: what the table is 95 % sure of is borderline, what it is 99 % sure of within."""
    assert norm.cdf(multiple) == pytest.approx(confidence, abs=0.003)
    expected = Verdict.WITHIN if confidence > norm.cdf(2) else Verdict.BORDERLINE
    assert verdict(10.0 + multiple, 2.0, 10.0) is expected


@pytest.mark.parametrize(
    ("value", "spread", "expected"),
    [
        (5.0, 1.0, Verdict.WITHIN),
        (1.0, 1.0, Verdict.WITHIN),  # the interval ends on the limit
        (0.5, 1.0, Verdict.BORDERLINE),
        (-0.5, 1.0, Verdict.BORDERLINE),
        (-1.5, 1.0, Verdict.OUTSIDE),
        (11.5, 1.0, Verdict.OUTSIDE),
        (5.0, 5.1, Verdict.UNJUDGED),  # U above half the width
        (0.2, 6.0, Verdict.UNJUDGED),
        (-0.2, 6.0, Verdict.BORDERLINE),  # outside, yet not surely
        (-6.2, 6.0, Verdict.OUTSIDE),
        (0.1, 0.2, Verdict.WITHIN),  # U at most a twentieth of half the width: the value decides
        (-0.1, 0.2, Verdict.BORDERLINE),  # and it only ever accepts
        (0.1, 0.3, Verdict.BORDERLINE),
    ],
)
def test_between_two_limits(value, spread, expected):
    assert verdict(value, spread, 0.0, 10.0) is expected


@pytest.mark.parametrize(
    ("value", "spread", "more", "expected"),
    [
        (12.0, 1.0, {"nominal": 14.0}, Verdict.WITHIN),
        (10.5, 1.0, {"nominal": 14.0}, Verdict.BORDERLINE),
        (8.5, 1.0, {"nominal": 14.0}, Verdict.OUTSIDE),
        (12.0, 4.5, {"nominal": 14.0}, Verdict.UNJUDGED),  # U above the distance from expected to the limit
        (12.0, 1.5, {"bearable": 1.0}, Verdict.UNJUDGED),
        (12.0, 1.5, {"bearable": 2.0}, Verdict.WITHIN),
        (200.0, 30.0, {}, Verdict.WITHIN),  # no expected value, nothing declared: the interval decides
        (12.0, 30.0, {}, Verdict.BORDERLINE),
    ],
)
def test_with_one_limit(value, spread, more, expected):
    assert verdict(value, spread, 10.0, **more) is expected
    assert verdict(-value, spread, None, -10.0, **{k: -v if k == "nominal" else v for k, v in more.items()}) is expected


@pytest.mark.parametrize(
    ("bound", "value", "lower", "upper", "expected"),
    [
        (">", 999.0, 2.0, None, Verdict.WITHIN),
        (">", 1.0, 2.0, None, Verdict.UNJUDGED),
        (">", 10.0, None, 1.0, Verdict.OUTSIDE),
        (">", 0.5, None, 1.0, Verdict.UNJUDGED),
        (">", 5.0, 2.0, 10.0, Verdict.UNJUDGED),
        ("<", 0.1, None, 1.0, Verdict.WITHIN),
        ("<", 2.0, None, 1.0, Verdict.UNJUDGED),
        ("<", 0.1, 2.0, None, Verdict.OUTSIDE),
        ("<", 0.1, 2.0, 10.0, Verdict.OUTSIDE),
    ],
)
def test_a_bound_says_only_what_holds_for_all_beyond_it(bound, value, lower, upper, expected):
    assert verdict(value, 0.0, lower, upper, bound=bound) is expected


def test_without_a_limit_nothing_is_judged():
    decision = decide(5.0, 1.0, lower=None, upper=None)
    assert (decision.verdict, decision.reason) == (Verdict.UNJUDGED, "no limit can be computed")


def test_what_is_not_within_has_a_reason():
    for value in GRID:
        decision = decide(value, 0.4, lower=0.0, upper=2.0)
        assert bool(decision.reason) == (decision.verdict is not Verdict.WITHIN)


@given(
    value=st.floats(-50, 50),
    step=st.floats(0, 50),
    spread=st.floats(0.001, 30),
    half_width=st.floats(0.1, 20),
)
def test_moving_towards_the_middle_never_makes_it_graver(value, step, spread, half_width):
    nearer = math.copysign(max(abs(value) - step, 0.0), value)
    there = verdict(value, spread, -half_width, half_width)
    assert GRAVITY[verdict(nearer, spread, -half_width, half_width)] <= GRAVITY[there]


@given(value=st.floats(-50, 50), spread=st.floats(0.001, 30), half_width=st.floats(0.1, 20), scale=st.floats(0.5, 4))
def test_the_unit_does_not_matter(value, spread, half_width, scale):
    """Scaled by a power of two, so that nothing is rounded."""
    k = 2.0 ** round(scale)
    assert verdict(value, spread, -half_width, half_width) is verdict(
        k * value, k * spread, -k * half_width, k * half_width
    )


def test_the_gravest_counts():
    assert gravest([Verdict.WITHIN, Verdict.OUTSIDE, Verdict.BORDERLINE]) is Verdict.OUTSIDE
    assert gravest([Verdict.WITHIN, Verdict.UNJUDGED]) is Verdict.UNJUDGED
    assert gravest([]) is Verdict.UNJUDGED
