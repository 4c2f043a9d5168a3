"""Sunlight outside the air, length of the day, and what a sunshine record tells of the ground."""

from math import acos, cos, pi, radians, sin, tan

from sizing.guards import require, require_between, require_not_negative, require_positive

SOLAR_CONSTANT = 1361.0  # W/m², Kopp & Lean, Geophysical Research Letters 38 (2011) L01706
FAO_SOLAR_CONSTANT = 0.0820e6 / 60  # W/m², FAO Irrigation and Drainage Paper 56 (1998), eq. 21


def extraterrestrial_normal(day_of_year: float, solar_constant: float) -> float:
    """Return the irradiance outside the air on a plane that faces the sun.

        G_0n = G_sc · (1.00011 + 0.034221·cos B + 0.00128·sin B + 0.000719·cos 2B + 0.000077·sin 2B)
        B = 360° · (J − 1) / 365

    Parameters
    ----------
    day_of_year : J, 1 on the first of January [1], 1 … 367
    solar_constant : G_sc, yearly mean [W/m²], > 0

    Returns
    -------
    G_0n, irradiance outside the air [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Spencer, Search 2 (1971) 172; Duffie & Beckman, 4th edition, equation 1.4.1b (number from memory).
    """
    require_between("day_of_year", day_of_year, 1, 367, "1")
    require_positive("solar_constant", solar_constant, "W/m²")
    B = 2 * pi * (day_of_year - 1) / 365
    series = 1.00011 + 0.034221 * cos(B) + 0.00128 * sin(B) + 0.000719 * cos(2 * B) + 0.000077 * sin(2 * B)
    return solar_constant * series


def _fao_angles(latitude: float, day_of_year: float) -> tuple[float, float, float]:
    """Return latitude, declination and sunset hour angle [rad] as FAO-56 writes them."""
    require_between("latitude", latitude, -66, 66, "°")
    require_between("day_of_year", day_of_year, 1, 366, "1")
    phi = radians(latitude)
    delta = 0.409 * sin(2 * pi * day_of_year / 365 - 1.39)
    return phi, delta, acos(-tan(phi) * tan(delta))


def extraterrestrial_daily(latitude: float, day_of_year: float) -> float:
    """Return the energy of a day outside the air on a horizontal plane.

        R_a = 86400 s / π · G_sc · d_r · [ω_s · sin φ · sin δ + cos φ · cos δ · sin ω_s]
        d_r = 1 + 0.033 · cos(2π·J / 365)
        δ = 0.409 · sin(2π·J / 365 − 1.39),  ω_s = arccos(−tan φ · tan δ)

    Parameters
    ----------
    latitude : φ, latitude, north positive [°], −66 … 66
    day_of_year : J, 1 on the first of January [1], 1 … 366

    Returns
    -------
    R_a, energy of the day on one square metre [J/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    G_sc is 0.0820 MJ/(m²·min). Nearer the poles the sun may not set: refused.

    Source: FAO Irrigation and Drainage Paper 56 (1998), equations 21 and 23 to 25.
    """
    phi, delta, omega = _fao_angles(latitude, day_of_year)
    distance = 1 + 0.033 * cos(2 * pi * day_of_year / 365)
    turned = omega * sin(phi) * sin(delta) + cos(phi) * cos(delta) * sin(omega)
    return 86_400 / pi * FAO_SOLAR_CONSTANT * distance * turned


def daylight_duration(latitude: float, day_of_year: float) -> float:
    """Return how long the sun is above the horizon on a day.

        N = 24 h / π · ω_s,  ω_s = arccos(−tan φ · tan δ)

    Parameters
    ----------
    latitude : φ, latitude, north positive [°], −66 … 66
    day_of_year : J, 1 on the first of January [1], 1 … 366

    Returns
    -------
    N, daylight [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    δ as in `extraterrestrial_daily`. Centre of the sun, no refraction: some minutes short.

    Source: FAO Irrigation and Drainage Paper 56 (1998), equation 34.
    """
    _, _, omega = _fao_angles(latitude, day_of_year)
    return 86_400 / pi * omega


def irradiation_from_sunshine(
    extraterrestrial: float, sunshine: float, daylight: float, offset: float, slope: float
) -> float:
    """Return the energy of a day on the horizontal from the duration of bright sunshine.

        R_s = (a_s + b_s · n / N) · R_a

    Parameters
    ----------
    extraterrestrial : R_a, energy of the day outside the air [J/m²], ≥ 0
    sunshine : n, bright sunshine of the day [s], 0 … N
    daylight : N, longest possible sunshine [s], > 0 … 86400
    offset : a_s, share that arrives on an overcast day [1], 0 … 1
    slope : b_s, share that sunshine adds [1], 0 … 1

    Returns
    -------
    R_s, energy of the day on one square metre [J/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Without local numbers FAO takes a_s 0.25 and b_s 0.50.

    Source: FAO Irrigation and Drainage Paper 56 (1998), equation 35 (Ångström).
    """
    require_not_negative("extraterrestrial", extraterrestrial, "J/m²")
    require(0 < daylight <= 86_400, "daylight", daylight, "> 0 … 86400 s")
    require_between("sunshine", sunshine, 0, daylight, "s")
    require_between("offset", offset, 0, 1, "1")
    require_between("slope", slope, 0, 1, "1")
    return (offset + slope * sunshine / daylight) * extraterrestrial
