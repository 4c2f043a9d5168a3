"""Clear-sky models against pvlib's own writing of the same papers."""

from math import inf, radians, sin

import pandas as pd
import pytest
from pvlib import atmosphere, clearsky, irradiance

from sizing.formulas.clear_sky import (
    air_mass,
    clear_sky_direct_normal,
    clear_sky_global,
    clear_sky_horizontal,
    diffuse_fraction,
    irradiance_through_cloud,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

HEIGHTS = [2, 5, 10, 20, 35, 50, 70, 90]


@pytest.mark.parametrize("height", HEIGHTS)
def test_haurwitz_agrees_with_pvlib(height):
    expected = clearsky.haurwitz(pd.Series([90.0 - height]))["ghi"].iloc[0]
    assert clear_sky_horizontal(height) == pytest.approx(expected, rel=1e-9)


def test_no_light_under_the_horizon():
    assert clear_sky_horizontal(0) == 0
    assert clear_sky_horizontal(-10) == 0


@pytest.mark.parametrize("height", HEIGHTS)
def test_air_mass_agrees_with_pvlib(height):
    relative = atmosphere.get_relative_airmass(90 - height, model="kastenyoung1989")
    assert air_mass(height, 82_000) == pytest.approx(atmosphere.get_absolute_airmass(relative, 82_000), rel=1e-9)


@pytest.mark.parametrize("height", HEIGHTS)
@pytest.mark.parametrize(("turbidity", "altitude"), [(2, 0), (3, 500), (5, 1700), (8, 3000)])
def test_clear_sky_agrees_with_pvlib(height, turbidity, altitude):
    mass = air_mass(height, 90_000)
    expected = clearsky.ineichen(90 - height, mass, turbidity, altitude=altitude, dni_extra=1364)
    whole = clear_sky_global(height, mass, turbidity, altitude, 1364)
    direct = clear_sky_direct_normal(height, mass, turbidity, altitude, 1364)
    assert whole == pytest.approx(float(expected["ghi"]), rel=1e-9)
    assert direct == pytest.approx(float(expected["dni"]), rel=1e-9)
    assert whole - direct * sin(radians(height)) > 0


def test_haze_takes_light_and_height_gives_it():
    clean, hazy = (clear_sky_global(40, 1.5, turbidity, 0, 1361) for turbidity in (2, 6))
    assert clean > hazy
    assert clear_sky_global(40, 1.5, 3, 2000, 1361) > clear_sky_global(40, 1.5, 3, 0, 1361)


@pytest.mark.parametrize("clearness", [0.05, 0.2, 0.3, 0.5, 0.7, 0.79, 0.82])
def test_diffuse_fraction_agrees_with_pvlib(clearness):
    # pvlib's erbs at zenith 40°, with the clearness put in through the horizontal irradiance.
    outside = irradiance.get_extra_radiation(100) * sin(radians(50))
    expected = irradiance.erbs(clearness * outside, 40, 100)
    assert diffuse_fraction(clearness) == pytest.approx(expected["dhi"] / (clearness * outside), rel=1e-6)


def test_an_overcast_sky_is_all_diffuse():
    assert diffuse_fraction(0) == 1


def test_clear_sky_index_turns_round_as_in_pvlib():
    # pvlib's clearsky_index is measured over clear sky.
    assert irradiance.clearsky_index(irradiance_through_cloud(900, 0.65), 900) == pytest.approx(0.65)


SKY = {"elevation": 40, "air_mass": 1.5, "linke_turbidity": 3, "altitude": 500, "extraterrestrial": 1361}
BAD_SKY = {
    "elevation": [0, -5, 90.1],
    "air_mass": [0, inf],
    "linke_turbidity": [0.9, 10.1],
    "altitude": [-501, 6001],
    "extraterrestrial": [0, inf],
}
BOUNDS = [
    (clear_sky_horizontal, {"elevation": 40}, {"elevation": [-90.1, 90.1]}),
    (air_mass, {"elevation": 40, "pressure": 9e4}, {"elevation": [-1.1, 90.1], "pressure": [0, 110_001]}),
    (clear_sky_global, SKY, BAD_SKY),
    (clear_sky_direct_normal, SKY, BAD_SKY),
    (
        irradiance_through_cloud,
        {"clear_sky": 900, "clear_sky_index": 0.7},
        {"clear_sky": [-1, inf], "clear_sky_index": [-0.1, 1.4]},
    ),
    (diffuse_fraction, {"clearness": 0.5}, {"clearness": [-0.1, 1.1]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
