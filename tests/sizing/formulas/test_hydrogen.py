"""Hydrogen and ventilation against published constants."""

from math import inf

import pytest
from scipy import constants

from sizing.formulas.hydrogen import (
    VENTILATION_CONSTANT,
    hydrogen_volume,
    monthly_water_of_a_cell,
    vent_opening,
    ventilation_constant,
    ventilation_flow,
    water_decomposed,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_published_volumes_are_one_constant_at_three_temperatures():
    # EN 50272-2: 0.42 L/(A·h) at 0 °C; another ventilation rule 0.46 L; a battery manual 0.0158 ft³.
    assert hydrogen_volume(1, 0) * 1e3 == pytest.approx(0.42, abs=0.005)
    assert hydrogen_volume(1, 25) * 1e3 == pytest.approx(0.46, abs=0.005)
    assert hydrogen_volume(1, 20) / 0.3048**3 == pytest.approx(0.0158, abs=0.0001)


def test_faraday_by_the_constants_of_scipy():
    moles = 3600 / (2 * constants.value("Faraday constant"))
    assert hydrogen_volume(1, 25) == pytest.approx(moles * constants.R * 298.15 / constants.atm, rel=1e-6)


def test_ventilation_constants():
    # EN 50272-2: 24 · 0.42 · 5 = 0.05 m³/(A·h); Nordic form 0.017 L/s for each ampere and cell.
    assert ventilation_constant(24, 0.42e-3, 5) == pytest.approx(VENTILATION_CONSTANT, abs=0.001)
    assert ventilation_constant(26, 0.46e-3, 5) / 3600 * 1000 == pytest.approx(0.017, abs=0.0005)


def test_a_flooded_bank_of_48_volts_on_boost():
    # By hand from EN 50272-2: 0.05 · 24 · 0.020 · 420 = 10.08 m³/h, 28 · 10.08 = 282 cm².
    flow = ventilation_flow(24, 0.020, 420)
    assert flow * 3600 == pytest.approx(10.08)
    assert vent_opening(flow) * 1e4 == pytest.approx(282.2, abs=0.1)


def test_the_opening_passes_its_flow_at_the_speed_of_the_standard():
    # EN 50272-2: the area supposes air at 0.1 m/s or more.
    assert 1e-2 / vent_opening(1e-2) == pytest.approx(0.1, rel=0.01)


def test_water_of_an_ampere_hour():
    # 18.015 g/mol · 3600 / (2 · 96485) = 0.3361 g of water, published as 0.336 g for each A·h (battery handbooks)
    assert water_decomposed(1.0) * 998.2e3 == pytest.approx(0.3361, abs=1e-4)  # grams
    molar = 18.015e-3 / (2 * constants.N_A * constants.e)
    assert water_decomposed(250.0) == pytest.approx(250 * 3600 * molar / 998.2, rel=1e-9)


def test_water_of_a_cell_in_a_month_by_hand():
    # 0.9 L over 12 cells in 45 days: 50 mL in 30 days
    assert monthly_water_of_a_cell(9e-4, 12, 45 * 86_400) == pytest.approx(50e-6)


BOUNDS = [
    (hydrogen_volume, {"charge": 1, "temperature": 20}, {"charge": [-1, inf], "temperature": [-41, 81]}),
    (
        ventilation_constant,
        {"dilution": 24, "hydrogen": 4e-4, "safety": 5},
        {"dilution": [0.9, inf], "hydrogen": [0, inf], "safety": [0.9, inf]},
    ),
    (
        ventilation_flow,
        {"cells": 24, "gas_current": 0.02, "capacity": 420},
        {"cells": [0, inf], "gas_current": [0, inf], "capacity": [0, inf]},
    ),
    (water_decomposed, {"charge": 1}, {"charge": [-1, inf]}),
    (
        monthly_water_of_a_cell,
        {"water": 1e-3, "cells": 12, "time": 1e6},
        {"water": [-1, inf], "cells": [0, inf], "time": [0, inf]},
    ),
    (vent_opening, {"flow": 1e-2}, {"flow": [-1, inf]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
