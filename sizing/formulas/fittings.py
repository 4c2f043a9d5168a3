"""Head lost in bends, tees, valves, entrances and exits."""

from sizing.formulas.water import STANDARD_GRAVITY
from sizing.guards import require_not_negative, require_positive

# Loss coefficient K of each fitting, full open, on the velocity in the pipe.
# EPANET 2.2 User Manual, table of minor loss coefficients. A small threaded fitting may have
# half as much again; a short elbow is the usual threaded or solvent-welded one.
LOSS_COEFFICIENTS: dict[str, float] = {
    "elbow_90": 0.9,  # short radius
    "elbow_90_medium": 0.8,
    "elbow_90_long": 0.6,
    "elbow_45": 0.4,
    "return_bend": 2.2,
    "tee_run": 0.6,
    "tee_branch": 1.8,
    "gate_valve": 0.2,
    "globe_valve": 10.0,
    "angle_valve": 5.0,
    "check_valve": 2.5,  # swing type
    "entrance": 0.5,  # square edge
    "exit": 1.0,
    # Technical Paper 410 (flow of fluids through valves, fittings and pipe): K = 75·f_T with hinged
    # disc, 420·f_T with poppet disc, strainer included; 3·f_T for a full-bore ball valve; f_T = 0.023
    # for 1 inch, the largest of house sizes.
    "foot_valve_hinged": 1.7,
    "foot_valve_poppet": 9.7,
    "ball_valve": 0.07,
}

# IEC 60534-2-1:2011: a flow coefficient K_v is the flow of water at a loss of 1 bar.
FLOW_COEFFICIENT_PRESSURE = 1e5  # Pa
FLOW_COEFFICIENT_DENSITY = 1000.0  # kg/m³, rounded as the standard does


def minor_loss_head(loss_coefficient: float, velocity: float) -> float:
    """Return the head lost in fittings.

        h_m = ΣK · v² / (2·g)

    Parameters
    ----------
    loss_coefficient : ΣK, loss coefficients of the fittings, added up [1], ≥ 0
    velocity : v, mean velocity in the pipe to which K refers [m/s], ≥ 0

    Returns
    -------
    h_m, head lost in the fittings [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    K of small threaded fittings is uncertain by half its value; below Re = 10 000 it grows.

    Source: EPANET 2.2 User Manual, chapter 3, minor losses.
    """
    require_not_negative("loss_coefficient", loss_coefficient, "")
    require_not_negative("velocity", velocity, "m/s")
    return loss_coefficient * velocity**2 / (2 * STANDARD_GRAVITY)


def flow_coefficient_pressure_loss(flow: float, flow_coefficient: float, density: float) -> float:
    """Return the pressure lost in a valve, tap or filter with a published flow coefficient.

        Δp = 1 bar · (ρ / 1000 kg/m³) · (Q / K_v)²

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    flow_coefficient : K_v, flow of water at a loss of 1 bar [m³/s], > 0
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    Δp, pressure lost [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Turbulent, without cavitation. A US C_v (gpm at 1 psi) is 1.156 K_v in m³/h. A filter's
    coefficient is that of a clean element, and its loss is often nearer to linear in flow.

    Source: IEC 60534-2-1:2011, equation 1, with N₁ = 1 in m³/h and bar.
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("flow_coefficient", flow_coefficient, "m³/s")
    require_positive("density", density, "kg/m³")
    return FLOW_COEFFICIENT_PRESSURE * density / FLOW_COEFFICIENT_DENSITY * (flow / flow_coefficient) ** 2


def flow_coefficient_head_loss(flow: float, flow_coefficient: float) -> float:
    """Return the head lost in a valve, tap or filter with a published flow coefficient.

        h_v = 1 bar / (1000 kg/m³ · g) · (Q / K_v)²

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    flow_coefficient : K_v, flow of water at a loss of 1 bar [m³/s], > 0

    Returns
    -------
    h_v, head lost [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The density cancels between pressure and head.

    Source: IEC 60534-2-1:2011, equation 1, divided by ρ·g.
    """
    require_not_negative("flow", flow, "m³/s")
    require_positive("flow_coefficient", flow_coefficient, "m³/s")
    head_at_one_bar = FLOW_COEFFICIENT_PRESSURE / (FLOW_COEFFICIENT_DENSITY * STANDARD_GRAVITY)
    return head_at_one_bar * (flow / flow_coefficient) ** 2
