"""Chlorine doses against printed dosing sheets."""

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from sizing.formulas.disinfection import (
    available_chlorine,
    bleach_volume,
    chlorine_demand,
    contact_product,
    dose_of_bleach,
    dose_of_granules,
    flushing_volume,
    granule_mass,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

GALLON, FLUID_OUNCE, OUNCE = 3.785411784e-3, 29.5735e-6, 0.0283495


def test_hypochlorite_counts_0_9525_as_chlorine():
    # California State Water Board, example chlorine dosage calculations, February 2018: factor 9525 per cent.
    assert available_chlorine(0.1) == pytest.approx(0.09525, abs=5e-6)


def test_dose_of_the_worked_examples():
    # Same sheet: 11 gal of 0.5 % in 40 000 gal gives 1.31 mg/L; 40 mL/min of 0.25 % in 35 gpm gives 0.72.
    assert dose_of_bleach(11, available_chlorine(0.005), 40_000) == pytest.approx(1.31, abs=6e-3)
    feed, water = 40e-6, 35 * GALLON
    assert dose_of_bleach(feed, available_chlorine(0.0025), water) == pytest.approx(0.72, abs=6e-3)


def test_table_of_a_state_code_for_an_eight_inch_well():
    # Indiana 327 IAC 8-3.4-24, table 24-1, 100 ft: 261.1 gal, 13.9 fl oz of 12 trade %, 2.7 oz of 65 %.
    water = 261.1 * GALLON
    assert bleach_volume(water, 50, 0.12) / FLUID_OUNCE == pytest.approx(13.9, abs=0.1)
    assert granule_mass(water, 50, 0.65) / OUNCE == pytest.approx(2.7, abs=0.06)


def test_pounds_per_million_gallons():
    # lb = mg/L · Mgal · 8.34, AWWA C651: 1 mg/L of pure chlorine in a million gallons is 8.34 lb.
    assert granule_mass(1e6 * GALLON, 1, 1) / 0.45359237 == pytest.approx(8.345, abs=6e-3)


@given(st.floats(0.01, 100), st.floats(0.1, 500), st.floats(0.01, 0.15))
def test_dose_and_amount_invert_each_other(water, dose, strength):
    assert dose_of_bleach(bleach_volume(water, dose, strength), strength, water) == pytest.approx(dose)
    assert dose_of_granules(granule_mass(water, dose, strength), strength, water) == pytest.approx(dose)


def test_demand_and_contact_product_by_hand():
    # 50 mg/L dosed, 38 mg/L left after 1440 min: 12 mg/L used, CT 54 720 mg·min/L.
    assert chlorine_demand(50, 38) == pytest.approx(12)
    assert contact_product(38, 1440) == pytest.approx(54_720)


def test_flushing_a_stirred_tank_follows_its_balance():
    inflow = 1e-3
    flushed = flushing_volume(2.0, 50, 4)

    def balance(_, residual):
        return -inflow / 2.0 * residual

    end = solve_ivp(balance, (0, flushed / inflow), [50], rtol=1e-9, atol=1e-9).y[0, -1]
    assert end == pytest.approx(4, rel=1e-5)


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
LIQUID, SOLID = [0, 0.21, inf], [0, 1.01, inf]
BOUNDS = [
    (available_chlorine, {"hypochlorite_strength": 0.05}, {"hypochlorite_strength": LIQUID}),
    (
        bleach_volume,
        {"water_volume": 1, "dose_mg_per_l": 50, "strength": 0.05},
        {"water_volume": NOT_NEGATIVE, "dose_mg_per_l": NOT_NEGATIVE, "strength": LIQUID},
    ),
    (
        granule_mass,
        {"water_volume": 1, "dose_mg_per_l": 50, "strength": 0.65},
        {"water_volume": NOT_NEGATIVE, "dose_mg_per_l": NOT_NEGATIVE, "strength": SOLID},
    ),
    (
        dose_of_bleach,
        {"bleach_volume": 1e-3, "strength": 0.05, "water_volume": 1},
        {"bleach_volume": NOT_NEGATIVE, "strength": LIQUID, "water_volume": POSITIVE},
    ),
    (
        dose_of_granules,
        {"mass": 0.1, "strength": 0.65, "water_volume": 1},
        {"mass": NOT_NEGATIVE, "strength": SOLID, "water_volume": POSITIVE},
    ),
    (
        chlorine_demand,
        {"dose_mg_per_l": 50, "residual_mg_per_l": 30},
        {"dose_mg_per_l": NOT_NEGATIVE, "residual_mg_per_l": [-1, 51]},
    ),
    (
        contact_product,
        {"residual_mg_per_l": 30, "minutes": 60},
        {"residual_mg_per_l": NOT_NEGATIVE, "minutes": NOT_NEGATIVE},
    ),
    (
        flushing_volume,
        {"water_volume": 1, "residual_mg_per_l": 50, "target_mg_per_l": 4},
        {"water_volume": POSITIVE, "residual_mg_per_l": POSITIVE, "target_mg_per_l": [0, 51, inf]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
