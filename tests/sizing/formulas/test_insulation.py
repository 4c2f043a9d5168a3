"""Insulation tables and rules against printed rows."""

from math import inf

import pytest

from sizing.formulas.insulation import (
    MOTOR_IN_WELL,
    MOTOR_ON_BENCH,
    MotorBand,
    array_minimum_insulation,
    array_system_voltage,
    array_test_voltage,
    motor_band,
    motor_minimum_at,
    polarization_index,
    resistance_at_40,
    two_pole_resistance,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

MEGOHM = 1e6


@pytest.mark.parametrize(
    ("open_circuit", "test_voltage", "minimum"),
    [
        (95.9, 250, 0.5),
        (96.0, 500, 1.0),
        (120, 500, 1.0),
        (380, 500, 1.0),
        (400, 500, 1.0),
        (420, 1000, 1.0),
        (800, 1000, 1.0),
    ],
)
def test_rows_of_iec_62446(open_circuit, test_voltage, minimum):
    # IEC 62446-1:2016: below 120 V 250 V, 120 … 500 V 500 V, above 1000 V; minima from memory.
    system = array_system_voltage(open_circuit)
    assert array_test_voltage(system) == test_voltage
    assert array_minimum_insulation(system) == minimum * MEGOHM


def test_halving_rule():
    # IEEE 43: 3 MΩ at 70 °C are 24 MΩ at 40 °C, three halvings; 12 MΩ at 20 °C are 3 MΩ. By hand.
    assert resistance_at_40(3 * MEGOHM, 70) == pytest.approx(24 * MEGOHM)
    assert resistance_at_40(12 * MEGOHM, 20) == pytest.approx(3 * MEGOHM)
    assert resistance_at_40(7 * MEGOHM, 40) == 7 * MEGOHM


def test_a_printed_curve_reads_seven_where_the_formula_gives_eight():
    # A public page reads 7 off IEEE 43's curve at 70 °C and prints 21 MΩ: it does not reproduce.
    assert resistance_at_40(3 * MEGOHM, 70) != pytest.approx(21 * MEGOHM, rel=0.05)


def test_motor_minimum_turns_the_correction_round():
    assert motor_minimum_at(40) == 5 * MEGOHM
    assert resistance_at_40(motor_minimum_at(15), 15) == pytest.approx(5 * MEGOHM)


def test_polarization_index():
    # By hand: 200 / 80 = 2.5.
    assert polarization_index(80 * MEGOHM, 200 * MEGOHM) == pytest.approx(2.5)


def test_two_poles_in_parallel():
    # By hand: 6 ∥ 12 = 4.
    assert two_pole_resistance(6 * MEGOHM, 12 * MEGOHM) == pytest.approx(4 * MEGOHM)
    assert two_pole_resistance(5 * MEGOHM, 5e12) == pytest.approx(5 * MEGOHM, rel=1e-5)


@pytest.mark.parametrize(
    ("megohm", "in_well", "on_bench"),
    [
        (0.01, "failed", "not to be installed"),
        (0.2, "damage likely", "not to be installed"),
        (0.5, "good", "not to be installed"),
        (0.8, "good", "not to be installed"),
        (5.0, "new", "not to be installed"),
        (10.0, "new", "good"),
        (250.0, "new", "new"),
        (inf, "new", "new"),
    ],
)
def test_bands_of_submersible_motors(megohm, in_well, on_bench):
    # Application handbooks of submersible motors, three public copies.
    assert motor_band(megohm * MEGOHM, MOTOR_IN_WELL) == in_well
    assert motor_band(megohm * MEGOHM, MOTOR_ON_BENCH) == on_bench


BOUNDS = [
    (array_system_voltage, {"open_circuit_voltage": 120}, {"open_circuit_voltage": [0, inf]}),
    (array_test_voltage, {"system_voltage": 150}, {"system_voltage": [0, 1000.1, inf]}),
    (array_minimum_insulation, {"system_voltage": 150}, {"system_voltage": [0, 1000.1, inf]}),
    (
        resistance_at_40,
        {"resistance": MEGOHM, "temperature": 20},
        {"resistance": [0, inf], "temperature": [-20.1, 120.1]},
    ),
    (motor_minimum_at, {"temperature": 20}, {"temperature": [-20.1, 120.1]}),
    (
        polarization_index,
        {"one_minute": MEGOHM, "ten_minutes": MEGOHM},
        {"one_minute": [0, 5.1e9], "ten_minutes": [0, inf]},
    ),
    (
        two_pole_resistance,
        {"positive_to_earth": MEGOHM, "negative_to_earth": MEGOHM},
        {"positive_to_earth": [0, inf], "negative_to_earth": [0, inf]},
    ),
    (
        motor_band,
        {"resistance": MEGOHM, "bands": MOTOR_IN_WELL},
        {"resistance": [-1], "bands": [(), (MotorBand(1.0, "new"),)]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
