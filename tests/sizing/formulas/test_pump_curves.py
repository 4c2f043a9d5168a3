"""Pump curves after EPANET, and data-sheet tables against scipy's interpolator."""

from dataclasses import asdict
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from sizing.errors import OutOfRangeError
from sizing.formulas.pump_curves import (
    curve_head,
    one_point_curve,
    pump_table_flow,
    pump_table_highest_head,
    pump_table_lowest_head,
    three_point_curve,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

# An invented helical-rotor pump: powers [W], heads [m], flows [m³/s] on a full grid.
POWERS, HEADS = [200.0, 400.0, 700.0], [10.0, 30.0, 60.0]
FLOWS = [[6e-4, 4.5e-4, 2e-4], [9e-4, 8e-4, 5.5e-4], [1.2e-3, 1.1e-3, 9e-4]]
GRID = [(p, h, FLOWS[i][k]) for i, p in enumerate(POWERS) for k, h in enumerate(HEADS)]
# An invented centrifugal pump, each curve down to its shut-off head.
CENTRIFUGAL = [(200, 10, 1e-3), (200, 40, 0), (400, 10, 2e-3), (400, 40, 1e-3), (400, 60, 0)]


def test_one_point_curve_is_that_of_epanet():
    # EPANET 2.2 User Manual, chapter 3: shut-off 4/3 of the design head, zero head at twice the flow.
    curve = asdict(one_point_curve(6e-4, 75))
    assert curve_head(flow=0, speed_ratio=1, **curve) == pytest.approx(100)
    assert curve_head(flow=6e-4, speed_ratio=1, **curve) == pytest.approx(75)
    assert curve_head(flow=1.2e-3, speed_ratio=1, **curve) == pytest.approx(0, abs=1e-9)


def test_three_point_curve_passes_its_points():
    curve = asdict(three_point_curve(95, 6e-4, 75, 1e-3, 35))
    assert curve["exponent"] == pytest.approx(2.15, abs=0.005)  # fitted by the EPANET 2.2 engine
    assert curve_head(flow=0, speed_ratio=1, **curve) == pytest.approx(95)
    assert curve_head(flow=6e-4, speed_ratio=1, **curve) == pytest.approx(75)
    assert curve_head(flow=1e-3, speed_ratio=1, **curve) == pytest.approx(35)


def test_speed_moves_a_point_by_the_affinity_laws():
    curve = asdict(three_point_curve(95, 6e-4, 75, 1e-3, 35))
    assert curve_head(flow=0.8 * 6e-4, speed_ratio=0.8, **curve) == pytest.approx(75 * 0.8**2)


def test_three_points_of_a_parabola_give_the_one_point_curve():
    assert asdict(three_point_curve(100, 6e-4, 75, 1.2e-3, 0)) == pytest.approx(asdict(one_point_curve(6e-4, 75)))


@given(st.floats(200, 700), st.floats(10, 60))
def test_a_full_grid_is_read_as_scipy_reads_it(power, head):
    oracle = RegularGridInterpolator((POWERS, HEADS), FLOWS)([[power, head]])[0]
    assert pump_table_flow(GRID, power, head) == pytest.approx(oracle, rel=1e-9)


def test_rows_may_come_in_any_order():
    assert pump_table_flow(GRID[::-1], 310, 22) == pytest.approx(pump_table_flow(GRID, 310, 22))


@pytest.mark.parametrize(("power", "head", "flow"), GRID)
def test_each_row_gives_back_its_flow(power, head, flow):
    assert pump_table_flow(GRID, power, head) == pytest.approx(flow)


def test_above_a_shut_off_point_a_curve_gives_nothing():
    assert pump_table_flow(CENTRIFUGAL, 200, 45) == 0
    # 50 m: none at 200 W, 0.5 L/s at 400 W; halfway 0.25 L/s.
    assert pump_table_flow(CENTRIFUGAL, 300, 50) == pytest.approx(2.5e-4)


def test_below_the_smallest_power_flow_falls_to_zero_at_the_start_power():
    assert pump_table_flow(GRID, 150, 30, start_power=100) == pytest.approx(4.5e-4 / 2)
    assert pump_table_flow(GRID, 100, 30, start_power=100) == 0
    assert pump_table_flow(GRID, 20, 30, start_power=100) == 0


def test_below_the_smallest_power_without_a_start_power_is_refused():
    with pytest.raises(OutOfRangeError, match="power is 150"):
        pump_table_flow(GRID, 150, 30)


def test_table_limits_of_head():
    assert pump_table_highest_head(GRID, 300) == 60
    assert pump_table_lowest_head(GRID, 300) == 10
    assert pump_table_highest_head(CENTRIFUGAL, 300) == 60
    assert pump_table_highest_head(CENTRIFUGAL, 200) == 40
    assert pump_table_highest_head([*GRID, (400, 80, 4e-4)], 300) == 60
    assert pump_table_highest_head([*GRID, (400, 80, 4e-4)], 400) == 80
    assert pump_table_lowest_head([*GRID, (200, 5, 7e-4)], 300) == 10
    assert pump_table_lowest_head([*GRID, (200, 5, 7e-4)], 100) == 5


@given(st.floats(200, 700), st.floats(10, 59))
def test_more_head_never_gives_more_flow(power, head):
    assert pump_table_flow(GRID, power, head + 1) <= pump_table_flow(GRID, power, head)


BAD_TABLES = [
    [],
    [(200, 10, 1e-3)],
    [*GRID, (900, 10, 1e-3)],
    [*GRID, (200, 30, 3e-4)],
    [*GRID, (200, 70, 3e-4)],
    [*GRID, (200, 70, -1e-4)],
    [*GRID, (200, nan, 1e-4)],
    [*GRID, (inf, 70, 1e-4)],
]
TABLE = {"rows": BAD_TABLES, "power": [-1, 701, inf]}
POSITIVE = [0, -1, inf]
BOUNDS = [
    (one_point_curve, {"flow": 1e-3, "head": 30}, {"flow": POSITIVE, "head": POSITIVE}),
    (
        three_point_curve,
        {
            "shut_off_head": 95,
            "design_flow": 6e-4,
            "design_head": 75,
            "high_flow": 1e-3,
            "high_flow_head": 35,
        },
        {
            "shut_off_head": [75, inf],
            "design_flow": POSITIVE,
            "design_head": [35, 30],
            "high_flow": [6e-4, inf],
            "high_flow_head": [-1, inf],
        },
    ),
    (
        curve_head,
        {"flow": 1e-3, "shut_off_head": 50, "coefficient": 1e6, "exponent": 2, "speed_ratio": 1},
        {
            "flow": [-1, inf],
            "shut_off_head": POSITIVE,
            "coefficient": [-1, inf],
            "exponent": POSITIVE,
            "speed_ratio": POSITIVE,
        },
    ),
    (pump_table_flow, {"rows": GRID, "power": 300, "head": 20}, {**TABLE, "head": [-1, 9.9, 60.1, inf]}),
    (
        pump_table_flow,
        {"rows": GRID, "power": 150, "head": 20, "start_power": 100},
        {"start_power": [-1, 200, inf], "head": [9.9, 60.1]},
    ),
    (pump_table_highest_head, {"rows": GRID, "power": 300}, TABLE),
    (pump_table_lowest_head, {"rows": GRID, "power": 300}, TABLE),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
