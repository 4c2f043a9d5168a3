"""Storage tanks: volume at a depth, filling, draining, overflowing."""

from math import acos, pi, sqrt

from sizing.formulas.water import STANDARD_GRAVITY
from sizing.guards import require, require_not_negative, require_positive


def upright_cylinder_volume(diameter: float, depth: float) -> float:
    """Return the water in an upright cylinder.

        V = π · D² / 4 · h

    Parameters
    ----------
    diameter : D, inside diameter [m], > 0
    depth : h, depth of water, or a change of depth [m], ≥ 0

    Returns
    -------
    V, volume of water [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Ribs and a domed floor are left out: measure the area by a known volume where it matters.

    Source: volume of a cylinder.
    """
    require_positive("diameter", diameter, "m")
    require_not_negative("depth", depth, "m")
    return pi * diameter**2 / 4 * depth


def rectangular_volume(length: float, width: float, depth: float) -> float:
    """Return the water in a rectangular tank.

        V = L · B · h

    Parameters
    ----------
    length : L, inside length [m], > 0
    width : B, inside width [m], > 0
    depth : h, depth of water, or a change of depth [m], ≥ 0

    Returns
    -------
    V, volume of water [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Inside measures, without pillars.

    Source: volume of a prism.
    """
    require_positive("length", length, "m")
    require_positive("width", width, "m")
    require_not_negative("depth", depth, "m")
    return length * width * depth


def lying_cylinder_volume(diameter: float, length: float, depth: float) -> float:
    """Return the water in a lying cylinder with flat ends.

        V = L · [ r² · arccos((r − h)/r) − (r − h) · √(2·r·h − h²) ]
        with r = D/2

    Parameters
    ----------
    diameter : D, inside diameter [m], > 0
    length : L, inside length between flat ends [m], > 0
    depth : h, depth of water [m], 0 … D

    Returns
    -------
    V, volume of water [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Dished ends hold a little more. At 10, 25, 40 and 90 % of the depth it holds 5.2, 19.6, 37.4 and
    94.8 %.

    Source: area of a circular segment times the length.
    """
    require_positive("diameter", diameter, "m")
    require_positive("length", length, "m")
    require(0 <= depth <= diameter, "depth", depth, f"0 … diameter, {diameter} m")
    r = diameter / 2
    segment = r**2 * acos((r - depth) / r) - (r - depth) * sqrt(depth * (2 * r - depth))
    return length * segment


def fill_time(volume: float, inflow: float, outflow: float) -> float:
    """Return how long a tank takes to fill.

        t = V / (Q_i − Q_o)

    Parameters
    ----------
    volume : V, volume to fill [m³], ≥ 0
    inflow : Q_i, flow into the tank [m³/s], > Q_o
    outflow : Q_o, flow drawn meanwhile [m³/s], ≥ 0

    Returns
    -------
    t, time to fill [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    With a steady inflow; a pump's flow falls as the water rises to its inlet.

    Source: conservation of volume.
    """
    require_not_negative("volume", volume, "m³")
    require_positive("inflow", inflow, "m³/s")
    require_not_negative("outflow", outflow, "m³/s")
    require(inflow > outflow, "inflow", inflow, f"> outflow, {outflow} m³/s")
    return volume / (inflow - outflow)


def orifice_flow(area: float, head: float, discharge_coefficient: float) -> float:
    """Return the flow through an opening in a tank's wall or floor.

        Q = C_d · a · √(2·g·h)

    Parameters
    ----------
    area : a, area of the opening [m²], > 0
    head : h, head over the middle of the opening [m], ≥ 0
    discharge_coefficient : C_d, discharge coefficient [1], > 0, ≤ 1

    Returns
    -------
    Q, volume flow [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    C_d is 0.60 to 0.62 for a sharp edge, 0.8 for a short pipe. For an overflow the opening must run
    full; below that it is a weir and passes less.

    Source: Torricelli's law with the discharge coefficient of ISO 5167-2:2003 for sharp edges (from
    memory).
    """
    require_positive("area", area, "m²")
    require_not_negative("head", head, "m")
    require_positive("discharge_coefficient", discharge_coefficient, "")
    require(discharge_coefficient <= 1, "discharge_coefficient", discharge_coefficient, "≤ 1")
    return discharge_coefficient * area * sqrt(2 * STANDARD_GRAVITY * head)


def drain_time(
    tank_area: float, orifice_area: float, head_start: float, head_end: float, discharge_coefficient: float
) -> float:
    """Return how long a tank with upright walls takes to drain through an opening.

        t = 2 · A · (√h₁ − √h₂) / (C_d · a · √(2·g))

    Parameters
    ----------
    tank_area : A, area of the water surface, the same at all depths [m²], > 0
    orifice_area : a, area of the opening [m²], > 0, < A
    head_start : h₁, head over the opening at the start [m], ≥ h₂
    head_end : h₂, head over the opening at the end [m], ≥ 0
    discharge_coefficient : C_d, discharge coefficient [1], > 0, ≤ 1

    Returns
    -------
    t, time to drain [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Through a drain pipe the friction makes it longer: this is the least time.

    Source: Torricelli's law, integrated over the falling head.
    """
    require_positive("tank_area", tank_area, "m²")
    require_positive("orifice_area", orifice_area, "m²")
    require_not_negative("head_start", head_start, "m")
    require_not_negative("head_end", head_end, "m")
    require_positive("discharge_coefficient", discharge_coefficient, "")
    require(orifice_area < tank_area, "orifice_area", orifice_area, f"< tank area, {tank_area} m²")
    require(head_start >= head_end, "head_start", head_start, f"≥ end head, {head_end} m")
    require(discharge_coefficient <= 1, "discharge_coefficient", discharge_coefficient, "≤ 1")
    outflow = discharge_coefficient * orifice_area * sqrt(2 * STANDARD_GRAVITY)
    return 2 * tank_area * (sqrt(head_start) - sqrt(head_end)) / outflow
