"""Module, string and array values against pvlib's single-diode model and printed examples."""

from math import inf, nan

import pytest
from pvlib import pvsystem

from sizing.errors import OutOfRangeError
from sizing.formulas.photovoltaic import (
    array_current,
    cold_voltage_factor,
    maximum_power,
    most_modules_in_series,
    open_circuit_voltage,
    short_circuit_current,
    spread_from_mean,
    string_voltage,
    voltage_at_record_low,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

# A 96-cell module of the 220 W class, as in the documentation of pvlib.
MODULE = {"alpha_sc": 0.004539, "a_ref": 2.6373, "I_L_ref": 5.114, "I_o_ref": 8.196e-10, "R_sh_ref": 381.68}
BOLTZMANN_PER_CHARGE = 8.617333262e-5  # V/K, CODATA 2018


def _curve(light: float, temperature: float) -> dict[str, float]:
    return pvsystem.singlediode(*pvsystem.calcparams_desoto(light, temperature, **MODULE, R_s=1.065))


def _coefficient(name: str) -> float:
    """Relative change per kelvin between 25 and 60 °C at 1000 W/m²."""
    cold, warm = _curve(1000, 25)[name], _curve(1000, 60)[name]
    return float((warm - cold) / cold / 35)


@pytest.mark.parametrize(("light", "temperature"), [(200, 25), (400, 30), (600, 45), (850, 52), (1000, 60)])
def test_current_and_voltage_follow_the_single_diode_model(light, temperature):
    # 0.5 % of short-circuit current and 0.6 % of open-circuit voltage against pvlib's De Soto model.
    rated, truth = _curve(1000, 25), _curve(light, temperature)
    current = short_circuit_current(rated["i_sc"], light, temperature, _coefficient("i_sc"))
    assert current == pytest.approx(truth["i_sc"], rel=0.005)
    ideality = 2.6373 / (96 * BOLTZMANN_PER_CHARGE * 298.15)
    voltage = open_circuit_voltage(rated["v_oc"], light, temperature, _coefficient("v_oc"), 96, ideality)
    assert voltage == pytest.approx(truth["v_oc"], rel=0.006)


@pytest.mark.parametrize(("light", "temperature"), [(600, 45), (850, 52), (1000, 60)])
def test_power_follows_the_single_diode_model_in_good_light(light, temperature):
    rated, truth = _curve(1000, 25), _curve(light, temperature)
    power = maximum_power(rated["p_mp"], light, temperature, _coefficient("p_mp"))
    assert power == pytest.approx(truth["p_mp"], rel=0.02)


def test_power_agrees_with_pvwatts():
    # pvlib, PVWatts version 5.
    assert maximum_power(220, 740, 51, -0.0041) == pytest.approx(pvsystem.pvwatts_dc(740, 51, 220, -0.0041))


def test_textbook_module_in_the_heat():
    # Masters, Renewable and Efficient Electric Power Systems (2004), chapter 8: at 64 °C 42.8 V falls
    # to 36.7 V and 150 W to 121 W. From memory.
    assert open_circuit_voltage(42.8, 1000, 63.75, -0.0037, 72, 1.1) == pytest.approx(36.7, abs=0.1)
    assert maximum_power(150, 1000, 63.75, -0.005) == pytest.approx(121, abs=0.6)


def test_nameplate_values_come_back_at_standard_conditions():
    assert short_circuit_current(9.1, 1000, 25, 0.0005) == 9.1
    assert open_circuit_voltage(45.6, 1000, 25, -0.0029, 72, 1.1) == 45.6
    assert maximum_power(400, 1000, 25, -0.0035) == 400


def test_leaving_the_logarithm_out_would_be_high_by_some_per_cent():
    # 2.7 % at 600 W/m² on the module above.
    rated, truth = _curve(1000, 25), _curve(600, 45)
    without = string_voltage(rated["v_oc"] * (1 + _coefficient("v_oc") * 20), 1)
    assert without / truth["v_oc"] - 1 == pytest.approx(0.027, abs=0.002)


def test_too_little_light_is_refused_rather_than_negative():
    with pytest.raises(OutOfRangeError, match="irradiance"):
        open_circuit_voltage(45.6, 1e-9, 25, -0.0029, 72, 1.2)


def test_record_low_examples():
    # Public code-study text on NEC 690.7(A): 49.5 V, −0.27 %/K, −10 °C: 54.18 V, 11 modules under 600 V.
    coldest = voltage_at_record_low(49.5, -10, -0.0027, 1)
    assert coldest == pytest.approx(54.18, abs=0.01)
    assert most_modules_in_series(600, coldest) == 11
    # Public example: 42.0 V becomes 48.5 V at −20 °C, 14 modules 679 V; the coefficient is implied.
    assert voltage_at_record_low(42.0, -20, -0.00344, 14) == pytest.approx(679, abs=1)


@pytest.mark.parametrize(
    ("coldest", "factor"), [(20, 1.02), (0, 1.10), (-0.5, 1.12), (-5, 1.12), (-6, 1.14), (-18, 1.18), (-40, 1.25)]
)
def test_cold_factors_of_the_code(coldest, factor):
    # NEC (NFPA 70, 2020) Table 690.7(A); rows −6…−10 and −16…−20 seen, others from memory. A public page
    # gives 1.10 for −5 °C, which is the row 4…0.
    assert cold_voltage_factor(coldest) == factor


def test_a_set_within_5_percent_of_its_mean_may_span_more():
    # By hand: the mean is 8.8, the farthest 8.4: 0.4/8.8 = 4.5 %; highest less lowest 0.6/8.8 = 6.8 %.
    values = [8.9, 9.0, 8.9, 8.4]
    assert spread_from_mean(values) == pytest.approx(0.4 / 8.8)
    assert (max(values) - min(values)) / 8.8 == pytest.approx(0.6 / 8.8)


def test_an_array_of_two_strings_of_three_by_hand():
    # 742 W/m², cells at 51 °C: 9.1 A · 0.742 · 1.013 = 6.840 A; 45.6 V · 0.9246 less 0.660 V of weak light = 41.502 V.
    current = short_circuit_current(9.1, 742, 51, 0.0005)
    voltage = open_circuit_voltage(45.6, 742, 51, -0.0029, 72, 1.1)
    assert array_current(current, 2) == pytest.approx(13.68, abs=0.005)
    assert string_voltage(voltage, 3) == pytest.approx(124.505, abs=0.005)


def test_like_strings_have_no_spread_and_order_does_not_matter():
    assert spread_from_mean([5.0, 5.0]) == 0
    assert spread_from_mean([1, 2, 6]) == spread_from_mean([6, 1, 2]) == pytest.approx(1)


CONDITIONS = {"irradiance": 742, "cell_temperature": 51, "coefficient": -0.003}
BAD_CONDITIONS = {
    "irradiance": [0, -1, inf],
    "cell_temperature": [-90.1, 150.1],
    "coefficient": [-0.008, 0.008, -0.29],
}
RATED = [0, -1, inf]
BOUNDS = [
    (short_circuit_current, {"rated_current": 9, **CONDITIONS}, {"rated_current": RATED, **BAD_CONDITIONS}),
    (maximum_power, {"rated_power": 400, **CONDITIONS}, {"rated_power": RATED, **BAD_CONDITIONS}),
    (
        open_circuit_voltage,
        {"rated_voltage": 45, **CONDITIONS, "cells_in_series": 72, "ideality": 1.1},
        {"rated_voltage": RATED, **BAD_CONDITIONS, "cells_in_series": [0.9, inf], "ideality": [0.4, 2.6]},
    ),
    (
        string_voltage,
        {"module_voltage": 45, "modules_in_series": 3},
        {"module_voltage": [-1, inf], "modules_in_series": [0, inf]},
    ),
    (array_current, {"string_current": 9, "strings": 2}, {"string_current": [-1, inf], "strings": [0, inf]}),
    (
        voltage_at_record_low,
        {"rated_voltage": 45, "record_low": -10, "coefficient": -0.003, "modules_in_series": 3},
        {
            "rated_voltage": RATED,
            "record_low": [-90.1, 25.1],
            "coefficient": [-0.008, 0.0001],
            "modules_in_series": [0, inf],
        },
    ),
    (cold_voltage_factor, {"record_low": -3}, {"record_low": [-40.1, 25]}),
    (
        most_modules_in_series,
        {"voltage_limit": 150, "module_voltage": 54},
        {"voltage_limit": [0, inf], "module_voltage": [0, inf]},
    ),
    (spread_from_mean, {"values": [9.0, 9.1]}, {"values": [[], [9.0], [9.0, nan], [9.0, inf], [-1, 1], [0, 0]]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
