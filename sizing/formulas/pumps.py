"""What a pump must lift, what that takes in power, and how both follow speed."""

from sizing.formulas.water import STANDARD_GRAVITY
from sizing.guards import require, require_finite, require_not_negative, require_positive


def total_dynamic_head(lift: float, friction_head: float, minor_head: float, outlet_head: float) -> float:
    """Return the head against which a pump works.

        H = z + h_f + h_m + h_o

    Parameters
    ----------
    lift : z, rise from the pumping water level to the point of outlet [m], any
    friction_head : h_f, head lost to friction in the pipes [m], ≥ 0
    minor_head : h_m, head lost in fittings, valves and filters [m], ≥ 0
    outlet_head : h_o, pressure head at the outlet; zero into the open [m], ≥ 0

    Returns
    -------
    H, total dynamic head [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    From the pumping level, not the static one. The velocity head at an open pipe end is the
    fitting `exit`, counted in h_m.

    Source: USACE TI 814-01, equation 5-6; field head calculation of MIL-HDBK-1164, appendix A.
    """
    require_finite("lift", lift, "m")
    require_not_negative("friction_head", friction_head, "m")
    require_not_negative("minor_head", minor_head, "m")
    require_not_negative("outlet_head", outlet_head, "m")
    return lift + friction_head + minor_head + outlet_head


def hydraulic_power(flow: float, head: float, density: float) -> float:
    """Return the power that the water carries away.

        P_h = ρ · g · Q · H

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    head : H, total dynamic head [m], ≥ 0
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    P_h, hydraulic power [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    In US units, horsepower = gpm · ft / 3960.

    Source: USACE TI 814-01, equation 5-7; ISO 9906:2012, pump power output (clause from memory).
    """
    require_not_negative("flow", flow, "m³/s")
    require_not_negative("head", head, "m")
    require_positive("density", density, "kg/m³")
    return density * STANDARD_GRAVITY * flow * head


def wire_to_water_efficiency(flow: float, head: float, electrical_power: float, density: float) -> float:
    """Return the share of the electrical power that arrives in the water.

        η = ρ · g · Q · H / P_e

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    head : H, total dynamic head [m], ≥ 0
    electrical_power : P_e, electrical power into the pump set [W], > 0
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    η, wire-to-water efficiency [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Say where P_e was measured: before the controller it includes the controller's own loss.
    A result above 1 is returned, for it is the sign of a wrong reading.

    Source: ratio of hydraulic power (USACE TI 814-01, equation 5-7) to electrical power.
    """
    require_positive("electrical_power", electrical_power, "W")
    return hydraulic_power(flow, head, density) / electrical_power


def specific_energy(power: float, flow: float) -> float:
    """Return the energy spent on each cubic metre pumped.

        E_s = P / Q

    Parameters
    ----------
    power : P, electrical power into the pump set [W], ≥ 0
    flow : Q, volume flow [m³/s], > 0

    Returns
    -------
    E_s, specific energy; 3.6 MJ/m³ is 1 kWh/m³ [J/m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    At 100 % efficiency each metre of head takes ρ·g = 9.8 kJ/m³, or 0.0027 kWh/m³.

    Source: ratio of power to flow; common practice, no source.
    """
    require_not_negative("power", power, "W")
    require_positive("flow", flow, "m³/s")
    return power / flow


def specific_energy_of_efficiency(head: float, efficiency: float, density: float) -> float:
    """Return the energy spent on each cubic metre, from head and efficiency.

        E_s = ρ · g · H / η

    Parameters
    ----------
    head : H, total dynamic head [m], ≥ 0
    efficiency : η, wire to water [1], > 0 … 1
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    E_s, specific energy; 3.6 MJ/m³ is 1 kWh/m³ [J/m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of efficiency, hydraulic power over electrical power.
    """
    require_not_negative("head", head, "m")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    require_positive("density", density, "kg/m³")
    return density * STANDARD_GRAVITY * head / efficiency


def affinity_flow(flow: float, speed_ratio: float) -> float:
    """Return a point's flow at another speed.

        Q₂ = Q₁ · (n₂/n₁)

    Parameters
    ----------
    flow : Q₁, flow at the first speed [m³/s], ≥ 0
    speed_ratio : n₂/n₁, second speed over first speed [1], > 0

    Returns
    -------
    Q₂, flow at the second speed [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For similar points of one centrifugal pump. Against a static head the duty point moves
    otherwise: solve the curve with the system again.

    Source: affinity laws; ISO 9906:2012, translation to the specified speed (clause from memory).
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("speed_ratio", speed_ratio, "")
    return flow * speed_ratio


def affinity_head(head: float, speed_ratio: float) -> float:
    """Return a point's head at another speed.

        H₂ = H₁ · (n₂/n₁)²

    Parameters
    ----------
    head : H₁, head at the first speed [m], ≥ 0
    speed_ratio : n₂/n₁, second speed over first speed [1], > 0

    Returns
    -------
    H₂, head at the second speed [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For similar points of one centrifugal pump, together with `affinity_flow`.

    Source: affinity laws; ISO 9906:2012, translation to the specified speed (clause from memory).
    """
    require_not_negative("head", head, "m")
    require_positive("speed_ratio", speed_ratio, "")
    return head * speed_ratio**2


def affinity_power(power: float, speed_ratio: float) -> float:
    """Return a point's shaft power at another speed.

        P₂ = P₁ · (n₂/n₁)³

    Parameters
    ----------
    power : P₁, shaft power at the first speed [W], ≥ 0
    speed_ratio : n₂/n₁, second speed over first speed [1], > 0

    Returns
    -------
    P₂, shaft power at the second speed [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Supposes the same efficiency; motor and controller losses fall more slowly.

    Source: affinity laws; ISO 9906:2012, translation to the specified speed (clause from memory).
    """
    require_not_negative("power", power, "W")
    require_positive("speed_ratio", speed_ratio, "")
    return power * speed_ratio**3
