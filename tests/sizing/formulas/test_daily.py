"""A day as a whole, against integration by another library and hand calculation."""

import pytest
from scipy.integrate import quad

from sizing.formulas.daily import (
    daily_amount,
    days_of_energy,
    days_of_water,
    derated_array_power,
    energy_drawn,
    energy_left,
    half_sine_irradiance,
    half_sine_peak,
    summed_energy,
    time_on_energy,
    time_to_share_of_day,
    usable_energy,
    volume_of_slices,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

HOUR = 3600.0


def test_the_days_energy_is_kept():
    peak = half_sine_peak(4.5 * HOUR, 10 * HOUR)
    energy, _ = quad(lambda t: half_sine_irradiance(peak, t, 10 * HOUR), 0, 10 * HOUR)
    assert energy == pytest.approx(4.5 * HOUR * 1000, rel=1e-9)


def test_noon_is_the_peak_and_sunrise_nothing():
    assert half_sine_irradiance(700, 5 * HOUR, 10 * HOUR) == pytest.approx(700)
    assert half_sine_irradiance(700, 0, 10 * HOUR) == 0


def test_derated_power_by_hand():
    assert derated_array_power(600, 500, 0.8) == pytest.approx(240)


def test_slices_add_up():
    # 10 and 20 L/min, half an hour each: 900 L
    assert volume_of_slices((10 / 60_000, 20 / 60_000), 1800) == pytest.approx(0.9)


def test_days_of_a_store():
    assert days_of_water(12, 3) == 4
    assert days_of_energy(4.8e6, 2.4e6) == 2


def test_usable_energy_by_hand():
    # 200 A·h at 24 V to 50 %: 2.4 kWh
    assert usable_energy(200, 24, 0.5) == pytest.approx(2.4 * 3.6e6)


def test_energy_drawn_through_an_inverter():
    assert energy_drawn(90, 2 * HOUR, 0.9) == pytest.approx(200 * HOUR)
    assert summed_energy((1e5, 2e5)) == pytest.approx(3e5)


def test_running_time_by_hand():
    # 1 kWh runs 500 W for two hours; no day has more than 24 of them
    assert time_on_energy(3.6e6, 500) == pytest.approx(2 * HOUR)
    assert time_on_energy(3.6e6, 10) == 24 * HOUR


def test_what_others_take_is_not_left():
    assert energy_left(5e6, 2e6) == 3e6
    assert energy_left(1e6, 2e6) == 0


def test_an_amount_of_a_day_by_hand():
    # 3 kWh in 36 hours are 2 kWh a day
    assert daily_amount(3.0, 1.5 * 86_400) == pytest.approx(2.0)


@pytest.mark.parametrize("share", [0.0, 0.1, 0.35, 0.5, 0.8, 1.0])
def test_a_share_of_the_day_by_integration(share):
    daylight = 12.6 * 3600
    time = time_to_share_of_day(share, daylight)
    came, _ = quad(lambda t: half_sine_irradiance(1.0, min(t, daylight), daylight), 0, time)
    whole, _ = quad(lambda t: half_sine_irradiance(1.0, min(t, daylight), daylight), 0, daylight)
    assert came / whole == pytest.approx(share, abs=1e-9)


def test_half_the_day_has_come_at_noon():
    assert time_to_share_of_day(0.5, 40_000.0) == pytest.approx(20_000.0)


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (half_sine_peak, {"sun_hours": 1.0, "daylight": 10.0}, {"sun_hours": [-1], "daylight": [0, 86_401]}),
        (
            half_sine_irradiance,
            {"peak": 500.0, "time": 3.0, "daylight": 10.0},
            {"peak": [-1], "time": [-1, 11], "daylight": [0]},
        ),
        (
            derated_array_power,
            {"rated_power": 600.0, "irradiance": 500.0, "array_factor": 0.8},
            {"rated_power": [0], "irradiance": [-1], "array_factor": [0, 1.1]},
        ),
        (volume_of_slices, {"flows": (1.0,), "duration": 1.0}, {"flows": [(), (-1.0,)], "duration": [0]}),
        (days_of_water, {"store": 1.0, "daily_use": 1.0}, {"store": [-1], "daily_use": [0]}),
        (days_of_energy, {"store": 1.0, "daily_use": 1.0}, {"store": [-1], "daily_use": [0]}),
        (
            usable_energy,
            {"capacity": 100.0, "voltage": 12.0, "discharge_share": 0.5},
            {"capacity": [0], "voltage": [0], "discharge_share": [0, 1.1]},
        ),
        (
            energy_drawn,
            {"power": 100.0, "time": 60.0, "efficiency": 0.9},
            {"power": [-1], "time": [-1, 86_401], "efficiency": [0, 1.1]},
        ),
        (time_on_energy, {"energy": 1.0, "power": 1.0}, {"energy": [-1], "power": [0]}),
        (energy_left, {"energy": 1.0, "drawn": 1.0}, {"energy": [-1], "drawn": [-1]}),
        (daily_amount, {"amount": 1.0, "time": 60.0}, {"amount": [-1], "time": [0]}),
        (time_to_share_of_day, {"share": 0.5, "daylight": 100.0}, {"share": [-0.1, 1.1], "daylight": [0, 86_401]}),
        (summed_energy, {"energies": (1.0,)}, {"energies": [(), (-1.0,)]}),
    ),
)
def test_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
