"""Pressure tanks against printed drawdown examples."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sizing.formulas.vessels import (
    acceptance_volume,
    precharge_at_temperature,
    precharge_from_drawdown,
    pump_run_time,
    recommended_precharge,
    shortest_cycle_time,
    tank_drawdown,
    tank_volume_for_drawdown,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

GALLON, PSI, SEA_LEVEL = 3.785411784e-3, 6894.757, 14.7 * 6894.757


def absolute(psi: float, atmosphere: float = 14.7) -> float:
    return (psi + atmosphere) * PSI


# Trade-journal drilling column on captive-air tanks (2006 and 2008), examples 1 and 2: 85 gal, 28/30/50 psi:
# 25.1 gal at sea level, 26.1 gal at 6000 ft, where the air has 11.8 psi.
@pytest.mark.parametrize(("atmosphere", "gallons"), [(14.7, 25.1), (11.8, 26.1)])
def test_drawdown_of_the_printed_examples(atmosphere, gallons):
    pressures = [absolute(psi, atmosphere) for psi in (28, 30, 50)]
    assert tank_drawdown(85 * GALLON, *pressures) / GALLON == pytest.approx(gallons, abs=0.1)


def test_acceptance_factor_counts_from_empty():
    # 1 − 42.7/64.7 = 0.340: water-well association sheet of 2007; the drawdown factor is 0.295.
    assert acceptance_volume(1, absolute(28), absolute(50)) == pytest.approx(0.340, abs=5e-4)


# Acceptance-factor table with precharge at cut-in (from memory): 20-40 0.37, 30-50 0.31, 40-60 0.27.
@pytest.mark.parametrize(("cut_in", "cut_out", "factor"), [(20, 40, 0.37), (30, 50, 0.31), (40, 60, 0.27)])
def test_drawdown_with_precharge_at_cut_in(cut_in, cut_out, factor):
    share = tank_drawdown(1, absolute(cut_in), absolute(cut_in), absolute(cut_out))
    assert share == pytest.approx(factor, abs=6e-3)
    assert share == pytest.approx(acceptance_volume(1, absolute(cut_in), absolute(cut_out)))


@given(st.floats(1e5, 4e5), st.floats(1.01, 2), st.floats(1.01, 2))
def test_tank_precharge_and_drawdown_invert_each_other(precharge, rise_in, rise_out):
    cut_in, cut_out = precharge * rise_in, precharge * rise_in * rise_out
    drawdown = tank_drawdown(0.3, precharge, cut_in, cut_out)
    assert tank_volume_for_drawdown(drawdown, precharge, cut_in, cut_out) == pytest.approx(0.3)
    assert precharge_from_drawdown(0.3, drawdown, cut_in, cut_out) == pytest.approx(precharge)


def test_ten_fahrenheit_move_a_precharge_by_eight_tenths_of_a_psi():
    # 28 psi from 70 to 60 °F: (42.7 · 288.71/294.26) − 14.7 = 27.19 psi, by hand.
    colder = precharge_at_temperature(absolute(28), 21.1111, 15.5556)
    assert colder / PSI - 14.7 == pytest.approx(27.19, abs=0.01)


@pytest.mark.parametrize(("cut_in", "precharge"), [(20, 18), (30, 28), (40, 38)])
def test_recommended_precharge_is_two_psi_below_cut_in(cut_in, precharge):
    # Common practice, no source: the settings printed for the usual switches.
    assert recommended_precharge(cut_in * PSI) / PSI == pytest.approx(precharge, abs=1e-4)


def test_run_time_of_twenty_gallons_at_ten_gpm():
    # Two minutes: household how-to article, 20 gal of drawdown for 2 min at 10 gpm.
    assert pump_run_time(20 * GALLON, 10 * GALLON / 60, 0) == pytest.approx(120)
    assert pump_run_time(20 * GALLON, 10 * GALLON / 60, 5 * GALLON / 60) == pytest.approx(240)


@given(st.floats(0.01, 0.99))
def test_no_demand_cycles_faster_than_half_the_flow(share):
    filling = pump_run_time(0.05, 1e-3, share * 1e-3)
    emptying = 0.05 / (share * 1e-3)
    assert filling + emptying >= shortest_cycle_time(0.05, 1e-3) * (1 - 1e-12)
    assert pump_run_time(0.05, 1e-3, 5e-4) + 0.05 / 5e-4 == pytest.approx(shortest_cycle_time(0.05, 1e-3))


POSITIVE = [0, -1, inf]
TANK = {"tank_volume": 0.3, "precharge": 2e5, "cut_in": 3e5, "cut_out": 4e5}
BOUNDS = [
    (
        acceptance_volume,
        {"tank_volume": 0.3, "precharge": 2e5, "final_pressure": 3e5},
        {"tank_volume": POSITIVE, "precharge": POSITIVE, "final_pressure": [1.9e5, inf]},
    ),
    (
        tank_drawdown,
        TANK,
        {"tank_volume": POSITIVE, "precharge": POSITIVE, "cut_in": [1.9e5, inf], "cut_out": [2.9e5, inf]},
    ),
    (
        tank_volume_for_drawdown,
        {"drawdown": 0.05, "precharge": 2e5, "cut_in": 3e5, "cut_out": 4e5},
        {"drawdown": POSITIVE, "precharge": POSITIVE, "cut_in": [1.9e5, inf], "cut_out": [3e5, inf]},
    ),
    (
        precharge_from_drawdown,
        {"tank_volume": 0.3, "drawdown": 0.05, "cut_in": 3e5, "cut_out": 4e5},
        {"tank_volume": POSITIVE, "drawdown": POSITIVE, "cut_in": POSITIVE, "cut_out": [3e5, inf]},
    ),
    (
        precharge_at_temperature,
        {"precharge": 2e5, "temperature": 20, "other_temperature": 10},
        {"precharge": POSITIVE, "temperature": [-273.15, inf], "other_temperature": [-273.15, inf]},
    ),
    (recommended_precharge, {"cut_in_gauge": 2e5}, {"cut_in_gauge": [0, 13_789, inf]}),
    (
        pump_run_time,
        {"drawdown": 0.05, "pump_flow": 1e-3, "demand": 5e-4},
        {"drawdown": POSITIVE, "pump_flow": [5e-4, 0, inf], "demand": [-1, inf]},
    ),
    (
        shortest_cycle_time,
        {"drawdown": 0.05, "pump_flow": 1e-3},
        {"drawdown": POSITIVE, "pump_flow": POSITIVE},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
