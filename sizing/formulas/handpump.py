"""Piston hand pumps: what a stroke gives and what it costs the arm."""

from math import pi

from sizing.formulas.pumps import hydraulic_power
from sizing.formulas.water import STANDARD_GRAVITY
from sizing.guards import require, require_not_negative, require_positive


def swept_volume(bore: float, stroke: float) -> float:
    """Return the volume that the piston sweeps in one stroke.

        V_s = π · d² / 4 · s

    Parameters
    ----------
    bore : d, bore of the cylinder [m], > 0
    stroke : s, stroke of the piston [m], > 0

    Returns
    -------
    V_s, swept volume [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The piston's stroke, not the hand's.

    Source: volume of a cylinder.
    """
    require_positive("bore", bore, "m")
    require_positive("stroke", stroke, "m")
    return pi * bore**2 / 4 * stroke


def volumetric_efficiency(delivered_volume: float, swept_volume: float) -> float:
    """Return the share of the swept volume that reaches the spout.

        η_v = V / V_s

    Parameters
    ----------
    delivered_volume : V, water delivered per stroke [m³], ≥ 0
    swept_volume : V_s, swept volume of a stroke [m³], > 0

    Returns
    -------
    η_v, volumetric efficiency [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Falls with worn seals and a leaking foot valve. Slightly above 1 is possible at speed, as the moving
    water carries on; well above 1 is a slip in bore or stroke.

    Source: definition; common practice, no source.
    """
    require_not_negative("delivered_volume", delivered_volume, "m³")
    require_positive("swept_volume", swept_volume, "m³")
    return delivered_volume / swept_volume


def rod_force(bore: float, head: float, density: float) -> float:
    """Return the pull of the water column on the pump rod.

        F_r = ρ · g · H · π · d² / 4

    Parameters
    ----------
    bore : d, bore of the cylinder [m], > 0
    head : H, height from the pumping level to the spout [m], ≥ 0
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    F_r, rod force [N]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The water alone: the rod's own weight, friction and starting the column come on top.

    Source: hydrostatic pressure times the piston's area.
    """
    require_positive("bore", bore, "m")
    require_not_negative("head", head, "m")
    require_positive("density", density, "kg/m³")
    return density * STANDARD_GRAVITY * head * pi * bore**2 / 4


def handle_force(rod_force: float, lever_ratio: float, mechanical_efficiency: float) -> float:
    """Return the force at the handle.

        F_h = F_r / (i · η)

    Parameters
    ----------
    rod_force : F_r, pull on the pump rod [N], ≥ 0
    lever_ratio : i, hand travel over rod travel [1], > 0
    mechanical_efficiency : η, efficiency of bearings and seals [1], > 0, ≤ 1

    Returns
    -------
    F_h, handle force [N]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Above some 200 N most people tire within minutes (common practice, no source).

    Source: law of the lever.
    """
    require_not_negative("rod_force", rod_force, "N")
    require_positive("lever_ratio", lever_ratio, "")
    require_positive("mechanical_efficiency", mechanical_efficiency, "")
    require(mechanical_efficiency <= 1, "mechanical_efficiency", mechanical_efficiency, "≤ 1")
    return rod_force / (lever_ratio * mechanical_efficiency)


def human_efficiency(flow: float, head: float, human_power: float, density: float) -> float:
    """Return the share of a person's work that arrives in the water.

        η = ρ · g · Q · H / P

    Parameters
    ----------
    flow : Q, flow at the spout [m³/s], ≥ 0
    head : H, height from the pumping level to the spout [m], ≥ 0
    human_power : P, power of the person pumping [W], > 0
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    η, efficiency [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Sustained human power is taken as 75 W; a published yield that needs more than 0.8 is optimistic.

    Source: definition; the 75 W is common practice, no source.
    """
    require_not_negative("flow", flow, "m³/s")
    require_not_negative("head", head, "m")
    require_positive("human_power", human_power, "W")
    require_positive("density", density, "kg/m³")
    return hydraulic_power(flow, head, density) / human_power


def hand_pump_flow(human_power: float, efficiency: float, head: float, density: float) -> float:
    """Return the flow that a person can pump.

        Q = η · P / (ρ · g · H)

    Parameters
    ----------
    human_power : P, power of the person pumping [W], > 0
    efficiency : η, share of it that arrives in the water [1], > 0, ≤ 1
    head : H, height from the pumping level to the spout [m], > 0
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    Q, volume flow [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    75 W and an efficiency of 0.65 are a sensible check of what a pump promises.

    Source: definition of efficiency, solved for flow.
    """
    require_positive("human_power", human_power, "W")
    require_positive("efficiency", efficiency, "")
    require_positive("head", head, "m")
    require_positive("density", density, "kg/m³")
    require(efficiency <= 1, "efficiency", efficiency, "≤ 1")
    return efficiency * human_power / (density * STANDARD_GRAVITY * head)


def strokes_to_raise(riser_diameter: float, empty_length: float, delivered_volume: float) -> float:
    """Return the strokes until water appears at the spout.

        n = π · d_r² / 4 · h / V

    Parameters
    ----------
    riser_diameter : d_r, inside diameter of the rising main [m], > 0
    empty_length : h, length of rising main found empty [m], ≥ 0
    delivered_volume : V, water delivered per stroke [m³], > 0

    Returns
    -------
    n, strokes [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    More strokes on every visit means a leaking foot valve or riser. The rod's volume is left out.

    Source: volume of a cylinder over the volume of a stroke.
    """
    require_positive("riser_diameter", riser_diameter, "m")
    require_not_negative("empty_length", empty_length, "m")
    require_positive("delivered_volume", delivered_volume, "m³")
    return pi * riser_diameter**2 / 4 * empty_length / delivered_volume


def volume_per_stroke(volume: float, strokes: float) -> float:
    """Return the water that a stroke delivers, from a counted number of them.

        V₁ = V / n

    Parameters
    ----------
    volume : V, water caught [m³], ≥ 0
    strokes : n, full strokes counted [1], ≥ 1

    Returns
    -------
    V₁, water delivered per stroke [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Full strokes at a steady pace, about 40 a minute; count from the first water.

    Source: common practice, no source; IS 9301 counts 40 strokes (from memory).
    """
    require_not_negative("volume", volume, "m³")
    require(1 <= strokes < float("inf"), "strokes", strokes, "≥ 1")
    return volume / strokes


def stroke_flow(volume_per_stroke: float, strokes: float, time: float) -> float:
    """Return the flow of a hand pump from its water per stroke and the pace of the strokes.

        Q = V₁ · n / t

    Parameters
    ----------
    volume_per_stroke : V₁, water of one stroke [m³], > 0
    strokes : n, full strokes [1], > 0
    time : t, time of those strokes [s], > 0

    Returns
    -------
    Q, flow [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Full strokes only; some 40 a minute is the usual pace.

    Source: definition of volume flow.
    """
    require_positive("volume_per_stroke", volume_per_stroke, "m³")
    require_positive("strokes", strokes, "")
    require_positive("time", time, "s")
    return volume_per_stroke * strokes / time
