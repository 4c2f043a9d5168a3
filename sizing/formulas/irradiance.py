"""Sunlight on a tilted plane, at a moment and over a day.

Angles are in degrees; azimuth counts clockwise from true north. `tilt` is 0° lying flat and
90° upright. Under cloud nothing here replaces a measurement.
"""

from collections.abc import Sequence
from datetime import UTC, datetime
from math import acos, cos, degrees, inf, isfinite, radians, sin

from sizing.formulas.atmosphere import atmospheric_pressure
from sizing.formulas.clear_sky import air_mass, clear_sky_direct_normal, clear_sky_global
from sizing.formulas.extraterrestrial import SOLAR_CONSTANT, extraterrestrial_normal
from sizing.formulas.sun import FIRST_MOMENT, LAST_MOMENT, apparent_elevation, sun_azimuth, sun_elevation
from sizing.guards import require, require_between, require_not_negative, require_positive

FULL_SUN = 1000.0  # W/m², the irradiance at which modules are rated
TYPICAL_ALBEDO = 0.2  # grass and soil; fresh snow 0.7, light sand 0.35 (from memory)
SUN_HIDDEN = -0.8  # °, below it not even refraction shows the sun


def incidence_cosine(tilt: float, azimuth: float, elevation: float, sun_azimuth: float) -> float:
    """Return the cosine of the angle between the sun and the normal of a plane.

        cos θ = sin h · cos β + cos h · sin β · cos(A − γ)

    Parameters
    ----------
    tilt : β, tilt of the plane from flat [°], 0 … 180
    azimuth : γ, direction that the plane faces, clockwise from true north [°], −360 … 360
    elevation : h, elevation of the sun [°], −90 … 90
    sun_azimuth : A, azimuth of the sun, clockwise from true north [°], −360 … 360

    Returns
    -------
    cos θ, negative when the sun is behind the plane [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: spherical trigonometry; Duffie & Beckman, 4th edition, equation 1.6.3 (number from memory).
    """
    require_between("tilt", tilt, 0, 180, "°")
    require_between("azimuth", azimuth, -360, 360, "°")
    require_between("elevation", elevation, -90, 90, "°")
    require_between("sun_azimuth", sun_azimuth, -360, 360, "°")
    beta, h, apart = radians(tilt), radians(elevation), radians(sun_azimuth - azimuth)
    return sin(h) * cos(beta) + cos(h) * sin(beta) * cos(apart)


def plane_of_array_isotropic(
    direct_normal: float,
    diffuse_horizontal: float,
    global_horizontal: float,
    incidence_cosine: float,
    tilt: float,
    albedo: float,
) -> float:
    """Return the irradiance on a tilted plane under a sky of even brightness.

        G = G_bn · max(0, cos θ) + G_d · (1 + cos β) / 2 + ρ · G_h · (1 − cos β) / 2

    Parameters
    ----------
    direct_normal : G_bn, straight from the sun, facing it [W/m²], ≥ 0
    diffuse_horizontal : G_d, from the sky, on the horizontal [W/m²], ≥ 0
    global_horizontal : G_h, total on the horizontal [W/m²], ≥ 0
    incidence_cosine : cos θ, sun against the normal of the plane [1], −1 … 1
    tilt : β, tilt of the plane from flat [°], 0 … 180
    albedo : ρ, share that the ground throws back [1], 0 … 1

    Returns
    -------
    G, irradiance on the plane [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Low by 2 to 6 % under a clear sky, whose brightness gathers around the sun.

    Source: Liu & Jordan, Solar Energy 7 (1963) 53; Duffie & Beckman, equation 2.15.1 (number from memory).
    """
    require_not_negative("direct_normal", direct_normal, "W/m²")
    require_not_negative("diffuse_horizontal", diffuse_horizontal, "W/m²")
    require_not_negative("global_horizontal", global_horizontal, "W/m²")
    require_between("incidence_cosine", incidence_cosine, -1, 1, "1")
    require_between("tilt", tilt, 0, 180, "°")
    require_between("albedo", albedo, 0, 1, "1")
    sky = diffuse_horizontal * (1 + cos(radians(tilt))) / 2
    ground = albedo * global_horizontal * (1 - cos(radians(tilt))) / 2
    return direct_normal * max(0.0, incidence_cosine) + sky + ground


def plane_of_array_hay_davies(
    direct_normal: float,
    diffuse_horizontal: float,
    global_horizontal: float,
    extraterrestrial: float,
    incidence_cosine: float,
    elevation: float,
    tilt: float,
    albedo: float,
) -> float:
    """Return the irradiance on a tilted plane under a sky that is brighter around the sun.

        G = G_bn · c + G_d · [A · c / sin h + (1 − A) · (1 + cos β) / 2] + ρ · G_h · (1 − cos β) / 2
        A = G_bn / G_0n,  c = max(0, cos θ)

    Parameters
    ----------
    direct_normal : G_bn, straight from the sun, facing it [W/m²], ≥ 0
    diffuse_horizontal : G_d, from the sky, on the horizontal [W/m²], ≥ 0
    global_horizontal : G_h, total on the horizontal [W/m²], ≥ 0
    extraterrestrial : G_0n, outside the air, facing the sun [W/m²], > 0, ≥ G_bn
    incidence_cosine : cos θ, sun against the normal of the plane [1], −1 … 1
    elevation : h, elevation of the sun [°], 1 … 90
    tilt : β, tilt of the plane from flat [°], 0 … 180
    albedo : ρ, share that the ground throws back [1], 0 … 1

    Returns
    -------
    G, irradiance on the plane [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Under a clear sky 2 to 6 % above the isotropic form. With the sun below 1° use that one.

    Source: Hay & Davies 1980; Duffie & Beckman, 4th edition, equations 2.16.2 and 2.16.4
    (numbers from memory); checked against an independent library.
    """
    even = plane_of_array_isotropic(
        direct_normal, diffuse_horizontal, global_horizontal, incidence_cosine, tilt, albedo
    )
    require_positive("extraterrestrial", extraterrestrial, "W/m²")
    require(direct_normal <= extraterrestrial, "extraterrestrial", extraterrestrial, f"≥ {direct_normal:g} W/m²")
    require_between("elevation", elevation, 1, 90, "°")
    around_sun = direct_normal / extraterrestrial
    gain = max(0.0, incidence_cosine) / sin(radians(elevation)) - (1 + cos(radians(tilt))) / 2
    return even + diffuse_horizontal * around_sun * gain


def day_of_year(unix_time: float) -> int:
    """Return the number of the day in its year, by universal time.

        J = 1 on the first of January

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050

    Returns
    -------
    J, number of the day [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Gregorian calendar.
    """
    require(FIRST_MOMENT <= unix_time < LAST_MOMENT, "unix_time", unix_time, "within the years 1950 … 2050")
    return datetime.fromtimestamp(unix_time, UTC).timetuple().tm_yday


def clear_sky_plane_irradiance(
    unix_time: float,
    latitude: float,
    longitude: float,
    altitude: float,
    tilt: float,
    azimuth: float,
    linke_turbidity: float,
    albedo: float,
) -> float:
    """Return the irradiance on a tilted plane at a place and moment, if the sky is clear.

        G = G_bn · c + G_d · [A · c / sin h + (1 − A) · (1 + cos β) / 2] + ρ · G_h · (1 − cos β) / 2
        G_d = G_h − G_bn · sin h,  A = G_bn / G_0n,  c = max(0, cos θ)
        A = 0 with the sun below 1°;  G = 0 with the sun on or under the horizon

    Parameters
    ----------
    unix_time : t, moment since 1970-01-01 UTC [s], years 1950 … 2050
    latitude : φ, latitude, north positive [°], −90 … 90
    longitude : lon, longitude, east positive [°], −180 … 180
    altitude : z, height above the sea [m], −500 … 6000
    tilt : β, tilt of the plane from flat [°], 0 … 180
    azimuth : γ, direction that the plane faces, clockwise from true north [°], −360 … 360
    linke_turbidity : T_L, haze and moisture [1], 1 … 10, more than 1 above 5780 m
    albedo : ρ, share that the ground throws back [1], 0 … 1

    Returns
    -------
    G, irradiance on the plane [W/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The sun's place from `sun_elevation`, seen through refraction at 12 °C; G_h and G_bn from
    `clear_sky_global` and `clear_sky_direct_normal`; air pressure of the standard atmosphere.
    `TYPICAL_LINKE_TURBIDITY` and `TYPICAL_ALBEDO` hold where nothing better is known; then
    allow ±10 %. Shade from the horizon is not in it.

    Source: Ineichen & Perez, Solar Energy 73 (2002) 151 for the sky; Hay & Davies 1980 for
    the tilted plane (Duffie & Beckman equation 2.16.4).
    """
    height = sun_elevation(unix_time, latitude, longitude)
    pressure = atmospheric_pressure(altitude)
    require_between("altitude", altitude, -500, 6000, "m")
    require_between("linke_turbidity", linke_turbidity, 1, 10, "1")
    h = apparent_elevation(height, pressure, 12.0) if height > SUN_HIDDEN else height
    cosine = incidence_cosine(tilt, azimuth, h, sun_azimuth(unix_time, latitude, longitude))
    if h <= 0:
        return plane_of_array_isotropic(0.0, 0.0, 0.0, cosine, tilt, albedo)
    outside = extraterrestrial_normal(day_of_year(unix_time), SOLAR_CONSTANT)
    sky = (h, air_mass(h, pressure), linke_turbidity, altitude, outside)
    whole, direct = clear_sky_global(*sky), clear_sky_direct_normal(*sky)
    # the fit lets very thin clean air add to the beam, which no air does
    require(direct <= outside, "linke_turbidity", linke_turbidity, "more than 1 above 5780 m")
    diffuse = whole - direct * sin(radians(h))
    if h < 1:
        return plane_of_array_isotropic(direct, diffuse, whole, cosine, tilt, albedo)
    return plane_of_array_hay_davies(direct, diffuse, whole, outside, cosine, h, tilt, albedo)


def irradiation(irradiances: Sequence[float], interval: float) -> float:
    """Return the energy that evenly spaced readings of irradiance add up to.

        H = Δt · Σ Gᵢ

    Parameters
    ----------
    irradiances : Gᵢ, mean of each interval [W/m², …], one or more, each ≥ 0
    interval : Δt, time between readings [s], > 0

    Returns
    -------
    H, energy on one square metre [J/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of irradiation, ISO 9488:2022 (from memory).
    """
    require(len(irradiances) > 0, "irradiances", len(irradiances), "one or more readings")
    require(all(isfinite(one) and one >= 0 for one in irradiances), "irradiances", irradiances, "each ≥ 0 W/m²")
    require_positive("interval", interval, "s")
    return interval * sum(irradiances)


def full_sun_time(irradiation: float) -> float:
    """Return how long full sun would take to bring an irradiation ("peak sun hours").

        t_sun = H / 1000 W/m²

    Parameters
    ----------
    irradiation : H, energy on one square metre of the plane [J/m²], ≥ 0

    Returns
    -------
    t_sun, time of full sun [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    5 kWh/m² in a day are 5 peak sun hours, here 18000 s.

    Source: definition; 1000 W/m² is the irradiance of IEC 60904-3.
    """
    require_not_negative("irradiation", irradiation, "J/m²")
    return irradiation / FULL_SUN


def clear_sky_irradiation(
    unix_time: float,
    latitude: float,
    longitude: float,
    altitude: float,
    tilt: float,
    azimuth: float,
    linke_turbidity: float,
    albedo: float,
) -> float:
    """Return the energy that a clear sky brings to a tilted plane in the 24 hours from a moment.

        H = Δt · Σ G(t + (i + ½) · Δt),  Δt = 600 s,  i = 0 … 143

    Parameters
    ----------
    unix_time : t, start, best midnight by local time [s], years 1950 … 2050
    latitude : φ, latitude, north positive [°], −90 … 90
    longitude : lon, longitude, east positive [°], −180 … 180
    altitude : z, height above the sea [m], −500 … 6000
    tilt : β, tilt of the plane from flat [°], 0 … 180
    azimuth : γ, direction that the plane faces, clockwise from true north [°], −360 … 360
    linke_turbidity : T_L, haze and moisture [1], 1 … 10, more than 1 above 5780 m
    albedo : ρ, share that the ground throws back [1], 0 … 1

    Returns
    -------
    H, energy on one square metre [J/m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The most a day can give: real months give less by their clouds.

    Source: midpoint sum of `clear_sky_plane_irradiance`.
    """
    require(-inf < unix_time < inf, "unix_time", unix_time, "within the years 1950 … 2050")
    step = 600.0
    middles = [unix_time + (i + 0.5) * step for i in range(144)]
    place = (latitude, longitude, altitude, tilt, azimuth, linke_turbidity, albedo)
    return irradiation([clear_sky_plane_irradiance(moment, *place) for moment in middles], step)


def angle_of_cosine(cosine: float) -> float:
    """Return the angle whose cosine is given, such as an angle of incidence.

        θ = arccos(cos θ)

    Parameters
    ----------
    cosine : cos θ, cosine of the angle [1], −1 … 1

    Returns
    -------
    θ, angle [°]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of the arc cosine.
    """
    require_between("cosine", cosine, -1, 1, "1")
    return degrees(acos(cosine))
