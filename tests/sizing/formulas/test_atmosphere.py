"""Air pressure by altitude against the printed standard atmosphere."""

from math import inf

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from sizing.formulas.atmosphere import absolute_pressure, atmospheric_pressure
from tests.sizing.formulas.refusal import assert_refused, refusals

PUBLISHED = [  # altitude [m], pressure [Pa], half a unit of the last printed digit, source
    (0, 101_325, 0.5, "U.S. Standard Atmosphere 1976, base of layer 0"),
    (500, 95_460, 5, "U.S. Standard Atmosphere 1976, table 1 by geopotential altitude"),
    (2000, 79_500, 5, "U.S. Standard Atmosphere 1976, table 1 by geopotential altitude"),
    (11_000, 22_632.1, 0.05, "U.S. Standard Atmosphere 1976, base of layer 1"),
]


@pytest.mark.parametrize(("altitude", "pressure", "abs_tol", "source"), PUBLISHED)
def test_atmospheric_pressure_matches_published(altitude, pressure, abs_tol, source):
    assert atmospheric_pressure(altitude) == pytest.approx(pressure, abs=abs_tol), source


@pytest.mark.parametrize("altitude", [-500, 0, 1609, 3000, 5000])
def test_map_height_serves_for_geopotential_height(altitude):
    # fluids takes the geometric height; the two differ by h²/R, 4 m in 5 km.
    assert atmospheric_pressure(altitude) == pytest.approx(ATMOSPHERE_1976(altitude).P, rel=7e-4)


def test_pressure_falls_with_altitude():
    heights = range(-1000, 11_001, 500)
    pressures = [atmospheric_pressure(height) for height in heights]
    assert pressures == sorted(pressures, reverse=True)


def test_gauge_zero_is_the_air_itself():
    assert absolute_pressure(0, 84_000) == 84_000
    assert absolute_pressure(-84_000, 84_000) == 0


BOUNDS = [
    (atmospheric_pressure, {"altitude": 0}, {"altitude": [-1001, 11_001, inf]}),
    (
        absolute_pressure,
        {"gauge_pressure": 2e5, "atmosphere": 1e5},
        {"gauge_pressure": [-100_001, inf], "atmosphere": [0, -1, inf]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
