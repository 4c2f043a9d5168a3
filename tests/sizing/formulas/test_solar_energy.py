"""Daily energy of an array, by hand."""

from math import inf

import pytest

from sizing.formulas.solar_energy import array_power_for_energy, daily_array_energy
from tests.sizing.formulas.refusal import assert_refused, refusals

KWH = 3.6e6


def test_array_for_a_daily_lift():
    # By hand: 6 m³ by 45 m is 0.73575 kWh; / (5 h · 0.35 · 0.85) = 494.6 W.
    energy = 1000 * 9.81 * 6 * 45
    assert energy / KWH == pytest.approx(0.73575)
    assert array_power_for_energy(energy, 5 * 3600, 0.35, 0.85) == pytest.approx(494.6, abs=0.1)


def test_energy_and_array_turn_round():
    power = array_power_for_energy(2 * KWH, 4.41 * 3600, 0.35, 0.8)
    assert daily_array_energy(power, 4.41 * 3600, 0.35, 0.8) == pytest.approx(2 * KWH)


def test_volume_of_a_day():
    # By hand: 600 W · 4.41 h · 0.35 · 0.8 / (ρ·g·60 m) = 4.531 m³.
    assert daily_array_energy(600, 4.41 * 3600, 0.35, 0.8) / (999 * 9.80665 * 60) == pytest.approx(4.531, rel=0.003)


SHARES = {"efficiency": [0, 1.1], "array_factor": [0, 1.1]}
BOUNDS = [
    (
        array_power_for_energy,
        {"daily_energy": 1e6, "sun_hours": 18_000, "efficiency": 0.4, "array_factor": 0.8},
        {"daily_energy": [0, inf], "sun_hours": [0, 86_401], **SHARES},
    ),
    (
        daily_array_energy,
        {"rated_power": 600, "sun_hours": 18_000, "efficiency": 0.4, "array_factor": 0.8},
        {"rated_power": [0, inf], "sun_hours": [-1, 86_401], **SHARES},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
