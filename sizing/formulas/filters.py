"""Pressure lost in filters and meters, from the drop that their data sheet prints at one flow."""

from sizing.guards import require_between, require_not_negative, require_positive


def filter_pressure_drop(
    flow: float, reference_flow: float, clean_drop: float, change_out_drop: float, dirt: float
) -> float:
    """Return the pressure lost in a filter whose element is clean, dirty or between.

        Δp = [Δp_c + s · (Δp_x − Δp_c)] · (Q / Q₀)²

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    reference_flow : Q₀, flow to which both printed drops refer [m³/s], > 0
    clean_drop : Δp_c, drop of a clean element at Q₀ [Pa], > 0
    change_out_drop : Δp_x, drop at Q₀ at which the element is changed [Pa], ≥ Δp_c
    dirt : s, 0 when clean, 1 when due for changing [1], 0 … 1

    Returns
    -------
    Δp, pressure lost [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Housing and ports lose with the square of the flow; a fine element alone is nearer to linear, so at
    flows well below Q₀ the loss is somewhat more than this.

    Source: square law of local losses, through the data sheet's own point; common practice, no source.
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("reference_flow", reference_flow, "m³/s")
    require_positive("clean_drop", clean_drop, "Pa")
    require_between("change_out_drop", change_out_drop, clean_drop, 1e7, "Pa")
    require_between("dirt", dirt, 0, 1, "1")
    return (clean_drop + dirt * (change_out_drop - clean_drop)) * (flow / reference_flow) ** 2


def meter_pressure_drop(flow: float, reference_flow: float, reference_drop: float) -> float:
    """Return the pressure lost in a water meter.

        Δp = Δp₀ · (Q / Q₀)²

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    reference_flow : Q₀, flow of the printed drop [m³/s], > 0
    reference_drop : Δp₀, drop at Q₀ [Pa], > 0

    Returns
    -------
    Δp, pressure lost [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A water meter of class ΔP63 loses at most 63 kPa at its permanent flow.

    Source: ISO 4064-1:2014, pressure-loss classes (from memory); square law of local losses.
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("reference_flow", reference_flow, "m³/s")
    require_positive("reference_drop", reference_drop, "Pa")
    return reference_drop * (flow / reference_flow) ** 2
