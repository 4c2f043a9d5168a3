"""Tilted planes and whole days against pvlib."""

from datetime import UTC, datetime
from math import cos, inf, radians

import pandas as pd
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib import irradiance as reference

from sizing.formulas.irradiance import (
    angle_of_cosine,
    clear_sky_irradiation,
    clear_sky_plane_irradiance,
    day_of_year,
    full_sun_time,
    incidence_cosine,
    irradiation,
    plane_of_array_hay_davies,
    plane_of_array_isotropic,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

tilts = st.floats(min_value=0, max_value=90)
azimuths = st.floats(min_value=0, max_value=360)
heights = st.floats(min_value=1.5, max_value=90)


@settings(deadline=None)  # a busy machine is no failure
@given(tilts, azimuths, heights, azimuths)
def test_incidence_agrees_with_pvlib(tilt, azimuth, height, sun):
    expected = reference.aoi_projection(tilt, azimuth, 90 - height, sun)
    assert incidence_cosine(tilt, azimuth, height, sun) == pytest.approx(expected, abs=1e-9)


@settings(deadline=None)
@given(tilts, azimuths, heights, azimuths, st.sampled_from([(700, 120), (0, 200), (950, 60)]))
def test_tilted_irradiance_agrees_with_pvlib(tilt, azimuth, height, sun, sky):
    direct, diffuse = sky
    whole = direct * cos(radians(90 - height)) + diffuse
    cosine = incidence_cosine(tilt, azimuth, height, sun)
    even = plane_of_array_isotropic(direct, diffuse, whole, cosine, tilt, 0.2)
    bright = plane_of_array_hay_davies(direct, diffuse, whole, 1367, cosine, height, tilt, 0.2)
    for model, mine in (("isotropic", even), ("haydavies", bright)):
        theirs = reference.get_total_irradiance(
            tilt, azimuth, 90 - height, sun, direct, whole, diffuse, dni_extra=1367, albedo=0.2, model=model
        )
        assert mine == pytest.approx(float(theirs["poa_global"]), abs=1e-6)


def test_a_flat_plane_sees_the_horizontal():
    assert plane_of_array_isotropic(700, 120, 656, 0.766, 0, 0.2) == pytest.approx(700 * 0.766 + 120)


def test_incidence_of_the_nrel_example():
    # NREL/TP-560-34302 (2008), Table A5.1: slope 30°, azimuth −10° counted west from south, which is
    # 170° from north: 25.187°. Taken as 190° it would be 20.29°.
    assert angle_of_cosine(incidence_cosine(30, 170, 90 - 50.11162, 194.34024)) == pytest.approx(25.187, abs=0.001)
    assert angle_of_cosine(incidence_cosine(30, 190, 90 - 50.11162, 194.34024)) == pytest.approx(20.29, abs=0.01)


PLACES = [(35.0, -112.0, 1500, 30, 180), (-1.29, 36.82, 1700, 10, 0), (-33.9, 18.4, 50, 35, 10), (52, 5, 0, 60, 150)]


def _pvlib_day(start: datetime, place: tuple[float, ...]) -> pd.Series:
    """Hay-Davies on the plane, every ten minutes of a day, by pvlib's own chain."""
    latitude, longitude, altitude, tilt, azimuth = place
    times = pd.date_range(start, periods=144, freq="10min") + pd.Timedelta("5min")
    pressure = pvlib.atmosphere.alt2pres(altitude)
    sun = pvlib.solarposition.spa_python(times, latitude, longitude, altitude, pressure, 12)
    outside = reference.get_extra_radiation(times, solar_constant=1361, method="spencer")
    relative = pvlib.atmosphere.get_relative_airmass(sun["apparent_zenith"])
    mass = pvlib.atmosphere.get_absolute_airmass(relative, pressure)
    sky = pvlib.clearsky.ineichen(sun["apparent_zenith"], mass, 3, altitude, dni_extra=outside)
    plane = reference.get_total_irradiance(
        tilt, azimuth, sun["apparent_zenith"], sun["azimuth"], sky["dni"], sky["ghi"], sky["dhi"],
        dni_extra=outside, albedo=0.2, model="haydavies",
    )  # fmt: skip
    return plane["poa_global"].fillna(0)


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("month", [3, 6, 12])
def test_a_clear_day_on_a_tilted_plane_agrees_with_pvlib(place, month):
    start = datetime(2024, month, 20, tzinfo=UTC)
    latitude, longitude, altitude, tilt, azimuth = place
    expected = _pvlib_day(start, place)
    for moment, theirs in list(expected.items())[::7]:
        mine = clear_sky_plane_irradiance(
            moment.timestamp(), latitude, longitude, altitude, tilt, azimuth, linke_turbidity=3, albedo=0.2
        )
        assert mine == pytest.approx(theirs, abs=1.0)
    day = clear_sky_irradiation(start.timestamp(), latitude, longitude, altitude, tilt, azimuth, 3, 0.2)
    assert day == pytest.approx(600 * expected.sum(), rel=1e-3)


def test_five_kilowatt_hours_are_five_hours_of_full_sun():
    assert full_sun_time(irradiation([500] * 10, 3600)) == 5 * 3600


def test_days_are_counted_from_one():
    assert day_of_year(datetime(2024, 1, 1, 5, tzinfo=UTC).timestamp()) == 1
    assert day_of_year(datetime(2024, 12, 31, 5, tzinfo=UTC).timestamp()) == 366


NOW = datetime(2024, 6, 21, 12, tzinfo=UTC).timestamp()
PLANE = {"latitude": 35, "longitude": 10, "altitude": 100, "tilt": 30, "azimuth": 180}
CLEAR = {"unix_time": NOW, **PLANE, "linke_turbidity": 3, "albedo": 0.2}
BAD_CLEAR = {
    "unix_time": [-7e8, 3e9],
    "latitude": [-90.1, 90.1],
    "longitude": [-180.1, 180.1],
    "altitude": [-501, 6001],
    "tilt": [-0.1, 180.1],
    "azimuth": [-361, 361],
    "linke_turbidity": [0.9, 10.1],
    "albedo": [-0.1, 1.1],
}
LIGHT = {"direct_normal": 700, "diffuse_horizontal": 120, "global_horizontal": 650}
BAD_LIGHT = {
    "direct_normal": [-1, inf],
    "diffuse_horizontal": [-1, inf],
    "global_horizontal": [-1, inf],
    "incidence_cosine": [-1.1, 1.1],
    "tilt": [-0.1, 180.1],
    "albedo": [-0.1, 1.1],
}
BOUNDS = [
    (
        incidence_cosine,
        {"tilt": 30, "azimuth": 180, "elevation": 40, "sun_azimuth": 190},
        {"tilt": [-0.1, 180.1], "azimuth": [-361, 361], "elevation": [-91, 91], "sun_azimuth": [-361, 361]},
    ),
    (plane_of_array_isotropic, {**LIGHT, "incidence_cosine": 0.8, "tilt": 30, "albedo": 0.2}, BAD_LIGHT),
    (
        plane_of_array_hay_davies,
        {**LIGHT, "extraterrestrial": 1361, "incidence_cosine": 0.8, "elevation": 40, "tilt": 30, "albedo": 0.2},
        {**BAD_LIGHT, "extraterrestrial": [0, 699, inf], "elevation": [0.9, 90.1]},
    ),
    (day_of_year, {"unix_time": NOW}, {"unix_time": [-7e8, 3e9]}),
    (clear_sky_plane_irradiance, CLEAR, BAD_CLEAR),
    (clear_sky_irradiation, CLEAR, BAD_CLEAR),
    (
        irradiation,
        {"irradiances": [500, 600], "interval": 600},
        {"irradiances": [[], [-1], [inf], [float("nan")]], "interval": [0, inf]},
    ),
    (full_sun_time, {"irradiation": 1e7}, {"irradiation": [-1, inf]}),
    (angle_of_cosine, {"cosine": 0.5}, {"cosine": [-1.1, 1.1]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)


def test_air_so_thin_that_it_would_add_to_the_sun_is_refused():
    """Ineichen & Perez give b = 0.664 + 0.163 / exp(−z / 8000 m): above 1 from 5788 m on, where turbidity is 1."""
    sky = {"unix_time": 1718971200.0, "latitude": 35, "longitude": 10, "tilt": 11, "azimuth": 166, "albedo": 0.2}
    assert clear_sky_plane_irradiance(**sky, altitude=5700, linke_turbidity=1) > 0
    assert_refused(clear_sky_plane_irradiance, {**sky, "altitude": 6000, "linke_turbidity": 1}, "linke_turbidity")
    assert clear_sky_plane_irradiance(**sky, altitude=6000, linke_turbidity=1.5) > 0
