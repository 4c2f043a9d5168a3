"""Tightness tests against printed allowances and IAPWS water."""

from math import inf

import pytest
from CoolProp.CoolProp import PropsSI

from sizing.formulas.leaks import (
    air_hold_pressure,
    leaked_volume,
    makeup_allowance,
    pipe_pressure_slope,
    pressure_fall,
    rigid_pressure_slope,
    unexplained_pressure_fall,
)
from sizing.formulas.water import compressibility, thermal_expansivity
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT, INCH, PSI, GALLON_PER_HOUR = 0.3048, 0.0254, 6894.757, 3.785411784e-3 / 3600

# AWWA C600 and C605-05 tables as reproduced in hydrotest procedures: inches, psi, US gal/h per 1000 ft.
ALLOWANCES = [(4, 150, 0.33), (6, 150, 0.50), (24, 150, 1.99), (12, 100, 0.81), (12, 150, 0.99)]


@pytest.mark.parametrize(("inches", "psi", "gallons"), ALLOWANCES)
def test_makeup_allowance_matches_the_printed_tables(inches, psi, gallons):
    allowance = makeup_allowance(1000 * FOOT, inches * INCH, psi * PSI) / GALLON_PER_HOUR
    assert allowance == pytest.approx(gallons, abs=6e-3)


# University water-structure data page (IAPWS): β/κ at 10, 20, 30 °C, kPa/K, computed from printed digits.
@pytest.mark.parametrize(("temperature", "slope"), [(10, 184), (20, 451), (30, 677)])
def test_rigid_slope_from_printed_water_data(temperature, slope):
    computed = rigid_pressure_slope(thermal_expansivity(temperature), compressibility(temperature))
    assert computed / 1000 == pytest.approx(slope, rel=5e-3)


def test_rigid_slope_is_that_of_water_heated_at_constant_density():
    density = PropsSI("D", "T", 293.15, "P", 5e5, "Water")
    warmed = PropsSI("P", "T", 293.65, "D", density, "Water")
    expected = (warmed - 5e5) / 0.5
    assert rigid_pressure_slope(thermal_expansivity(20.25), compressibility(20.25)) == pytest.approx(expected, rel=0.01)


def test_free_pvc_loses_pressure_as_it_warms_in_cold_ground():
    # (8.79e-5 − 3·5.4e-5)/(4.78e-10 + 10/2.76e9) = −18.1 kPa/K by hand.
    slope = pipe_pressure_slope(8.79e-5, 4.78e-10, 5.4e-5, 2.76e9, 10)
    assert slope == pytest.approx(-18_068, rel=1e-3)


def test_a_stiff_pipe_approaches_the_rigid_slope():
    assert pipe_pressure_slope(2.07e-4, 4.59e-10, 0, 1e18, 10) == pytest.approx(
        rigid_pressure_slope(2.07e-4, 4.59e-10), rel=1e-6
    )


def test_cooling_explains_a_fall_and_warming_hides_one():
    fall = pressure_fall(500_000, 420_000)
    assert fall == 80_000
    assert unexplained_pressure_fall(fall, 40_000, -2) == pytest.approx(0)
    assert unexplained_pressure_fall(0, 40_000, 1) == pytest.approx(40_000)


def test_leaked_volume_brings_the_pressure_down_again():
    # The same line heated by ΔT and then relieved of the swollen water is back where it was.
    kappa, modulus, ratio = 4.78e-10, 2.76e9, 20
    rise = pipe_pressure_slope(2e-4, kappa, 0, modulus, ratio) * 3
    assert leaked_volume(0.05, rise, kappa, modulus, ratio) == pytest.approx(0.05 * 2e-4 * 3)


def test_air_hold_of_fifty_psi_through_a_cool_night():
    # 64.7 psi · (514.67/534.67 °R) − 14.7 = 47.58 psi by hand, 75 to 55 °F.
    end = air_hold_pressure(50 * PSI, 23.8889, 12.7778, 14.7 * PSI)
    assert end / PSI == pytest.approx(47.58, abs=0.005)


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
PIPE = {"compressibility": POSITIVE, "pipe_modulus": POSITIVE, "diameter_over_wall": [2, inf]}
BOUNDS = [
    (
        makeup_allowance,
        {"length": 300, "nominal_diameter": 0.1, "test_pressure_gauge": 1e6},
        {"length": NOT_NEGATIVE, "nominal_diameter": POSITIVE, "test_pressure_gauge": NOT_NEGATIVE},
    ),
    (
        rigid_pressure_slope,
        {"expansivity": 2e-4, "compressibility": 4.6e-10},
        {"expansivity": [inf], "compressibility": POSITIVE},
    ),
    (
        pipe_pressure_slope,
        {
            "expansivity": 2e-4,
            "compressibility": 4.6e-10,
            "pipe_expansion": 5e-5,
            "pipe_modulus": 2.8e9,
            "diameter_over_wall": 20,
        },
        {**PIPE, "expansivity": [-inf], "pipe_expansion": NOT_NEGATIVE},
    ),
    (
        pressure_fall,
        {"start_pressure": 5e5, "end_pressure": 4e5},
        {"start_pressure": [inf], "end_pressure": [-inf]},
    ),
    (
        unexplained_pressure_fall,
        {"pressure_fall": 1e4, "pressure_slope": 4e4, "temperature_change": -1},
        {"pressure_fall": [inf], "pressure_slope": [inf], "temperature_change": [inf]},
    ),
    (
        leaked_volume,
        {
            "line_volume": 0.05,
            "pressure_fall": 1e4,
            "compressibility": 4.6e-10,
            "pipe_modulus": 2.8e9,
            "diameter_over_wall": 20,
        },
        {**PIPE, "line_volume": POSITIVE, "pressure_fall": NOT_NEGATIVE},
    ),
    (
        air_hold_pressure,
        {"start_pressure_gauge": 3e5, "start_temperature": 20, "end_temperature": 10, "atmosphere": 1e5},
        {
            "start_pressure_gauge": NOT_NEGATIVE,
            "start_temperature": [-273.15, inf],
            "end_temperature": [-273.15, inf],
            "atmosphere": POSITIVE,
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
