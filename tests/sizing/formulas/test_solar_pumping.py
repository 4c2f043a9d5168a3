"""Power from array to pump, by hand and against pvlib."""

from math import inf, sqrt

import pvlib
import pytest

from sizing.formulas.photovoltaic import maximum_power
from sizing.formulas.solar_pumping import (
    array_power,
    controller_input_power,
    controller_output_power,
    direct_current_power,
    motor_cable_loss,
    power_after_loss,
    power_taken,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_array_power_of_modules_matches_pvwatts_of_the_whole():
    # pvlib's PVWatts model takes the array's power at standard conditions as a whole
    module = maximum_power(100.0, 900.0, 50.0, -0.0037)
    whole = pvlib.pvsystem.pvwatts_dc(900.0, 50.0, 600.0, -0.0037)
    assert array_power(module, 3, 2) == pytest.approx(whole)


def test_controller_in_and_out_undo_each_other():
    # 96 % of 500 W is 480 W
    assert controller_output_power(500, 0.96) == pytest.approx(480)
    assert controller_input_power(480, 0.96) == pytest.approx(500)


def test_direct_current_power_by_hand():
    assert direct_current_power(55.8, 8.6) == pytest.approx(479.88)


def test_more_than_the_rating_is_not_taken():
    assert power_taken(700, 600) == 600
    assert power_taken(430, 600) == 430
    assert power_taken(0, 600) == 0


def test_cable_loss_of_two_wires_is_current_squared_times_the_loop():
    # 480 W at 48 V are 10 A; a loop of 0.18 Ω takes 10² · 0.18 = 18 W
    assert motor_cable_loss(480, 48, 0.18, 2) == pytest.approx(18)


def test_cable_loss_of_three_wires_is_three_times_that_of_one():
    # I = P / (√3·U); ΔP = 3·I²·R, R half the loop
    current = 480 / (sqrt(3) * 48)
    assert motor_cable_loss(480, 48, 0.18, 3) == pytest.approx(3 * current**2 * 0.09)


def test_power_after_loss():
    assert power_after_loss(480, 18) == 462
    assert power_after_loss(18, 18) == 0


BOUNDS = (
    (
        array_power,
        {"module_power": 82.0, "modules_in_series": 3.0, "strings": 2.0},
        {"module_power": [-1.0], "modules_in_series": [0.0, inf], "strings": [0.5, inf]},
    ),
    (direct_current_power, {"voltage": 55.0, "current": 9.0}, {"voltage": [-1.0, inf], "current": [-1.0, inf]}),
    (
        controller_output_power,
        {"input_power": 500.0, "efficiency": 0.96},
        {"input_power": [-1.0], "efficiency": [0.0, 1.1]},
    ),
    (
        controller_input_power,
        {"output_power": 500.0, "efficiency": 0.96},
        {"output_power": [-1.0], "efficiency": [0.0, 1.1]},
    ),
    (
        power_taken,
        {"available_power": 500.0, "greatest_power": 600.0},
        {"available_power": [-1.0, inf], "greatest_power": [0.0, inf]},
    ),
    (
        motor_cable_loss,
        {"power": 480.0, "voltage": 48.0, "loop_resistance": 0.09, "wires": 3.0},
        {"power": [-1.0], "voltage": [0.0], "loop_resistance": [-0.1], "wires": [1, 4, 2.5]},
    ),
    (power_after_loss, {"power": 480.0, "loss": 18.0}, {"power": [-1.0, inf], "loss": [-1.0, 481.0]}),
)


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_refuses_what_is_out_of_range(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
