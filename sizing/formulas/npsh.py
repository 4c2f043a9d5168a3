"""Whether a pump's suction keeps clear of boiling. All pressures absolute unless named gauge."""

from sizing.formulas.water import pressure_head, velocity_head
from sizing.guards import require, require_finite, require_not_negative, require_positive


def npsh_available(
    surface_pressure: float, vapour_pressure: float, density: float, static_head: float, suction_loss: float
) -> float:
    """Return the net positive suction head that a suction line leaves at the pump.

        NPSH_A = (p_s − p_v) / (ρ·g) + z − h_s

    Parameters
    ----------
    surface_pressure : p_s, absolute pressure on the water drawn from [Pa], > 0
    vapour_pressure : p_v, vapour pressure of the water [Pa], 0 … p_s
    density : ρ, density of the water [kg/m³], > 0
    static_head : z, water surface above the pump's inlet, negative for a lift [m], any
    suction_loss : h_s, head lost on the suction side, filter and foot valve too [m], ≥ 0

    Returns
    -------
    NPSH_A, net positive suction head available [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A clean filter of 20 kPa takes 2 m away, a dirty one more. A result near or below zero cannot be
    pumped.

    Source: ISO 17769-1:2012, NPSH available (clause from memory); Technical Paper 410, example 7.32.
    """
    require_positive("surface_pressure", surface_pressure, "Pa absolute")
    require_not_negative("vapour_pressure", vapour_pressure, "Pa absolute")
    require_positive("density", density, "kg/m³")
    require_finite("static_head", static_head, "m")
    require_not_negative("suction_loss", suction_loss, "m")
    require(vapour_pressure <= surface_pressure, "vapour_pressure", vapour_pressure, f"≤ {surface_pressure} Pa")
    return pressure_head(surface_pressure - vapour_pressure, density) + static_head - suction_loss


def npsh_from_gauge(
    gauge_pressure: float,
    atmosphere: float,
    vapour_pressure: float,
    density: float,
    velocity: float,
    gauge_height: float,
) -> float:
    """Return the net positive suction head from a gauge at the pump's inlet.

        NPSH_A = (p_e + p_amb − p_v) / (ρ·g) + v² / (2·g) + z_g

    Parameters
    ----------
    gauge_pressure : p_e, gauge pressure at the pump's inlet, negative for a vacuum [Pa], ≥ −p_amb
    atmosphere : p_amb, absolute pressure of the air [Pa], > 0
    vapour_pressure : p_v, vapour pressure of the water [Pa], ≥ 0
    density : ρ, density of the water [kg/m³], > 0
    velocity : v, velocity where the gauge is tapped [m/s], ≥ 0
    gauge_height : z_g, gauge above the pump's centreline [m], any

    Returns
    -------
    NPSH_A, net positive suction head available [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The velocity head is added: the stream still has it. One text prints a minus there and adds it.

    Source: ISO 17769-1:2012, NPSH available (clause from memory), with the energy measured at the
    inlet.
    """
    require_finite("gauge_pressure", gauge_pressure, "Pa gauge")
    require_positive("atmosphere", atmosphere, "Pa absolute")
    require_not_negative("vapour_pressure", vapour_pressure, "Pa absolute")
    require_positive("density", density, "kg/m³")
    require_finite("gauge_height", gauge_height, "m")
    require(gauge_pressure >= -atmosphere, "gauge_pressure", gauge_pressure, f"≥ −{atmosphere} Pa gauge")
    pressure = gauge_pressure + atmosphere - vapour_pressure
    return pressure_head(pressure, density) + velocity_head(velocity) + gauge_height


def npsh_margin(npsh_available: float, npsh_required: float) -> float:
    """Return the suction head left over.

        m = NPSH_A − NPSH_R

    Parameters
    ----------
    npsh_available : NPSH_A, net positive suction head available [m], any
    npsh_required : NPSH_R, net positive suction head that the pump requires [m], ≥ 0

    Returns
    -------
    m, margin; negative when the pump cavitates [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    At the same flow. Half a metre or more is commonly asked.

    Source: ISO 17769-1:2012 (clause from memory); the half metre is common practice, no source.
    """
    require_finite("npsh_available", npsh_available, "m")
    require_not_negative("npsh_required", npsh_required, "m")
    return npsh_available - npsh_required


def npsh_needed(npsh_required: float, margin_ratio: float) -> float:
    """Return the suction head that must be available for a safety ratio.

        NPSH_A,min = k · NPSH_R

    Parameters
    ----------
    npsh_required : NPSH_R, net positive suction head that the pump requires [m], ≥ 0
    margin_ratio : k, ratio of available to required [1], ≥ 1

    Returns
    -------
    NPSH_min, least net positive suction head available [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Technical Paper 410 works with 1.3.

    Source: Technical Paper 410, example 7.32.
    """
    require_not_negative("npsh_required", npsh_required, "m")
    require_positive("margin_ratio", margin_ratio, "")
    require(margin_ratio >= 1, "margin_ratio", margin_ratio, "≥ 1")
    return margin_ratio * npsh_required
