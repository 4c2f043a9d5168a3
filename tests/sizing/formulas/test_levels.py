"""Elevations, depths and heads between them, against a published field calculation and by hand."""

from math import inf

import pytest

from sizing.formulas.levels import (
    depth_at_elevation,
    depth_below_mark,
    head_by_gauge,
    lift_from_well,
    pressure_from_surface,
    pumping_level,
    rise_between,
    summed_head,
    surface_elevation,
    water_elevation,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT = 0.3048
PSI_PER_FOOT_OF_WATER = 0.433  # the trade's rounded factor, 62.4 lb/ft³ over 144


def test_head_by_gauge_matches_the_published_field_calculation():
    # MIL-HDBK-1164, appendix A: gauge 35 psi (80.9 ft) at 0.9 ft over the pump head, pumping level
    # 60 ft below it: 0.9 + 60 + 80.9 = 141.8 ft, friction in the column left out.
    head = head_by_gauge(80.9 * FOOT, gauge_elevation=0.9 * FOOT, water_elevation=-60 * FOOT, friction_head=0)
    assert head / FOOT == pytest.approx(141.8, abs=0.05)


def test_lift_counts_from_the_water_not_from_the_ground():
    # mark 0.4 m up, water 26 m below it, tank inlet at 18 m: 18 − (0.4 − 26) = 43.6 m
    assert lift_from_well(18, 0.4, 26) == pytest.approx(43.6)
    assert lift_from_well(18, 0.4, 26) == pytest.approx(18 - water_elevation(0.4, 26))


def test_rise_between_goes_both_ways():
    # from a gauge at 0.6 m to a tank inlet at 18.35 m
    assert rise_between(0.6, 18.35) == pytest.approx(17.75)
    assert rise_between(18.35, 0.6) == pytest.approx(-17.75)


def test_flowing_well_has_a_negative_depth():
    assert water_elevation(0.4, -1.1) == pytest.approx(1.5)


def test_pumping_level_undoes_a_drawdown():
    # MIL-HDBK-1164, appendix A: static 92.3 ft, pumping 108.4 ft, drawdown 16.1 ft
    assert pumping_level(92.3 * FOOT, 16.1 * FOOT) / FOOT == pytest.approx(108.4)


def test_depths_in_a_tank():
    # floor at 16 m: a switch at 18.05 m stands 2.05 m up; 0.15 m below a 2.2 m overflow is the same
    assert depth_at_elevation(18.05, 16) == pytest.approx(2.05)
    assert depth_below_mark(2.2, 0.15) == pytest.approx(2.05)
    assert surface_elevation(16, depth_at_elevation(18.05, 16)) == pytest.approx(18.05)


def test_pressure_from_surface_is_the_trades_factor_without_loss():
    # 100 ft of still water give 43.3 psi
    pressure = pressure_from_surface(100 * FOOT, 0, 0, density=998.2)
    assert pressure / 6894.757 == pytest.approx(100 * PSI_PER_FOOT_OF_WATER, abs=0.1)
    assert pressure_from_surface(10, 0, 10, 1000) == 0
    assert pressure_from_surface(10, 12, 0, 1000) < 0


def test_summed_head_of_nothing_is_nothing():
    assert summed_head(()) == 0
    assert summed_head((0.1,) * 10) == pytest.approx(1.0, abs=1e-15)


BOUNDS = (
    (pumping_level, {"static_level": 24.0, "drawdown": 2.0}, {"static_level": [inf], "drawdown": [-0.1]}),
    (
        lift_from_well,
        {"outlet_elevation": 18.0, "measuring_point_height": 0.4, "pumping_level": 26.0},
        {"outlet_elevation": [inf], "measuring_point_height": [-inf], "pumping_level": [inf]},
    ),
    (surface_elevation, {"floor_elevation": 16.0, "depth": 1.0}, {"floor_elevation": [inf], "depth": [-0.01]}),
    (depth_at_elevation, {"elevation": 18.0, "floor_elevation": 16.0}, {"elevation": [15.9], "floor_elevation": [inf]}),
    (depth_below_mark, {"mark_depth": 2.2, "distance": 0.1}, {"mark_depth": [0.0], "distance": [2.3, -inf]}),
    (
        head_by_gauge,
        {"pressure_head": 20.0, "gauge_elevation": 0.6, "water_elevation": -25.0, "friction_head": 0.5},
        {"pressure_head": [inf], "gauge_elevation": [inf], "water_elevation": [-inf], "friction_head": [-0.1]},
    ),
    (
        water_elevation,
        {"measuring_point_height": 0.4, "level": 24.0},
        {"measuring_point_height": [inf], "level": [-inf]},
    ),
    (
        rise_between,
        {"lower_elevation": 0.6, "upper_elevation": 18.35},
        {"lower_elevation": [inf], "upper_elevation": [-inf]},
    ),
    (summed_head, {"heads": (1.0, 2.0)}, {"heads": [(1.0, -0.1), (float("nan"),)]}),
    (
        pressure_from_surface,
        {"surface_elevation": 18.0, "elevation": 1.0, "head_lost": 2.0, "density": 999.0},
        {"surface_elevation": [inf], "elevation": [inf], "head_lost": [-1.0], "density": [0.0]},
    ),
)


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_refuses_what_is_out_of_range(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
