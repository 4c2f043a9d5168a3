"""Running time, sag and capacity against worked examples."""

from math import inf, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.formulas.battery import (
    battery_voltage,
    capacity_fraction,
    charge_delivered,
    greatest_difference,
    internal_resistance,
    peukert_exponent,
    running_time,
    sagged_voltage,
    short_circuit_current,
    unloaded_voltage,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

HOUR = 3600.0


@pytest.mark.parametrize(("capacity", "exponent", "current", "hours"), [(100, 1.2, 5, 14.5), (250, 1.3, 20, 5.0886)])
def test_peukert_with_the_one_ampere_capacity(capacity, exponent, current, hours):
    # Public pages, t = C/I^k. C at 1 A is a rating of C hours. Both pages call it the 20 h rating, wrongly.
    time = running_time(capacity, capacity * HOUR, current, exponent)
    assert time / HOUR == pytest.approx(hours, abs=0.05)


def test_peukert_at_the_rated_time():
    # By hand: 100 A·h at 20 h, k 1.2: 5 A 20 h, 10 A 20/2^1.2 = 8.706 h, 87.06 A·h.
    assert running_time(100, 20 * HOUR, 5, 1.2) == pytest.approx(20 * HOUR)
    time = running_time(100, 20 * HOUR, 10, 1.2)
    assert time / HOUR == pytest.approx(8.706, abs=0.001)
    assert charge_delivered(10, time) == pytest.approx(87.06, abs=0.01)


@settings(deadline=None)  # a busy machine is no failure
@given(st.floats(1.05, 1.4), st.floats(1, 20), st.floats(21, 80))
def test_the_exponent_comes_back_from_two_discharges(exponent, slow, fast):
    times = [running_time(100, 20 * HOUR, current, exponent) for current in (slow, fast)]
    assert peukert_exponent(slow, times[0], fast, times[1]) == pytest.approx(exponent)


def test_exponent_of_a_data_sheet():
    # By hand: ln(6.2/20) / ln(5/13.5) = 1.1791.
    assert peukert_exponent(5, 20 * HOUR, 13.5, 6.2 * HOUR) == pytest.approx(1.1791, abs=5e-5)


def test_capacity_of_a_test_discharge():
    # By hand: 4.1 of 5 h is 82 %.
    assert capacity_fraction(4.1 * HOUR, 5 * HOUR) == pytest.approx(0.82)


def test_spread_of_gravities():
    # By hand: 1.265 − 1.238 = 0.027, over the 0.025 of US Army TM 9-6140-200-14.
    assert greatest_difference([1.265, 1.262, 1.238, 1.260, 1.264, 1.261]) == pytest.approx(0.027)


def test_sag_gives_the_resistance_back():
    # By hand: 12.6 to 12.1 V under 50 A: 10 mΩ, 1260 A into a short.
    resistance = internal_resistance(12.6, 12.1, 50)
    assert resistance == pytest.approx(0.010)
    assert sagged_voltage(12.6, 50, resistance) == pytest.approx(12.1)
    assert short_circuit_current(12.6, resistance) == pytest.approx(1260)
    assert sagged_voltage(12.6, 1259.9999, resistance) == pytest.approx(0, abs=1e-4)


def test_four_lithium_cells_make_a_twelve_volt_pack():
    # Public battery page: 3.40 V cells settle at 13.6 V for four.
    assert battery_voltage(3.40, 4) == pytest.approx(13.6)


def test_unloaded_is_sagged_turned_round():
    # 24.9 V with 20 A through 12 mΩ: 25.14 V
    assert unloaded_voltage(24.9, 20.0, 0.012) == pytest.approx(25.14)
    assert sagged_voltage(unloaded_voltage(24.9, 20.0, 0.012), 20.0, 0.012) == pytest.approx(24.9)


BOUNDS = [
    (
        unloaded_voltage,
        {"voltage": 24.9, "current": 20, "resistance": 0.012},
        {"voltage": [0, inf], "current": [-1, inf], "resistance": [-1, inf]},
    ),
    (
        running_time,
        {"capacity": 100, "rated_time": 72_000, "current": 5, "exponent": 1.2},
        {"capacity": [0, inf], "rated_time": [0, inf], "current": [0, inf], "exponent": [0.9, 2.1]},
    ),
    (charge_delivered, {"current": 5, "duration": 3600}, {"current": [-1, inf], "duration": [-1, inf]}),
    (
        peukert_exponent,
        {"first_current": 5, "first_time": 72_000, "second_current": 10, "second_time": 30_000},
        {"first_current": [0, inf], "first_time": [0, inf], "second_current": [0, 5, inf], "second_time": [0, inf]},
    ),
    (capacity_fraction, {"test_time": 4, "rated_time": 5}, {"test_time": [0, inf], "rated_time": [0, inf]}),
    (greatest_difference, {"values": [1.2, 1.3]}, {"values": [[], [1.2], [1.2, nan], [1.2, inf]]}),
    (
        internal_resistance,
        {"rest_voltage": 12.6, "load_voltage": 12.1, "current": 50},
        {"rest_voltage": [0, inf], "load_voltage": [-1, 12.7], "current": [0, inf]},
    ),
    (
        sagged_voltage,
        {"rest_voltage": 12.6, "current": 50, "resistance": 0.01},
        {"rest_voltage": [0, inf], "current": [-1, 1261, inf], "resistance": [-1, inf]},
    ),
    (
        short_circuit_current,
        {"rest_voltage": 12.6, "resistance": 0.01},
        {"rest_voltage": [0, inf], "resistance": [0, inf]},
    ),
    (battery_voltage, {"cell_voltage": 2.1, "cells": 6}, {"cell_voltage": [-1, inf], "cells": [0, inf]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
