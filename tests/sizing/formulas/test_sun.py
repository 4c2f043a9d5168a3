"""The sun's place against the worked example of the NREL algorithm and against pvlib."""

from datetime import UTC, datetime
from math import inf

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib import solarposition

from sizing.errors import OutOfRangeError
from sizing.formulas.sun import (
    apparent_elevation,
    azimuth_at_hour_angle,
    declination_of_day,
    elevation_at_hour_angle,
    equation_of_time,
    hour_angle,
    hour_angle_of_clock,
    solar_declination,
    solar_noon,
    sun_azimuth,
    sun_elevation,
    sunrise,
    sunset,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

# NREL/TP-560-34302 (2008), Table A5.1: 2003-10-17 12:30:30, UTC−7.
NREL_MOMENT = datetime.fromisoformat("2003-10-17T12:30:30-07:00").timestamp()
NREL_LATITUDE, NREL_LONGITUDE = 39.742476, -105.1786

moments = st.floats(min_value=datetime(1990, 1, 1, tzinfo=UTC).timestamp(), max_value=2_500_000_000)
latitudes = st.floats(min_value=-89, max_value=89)
longitudes = st.floats(min_value=-180, max_value=180)


def _nrel(moment: float, latitude: float, longitude: float) -> pd.Series:
    times = pd.DatetimeIndex([datetime.fromtimestamp(round(moment), UTC)])
    return solarposition.spa_python(times, latitude, longitude).iloc[0]


def test_the_worked_example_of_the_nrel_report():
    # Table A5.1: zenith 50.11162°, azimuth 194.34024°, at 820 mbar and 11 °C.
    height = sun_elevation(NREL_MOMENT, NREL_LATITUDE, NREL_LONGITUDE)
    assert 90 - apparent_elevation(height, 82_000, 11) == pytest.approx(50.11162, abs=0.02)
    assert sun_azimuth(NREL_MOMENT, NREL_LATITUDE, NREL_LONGITUDE) == pytest.approx(194.34024, abs=0.02)


def test_parts_of_the_nrel_example():
    # Table A5.1: declination −9.31434° (topocentric −9.316179), hour angle 11.105902°, E 14.641503 min.
    assert solar_declination(NREL_MOMENT) == pytest.approx(-9.31434, abs=0.01)
    assert hour_angle(NREL_MOMENT, NREL_LONGITUDE) == pytest.approx(11.105902, abs=0.02)
    assert equation_of_time(NREL_MOMENT) == pytest.approx(14.641503 * 60, abs=6)


def test_rise_noon_and_set_of_the_nrel_example():
    # Table A5.1: sunrise 06:12:43, transit 11:46:05 of 17 October. The report's sunset 17:20:19 is the
    # one within the universal day, the evening of 16 October by the clock of the place.
    morning = datetime.fromisoformat("2003-10-17T06:12:43-07:00").timestamp()
    noon = datetime.fromisoformat("2003-10-17T11:46:05-07:00").timestamp()
    evening = datetime.fromisoformat("2003-10-16T17:20:19-07:00").timestamp()
    assert sunrise(NREL_MOMENT, NREL_LATITUDE, NREL_LONGITUDE) == pytest.approx(morning, abs=10)
    assert solar_noon(NREL_MOMENT, NREL_LONGITUDE) == pytest.approx(noon, abs=10)
    assert sunset(NREL_MOMENT - 86_400, NREL_LATITUDE, NREL_LONGITUDE) == pytest.approx(evening, abs=10)


@settings(deadline=None)  # a busy machine is no failure
@given(moments, latitudes, longitudes)
def test_elevation_agrees_with_the_nrel_algorithm_anywhere(moment, latitude, longitude):
    # pvlib, NREL solar position algorithm.
    height = _nrel(moment, latitude, longitude)["elevation"]
    assert sun_elevation(round(moment), latitude, longitude) == pytest.approx(height, abs=0.02)


@settings(deadline=None)
@given(moments, latitudes, longitudes)
def test_azimuth_agrees_with_the_nrel_algorithm_anywhere(moment, latitude, longitude):
    # pvlib, NREL solar position algorithm; 0.03° of great circle, which is more in azimuth near the zenith.
    place = _nrel(moment, latitude, longitude)
    apart = (sun_azimuth(round(moment), latitude, longitude) - place["azimuth"] + 180) % 360 - 180
    reach = max(1e-3, (1 - (place["elevation"] / 90) ** 2) ** 0.5)
    assert abs(apart) * reach < 0.05


def test_refraction_is_34_minutes_of_arc_on_the_horizon():
    # The usual 34′ at 1010 hPa and 10 °C; here for the true elevation −34′ that is seen at 0°.
    assert apparent_elevation(-34 / 60, 101_000, 10) == pytest.approx(0, abs=0.03)
    assert apparent_elevation(90, 101_000, 10) == pytest.approx(90, abs=0.001)


def test_a_textbook_afternoon_by_hand():
    # Duffie & Beckman, example 1.6.2a: 43° N, 13 February 9:30 solar time: δ −14°, zenith 66.5°,
    # azimuth 40.0° east of south. From memory.
    declination = declination_of_day(44)
    assert declination == pytest.approx(-14, abs=0.1)
    assert 90 - elevation_at_hour_angle(43, declination, -37.5) == pytest.approx(66.5, abs=0.1)
    assert azimuth_at_hour_angle(43, declination, -37.5) == pytest.approx(180 - 40.0, abs=0.3)


def test_clock_time_becomes_solar_time():
    # Duffie & Beckman, example 1.5.1: 89.4° W, zone 90° W, 10:30, E −13.5 min: 10:19 solar time. From memory.
    omega = hour_angle_of_clock(10.5 * 3600, -90, -89.4, -13.5 * 60)
    assert 12 + omega / 15 == pytest.approx(10 + 19 / 60, abs=0.01)


@settings(deadline=None)
@given(moments, st.floats(min_value=-64, max_value=64), longitudes)
def test_the_upper_limb_touches_the_horizon_at_rise_and_set(moment, latitude, longitude):
    early, late = sunrise(moment, latitude, longitude), sunset(moment, latitude, longitude)
    assert early < solar_noon(moment, longitude) < late
    for crossing in (early, late):
        assert sun_elevation(crossing, latitude, longitude) == pytest.approx(-50 / 60, abs=0.01)


def test_midnight_sun_has_no_sunset():
    with pytest.raises(OutOfRangeError, match="latitude"):
        sunset(datetime(2024, 6, 21, 12, tzinfo=UTC).timestamp(), 75, 0)


PLACE = {"unix_time": NREL_MOMENT, "latitude": 39.7, "longitude": -105.2}
BAD_PLACE = {"unix_time": [-inf, inf, -7e8, 3e9], "latitude": [-90.1, 90.1], "longitude": [-180.1, 180.1]}
BAD_TRIANGLE = {"latitude": [-90.1, 90.1], "declination": [-24.1, 24.1], "hour_angle": [-180.1, 180.1]}
BOUNDS = [
    (solar_declination, {"unix_time": NREL_MOMENT}, {"unix_time": [-7e8, 3e9]}),
    (equation_of_time, {"unix_time": NREL_MOMENT}, {"unix_time": [-7e8, 3e9]}),
    (hour_angle, {"unix_time": NREL_MOMENT, "longitude": 0}, BAD_PLACE),
    (solar_noon, {"unix_time": NREL_MOMENT, "longitude": 0}, BAD_PLACE),
    (elevation_at_hour_angle, {"latitude": 40, "declination": 10, "hour_angle": 20}, BAD_TRIANGLE),
    (azimuth_at_hour_angle, {"latitude": 40, "declination": 10, "hour_angle": 20}, BAD_TRIANGLE),
    (sun_elevation, PLACE, BAD_PLACE),
    (sun_azimuth, PLACE, BAD_PLACE),
    (sunrise, PLACE, BAD_PLACE),
    (sunset, PLACE, BAD_PLACE),
    (
        apparent_elevation,
        {"elevation": 40, "pressure": 82_000, "temperature": 11},
        {"elevation": [-1.1, 90.1], "pressure": [0, 110_001], "temperature": [-91, 61]},
    ),
    (declination_of_day, {"day_of_year": 44}, {"day_of_year": [0.9, 366.1]}),
    (
        hour_angle_of_clock,
        {"clock_time": 36_000, "zone_meridian": -90, "longitude": -89, "equation_of_time": 0},
        {
            "clock_time": [-1, 86_401],
            "zone_meridian": [-181, 181],
            "longitude": [-181, 181],
            "equation_of_time": [-1201, 1201],
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
