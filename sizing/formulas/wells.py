"""Water levels in a well, and what the well gives for them. Depths are below the measuring point."""

from sizing.formulas.pipes import pipe_area
from sizing.formulas.water import pressure_head
from sizing.guards import require, require_between, require_finite, require_not_negative, require_positive


def drawdown(pumping_level: float, static_level: float) -> float:
    """Return how far pumping has pulled the water level down.

        s = D_p − D_s

    Parameters
    ----------
    pumping_level : D_p, depth to water while pumping [m], ≥ D_s
    static_level : D_s, depth to water at rest [m], any

    Returns
    -------
    s, drawdown [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Both depths from the same mark. A level above the mark is negative. A pumping level
    above the static one is a slip or a well that was not at rest.

    Source: ISO 14686:2003, pumping tests for water wells, definitions (from memory).
    """
    require_finite("static_level", static_level, "m")
    require_finite("pumping_level", pumping_level, "m")
    require(pumping_level >= static_level, "pumping_level", pumping_level, f"≥ static level, {static_level} m")
    return pumping_level - static_level


def specific_capacity(flow: float, drawdown: float) -> float:
    """Return the flow that a well gives per unit of drawdown.

        C_s = Q / s

    Parameters
    ----------
    flow : Q, flow pumped [m³/s], > 0
    drawdown : s, drawdown at that flow [m], > 0

    Returns
    -------
    C_s, specific capacity [m²/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Compare only at like flow and like minutes of pumping: it falls with both.

    Source: ISO 14686:2003, pumping tests for water wells, definitions (from memory).
    """
    require_positive("flow", flow, "m³/s")
    require_positive("drawdown", drawdown, "m")
    return flow / drawdown


def drawdown_at_flow(flow: float, specific_capacity: float) -> float:
    """Return the drawdown expected at a flow.

        s = Q / C_s

    Parameters
    ----------
    flow : Q, flow pumped [m³/s], ≥ 0
    specific_capacity : C_s, specific capacity [m²/s], > 0

    Returns
    -------
    s, drawdown [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Linear. A real well loses more at flows above the tested one, as part of the loss grows with Q².

    Source: definition of specific capacity, ISO 14686:2003 (from memory), solved for s.
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("specific_capacity", specific_capacity, "m²/s")
    return flow / specific_capacity


def casing_volume(inside_diameter: float, water_column: float) -> float:
    """Return the water standing in a casing or a pipe.

        V = π · d² / 4 · h

    Parameters
    ----------
    inside_diameter : d, inside diameter [m], > 0
    water_column : h, height of the water standing in it [m], ≥ 0

    Returns
    -------
    V, volume of water [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The trade's short form is d²/24.5 US gallons per foot, d in inches.

    Source: volume of a cylinder.
    """
    require_not_negative("water_column", water_column, "m")
    return pipe_area(inside_diameter) * water_column


def air_line_level(air_line_length: float, gauge_pressure: float, density: float) -> float:
    """Return the depth to water from the pressure that clears an air line.

        D = L − p_e / (ρ·g)

    Parameters
    ----------
    air_line_length : L, depth of the open end of the air line [m], > 0
    gauge_pressure : p_e, highest steady gauge pressure while bubbling [Pa], 0 … 2·ρ·g·L
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    D, depth to water [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    No better than the gauge: 1 psi is 0.7 m. A pressure above ρ·g·L puts the water above the
    measuring point, as in a flowing well, and is accepted up to twice L.

    Source: MIL-HDBK-1164 (UFC 3-230-02), appendix A.
    """
    require_positive("air_line_length", air_line_length, "m")
    require_not_negative("gauge_pressure", gauge_pressure, "Pa")
    submerged = pressure_head(gauge_pressure, density)
    require(submerged <= 2 * air_line_length, "gauge_pressure", gauge_pressure, "≤ 2·ρ·g·L")
    return air_line_length - submerged


def submergence(pump_setting: float, pumping_level: float) -> float:
    """Return the height of water over a pump's intake.

        h_s = D_i − D_p

    Parameters
    ----------
    pump_setting : D_i, depth of the intake [m], any
    pumping_level : D_p, depth to water while pumping [m], any

    Returns
    -------
    h_s, submergence; negative when the intake is dry [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Take both from the same mark, and the level of the driest season for design.

    Source: difference of two depths; common practice, no source.
    """
    require_finite("pump_setting", pump_setting, "m")
    require_finite("pumping_level", pumping_level, "m")
    return pump_setting - pumping_level


def recovered_level(static_level: float, pumping_level: float, recovered: float) -> float:
    """Return the level at which a share of the drawdown has come back after the pump stopped.

        D = D_p − r · (D_p − D_s)

    Parameters
    ----------
    static_level : D_s, depth to water at rest [m], any
    pumping_level : D_p, depth to water when the pump stopped [m], ≥ D_s
    recovered : r, share of the drawdown that has come back [1], 0 … 1

    Returns
    -------
    D, depth to water [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    All from the same mark.

    Source: definition of residual drawdown; common practice, no source.
    """
    require_finite("static_level", static_level, "m")
    require_finite("pumping_level", pumping_level, "m")
    require(pumping_level >= static_level, "pumping_level", pumping_level, f"≥ static level, {static_level:g} m")
    require_between("recovered", recovered, 0.0, 1.0, "")
    return pumping_level - recovered * (pumping_level - static_level)
