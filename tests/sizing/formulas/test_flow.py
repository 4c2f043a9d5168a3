"""Flow by bucket against the GUM's arithmetic."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.formulas.flow import (
    bucket_flow,
    bucket_flow_uncertainty,
    relative_spread,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

GALLON = 3.785411784e-3
TIMES = [22.1, 21.6, 22.5]  # s, three fills of one pail


def test_five_gallons_in_half_a_minute_is_ten_gpm():
    assert bucket_flow(5 * GALLON, 30) / (GALLON / 60) == pytest.approx(10)


def test_uncertainty_of_that_flow():
    # (0.1/5)² + (0.5/30)²: 2.603 % by hand, JCGM 100:2008, equation 12.
    uncertainty = bucket_flow_uncertainty(5 * GALLON, 30, 0.1 * GALLON, 0.5)
    assert uncertainty / bucket_flow(5 * GALLON, 30) == pytest.approx(0.02603, abs=5e-6)


def test_a_sure_volume_leaves_the_watch_alone():
    assert bucket_flow_uncertainty(0.02, 20, 0, 0.5) == pytest.approx(bucket_flow(0.02, 20) * 0.025)
    assert bucket_flow_uncertainty(0.02, 20, 0, 0) == 0


def test_spread_of_three_fills():
    assert relative_spread(TIMES) == pytest.approx(0.9 / 22.0667, rel=1e-5)
    assert relative_spread([5.0]) == 0


@given(st.lists(st.floats(1, 1000), min_size=2, max_size=9), st.floats(0.1, 10))
def test_spread_does_not_care_for_the_unit(values, factor):
    assert relative_spread([factor * x for x in values]) == pytest.approx(relative_spread(values), abs=1e-9)


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
BOUNDS = [
    (bucket_flow, {"volume": 0.02, "time": 20}, {"volume": POSITIVE, "time": POSITIVE}),
    (relative_spread, {"values": TIMES}, {"values": [[], [1, -1], [float("nan"), 1]]}),
    (
        bucket_flow_uncertainty,
        {"volume": 0.02, "time": 20, "volume_uncertainty": 1e-4, "time_uncertainty": 0.3},
        {
            "volume": POSITIVE,
            "time": POSITIVE,
            "volume_uncertainty": NOT_NEGATIVE,
            "time_uncertainty": NOT_NEGATIVE,
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
