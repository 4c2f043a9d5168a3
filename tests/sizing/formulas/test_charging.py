"""Set points and charge currents against worked examples."""

from math import inf

import pytest

from sizing.formulas.charging import (
    SET_POINTS,
    compensated_set_point,
    compensation_from_readings,
    net_battery_current,
    set_point_shift,
    switching_charge_current,
    time_to_charge,
    tracking_charge_current,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


@pytest.mark.parametrize(
    ("cell", "compensation", "temperature", "cells", "volts"),
    [
        (13.4 / 6, -0.005, 30, 6, 13.25),  # public encyclopaedia text on float voltage
        (2.40, -0.005, 35, 12, 28.20),  # gel bank of 24 V, by hand from a maker's −5 mV
        (2.30, -0.003, 35, 1, 2.27),  # public battery text: 2.30 at 25 °C, 2.27 at 35 °C, 2.33 at 15 °C
        (2.30, -0.003, 15, 1, 2.33),
    ],
)
def test_worked_set_points(cell, compensation, temperature, cells, volts):
    assert compensated_set_point(cell, compensation, temperature, cells) == pytest.approx(volts, abs=5e-4)


def test_shift_is_the_difference_from_25_degrees():
    # Encyclopaedia text: −0.15 V for six cells at 30 °C.
    assert set_point_shift(-0.005, 30, 6) == pytest.approx(-0.15)
    at_25 = compensated_set_point(2.25, -0.005, 25, 12)
    assert compensated_set_point(2.25, -0.005, 5, 12) - at_25 == pytest.approx(set_point_shift(-0.005, 5, 12))


def test_a_cold_battery_is_charged_higher():
    assert set_point_shift(-0.004, 0, 6) > 0 > set_point_shift(-0.004, 40, 6)


def test_compensation_comes_back_from_two_readings():
    warm, cold = (compensated_set_point(2.4, -0.004, t, 12) for t in (35, 10))
    assert compensation_from_readings(warm, 35, cold, 10, 12) == pytest.approx(-0.004)


def test_the_least_of_three_limits_the_charge():
    # By hand: 600 W · 0.95 / 28 V = 20.4 A, then the controller's 15 A, then the battery's 10 A.
    assert tracking_charge_current(600, 0.95, 28, 60, 40) == pytest.approx(20.357, abs=0.001)
    assert tracking_charge_current(600, 0.95, 28, 15, 40) == 15
    assert tracking_charge_current(600, 0.95, 28, 15, 10) == 10
    assert switching_charge_current(17, 30, 40) == 17
    assert switching_charge_current(17, 10, 40) == 10
    assert switching_charge_current(17, 30, 5) == 5


def test_time_and_net_current_by_hand():
    # 80 A·h out, 25 A in and 5 A to loads at 85 %: 80 / (20 · 0.85) = 4.71 h.
    net = net_battery_current(25, 5)
    assert net == 20
    assert time_to_charge(80, net, 0.85) / 3600 == pytest.approx(4.706, abs=0.001)


def test_set_points_of_the_kinds_are_in_order():
    # Makers' ranges: float below absorption; 4 cells of LiFePO4 charge to 14.0 … 14.6 V, 6 of gel to 14.1 … 14.4 V.
    for points in SET_POINTS.values():
        assert points.float_charge[1] < points.absorption[1]
    assert [4 * v for v in SET_POINTS["lithium iron phosphate"].absorption] == [14.0, 14.6]
    assert [6 * v for v in SET_POINTS["gel"].absorption] == pytest.approx([14.1, 14.4])


LIMIT = {"controller_limit": [0, inf], "battery_limit": [0, inf]}
POINT = {"compensation": -0.005, "temperature": 30, "cells": 6}
BAD_POINT = {"compensation": [-0.021, 0.001, -5], "temperature": [-41, 51], "cells": [0, inf]}
BOUNDS = [
    (compensated_set_point, {"cell_voltage": 2.4, **POINT}, {"cell_voltage": [0, inf], **BAD_POINT}),
    (set_point_shift, POINT, BAD_POINT),
    (
        tracking_charge_current,
        {
            "array_power": 600,
            "efficiency": 0.95,
            "battery_voltage": 28,
            "controller_limit": 30,
            "battery_limit": 40,
        },
        {"array_power": [-1, inf], "efficiency": [0, 1.1], "battery_voltage": [0, inf], **LIMIT},
    ),
    (
        switching_charge_current,
        {"array_current": 17, "controller_limit": 30, "battery_limit": 40},
        {"array_current": [-1, inf], **LIMIT},
    ),
    (
        time_to_charge,
        {"charge": 80, "current": 20, "charge_efficiency": 0.85},
        {"charge": [-1, inf], "current": [0, inf], "charge_efficiency": [0, 1.1]},
    ),
    (
        net_battery_current,
        {"charge_current": 25, "load_current": 5},
        {"charge_current": [-1, inf], "load_current": [-1, inf]},
    ),
    (
        compensation_from_readings,
        {
            "first_voltage": 28,
            "first_temperature": 30,
            "second_voltage": 29,
            "second_temperature": 10,
            "cells": 12,
        },
        {
            "first_voltage": [0, inf],
            "first_temperature": [-41, 51],
            "second_voltage": [0, inf],
            "second_temperature": [-41, 51, 30],
            "cells": [0, inf],
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
