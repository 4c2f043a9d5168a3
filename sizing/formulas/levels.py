"""Elevations, depths, and the heads between them.

Elevations are above the site's datum; depths in a well are below its measuring point.
"""

from collections.abc import Sequence
from math import fsum

from sizing.formulas.water import STANDARD_GRAVITY
from sizing.guards import require, require_finite, require_not_negative, require_positive


def pumping_level(static_level: float, drawdown: float) -> float:
    """Return the depth to water while pumping.

        D_p = D_s + s

    Parameters
    ----------
    static_level : D_s, depth to water at rest [m], any
    drawdown : s, drawdown at the flow pumped [m], ≥ 0

    Returns
    -------
    D_p, depth to water while pumping [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: ISO 14686:2003, pumping tests for water wells, definitions (from memory).
    """
    require_finite("static_level", static_level, "m")
    require_not_negative("drawdown", drawdown, "m")
    return static_level + drawdown


def lift_from_well(outlet_elevation: float, measuring_point_height: float, pumping_level: float) -> float:
    """Return the rise from the water in a well to the point of outlet.

        z = z_o − (z_m − D_p)

    Parameters
    ----------
    outlet_elevation : z_o, elevation where the water leaves, or of the tank's surface if that is higher [m], any
    measuring_point_height : z_m, elevation of the mark that levels are read from [m], any
    pumping_level : D_p, depth to water below that mark while pumping [m], any

    Returns
    -------
    z, rise [m]

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number.

    Source: difference of two elevations; common practice, no source.
    """
    require_finite("outlet_elevation", outlet_elevation, "m")
    require_finite("measuring_point_height", measuring_point_height, "m")
    require_finite("pumping_level", pumping_level, "m")
    return outlet_elevation - (measuring_point_height - pumping_level)


def surface_elevation(floor_elevation: float, depth: float) -> float:
    """Return the elevation of the water surface in a tank.

        z_s = z_f + h

    Parameters
    ----------
    floor_elevation : z_f, elevation of the tank's floor [m], any
    depth : h, water above the floor [m], ≥ 0

    Returns
    -------
    z_s, elevation of the surface [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: sum of an elevation and a depth; common practice, no source.
    """
    require_finite("floor_elevation", floor_elevation, "m")
    require_not_negative("depth", depth, "m")
    return floor_elevation + depth


def depth_at_elevation(elevation: float, floor_elevation: float) -> float:
    """Return how far above a tank's floor an elevation lies.

        h = z − z_f

    Parameters
    ----------
    elevation : z, of a level, a switch or an overflow [m], ≥ z_f
    floor_elevation : z_f, elevation of the tank's floor [m], any

    Returns
    -------
    h, depth of water that reaches it [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: difference of two elevations; common practice, no source.
    """
    require_finite("floor_elevation", floor_elevation, "m")
    require_finite("elevation", elevation, "m")
    require(elevation >= floor_elevation, "elevation", elevation, f"≥ the tank's floor, {floor_elevation} m")
    return elevation - floor_elevation


def depth_below_mark(mark_depth: float, distance: float) -> float:
    """Return the depth of water from the distance between its surface and a mark above.

        h = h_m − d

    Parameters
    ----------
    mark_depth : h_m, height of the mark above the tank's floor [m], > 0
    distance : d, from the mark down to the water [m], ≤ h_m

    Returns
    -------
    h, depth of water [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Such as the lip of the overflow. A negative distance is water above the mark.

    Source: difference of two heights; common practice, no source.
    """
    require_positive("mark_depth", mark_depth, "m")
    require_finite("distance", distance, "m")
    require(distance <= mark_depth, "distance", distance, f"≤ the mark's height, {mark_depth} m")
    return mark_depth - distance


def head_by_gauge(pressure_head: float, gauge_elevation: float, water_elevation: float, friction_head: float) -> float:
    """Return the total head of a well pump from a gauge at the wellhead.

        H = h_p + (z_g − z_w) + h_f

    Parameters
    ----------
    pressure_head : h_p, head that the gauge shows [m], any
    gauge_elevation : z_g, elevation of the gauge [m], any
    water_elevation : z_w, elevation of the water in the well while pumping [m], any
    friction_head : h_f, head lost between pump and gauge [m], ≥ 0

    Returns
    -------
    H, total dynamic head [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The head of speed at the gauge is left out: some 20 mm at 0.6 m/s.

    Source: field head calculation of MIL-HDBK-1164, appendix A.
    """
    require_finite("pressure_head", pressure_head, "m")
    require_finite("gauge_elevation", gauge_elevation, "m")
    require_finite("water_elevation", water_elevation, "m")
    require_not_negative("friction_head", friction_head, "m")
    return pressure_head + (gauge_elevation - water_elevation) + friction_head


def water_elevation(measuring_point_height: float, level: float) -> float:
    """Return the elevation of the water in a well.

        z_w = z_m − D

    Parameters
    ----------
    measuring_point_height : z_m, elevation of the mark that levels are read from [m], any
    level : D, depth to water below that mark [m], any

    Returns
    -------
    z_w, elevation of the water [m]

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number.

    Source: difference of an elevation and a depth; common practice, no source.
    """
    require_finite("measuring_point_height", measuring_point_height, "m")
    require_finite("level", level, "m")
    return measuring_point_height - level


def rise_between(lower_elevation: float, upper_elevation: float) -> float:
    """Return the rise from one elevation to another.

        z = z₂ − z₁

    Parameters
    ----------
    lower_elevation : z₁, elevation at the start [m], any
    upper_elevation : z₂, elevation at the end [m], any

    Returns
    -------
    z, rise; negative where it goes down [m]

    Raises
    ------
    OutOfRangeError
        If an argument is not a finite number.

    Source: difference of two elevations; common practice, no source.
    """
    require_finite("lower_elevation", lower_elevation, "m")
    require_finite("upper_elevation", upper_elevation, "m")
    return upper_elevation - lower_elevation


def summed_head(heads: Sequence[float]) -> float:
    """Return the head lost along parts that lie one behind the other.

        h = Σ hᵢ

    Parameters
    ----------
    heads : hᵢ, head lost in each part [m, …], any number, each ≥ 0

    Returns
    -------
    h, head lost in all [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of energy; EPANET 2.2 User Manual, chapter 12.
    """
    for one in heads:
        require_not_negative("heads", one, "m in each part")
    return fsum(heads)


def pressure_from_surface(surface_elevation: float, elevation: float, head_lost: float, density: float) -> float:
    """Return the gauge pressure at a point that is fed from a free surface.

        p_e = ρ · g · (z_s − z − h)

    Parameters
    ----------
    surface_elevation : z_s, elevation of the water surface [m], any
    elevation : z, elevation of the point [m], any
    head_lost : h, head lost on the way [m], ≥ 0
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    p_e, gauge pressure; negative where the pipe sucks [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The head of speed is left out, as a gauge on a tee does not see it.

    Source: Bernoulli's equation; EPANET 2.2 User Manual, chapter 12.
    """
    require_finite("surface_elevation", surface_elevation, "m")
    require_finite("elevation", elevation, "m")
    require_not_negative("head_lost", head_lost, "m")
    require_positive("density", density, "kg/m³")
    return density * STANDARD_GRAVITY * (surface_elevation - elevation - head_lost)
