"""Flow in full round pipes: velocity, Reynolds number, friction."""

from math import log, log10, pi, pow, sqrt

from sizing.formulas.water import STANDARD_GRAVITY
from sizing.guards import require, require_between, require_not_negative, require_positive

LAMINAR_LIMIT = 2000.0  # Reynolds number; EPANET 2.2 User Manual, chapter 12 (head loss, Darcy-Weisbach)
TURBULENT_LIMIT = 4000.0

# Colebrook, J. Inst. Civ. Eng. 11 (1939) 133.
COLEBROOK_ROUGH = 3.7
COLEBROOK_SMOOTH = 2.51

# Hazen-Williams in m and m³/s: EPANET 2.2 User Manual, table of head-loss formulas, prints
# 4.727 for ft and ft³/s; 4.727 · 0.3048^4.871 / 0.0283168^1.852 = 10.67 (also printed so).
HAZEN_WILLIAMS_FACTOR = 10.67
HAZEN_WILLIAMS_FLOW_EXPONENT = 1.852
HAZEN_WILLIAMS_DIAMETER_EXPONENT = 4.871

# Absolute roughness ε of a new pipe [m]: EPANET 2.2 User Manual, table of roughness coefficients
# (plastic, steel, galvanized iron); copper as drawn tubing, Moody, Trans. ASME 66 (1944) 671.
PIPE_ROUGHNESS: dict[str, float] = {
    "pe": 0.0015e-3,
    "pvc": 0.0015e-3,
    "copper": 0.0015e-3,
    "steel": 0.046e-3,
    "galvanized": 0.15e-3,
}

# Hazen-Williams C of a new pipe, same table: plastic 140 to 150, steel 140 to 150, galvanized 120.
# The lower end is taken, but for PVC, whose published friction tables use 150; copper 140 is from memory.
HAZEN_WILLIAMS_COEFFICIENTS: dict[str, float] = {
    "pe": 140.0,
    "pvc": 150.0,
    "copper": 140.0,
    "steel": 140.0,
    "galvanized": 120.0,
}


def pipe_area(inside_diameter: float) -> float:
    """Return the cross-section of the bore.

        A = π · d² / 4

    Parameters
    ----------
    inside_diameter : d, inside diameter [m], > 0

    Returns
    -------
    A, area of the bore [m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Take the measured or the standard's average bore, not the nominal size.

    Source: area of a circle.
    """
    require_positive("inside_diameter", inside_diameter, "m")
    return pi * inside_diameter**2 / 4


def flow_velocity(flow: float, inside_diameter: float) -> float:
    """Return the mean velocity in a full pipe.

        v = Q / A = 4·Q / (π · d²)

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    inside_diameter : d, inside diameter [m], > 0

    Returns
    -------
    v, mean velocity [m/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The trade's 0.4085·Q/d² (ft/s, US gpm, in) is the same.

    Source: conservation of volume.
    """
    require_not_negative("flow", flow, "m³/s")
    return flow / pipe_area(inside_diameter)


def reynolds_number(velocity: float, inside_diameter: float, kinematic_viscosity: float) -> float:
    """Return the Reynolds number of a pipe flow.

        Re = v · d / ν

    Parameters
    ----------
    velocity : v, mean velocity [m/s], ≥ 0
    inside_diameter : d, inside diameter [m], > 0
    kinematic_viscosity : ν, kinematic viscosity of the water [m²/s], > 0

    Returns
    -------
    Re, Reynolds number [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    With a dynamic viscosity, ν = µ/ρ.

    Source: ISO 80000-11:2019, item 11-4.1 (item number from memory).
    """
    require_not_negative("velocity", velocity, "m/s")
    require_positive("inside_diameter", inside_diameter, "m")
    require_positive("kinematic_viscosity", kinematic_viscosity, "m²/s")
    return velocity * inside_diameter / kinematic_viscosity


def laminar_friction_factor(reynolds: float) -> float:
    """Return the Darcy friction factor of laminar flow.

        f = 64 / Re

    Parameters
    ----------
    reynolds : Re, Reynolds number [1], > 0

    Returns
    -------
    f, Darcy friction factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Four times the Fanning factor. Holds below Re = 2000 whatever the roughness.

    Source: Hagen-Poiseuille law; EPANET 2.2 User Manual, chapter 12.
    """
    require_positive("reynolds", reynolds, "")
    return 64 / reynolds


def colebrook_friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Return the Darcy friction factor of turbulent flow.

        1/√f = −2 · log₁₀( k/3.7 + 2.51 / (Re·√f) )

    Parameters
    ----------
    reynolds : Re, Reynolds number [1], ≥ 2000
    relative_roughness : k, absolute roughness over inside diameter [1], 0 … 0.05

    Returns
    -------
    f, Darcy friction factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Solved by iteration until 1/√f stands still. Turbulent flow is sure above Re = 4000 only.

    Source: Colebrook, J. Inst. Civ. Eng. 11 (1939) 133.
    """
    require(LAMINAR_LIMIT <= reynolds < float("inf"), "reynolds", reynolds, "≥ 2000 and finite")
    require_between("relative_roughness", relative_roughness, 0, 0.05, "")
    rough = relative_roughness / COLEBROOK_ROUGH
    x = 8.0  # 1/√f; each pass shrinks the error at least fivefold
    for _ in range(60):
        previous, x = x, -2 * log10(rough + COLEBROOK_SMOOTH * x / reynolds)
        if abs(x - previous) < 1e-14 * x:
            break
    return 1 / x**2


def _colebrook_slope(friction: float, reynolds: float, relative_roughness: float) -> float:
    """df/dRe of the Colebrook equation, by implicit differentiation."""
    x = 1 / sqrt(friction)
    inner = relative_roughness / COLEBROOK_ROUGH + COLEBROOK_SMOOTH * x / reynolds
    weight = 2 / log(10) * COLEBROOK_SMOOTH / (reynolds * inner)
    return -2 * x**-3 * (weight * x / reynolds) / (1 + weight)


def _bridge(reynolds: float, relative_roughness: float) -> float:
    """Cubic through the laminar end and the turbulent end with both slopes (Hermite form)."""
    width = TURBULENT_LIMIT - LAMINAR_LIMIT
    s = (reynolds - LAMINAR_LIMIT) / width
    start, start_slope = 64 / LAMINAR_LIMIT, -64 / LAMINAR_LIMIT**2
    end = colebrook_friction_factor(TURBULENT_LIMIT, relative_roughness)
    end_slope = _colebrook_slope(end, TURBULENT_LIMIT, relative_roughness)
    values = start * (1 + 2 * s) * (1 - s) ** 2 + end * s**2 * (3 - 2 * s)
    slopes = start_slope * s * (1 - s) ** 2 + end_slope * s**2 * (s - 1)
    return values + width * slopes


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Return the Darcy friction factor, laminar or turbulent.

        f = 64 / Re                                        for Re < 2000
        f = cubic in Re that meets both, value and slope   for 2000 ≤ Re ≤ 4000
        1/√f = −2 · log₁₀( k/3.7 + 2.51 / (Re·√f) )        for Re > 4000

    Parameters
    ----------
    reynolds : Re, Reynolds number [1], > 0
    relative_roughness : k, absolute roughness over inside diameter [1], 0 … 0.05

    Returns
    -------
    f, Darcy friction factor [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Between 2000 and 4000 a real flow may be either; the cubic only keeps the curve smooth. EPANET 2.2
    builds its cubic alike, but on the Swamee-Jain formula, which is within 3 % of Colebrook.

    Source: Colebrook, J. Inst. Civ. Eng. 11 (1939) 133; limits and cubic after the
    EPANET 2.2 User Manual, chapter 12.
    """
    require_positive("reynolds", reynolds, "")
    require_between("relative_roughness", relative_roughness, 0, 0.05, "")
    if reynolds < LAMINAR_LIMIT:
        return laminar_friction_factor(reynolds)
    if reynolds > TURBULENT_LIMIT:
        return colebrook_friction_factor(reynolds, relative_roughness)
    return _bridge(reynolds, relative_roughness)


def darcy_weisbach_head_loss(friction_factor: float, length: float, inside_diameter: float, velocity: float) -> float:
    """Return the head lost to friction along a pipe.

        h_f = f · (L/d) · v² / (2·g)

    Parameters
    ----------
    friction_factor : f, Darcy friction factor [1], > 0
    length : L, length of the pipe [m], ≥ 0
    inside_diameter : d, inside diameter [m], > 0
    velocity : v, mean velocity [m/s], ≥ 0

    Returns
    -------
    h_f, head lost to friction [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The Darcy factor, four times the Fanning factor.

    Source: Darcy-Weisbach formula; EPANET 2.2 User Manual, table of head-loss formulas.
    """
    require_positive("friction_factor", friction_factor, "")
    require_not_negative("length", length, "m")
    require_positive("inside_diameter", inside_diameter, "m")
    require_not_negative("velocity", velocity, "m/s")
    return friction_factor * length / inside_diameter * velocity**2 / (2 * STANDARD_GRAVITY)


def pipe_head_loss(
    flow: float, length: float, inside_diameter: float, roughness: float, kinematic_viscosity: float
) -> float:
    """Return the head lost to friction along a pipe, from flow and bore.

        h_f = f · (L/d) · v² / (2·g)
        with v = 4·Q / (π·d²), Re = v·d/ν and, above Re = 4000,
        1/√f = −2 · log₁₀( ε/(3.7·d) + 2.51 / (Re·√f) ); below Re = 2000, f = 64/Re

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    length : L, length of the pipe [m], ≥ 0
    inside_diameter : d, inside diameter [m], > 0
    roughness : ε, absolute roughness of the wall [m], 0 … 0.05·d
    kinematic_viscosity : ν, kinematic viscosity of the water [m²/s], > 0

    Returns
    -------
    h_f, head lost to friction [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Without flow there is no loss. In smooth plastic of house size this is about 8 % below
    Hazen-Williams with C = 140.

    Source: Darcy-Weisbach with the friction factor of Colebrook, J. Inst. Civ. Eng. 11 (1939) 133.
    """
    velocity = flow_velocity(flow, inside_diameter)
    reynolds = reynolds_number(velocity, inside_diameter, kinematic_viscosity)
    require_not_negative("length", length, "m")
    require_between("roughness", roughness, 0, 0.05 * inside_diameter, "m")
    if reynolds == 0:
        return 0.0  # the limit of laminar flow, whose factor itself grows beyond bounds
    friction = friction_factor(reynolds, roughness / inside_diameter)
    return darcy_weisbach_head_loss(friction, length, inside_diameter, velocity)


def hazen_williams_head_loss(flow: float, length: float, inside_diameter: float, coefficient: float) -> float:
    """Return the head lost to friction along a pipe, by the waterworks formula.

        h_f = 10.67 · L · Q^1.852 / (C^1.852 · d^4.871)

    Parameters
    ----------
    flow : Q, volume flow [m³/s], ≥ 0
    length : L, length of the pipe [m], ≥ 0
    inside_diameter : d, inside diameter [m], > 0
    coefficient : C, Hazen-Williams coefficient of the pipe [1], > 0

    Returns
    -------
    h_f, head lost to friction [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Water from 5 to 25 °C, turbulent (Re above 10 000). Published constants of this
    formula differ by up to 0.9 %: no comparison with it is closer than 1 %.

    Source: EPANET 2.2 User Manual, table of head-loss formulas (4.727 in ft and ft³/s).
    """
    require_not_negative("flow", flow, "m³/s")
    require_not_negative("length", length, "m")
    require_positive("inside_diameter", inside_diameter, "m")
    require_positive("coefficient", coefficient, "")
    rate = pow(flow / coefficient, HAZEN_WILLIAMS_FLOW_EXPONENT)
    bore = pow(inside_diameter, HAZEN_WILLIAMS_DIAMETER_EXPONENT)
    return HAZEN_WILLIAMS_FACTOR * length * rate / bore
