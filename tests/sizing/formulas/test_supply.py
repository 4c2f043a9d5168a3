"""Supplies under load: the array's curve against pvlib, batteries and inverters by hand."""

from itertools import pairwise

import numpy as np
import pytest
from pvlib import pvsystem

from sizing.formulas.supply import (
    array_current_at_voltage,
    bank_resistance,
    inverter_input_power,
    inverter_output_power,
    summed_power,
    voltage_at_constant_power,
    voltage_of_power,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

CONDITIONS = [(1000, 25), (800, 45), (600, 55), (400, 30), (900, -5)]


def single_diode(light, temperature):
    """Return the points and the five numbers of a module of 96 cells, 220 W class, from the documentation of pvlib."""
    five = pvsystem.calcparams_desoto(light, temperature, 0.004539, 2.6373, 5.114, 8.196e-10, 381.68, 1.065)
    return pvsystem.singlediode(*five), five


@pytest.mark.parametrize(("light", "temperature"), CONDITIONS)
def test_current_at_a_voltage_is_near_that_of_pvlib(light, temperature):
    points, five = single_diode(light, temperature)
    plate = [float(points[name]) for name in ("i_sc", "v_oc", "v_mp", "i_mp")]
    for volts in np.linspace(0, 0.97 * plate[1], 25):
        theirs = float(pvsystem.i_from_v(volts, *five))
        assert array_current_at_voltage(float(volts), *plate) == pytest.approx(theirs, abs=0.12 * plate[0])
    # below the point of maximum power, where a battery holds an array, the two lie closer
    for share in (0.5, 0.7, 0.85):
        volts = share * plate[2]
        theirs = float(pvsystem.i_from_v(volts, *five))
        assert array_current_at_voltage(volts, *plate) == pytest.approx(theirs, abs=0.02 * plate[0])


def test_the_curve_meets_the_points_of_the_nameplate():
    plate = (5.85, 22.6, 18.6, 5.38)
    assert array_current_at_voltage(0.0, *plate) == pytest.approx(5.85)
    assert array_current_at_voltage(18.6, *plate) == pytest.approx(5.38, rel=1e-4)
    assert array_current_at_voltage(22.6, *plate) == pytest.approx(0.0, abs=1e-3)


def test_the_curve_falls():
    plate = (5.85, 22.6, 18.6, 5.38)
    currents = [array_current_at_voltage(volts, *plate) for volts in np.linspace(0, 22.6, 40)]
    assert all(a > b for a, b in pairwise(currents))


def test_voltage_of_power_by_hand():
    assert voltage_of_power(480.0, 10.0) == pytest.approx(48.0)


def test_bank_resistance_by_hand():
    # two strings of four blocks of 5 mΩ: 4 · 5 / 2 = 10 mΩ
    assert bank_resistance(0.005, 4, 2) == pytest.approx(0.010)


def test_voltage_at_constant_power_by_hand_and_in_balance():
    # 25.2 V behind 0.1 Ω, 500 W: [25.2 + √(635.04 − 200)] / 2 = 23.029 V
    volts = voltage_at_constant_power(25.2, 0.1, 500.0)
    assert volts == pytest.approx(23.0288, abs=5e-4)
    assert volts + 0.1 * 500.0 / volts == pytest.approx(25.2)


def test_no_resistance_no_sag_and_at_the_limit_half_the_voltage():
    assert voltage_at_constant_power(25.2, 0.0, 500.0) == 25.2
    # greatest power through a resistance: at half the source's voltage
    assert voltage_at_constant_power(24.0, 0.1, 24.0**2 / 0.4) == pytest.approx(12.0)


def test_inverter_by_hand():
    # 450 W at 90 % and 8 W of its own: 508 W
    assert inverter_input_power(450.0, 0.9, 8.0) == pytest.approx(508.0)
    assert inverter_input_power(0.0, 0.9, 8.0) == 8.0


def test_powers_add():
    assert summed_power((120.0, 80.5)) == pytest.approx(200.5)
    assert summed_power([7.0]) == 7.0


def test_an_inverter_turned_round():
    # (508 W − 8 W idle) · 0.9 = 450 W
    assert inverter_output_power(508.0, 0.9, 8.0) == pytest.approx(450.0)
    assert inverter_output_power(inverter_input_power(230.0, 0.88, 11.0), 0.88, 11.0) == pytest.approx(230.0)
    assert inverter_output_power(8.0, 0.9, 8.0) == 0.0


BAD = refusals(
    (summed_power, {"powers": (1.0, 2.0)}, {"powers": [(), (1.0, -1.0), (float("nan"),)]}),
    (
        array_current_at_voltage,
        {
            "voltage": 12.0,
            "short_circuit_current": 5.85,
            "open_circuit_voltage": 22.6,
            "maximum_power_voltage": 18.6,
            "maximum_power_current": 5.38,
        },
        {
            "voltage": [-0.1, 22.7],
            "short_circuit_current": [5.38, 0.0, float("inf")],
            "open_circuit_voltage": [18.6, 0.0, float("inf")],
            "maximum_power_voltage": [0.0, -1.0],
            "maximum_power_current": [0.0, -1.0],
        },
    ),
    (voltage_of_power, {"power": 480.0, "current": 10.0}, {"power": [-1.0], "current": [0.0, -1.0]}),
    (
        bank_resistance,
        {"block_resistance": 0.005, "series": 4, "parallel": 2},
        {"block_resistance": [0.0], "series": [0.5, float("inf")], "parallel": [0, float("inf")]},
    ),
    (
        voltage_at_constant_power,
        {"source_voltage": 24.0, "resistance": 0.1, "power": 500.0},
        {"source_voltage": [0.0], "resistance": [-0.01], "power": [-1.0, 1441.0]},
    ),
    (
        inverter_input_power,
        {"output_power": 450.0, "efficiency": 0.9, "idle_power": 8.0},
        {"output_power": [-1.0], "efficiency": [0.0, 1.01], "idle_power": [-1.0]},
    ),
    (
        inverter_output_power,
        {"input_power": 508.0, "efficiency": 0.9, "idle_power": 8.0},
        {"input_power": [7.9, float("inf")], "efficiency": [0.0, 1.01], "idle_power": [-1.0]},
    ),
)


@pytest.mark.parametrize(("formula", "arguments", "argument"), BAD)
def test_out_of_range_is_refused(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
