"""Angles of the sun by spherical geometry: from latitude, declination, hour angle and clock.

Angles are in degrees. Longitude counts east, latitude north. Azimuth counts clockwise from
true north (east 90°, south 180°), also where a book counts from south.
"""

from math import asin, atan2, cos, degrees, radians, sin, tan

from sizing.guards import require, require_between

DAY = 86_400.0  # s


def elevation_at_hour_angle(latitude: float, declination: float, hour_angle: float) -> float:
    """Return the elevation of the sun from latitude, declination and hour angle.

        sin h = sin φ · sin δ + cos φ · cos δ · cos ω

    Parameters
    ----------
    latitude : φ, latitude, north positive [°], −90 … 90
    declination : δ, declination of the sun [°], −24 … 24
    hour_angle : ω, hour angle, afternoon positive [°], −180 … 180

    Returns
    -------
    h, elevation of the sun's centre above the horizon, without refraction [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: spherical astronomy; Duffie & Beckman, Solar Engineering of Thermal Processes,
    4th edition, equation 1.6.5 (number from memory).
    """
    require_between("latitude", latitude, -90, 90, "°")
    require_between("declination", declination, -24, 24, "°")
    require_between("hour_angle", hour_angle, -180, 180, "°")
    phi, delta, omega = radians(latitude), radians(declination), radians(hour_angle)
    up = sin(phi) * sin(delta) + cos(phi) * cos(delta) * cos(omega)
    return degrees(asin(max(-1.0, min(1.0, up))))  # rounding may leave 1 + 1e-16


def azimuth_at_hour_angle(latitude: float, declination: float, hour_angle: float) -> float:
    """Return the azimuth of the sun from latitude, declination and hour angle.

        A = 180° + atan2(sin ω, cos ω · sin φ − tan δ · cos φ)

    Parameters
    ----------
    latitude : φ, latitude, north positive [°], −90 … 90
    declination : δ, declination of the sun [°], −24 … 24
    hour_angle : ω, hour angle, afternoon positive [°], −180 … 180

    Returns
    -------
    A, azimuth clockwise from true north, 0 … 360 [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    At the zenith an azimuth means nothing. A book that counts from south prints A − 180°.

    Source: Reda & Andreas, Solar Position Algorithm, NREL/TP-560-34302 (2008), equation 45.
    """
    require_between("latitude", latitude, -90, 90, "°")
    require_between("declination", declination, -24, 24, "°")
    require_between("hour_angle", hour_angle, -180, 180, "°")
    phi, delta, omega = radians(latitude), radians(declination), radians(hour_angle)
    west = atan2(sin(omega), cos(omega) * sin(phi) - tan(delta) * cos(phi))
    return (180 + degrees(west)) % 360


def apparent_elevation(elevation: float, pressure: float, temperature: float) -> float:
    """Return the elevation at which the sun is seen, lifted by refraction.

        h′ = h + p / 1010 hPa · 283 / (273 + T) · 1.02 / (60 · tan(h + 10.3 / (h + 5.11)))

    Parameters
    ----------
    elevation : h, without refraction [°], −1 … 90
    pressure : p, absolute air pressure [Pa], > 0 … 110000
    temperature : T, air temperature [°C], −90 … 60

    Returns
    -------
    h′, elevation as seen [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Reda & Andreas, NREL/TP-560-34302 (2008), equation 42 (Sæmundsson's form).
    """
    require_between("elevation", elevation, -1, 90, "°")
    require(0 < pressure <= 110_000, "pressure", pressure, "> 0 … 110000 Pa absolute")
    require_between("temperature", temperature, -90, 60, "°C")
    air = pressure / 101_000 * 283 / (273 + temperature)
    return elevation + air * 1.02 / (60 * tan(radians(elevation + 10.3 / (elevation + 5.11))))


def declination_of_day(day_of_year: float) -> float:
    """Return the declination of the sun from the number of the day alone.

        δ = 23.45° · sin(360° · (284 + J) / 365)

    Parameters
    ----------
    day_of_year : J, 1 on the first of January [1], 1 … 366

    Returns
    -------
    δ, declination, north positive [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Off by up to 1.5° near the equinoxes: for checks by hand.

    Source: Cooper, Solar Energy 12 (1969) 333; Duffie & Beckman equation 1.6.1a (from memory).
    """
    require_between("day_of_year", day_of_year, 1, 366, "1")
    return 23.45 * sin(radians(360 * (284 + day_of_year) / 365))


def hour_angle_of_clock(clock_time: float, zone_meridian: float, longitude: float, equation_of_time: float) -> float:
    """Return the hour angle of the sun from the clock of a time zone.

        ω = (t + E) · 15°/h + (lon − lon_zone) − 180°

    Parameters
    ----------
    clock_time : t, standard time since midnight, no summer time [s], 0 … 86400
    zone_meridian : lon_zone, meridian of the zone, east positive [°], −180 … 180
    longitude : lon, longitude, east positive [°], −180 … 180
    equation_of_time : E, apparent minus mean solar time [s], −1200 … 1200

    Returns
    -------
    ω, hour angle, afternoon positive, −180 … 180 [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Duffie & Beckman, 4th edition, equation 1.5.2 (number from memory), rewritten for east positive.
    """
    require_between("clock_time", clock_time, 0, DAY, "s")
    require_between("zone_meridian", zone_meridian, -180, 180, "°")
    require_between("longitude", longitude, -180, 180, "°")
    require_between("equation_of_time", equation_of_time, -1200, 1200, "s")
    angle = (clock_time + equation_of_time) / 240 + longitude - zone_meridian
    return angle % 360 - 180
