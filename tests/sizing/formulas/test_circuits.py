"""Circuits of battery, charger and inverter against hand calculation and the worked examples of the codes."""

import pytest

from sizing.formulas.circuits import (
    IEC_RATINGS,
    bank_fault_current,
    bank_voltage,
    greatest_charge_current,
    lost_share,
    next_iec_rating,
    string_fuse_least,
    string_fuse_most,
    summed_current,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_four_six_volt_blocks_make_a_24_volt_bank():
    assert bank_voltage(6.0, 4) == 24.0


def test_only_parallel_strings_add_fault_current():
    # Thévenin source by hand: 4 blocks of 6.3 V and 3 mΩ give 6.3 / 0.003 = 2100 A each; in 2 strings of 2 in
    # series the source is 12.6 V behind 3 mΩ: 4200 A at the posts.
    assert bank_fault_current(6.3 / 0.003, 2) == pytest.approx(12.6 / 0.003)


def test_users_add_up():
    assert summed_current((4.5, 0.5, 0.0)) == pytest.approx(5.0)


def test_charge_current_by_energy():
    # 600 W at 95 % into 24 V is 23.75 A; a 20 A controller cuts it off there
    assert greatest_charge_current(600, 0.95, 24, 30) == pytest.approx(23.75)
    assert greatest_charge_current(600, 0.95, 24, 20) == 20


def test_lost_share():
    assert lost_share(18, 600) == pytest.approx(0.03)


def test_string_fuse_window():
    # IEC 62548 (from memory): 9.5 A strings ask for 14.25 A or more, and 22.8 A or less; a module printed
    # "20 A" allows no more than that.
    assert string_fuse_least(9.5) == pytest.approx(14.25)
    assert string_fuse_most(9.5, 30) == pytest.approx(22.8)
    assert string_fuse_most(9.5, 20) == 20


@pytest.mark.parametrize(("current", "rating"), [(14.25, 16), (16, 16), (16.01, 20), (1, 2), (630, 630), (27, 32)])
def test_next_rating_of_the_iec_series(current, rating):
    assert next_iec_rating(current) == rating


def test_the_iec_series_rises():
    assert list(IEC_RATINGS) == sorted(set(IEC_RATINGS))


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (bank_voltage, {"block_voltage": 12.0, "blocks": 2}, {"block_voltage": [0], "blocks": [0.5]}),
        (bank_fault_current, {"block_current": 900.0, "strings": 2}, {"block_current": [0], "strings": [0]}),
        (
            greatest_charge_current,
            {"array_power": 600.0, "efficiency": 0.9, "battery_voltage": 24.0, "controller_limit": 30.0},
            {"array_power": [-1], "efficiency": [0, 1.01], "battery_voltage": [0], "controller_limit": [0]},
        ),
        (lost_share, {"loss": 1.0, "whole": 2.0}, {"loss": [-1], "whole": [0]}),
        (string_fuse_least, {"short_circuit_current": 5.0}, {"short_circuit_current": [0]}),
        (
            string_fuse_most,
            {"short_circuit_current": 5.0, "module_maximum": 15.0},
            {"short_circuit_current": [0], "module_maximum": [0]},
        ),
        (next_iec_rating, {"current": 5.0}, {"current": [0, 631]}),
        (summed_current, {"currents": (1.0,)}, {"currents": [(), (-1.0,)]}),
    ),
)
def test_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
