"""Where the sun stands, to about a hundredth of a degree, and when it rises and sets.

Angles are in degrees. Longitude counts east, latitude north. Azimuth counts clockwise from
true north (east 90°, south 180°), also where a book counts from south. A moment is Unix
time: seconds since 1970-01-01 00:00 UTC.
"""

from math import acos, asin, atan2, cos, degrees, radians, sin

from sizing.formulas.sun_geometry import (
    apparent_elevation,
    azimuth_at_hour_angle,
    declination_of_day,
    elevation_at_hour_angle,
    hour_angle_of_clock,
)
from sizing.guards import require, require_between

__all__ = [
    "apparent_elevation",
    "azimuth_at_hour_angle",
    "declination_of_day",
    "elevation_at_hour_angle",
    "equation_of_time",
    "hour_angle",
    "hour_angle_of_clock",
    "solar_declination",
    "solar_noon",
    "sun_azimuth",
    "sun_elevation",
    "sunrise",
    "sunset",
]

UNIX_TIME_OF_J2000 = 946_728_000.0  # s, 2000-01-01 12:00 UTC
DAY = 86_400.0  # s
FIRST_MOMENT = -631_152_000.0  # s, 1950-01-01, see the source of `sun_elevation`
LAST_MOMENT = 2_556_144_000.0  # s, 2051-01-01

# Elevation of the centre when the upper limb stands on a flat horizon: 34′ of refraction and
# 16′ of radius. Astronomical Almanac, section A, rising and setting.
RISING_ELEVATION = -50 / 60  # °


def _check_moment(unix_time: float) -> None:
    require(FIRST_MOMENT <= unix_time < LAST_MOMENT, "unix_time", unix_time, "within the years 1950 … 2050")


def _check_place(latitude: float, longitude: float) -> None:
    require_between("latitude", latitude, -90, 90, "°")
    require_between("longitude", longitude, -180, 180, "°")


def _signed(angle: float) -> float:
    """Bring an angle in degrees into −180 … 180."""
    return (angle + 180) % 360 - 180


def _ecliptic(unix_time: float) -> tuple[float, float, float]:
    """Return mean longitude, ecliptic longitude and obliquity [°] of the date."""
    n = (unix_time - UNIX_TIME_OF_J2000) / DAY
    mean_longitude = 280.460 + 0.9856474 * n
    g = radians(357.528 + 0.9856003 * n)
    return mean_longitude, mean_longitude + 1.915 * sin(g) + 0.020 * sin(2 * g), 23.439 - 4e-7 * n


def _right_ascension(unix_time: float) -> float:
    _, longitude, obliquity = _ecliptic(unix_time)
    lam, eps = radians(longitude), radians(obliquity)
    return degrees(atan2(cos(eps) * sin(lam), cos(lam)))


def solar_declination(unix_time: float) -> float:
    """Return the declination of the sun.

        δ = arcsin(sin ε · sin λ)
        λ = L + 1.915° · sin g + 0.020° · sin 2g
        L = 280.460° + 0.9856474° · n,  g = 357.528° + 0.9856003° · n
        ε = 23.439° − 0.0000004° · n,   n = days since 2000-01-01 12:00 UTC

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050

    Returns
    -------
    δ, declination, north positive [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: The Astronomical Almanac, section C, low precision formulas for the sun (0.01°).
    """
    _check_moment(unix_time)
    _, longitude, obliquity = _ecliptic(unix_time)
    return degrees(asin(sin(radians(obliquity)) * sin(radians(longitude))))


def equation_of_time(unix_time: float) -> float:
    """Return by how much a sundial is ahead of the mean sun.

        E = (L − α) / 15°/h
        α = atan2(cos ε · sin λ, cos λ)

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050

    Returns
    -------
    E, apparent minus mean solar time [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    L, λ and ε as in `solar_declination`. Between −14 and +16 minutes.

    Source: The Astronomical Almanac, section C, low precision formulas for the sun (0.1 min).
    """
    _check_moment(unix_time)
    mean_longitude, _, _ = _ecliptic(unix_time)
    return _signed(mean_longitude - _right_ascension(unix_time)) * 240


def hour_angle(unix_time: float, longitude: float) -> float:
    """Return the hour angle of the sun, 15° for each hour after its highest stand.

        ω = GMST + lon − α
        GMST = 280.46062° + 360.98564737° · n

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050
    longitude : lon, longitude, east positive [°], −180 … 180

    Returns
    -------
    ω, hour angle, afternoon positive, −180 … 180 [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    α as in `equation_of_time`, n as in `solar_declination`.

    Source: The Astronomical Almanac, section B, Greenwich mean sidereal time (linear terms).
    """
    _check_moment(unix_time)
    _check_place(0.0, longitude)
    n = (unix_time - UNIX_TIME_OF_J2000) / DAY
    sidereal = 280.46061837 + 360.98564736629 * n
    return _signed(sidereal + longitude - _right_ascension(unix_time))


def sun_elevation(unix_time: float, latitude: float, longitude: float) -> float:
    """Return how high the sun's centre stands above the horizon, without refraction.

        h = arcsin(sin φ · sin δ + cos φ · cos δ · cos ω)

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050
    latitude : φ, latitude, north positive [°], −90 … 90
    longitude : lon, longitude, east positive [°], −180 … 180

    Returns
    -------
    h, elevation, negative below the horizon [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    δ from `solar_declination`, ω from `hour_angle`. Error below 0.02°, parallax included.

    Source: The Astronomical Almanac, section C, low precision formulas for the sun.
    """
    _check_moment(unix_time)
    _check_place(latitude, longitude)
    declination, omega = solar_declination(unix_time), hour_angle(unix_time, longitude)
    return elevation_at_hour_angle(latitude, declination, omega)


def sun_azimuth(unix_time: float, latitude: float, longitude: float) -> float:
    """Return the direction of the sun, clockwise from true north.

        A = 180° + atan2(sin ω, cos ω · sin φ − tan δ · cos φ)

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050
    latitude : φ, latitude, north positive [°], −90 … 90
    longitude : lon, longitude, east positive [°], −180 … 180

    Returns
    -------
    A, azimuth clockwise from true north, 0 … 360 [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    δ from `solar_declination`, ω from `hour_angle`. A compass needle points to magnetic
    north: allow for the declination of the place.

    Source: Reda & Andreas, NREL/TP-560-34302 (2008), equation 45, with the sun's place from
    the low precision formulas of The Astronomical Almanac.
    """
    _check_moment(unix_time)
    _check_place(latitude, longitude)
    declination, omega = solar_declination(unix_time), hour_angle(unix_time, longitude)
    return azimuth_at_hour_angle(latitude, declination, omega)


def solar_noon(unix_time: float, longitude: float) -> float:
    """Return when the sun stands highest on the solar day around a moment.

        t_noon = t − ω / 15°/h

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050
    longitude : lon, longitude, east positive [°], −180 … 180

    Returns
    -------
    t_noon, moment since 1970-01-01 UTC [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The solar day runs from one midnight by the sun to the next, not by the clock.

    Source: definition of the hour angle; place of the sun as in `hour_angle`.
    """
    noon = unix_time - hour_angle(unix_time, longitude) * 240
    return noon - hour_angle(noon, longitude) * 240  # the sun has moved a little meanwhile


def _crossing(unix_time: float, latitude: float, longitude: float, side: int) -> float:
    """Return when the upper limb crosses the horizon; `side` is −1 in the morning, 1 later."""
    _check_moment(unix_time)
    _check_place(latitude, longitude)
    moment = solar_noon(unix_time, longitude)
    for _ in range(3):  # the declination changes by up to 0.2° in half a day
        delta, phi = radians(solar_declination(moment)), radians(latitude)
        height = sin(radians(RISING_ELEVATION)) - sin(phi) * sin(delta)
        reach = cos(phi) * cos(delta)
        require(-reach < height < reach, "latitude", latitude, "where the sun rises and sets that day")
        wanted = side * degrees(acos(height / reach))
        moment += (wanted - hour_angle(moment, longitude)) * 240
    return moment


def sunrise(unix_time: float, latitude: float, longitude: float) -> float:
    """Return when the sun's upper limb appears, on the solar day around a moment.

        cos ω = (sin h₀ − sin φ · sin δ) / (cos φ · cos δ),  ω < 0,  h₀ = −50′

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050
    latitude : φ, latitude, north positive [°], where the sun rises and sets that day
    longitude : lon, longitude, east positive [°], −180 … 180

    Returns
    -------
    t_rise, moment since 1970-01-01 UTC [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Flat horizon at the observer's height. Hills and trees make the sun late.

    Source: The Astronomical Almanac, section A, rising and setting of the sun.
    """
    return _crossing(unix_time, latitude, longitude, -1)


def sunset(unix_time: float, latitude: float, longitude: float) -> float:
    """Return when the sun's upper limb vanishes, on the solar day around a moment.

        cos ω = (sin h₀ − sin φ · sin δ) / (cos φ · cos δ),  ω > 0,  h₀ = −50′

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050
    latitude : φ, latitude, north positive [°], where the sun rises and sets that day
    longitude : lon, longitude, east positive [°], −180 … 180

    Returns
    -------
    t_set, moment since 1970-01-01 UTC [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Flat horizon at the observer's height.

    Source: The Astronomical Almanac, section A, rising and setting of the sun.
    """
    return _crossing(unix_time, latitude, longitude, 1)
