"""The pressure wave of water stopped suddenly."""

from math import sqrt

from sizing.guards import require, require_finite, require_not_negative, require_positive

# Bulk modulus of water 300 000 psi and short-term modulus of PVC 400 000 psi: AWWA M23, surge chapter (from memory).
WATER_BULK_MODULUS = 300_000 * 6894.757  # Pa
PVC_MODULUS = 400_000 * 6894.757  # Pa
# 4660 ft/s, the speed of sound in water that goes with them in AWWA M23 (from memory).
SOUND_IN_WATER = 4660 * 0.3048  # m/s


def wave_speed(bulk_modulus: float, density: float, pipe_modulus: float, diameter_over_wall: float) -> float:
    """Return the speed of a pressure wave in a pipe.

        a = √(K/ρ) / √(1 + K·D / (E·e))

    Parameters
    ----------
    bulk_modulus : K, bulk modulus of the water [Pa], > 0
    density : ρ, density of the water [kg/m³], > 0
    pipe_modulus : E, modulus of elasticity of the pipe [Pa], > 0
    diameter_over_wall : D/e, diameter over wall thickness [1], > 2

    Returns
    -------
    a, wave speed [m/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Air-free water in a thin-walled pipe; a little free air makes it far slower.

    Source: Korteweg's formula; Wylie and Streeter, Fluid Transients in Systems, 1993 (chapter from
    memory).
    """
    require_positive("bulk_modulus", bulk_modulus, "Pa")
    require_positive("density", density, "kg/m³")
    require_positive("pipe_modulus", pipe_modulus, "Pa")
    require_finite("diameter_over_wall", diameter_over_wall, "")
    require(diameter_over_wall > 2, "diameter_over_wall", diameter_over_wall, "> 2")
    return sqrt(bulk_modulus / density) / sqrt(1 + bulk_modulus * diameter_over_wall / pipe_modulus)


def wave_speed_by_dimension_ratio(dimension_ratio: float, pipe_modulus: float) -> float:
    """Return the speed of a pressure wave in a plastic pipe of a dimension ratio.

        a = 4660 ft/s / √(1 + K·(DR − 2) / E)
        with K = 300 000 psi

    Parameters
    ----------
    dimension_ratio : DR, outside diameter over wall thickness [1], > 2
    pipe_modulus : E, modulus of elasticity of the pipe [Pa], > 0

    Returns
    -------
    a, wave speed [m/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    DR − 2 is inside diameter over wall. PVC: E = 400 000 psi, short term. PE: a quarter of it or less.

    Source: AWWA M23 and C900, pressure surge (from memory).
    """
    require_finite("dimension_ratio", dimension_ratio, "")
    require_positive("pipe_modulus", pipe_modulus, "Pa")
    require(dimension_ratio > 2, "dimension_ratio", dimension_ratio, "> 2")
    return SOUND_IN_WATER / sqrt(1 + WATER_BULK_MODULUS * (dimension_ratio - 2) / pipe_modulus)


def joukowsky_surge(density: float, wave_speed: float, velocity_change: float) -> float:
    """Return the pressure rise when water is stopped at once.

        Δp = ρ · a · Δv

    Parameters
    ----------
    density : ρ, density of the water [kg/m³], > 0
    wave_speed : a, wave speed [m/s], > 0
    velocity_change : Δv, change of velocity [m/s], ≥ 0

    Returns
    -------
    Δp, pressure rise [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Holds when the valve shuts within `rapid_closing_time`; it comes on top of the pressure at rest.

    Source: Joukowsky's equation; Wylie and Streeter, Fluid Transients in Systems, 1993 (chapter from
    memory).
    """
    require_positive("density", density, "kg/m³")
    require_positive("wave_speed", wave_speed, "m/s")
    require_not_negative("velocity_change", velocity_change, "m/s")
    return density * wave_speed * velocity_change


def rapid_closing_time(length: float, wave_speed: float) -> float:
    """Return the closing time below which the full surge arises.

        t_r = 2 · L / a

    Parameters
    ----------
    length : L, length of the pipe to the next open surface [m], ≥ 0
    wave_speed : a, wave speed [m/s], > 0

    Returns
    -------
    t_r, time for a wave to go and return [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A slower closure meets the returning wave and gives less.

    Source: Wylie and Streeter, Fluid Transients in Systems, 1993 (chapter from memory).
    """
    require_not_negative("length", length, "m")
    require_positive("wave_speed", wave_speed, "m/s")
    return 2 * length / wave_speed


def rigid_column_surge(density: float, length: float, velocity: float, closing_time: float) -> float:
    """Return the pressure rise when water is brought to rest slowly and evenly.

        Δp = ρ · L · v / t

    Parameters
    ----------
    density : ρ, density of the water [kg/m³], > 0
    length : L, length of the pipe [m], ≥ 0
    velocity : v, velocity before closing [m/s], ≥ 0
    closing_time : t, closing time at even deceleration [s], > 0

    Returns
    -------
    Δp, pressure rise [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For closing times many times 2L/a. A real valve does most of its work at the end of its travel and
    gives more.

    Source: Newton's second law on the column of water.
    """
    require_positive("density", density, "kg/m³")
    require_not_negative("length", length, "m")
    require_not_negative("velocity", velocity, "m/s")
    require_positive("closing_time", closing_time, "s")
    return density * length * velocity / closing_time


def transmitted_surge(surge: float, area_ratio: float) -> float:
    """Return the part of a surge that passes a change of bore.

        S_t = S · 2 / (1 + A₂/A₁)

    Parameters
    ----------
    surge : S, surge arriving at the change of bore, as pressure or head [as the quantity], any
    area_ratio : A₂/A₁, area beyond over area before the change [1], > 0

    Returns
    -------
    S_t, surge passed on [as the quantity]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Equal wave speeds on both sides. What is thrown back is S_t − S.

    Source: Wood, Lingireddy and Boulos, Surge Analysis and the Wave Plan Method, chapter 1 (problem
    1.28).
    """
    require_finite("surge", surge, "")
    require_positive("area_ratio", area_ratio, "")
    return surge * 2 / (1 + area_ratio)
