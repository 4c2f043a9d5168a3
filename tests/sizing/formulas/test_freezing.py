"""Cooling and freezing against scipy's integrator and IAPWS water."""

from math import inf

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from sizing.formulas.freezing import (
    HEAT_OF_FUSION,
    WATER_HEAT_CAPACITY,
    cooled_temperature,
    cooling_time,
    cooling_time_constant,
    freezing_heat,
    freezing_time,
    heat_loss,
    pipe_conductance,
    surface_conductance,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

HOUR = 3600.0


def test_constants_are_those_of_water_near_freezing():
    # IAPWS R10-06(2009), ice Ih at 0 °C: 333.4 kJ/kg (from memory); heat capacity by IAPWS-95 in CoolProp.
    assert pytest.approx(333_400, rel=3e-3) == HEAT_OF_FUSION
    for temperature in (1, 10, 20):
        capacity = PropsSI("C", "T", temperature + 273.15, "P", 101_325, "Water")
        assert pytest.approx(capacity, rel=5e-3) == WATER_HEAT_CAPACITY


def test_wall_and_roof_of_a_fire_tank():
    # Engineering forum, heater sizing: 4524 ft² at and 42 °F lose 5.5 kW; R [m²·K/W] = 0.1761·R_US.
    wall = surface_conductance(4524 * 0.09290304, 10.2 * 0.1761102)
    assert heat_loss(wall, 42 / 1.8) / 1000 == pytest.approx(5.5, rel=0.015)


def test_insulated_pipe_loses_by_the_logarithm():
    # 1 m, 60 over 30 mm, 0.035 W/(m·K): 2π·0.035/ln 2 = 0.3173 W/K by hand.
    assert pipe_conductance(1, 0.03, 0.06, 0.035) == pytest.approx(0.3173, abs=5e-5)


def test_a_thin_layer_is_a_flat_wall():
    flat = surface_conductance(3.141592653589793 * 0.1, 0.0005 / 0.04)
    assert pipe_conductance(1, 0.1, 0.101, 0.04) == pytest.approx(flat, rel=6e-3)


def test_tank_in_the_cold_follows_the_heat_balance():
    def balance(_, temperature):
        return -6.0 * (temperature + 10) / (5000 * 4200)

    time = 400 * HOUR
    oracle = solve_ivp(balance, (0, time), [8], rtol=1e-9, atol=1e-9).y[0, -1]
    constant = cooling_time_constant(5000, WATER_HEAT_CAPACITY, 6)
    assert constant / HOUR == pytest.approx(972.2, rel=1e-4)
    assert cooled_temperature(8, -10, time, constant) == pytest.approx(oracle, abs=1e-5)


@given(st.floats(0.1, 30), st.floats(-40, -0.1))
def test_time_to_freezing_ends_at_freezing(start, ambient):
    time = cooling_time(start, 0, ambient, 1e5)
    assert cooled_temperature(start, ambient, time, 1e5) == pytest.approx(0, abs=1e-9)


def test_freezing_takes_as_much_heat_as_cooling_by_eighty_kelvin():
    # 100 kg: 33.4 MJ, 9.278 kWh; latent heat 334 kJ/kg.
    assert freezing_heat(100) / 3.6e6 == pytest.approx(9.278, abs=5e-4)
    assert freezing_heat(1) / (WATER_HEAT_CAPACITY * 80) == pytest.approx(1, abs=0.01)


def test_freezing_time_is_heat_over_loss():
    assert freezing_time(2, 0.5, -5) == pytest.approx(freezing_heat(2) / heat_loss(0.5, 5))


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
BOUNDS = [
    (
        surface_conductance,
        {"area": 10, "thermal_resistance": 2},
        {"area": NOT_NEGATIVE, "thermal_resistance": POSITIVE},
    ),
    (
        pipe_conductance,
        {"length": 10, "pipe_diameter": 0.03, "insulated_diameter": 0.06, "conductivity": 0.035},
        {
            "length": NOT_NEGATIVE,
            "pipe_diameter": POSITIVE,
            "insulated_diameter": [0.03, inf],
            "conductivity": POSITIVE,
        },
    ),
    (
        heat_loss,
        {"conductance": 5, "temperature_difference": 20},
        {"conductance": NOT_NEGATIVE, "temperature_difference": [inf]},
    ),
    (
        cooling_time_constant,
        {"water_mass": 1000, "heat_capacity": 4200, "conductance": 5},
        {"water_mass": POSITIVE, "heat_capacity": POSITIVE, "conductance": POSITIVE},
    ),
    (
        cooled_temperature,
        {"start_temperature": 8, "ambient_temperature": -5, "time": 100, "time_constant": 1e5},
        {
            "start_temperature": [inf],
            "ambient_temperature": [-inf],
            "time": NOT_NEGATIVE,
            "time_constant": POSITIVE,
        },
    ),
    (
        cooling_time,
        {"start_temperature": 8, "end_temperature": 0, "ambient_temperature": -5, "time_constant": 1e5},
        {
            "start_temperature": [-1, inf],
            "end_temperature": [-5, inf],
            "ambient_temperature": [-inf],
            "time_constant": POSITIVE,
        },
    ),
    (freezing_heat, {"ice_mass": 1}, {"ice_mass": NOT_NEGATIVE}),
    (
        freezing_time,
        {"ice_mass": 1, "conductance": 0.5, "ambient_temperature": -5},
        {"ice_mass": NOT_NEGATIVE, "conductance": POSITIVE, "ambient_temperature": [0, -inf]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
