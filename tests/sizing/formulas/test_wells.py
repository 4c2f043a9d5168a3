"""Well levels and volumes against printed examples."""

from math import inf

import pytest

from sizing.formulas.wells import (
    air_line_level,
    casing_volume,
    drawdown,
    drawdown_at_flow,
    recovered_level,
    specific_capacity,
    submergence,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT, INCH, GALLON, PSI = 0.3048, 0.0254, 3.785411784e-3, 6894.757
GPM = GALLON / 60


@pytest.mark.parametrize(("inches", "gallons"), [(4, 0.65), (5, 1.02), (6, 1.47), (8, 2.61), (12, 5.88)])
def test_casing_holds_the_gallons_per_foot_of_the_handbook(inches, gallons):
    # MIL-HDBK-1164, table 1, gallons per foot of casing, printed to 0.01 and cut, not rounded, in places.
    assert casing_volume(inches * INCH, FOOT) / GALLON == pytest.approx(gallons, abs=0.006)


def test_air_line_levels_of_the_handbook():
    # MIL-HDBK-1164, appendix A: 150 ft line, 25 and 18 psi: 92.3, 108.4, 16.1 ft, with 2.31 ft/psi.
    density = PSI / (2.31 * FOOT * 9.80665)
    static = air_line_level(150 * FOOT, 25 * PSI, density) / FOOT
    pumping = air_line_level(150 * FOOT, 18 * PSI, density) / FOOT
    assert (static, pumping) == (pytest.approx(92.3, abs=0.06), pytest.approx(108.4, abs=0.06))
    assert drawdown(pumping, static) == pytest.approx(16.1, abs=0.1)


def test_specific_capacity_of_a_glossary_example():
    # 20 gpm at 40 ft: 0.5 gpm/ft, so 60 ft at 30 gpm; public glossary of well terms.
    capacity = specific_capacity(20 * GPM, 40 * FOOT)
    assert capacity / GPM * FOOT == pytest.approx(0.5)
    assert drawdown_at_flow(30 * GPM, capacity) / FOOT == pytest.approx(60)


def test_a_flowing_well_has_a_negative_level():
    assert drawdown(2.0, -0.5) == pytest.approx(2.5)
    assert air_line_level(10, 12 * 9806.65, 1000) == pytest.approx(-2)


def test_submergence_is_negative_when_the_intake_is_dry():
    assert submergence(40, 31.5) == pytest.approx(8.5)
    assert submergence(40, 41) == pytest.approx(-1)


def test_nine_tenths_of_twenty_metres_come_back():
    # static 30 m, pumped down to 50 m: 18 m of 20 are back when the water stands at 32 m
    assert recovered_level(30.0, 50.0, 0.9) == pytest.approx(32.0)
    assert (recovered_level(30.0, 50.0, 0.0), recovered_level(30.0, 50.0, 1.0)) == (50.0, 30.0)


BOUNDS = [
    (
        recovered_level,
        {"static_level": 30.0, "pumping_level": 50.0, "recovered": 0.9},
        {"static_level": [-inf, inf], "pumping_level": [29.9, inf], "recovered": [-0.1, 1.1]},
    ),
    (
        drawdown,
        {"pumping_level": 10, "static_level": 5},
        {"pumping_level": [4.99, inf], "static_level": [-inf]},
    ),
    (specific_capacity, {"flow": 1e-3, "drawdown": 5}, {"flow": [0, -1, inf], "drawdown": [0, -1, inf]}),
    (
        drawdown_at_flow,
        {"flow": 1e-3, "specific_capacity": 1e-4},
        {"flow": [-1, inf], "specific_capacity": [0, -1, inf]},
    ),
    (
        casing_volume,
        {"inside_diameter": 0.15, "water_column": 30},
        {"inside_diameter": [0, -1, inf], "water_column": [-1, inf]},
    ),
    (
        air_line_level,
        {"air_line_length": 45, "gauge_pressure": 1e5, "density": 1000},
        {"air_line_length": [0, -1, inf], "gauge_pressure": [-1, 9e5, inf], "density": [0, inf]},
    ),
    (submergence, {"pump_setting": 40, "pumping_level": 30}, {"pump_setting": [inf], "pumping_level": [-inf]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
