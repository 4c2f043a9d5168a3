"""Filters and meters: the printed point, the square law, and what is refused."""

import fluids
import pytest

from sizing.formulas.filters import filter_pressure_drop, meter_pressure_drop
from tests.sizing.formulas.refusal import assert_refused, refusals

L_PER_MIN = 1e-3 / 60
FILTER = {"flow": 2e-4, "reference_flow": 4e-4, "clean_drop": 10_000.0, "change_out_drop": 60_000.0, "dirt": 0.0}
METER = {"flow": 2e-4, "reference_flow": 4e-4, "reference_drop": 63_000.0}


def test_at_its_printed_flow_a_filter_loses_what_is_printed():
    at = {**FILTER, "flow": 4e-4}
    assert filter_pressure_drop(**at) == pytest.approx(10_000)
    assert filter_pressure_drop(**{**at, "dirt": 1.0}) == pytest.approx(60_000)


def test_half_dirty_by_hand():
    # (10 + 0.5 · 50) kPa · (1/2)² = 8.75 kPa
    assert filter_pressure_drop(**{**FILTER, "dirt": 0.5}) == pytest.approx(8_750)


def test_the_loss_is_that_of_a_loss_coefficient_in_fluids():
    # 10 kPa at 24 L/min in a 25 mm bore is one K; at 9 L/min that K must give what the formula gives
    velocity = lambda flow: flow / (3.141592653589793 * 0.025**2 / 4)  # noqa: E731  shorter than a function
    k = 10_000 / fluids.dP_from_K(1.0, rho=1000, V=velocity(24 * L_PER_MIN))
    printed = {**FILTER, "reference_flow": 24 * L_PER_MIN}
    expected = fluids.dP_from_K(k, rho=1000, V=velocity(9 * L_PER_MIN))
    assert filter_pressure_drop(**{**printed, "flow": 9 * L_PER_MIN}) == pytest.approx(expected)


def test_a_meter_of_class_63_loses_63_kpa_at_its_permanent_flow_and_a_quarter_at_half():
    # ISO 4064-1:2014, pressure-loss class ΔP63 (from memory)
    assert meter_pressure_drop(**{**METER, "flow": 4e-4}) == pytest.approx(63_000)
    assert meter_pressure_drop(**METER) == pytest.approx(63_000 / 4)


def test_nothing_is_lost_without_flow_and_more_with_dirt():
    assert filter_pressure_drop(**{**FILTER, "flow": 0.0, "dirt": 1.0}) == 0
    drops = [filter_pressure_drop(**{**FILTER, "dirt": s}) for s in (0.0, 0.3, 0.9)]
    assert drops == sorted(drops)
    assert len(set(drops)) == 3


BAD = refusals(
    (
        filter_pressure_drop,
        FILTER,
        {
            "flow": [-1e-6],
            "reference_flow": [0.0, -1.0],
            "clean_drop": [0.0, -1.0],
            "change_out_drop": [9_999.0, 2e7],
            "dirt": [-0.01, 1.01],
        },
    ),
    (meter_pressure_drop, METER, {"flow": [-1e-6], "reference_flow": [0.0], "reference_drop": [0.0, -5.0]}),
)


@pytest.mark.parametrize(("formula", "arguments", "argument"), BAD)
def test_out_of_range_is_refused(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
