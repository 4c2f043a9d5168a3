"""Figures of repeated readings against numpy and scipy."""

from math import inf, nan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from sizing.formulas.statistics import (
    correlation,
    effective_degrees_of_freedom,
    mean,
    normal_cumulative,
    normal_density,
    normal_deviate,
    standard_deviation,
    standard_uncertainty_of_mean,
    trend_slope,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

# GUM (JCGM 100:2008), Table H.2: five simultaneous readings of V [V], I [mA], φ [rad]. From memory.
VOLTS = [5.007, 4.994, 5.005, 4.990, 4.999]
MILLIAMPERES = [19.663, 19.639, 19.640, 19.685, 19.678]
RADIANS = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433]

readings = st.lists(st.floats(min_value=-1e6, max_value=1e6), min_size=2, max_size=30)


def test_gum_example_h2():
    # GUM Table H.2: means 4.9990 V, 19.6610 mA, 1.04446 rad; s of the means 0.0032 V, 0.0095 mA,
    # 0.00075 rad; correlations −0.36, 0.86, −0.65.
    assert mean(VOLTS) == pytest.approx(4.9990, abs=5e-5)
    assert mean(MILLIAMPERES) == pytest.approx(19.6610, abs=5e-5)
    assert standard_uncertainty_of_mean(VOLTS) == pytest.approx(0.0032, abs=5e-5)
    assert standard_uncertainty_of_mean(MILLIAMPERES) == pytest.approx(0.0095, abs=5e-5)
    assert standard_uncertainty_of_mean(RADIANS) == pytest.approx(0.00075, abs=5e-6)
    assert correlation(VOLTS, MILLIAMPERES) == pytest.approx(-0.36, abs=0.005)
    assert correlation(VOLTS, RADIANS) == pytest.approx(0.86, abs=0.005)
    assert correlation(MILLIAMPERES, RADIANS) == pytest.approx(-0.65, abs=0.005)


@settings(deadline=None)  # a busy machine is no failure
@given(readings)
def test_mean_and_deviation_agree_with_numpy(values):
    assert mean(values) == pytest.approx(np.mean(values), rel=1e-9, abs=1e-6)
    assert standard_deviation(values) == pytest.approx(np.std(values, ddof=1), rel=1e-6, abs=1e-6)


@settings(deadline=None)
@given(st.lists(st.tuples(st.integers(-500, 500), st.integers(-500, 500)), min_size=3, max_size=20))
def test_slope_and_correlation_agree_with_scipy(pairs):
    places, values = [float(a) for a, _ in pairs], [float(b) for _, b in pairs]
    if len(set(places)) == 1 or len(set(values)) == 1:
        return
    line = stats.linregress(places, values)
    assert trend_slope(places, values) == pytest.approx(line.slope, rel=1e-9, abs=1e-9)
    assert correlation(places, values) == pytest.approx(line.rvalue, rel=1e-9, abs=1e-9)


@settings(deadline=None)
@given(st.floats(min_value=-6, max_value=6))
def test_normal_distribution_agrees_with_scipy(deviate):
    assert normal_cumulative(deviate) == pytest.approx(stats.norm.cdf(deviate), abs=1e-14)
    assert normal_density(deviate) == pytest.approx(stats.norm.pdf(deviate), rel=1e-12)


@settings(deadline=None)
@given(st.floats(min_value=1e-9, max_value=1 - 1e-9))
def test_normal_deviate_turns_the_distribution_round(probability):
    assert normal_deviate(probability) == pytest.approx(stats.norm.ppf(probability), rel=1e-9, abs=1e-12)
    assert normal_cumulative(normal_deviate(probability)) == pytest.approx(probability, rel=1e-9)


def test_welch_satterthwaite_of_ea_4_02():
    # EA-4/02 M:2022, E.3: a dominant part of uA = 3.5 of n − 1 = 4, whole u = 5.7: ν_eff = 4·(5.7/3.5)⁴ = 28.
    # From memory; the rest of u is known without end.
    rest = (5.7**2 - 3.5**2) ** 0.5
    assert effective_degrees_of_freedom([3.5, rest], [4, inf]) == pytest.approx(4 * (5.7 / 3.5) ** 4)
    assert effective_degrees_of_freedom([1.0, 2.0], [inf, inf]) == inf


LIST = {"values": [1.0, 2.0]}
BAD_LIST = {"values": [[], [1.0], [1.0, nan], [1.0, inf]]}
PAIRS = {"first": [1.0, 2.0, 4.0], "second": [1.0, 3.0, 2.0]}
BOUNDS = [
    (mean, LIST, {"values": [[], [nan], [inf]]}),
    (standard_deviation, LIST, BAD_LIST),
    (standard_uncertainty_of_mean, LIST, BAD_LIST),
    (
        correlation,
        PAIRS,
        {"first": [[1.0], [1.0, nan, 2.0], [2.0, 2.0, 2.0]], "second": [[1.0, 2.0], [3.0, 3.0, 3.0], [1.0, 2.0, inf]]},
    ),
    (
        trend_slope,
        {"places": [0.0, 1.0], "values": [1.0, 2.0]},
        {"places": [[1.0], [1.0, 1.0], [0.0, nan]], "values": [[1.0], [1.0, 2.0, 3.0], [1.0, inf]]},
    ),
    (normal_cumulative, {"deviate": 0}, {}),
    (normal_density, {"deviate": 0}, {"deviate": [inf, -inf]}),
    (normal_deviate, {"probability": 0.5}, {"probability": [0, 1, -0.1, 1.1]}),
    (
        effective_degrees_of_freedom,
        {"uncertainties": [1.0, 2.0], "degrees": [4, 9]},
        {"uncertainties": [[], [0.0, 1.0], [inf, 1.0]], "degrees": [[1], [0, 1], [nan, 1]]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
