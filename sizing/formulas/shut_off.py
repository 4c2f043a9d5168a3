"""Pressure where nothing flows: behind a pump against a shut valve, at a relief valve, in a pipe of a class."""

from collections.abc import Sequence
from itertools import pairwise

from sizing.formulas.water import pressure_head
from sizing.guards import require, require_finite, require_not_negative, require_positive


def shut_off_head(flow: float, head: float, next_flow: float, next_head: float) -> float:
    """Return the head of a pump without flow, by a straight line through its two points of least flow.

        H₀ = H₁ + Q₁ · (H₁ − H₂) / (Q₂ − Q₁)

    Parameters
    ----------
    flow : Q₁, least flow of the curve [m³/s], ≥ 0
    head : H₁, head at it [m], > 0
    next_flow : Q₂, next flow [m³/s], > Q₁
    next_head : H₂, head at it [m], ≤ H₁

    Returns
    -------
    H₀, head at shut-off [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Only of a centrifugal pump. Its curve flattens towards shut-off, so the line lies above it: the safe side.

    Source: straight line through two points of the data sheet; common practice, no source.
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("head", head, "m")
    require_finite("next_flow", next_flow, "m³/s")
    require_finite("next_head", next_head, "m")
    require(next_flow > flow, "next_flow", next_flow, f"> {flow:g} m³/s")
    require(next_head <= head, "next_head", next_head, f"≤ {head:g} m")
    return head + flow * (head - next_head) / (next_flow - flow)


def shut_off_head_of_parabola(flow: float, head: float, next_flow: float, next_head: float) -> float:
    """Return the head of a pump without flow, by a parabola through its two points of least flow.

        H₀ = H₁ + Q₁² · (H₁ − H₂) / (Q₂² − Q₁²)

    Parameters
    ----------
    flow : Q₁, least flow of the curve [m³/s], ≥ 0
    head : H₁, head at it [m], > 0
    next_flow : Q₂, next flow [m³/s], > Q₁
    next_head : H₂, head at it [m], ≤ H₁

    Returns
    -------
    H₀, head at shut-off [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Only of a centrifugal pump: what a gauge should show. For what parts must stand, the straight line is safer.

    Source: H = A − B·Q², EPANET 2.2 User Manual, chapter 3, pump curves; solved for A through two points.
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("head", head, "m")
    require_finite("next_flow", next_flow, "m³/s")
    require_finite("next_head", next_head, "m")
    require(next_flow > flow, "next_flow", next_flow, f"> {flow:g} m³/s")
    require(next_head <= head, "next_head", next_head, f"≤ {head:g} m")
    return head + flow**2 * (head - next_head) / (next_flow**2 - flow**2)


def flow_at_head(flows: Sequence[float], heads: Sequence[float], head: float) -> float:
    """Return the flow of a pump at a head, by straight lines between the points of its curve.

        Q = Qᵢ + (Qᵢ₊₁ − Qᵢ) · (Hᵢ − H) / (Hᵢ − Hᵢ₊₁)

    Parameters
    ----------
    flows : Qᵢ, flows of the curve, rising [m³/s, …], two or more
    heads : Hᵢ, head at each, falling [m, …], as many
    head : H, head to find the flow at [m], any

    Returns
    -------
    Q, flow; none above the highest head, that of the last point below the lowest [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: EPANET 2.2 User Manual, chapter 3, multi-point pump curve.
    """
    require(len(flows) >= 2 and len(flows) == len(heads), "flows", len(flows), "two or more, as many as heads")
    require(all(a < b for a, b in pairwise(flows)), "flows", flows, "rising")
    require(all(a > b for a, b in pairwise(heads)), "heads", heads, "falling")
    require_finite("head", head, "m")
    if head > heads[0]:
        return 0.0
    for (q1, h1), (q2, h2) in pairwise(zip(flows, heads, strict=True)):
        if head >= h2:
            return q1 + (q2 - q1) * (h1 - head) / (h1 - h2)
    return flows[-1]


def head_behind_pump(head_before: float, pump_head: float) -> float:
    """Return the head above the datum behind a pump.

        H₂ = H₁ + H_p

    Parameters
    ----------
    head_before : H₁, head above the datum before it, in a well that of the water [m], any
    pump_head : H_p, head that it adds [m], ≥ 0

    Returns
    -------
    H₂, head above the datum behind it [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of energy; EPANET 2.2 User Manual, chapter 12.
    """
    require_finite("head_before", head_before, "m")
    require_not_negative("pump_head", pump_head, "m")
    return head_before + pump_head


def relief_head(set_pressure_gauge: float, overpressure: float, elevation: float, density: float) -> float:
    """Return the head above the datum that a relief valve lets stand while it carries its whole flow.

        H_r = z_r + (1 + o) · p_set / (ρ · g)

    Parameters
    ----------
    set_pressure_gauge : p_set, gauge pressure at which it begins to open [Pa], > 0
    overpressure : o, share above it at which it carries its capacity, 0.10 is usual [1], 0 … 0.5
    elevation : z_r, of the valve [m], any
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    H_r, head above the datum [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: hydrostatics; 10 % overpressure as in ISO 4126-1:2013 (from memory).
    """
    require_positive("set_pressure_gauge", set_pressure_gauge, "Pa gauge")
    require(0 <= overpressure <= 0.5, "overpressure", overpressure, "0 … 0.5")
    require_finite("elevation", elevation, "m")
    return elevation + pressure_head((1 + overpressure) * set_pressure_gauge, density)


def dimension_ratio_of_rating(pressure_rating: float, design_stress: float) -> float:
    """Return the dimension ratio of a plastic pipe from its pressure rating.

        DR = 1 + 2 · σ / PN

    Parameters
    ----------
    pressure_rating : PN, gauge pressure that it is rated for [Pa], > 0
    design_stress : σ, hydrostatic design stress of the material [Pa], > 0

    Returns
    -------
    DR, outside diameter over wall thickness [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A rating set lower than the pipe could stand gives a thinner wall than it has.

    Source: ISO 161-1:2018; the same relation in ASTM D2241 and D3035.
    """
    require_positive("pressure_rating", pressure_rating, "Pa")
    require_positive("design_stress", design_stress, "Pa")
    return 1 + 2 * design_stress / pressure_rating


def slow_closure_surge(joukowsky_surge: float, rapid_closing_time: float, closing_time: float) -> float:
    """Return the pressure rise when a valve shuts more slowly than a wave goes and returns.

        Δp = Δp_J · t_r / t_c

    Parameters
    ----------
    joukowsky_surge : Δp_J, rise of a sudden stop [Pa], ≥ 0
    rapid_closing_time : t_r, time for a wave to go and return, 2·L/a [s], ≥ 0
    closing_time : t_c, time in which the valve shuts [s], ≥ t_r

    Returns
    -------
    Δp, pressure rise [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Even closing. It is 2·ρ·L·v/t_c, twice the rigid column: on the safe side of it.

    Source: Michaud's formula; Wylie and Streeter, Fluid Transients in Systems, 1993 (chapter from memory).
    """
    require_not_negative("joukowsky_surge", joukowsky_surge, "Pa")
    require_not_negative("rapid_closing_time", rapid_closing_time, "s")
    require_positive("closing_time", closing_time, "s")
    require(closing_time >= rapid_closing_time, "closing_time", closing_time, f"≥ {rapid_closing_time:g} s")
    return joukowsky_surge * rapid_closing_time / closing_time


def pressure_with_surge(steady_pressure: float, surge: float) -> float:
    """Return the highest pressure of a steady one and a surge on top of it.

        p = p_e + Δp

    Parameters
    ----------
    steady_pressure : p_e, steady gauge pressure [Pa], any
    surge : Δp, pressure rise [Pa], ≥ 0

    Returns
    -------
    p, highest gauge pressure [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: superposition; Wylie and Streeter, Fluid Transients in Systems, 1993 (chapter from memory).
    """
    require_finite("steady_pressure", steady_pressure, "Pa")
    require_not_negative("surge", surge, "Pa")
    return steady_pressure + surge


def allowed_with_surge(pressure_rating: float, factor: float) -> float:
    """Return the pressure that a pipe stands for the short time of a surge.

        p_max = k · PN

    Parameters
    ----------
    pressure_rating : PN, gauge pressure that it is rated for [Pa], > 0
    factor : k, allowance of the material, 1 where none is granted [1], 1 … 2

    Returns
    -------
    p_max, gauge pressure allowed in a surge [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    1.5 for recurring surges in PE, 1 for PVC and metal pipe, which must carry them within their rating.

    Source: AWWA C901-17 (PE) and C900-16 (PVC), recurring surge (from memory).
    """
    require_positive("pressure_rating", pressure_rating, "Pa")
    require(1 <= factor <= 2, "factor", factor, "1 … 2")
    return factor * pressure_rating
