"""What an open tap lets through."""

from math import sqrt

from sizing.formulas.fittings import FLOW_COEFFICIENT_DENSITY, FLOW_COEFFICIENT_PRESSURE
from sizing.formulas.water import STANDARD_GRAVITY
from sizing.guards import require_not_negative, require_positive


def tap_flow(head: float, flow_coefficient: float) -> float:
    """Return the flow of an open tap under a head.

        Q = K_v · √( h · ρ·g / 1 bar )
        with ρ = 1000 kg/m³

    Parameters
    ----------
    head : h, pressure head in front of the tap [m], ≥ 0
    flow_coefficient : K_v, flow of water at a loss of 1 bar [m³/s], > 0

    Returns
    -------
    Q, volume flow [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Turbulent, into the open air. An aerator or a hose takes its own share.

    Source: IEC 60534-2-1:2011, equation 1, solved for the flow.
    """
    require_not_negative("head", head, "m")
    require_positive("flow_coefficient", flow_coefficient, "m³/s")
    pressure = FLOW_COEFFICIENT_DENSITY * STANDARD_GRAVITY * head
    return flow_coefficient * sqrt(pressure / FLOW_COEFFICIENT_PRESSURE)
