"""Sunlight on level ground under a clear sky, and how it splits into direct and diffuse.

Angles are in degrees. Under cloud nothing here replaces a measurement.
"""

from math import exp, radians, sin

from sizing.formulas.atmosphere import SEA_LEVEL_PRESSURE
from sizing.guards import require, require_between, require_not_negative, require_positive

TYPICAL_LINKE_TURBIDITY = 3.0  # rural air; 2 clean and cold, 5 humid or dusty (from memory)


def clear_sky_horizontal(elevation: float) -> float:
    """Return clear-sky irradiance on the horizontal from the height of the sun alone.

        G = 1098 W/m² · sin h · exp(−0.059 / sin h);  0 with the sun on or under the horizon

    Parameters
    ----------
    elevation : h, elevation of the sun as seen [°], −90 … 90

    Returns
    -------
    G, irradiance on a horizontal plane [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Fitted near sea level at one place; about ±10 % elsewhere on a cloudless day.

    Source: Haurwitz, Journal of Meteorology 2 (1945) 154 and 3 (1946) 123.
    """
    require_between("elevation", elevation, -90, 90, "°")
    height = sin(radians(elevation))
    return 1098 * height * exp(-0.059 / height) if height > 0 else 0.0


def air_mass(elevation: float, pressure: float) -> float:
    """Return how much air the sunlight crosses, against a sun overhead at sea level.

        AM = p / 101325 Pa / [sin h + 0.50572 · (h + 6.07995)^−1.6364]

    Parameters
    ----------
    elevation : h, elevation of the sun as seen [°], −1 … 90
    pressure : p, absolute air pressure at the place [Pa], > 0 … 110000

    Returns
    -------
    AM, air mass, corrected for pressure [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kasten & Young, Applied Optics 28 (1989) 4735, equation 3.
    """
    require_between("elevation", elevation, -1, 90, "°")
    require(0 < pressure <= 110_000, "pressure", pressure, "> 0 … 110000 Pa absolute")
    relative = 1 / (sin(radians(elevation)) + 0.50572 * (elevation + 6.07995) ** -1.6364)
    return float(relative * pressure / SEA_LEVEL_PRESSURE)


def _check_clear_sky(elevation: float, air_mass: float, turbidity: float, altitude: float, extra: float) -> None:
    require(0 < elevation <= 90, "elevation", elevation, "> 0 … 90°")
    require_positive("air_mass", air_mass, "1")
    require_between("linke_turbidity", turbidity, 1, 10, "1")
    require_between("altitude", altitude, -500, 6000, "m")
    require_positive("extraterrestrial", extra, "W/m²")


def clear_sky_global(
    elevation: float, air_mass: float, linke_turbidity: float, altitude: float, extraterrestrial: float
) -> float:
    """Return clear-sky irradiance on the horizontal from turbidity and altitude.

        G = c₁ · G_0n · sin h · exp{−c₂ · AM · [f₁ + f₂ · (T_L − 1)]}
        c₁ = 5.09·10⁻⁵·z + 0.868,  c₂ = 3.92·10⁻⁵·z + 0.0387
        f₁ = exp(−z / 8000),  f₂ = exp(−z / 1250)

    Parameters
    ----------
    elevation : h, elevation of the sun as seen [°], > 0 … 90
    air_mass : AM, air mass corrected for pressure [1], > 0
    linke_turbidity : T_L, haze and moisture, counted in clean dry airs [1], 1 … 10
    altitude : z, height above the sea [m], −500 … 6000
    extraterrestrial : G_0n, outside the air, facing the sun [W/m²], > 0

    Returns
    -------
    G, irradiance on a horizontal plane [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    About 5 % where T_L is known, 10 % where it is guessed (from memory).

    Source: Ineichen & Perez, Solar Energy 73 (2002) 151, equation 7.
    """
    _check_clear_sky(elevation, air_mass, linke_turbidity, altitude, extraterrestrial)
    c1 = 5.09e-5 * altitude + 0.868
    c2 = 3.92e-5 * altitude + 0.0387
    f1, f2 = exp(-altitude / 8000), exp(-altitude / 1250)
    through = exp(-c2 * air_mass * (f1 + f2 * (linke_turbidity - 1)))
    return c1 * extraterrestrial * sin(radians(elevation)) * through


def clear_sky_direct_normal(
    elevation: float, air_mass: float, linke_turbidity: float, altitude: float, extraterrestrial: float
) -> float:
    """Return clear-sky irradiance straight from the sun, on a plane that faces it.

        G_bn = min{ b · G_0n · exp[−0.09 · AM · (T_L − 1)],
                    G / sin h · [1 − (0.1 − 0.2·exp(−T_L)) / (0.1 + 0.882 / f₁)] }
        b = 0.664 + 0.163 / f₁,  f₁ = exp(−z / 8000)

    Parameters
    ----------
    elevation : h, elevation of the sun as seen [°], > 0 … 90
    air_mass : AM, air mass corrected for pressure [1], > 0
    linke_turbidity : T_L, haze and moisture, counted in clean dry airs [1], 1 … 10
    altitude : z, height above the sea [m], −500 … 6000
    extraterrestrial : G_0n, outside the air, facing the sun [W/m²], > 0

    Returns
    -------
    G_bn, direct irradiance [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    G from `clear_sky_global`. The second form keeps the diffuse part from falling below zero.

    Source: Ineichen & Perez, Solar Energy 73 (2002) 151, equation 8 and its limit.
    """
    whole = clear_sky_global(elevation, air_mass, linke_turbidity, altitude, extraterrestrial)
    f1 = exp(-altitude / 8000)
    by_turbidity = (0.664 + 0.163 / f1) * extraterrestrial * exp(-0.09 * air_mass * (linke_turbidity - 1))
    diffuse_share = (0.1 - 0.2 * exp(-linke_turbidity)) / (0.1 + 0.882 / f1)
    return min(by_turbidity, whole / sin(radians(elevation)) * (1 - diffuse_share))


def diffuse_fraction(clearness: float) -> float:
    """Return the diffuse share of horizontal irradiance from the clearness of the sky.

        k_d = 1 − 0.09·k                                            for k ≤ 0.22
        k_d = 0.9511 − 0.1604·k + 4.388·k² − 16.638·k³ + 12.336·k⁴  for 0.22 < k ≤ 0.8
        k_d = 0.165                                                 for k > 0.8

    Parameters
    ----------
    clearness : k, irradiance on the horizontal over that outside the air [1], 0 … 1

    Returns
    -------
    k_d, diffuse over total [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Fitted to hourly means. It splits a measured horizontal irradiance into direct and diffuse.

    Source: Erbs, Klein, Duffie, Solar Energy 28 (1982) 293, equation 1.
    """
    require_between("clearness", clearness, 0, 1, "1")
    k = clearness
    if k <= 0.22:
        return 1 - 0.09 * k
    if k > 0.8:
        return 0.165
    return float(0.9511 - 0.1604 * k + 4.388 * k**2 - 16.638 * k**3 + 12.336 * k**4)


def irradiance_through_cloud(clear_sky: float, clear_sky_index: float) -> float:
    """Return the irradiance that haze or cloud leaves of what a clear sky would give.

        G = k_c · G_clear

    Parameters
    ----------
    clear_sky : G_clear, irradiance on the same plane under a clear sky [W/m²], ≥ 0
    clear_sky_index : k_c, share that the sky lets through [1], 0 … 1.3

    Returns
    -------
    G, irradiance on the plane [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A share judged by eye is good to a quarter at best. The edge of a bright cloud can add to
    the clear sky, hence the range above 1.

    Source: definition of the clear-sky index.
    """
    require_not_negative("clear_sky", clear_sky, "W/m²")
    require_between("clear_sky_index", clear_sky_index, 0, 1.3, "1")
    return clear_sky_index * clear_sky
