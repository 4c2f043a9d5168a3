"""Earth electrodes, the way to measure them, and the conductors that lead to them.

Do not lift an electrode's lead while a fault or lightning is possible.
"""

from math import asinh, inf, log, pi, sqrt

from sizing.guards import require, require_between, require_not_negative, require_positive

# NEC (NFPA 70, 2020) Table 250.122, copper: rating of the overcurrent device [A], size. Rows 15, 20,
# 60, 100, 200, 300 and 400 A checked against public copies, 500 and 600 A from memory.
EQUIPMENT_GROUNDING: tuple[tuple[float, str], ...] = (
    (15, "14 AWG"), (20, "12 AWG"), (60, "10 AWG"), (100, "8 AWG"), (200, "6 AWG"), (300, "4 AWG"),
    (400, "3 AWG"), (500, "2 AWG"), (600, "1 AWG"),
)  # fmt: skip
SINGLE_ROD_LIMIT = 25.0  # Ω, NEC (NFPA 70, 2020) 250.53(A)(2): above it a second rod (from memory)
BOND_WORKING_LIMIT = 1.0  # Ω, common practice, no source
LEAD_INDUCTANCE = 1e-6  # H/m, straight lead (from memory)


def _check_rod(length: float, diameter: float) -> None:
    require_positive("length", length, "m")
    require(0 < diameter <= length / 5, "diameter", diameter, f"> 0 … {length / 5:g} m, a slender rod")


def rod_resistance(resistivity: float, length: float, diameter: float) -> float:
    """Return the resistance to earth of one driven rod.

        R = ρ / (2π·L) · [ln(8·L / d) − 1]

    Parameters
    ----------
    resistivity : ρ, of the soil [Ω·m], > 0
    length : L, in the ground [m], > 0
    diameter : d, of the rod [m], > 0 … L / 5

    Returns
    -------
    R, resistance to remote earth [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Uniform soil. Layers, frost and drought change ρ severalfold: measure.

    Source: Dwight, Electrical Engineering 55 (1936) 1319; IEEE 142-2007, Table 4-5 (from memory).
    """
    require_positive("resistivity", resistivity, "Ω·m")
    _check_rod(length, diameter)
    return resistivity / (2 * pi * length) * (log(8 * length / diameter) - 1)


def two_rod_resistance(resistivity: float, length: float, diameter: float, spacing: float) -> float:
    """Return the resistance to earth of two like rods, apart by more than their length.

        R = ρ / (4π·L) · [ln(8·L / d) − 1] + ρ / (4π·s) · (1 − L² / (3·s²) + 2·L⁴ / (5·s⁴))

    Parameters
    ----------
    resistivity : ρ, of the soil [Ω·m], > 0
    length : L, of each in the ground [m], > 0
    diameter : d, of each [m], > 0 … L / 5
    spacing : s, between them [m], > L

    Returns
    -------
    R, of both joined [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Dwight, Electrical Engineering 55 (1936) 1319; IEEE 142-2007, Table 4-5, s > L (from memory).
    """
    one = rod_resistance(resistivity, length, diameter)
    require(length < spacing < inf, "spacing", spacing, f"> {length:g} m, the length of a rod")
    ratio = length / spacing
    between = resistivity / (4 * pi * spacing) * (1 - ratio**2 / 3 + 2 * ratio**4 / 5)
    return one / 2 + between


def surface_potential_ratio(length: float, diameter: float, distance: float) -> float:
    """Return the potential of the ground near a rod, over that of the rod.

        V / V₀ = arsinh(L / x) / [ln(8·L / d) − 1]

    Parameters
    ----------
    length : L, of the rod in the ground [m], > 0
    diameter : d, of the rod [m], > 0 … L / 5
    distance : x, from the rod on the surface [m], > d / 2

    Returns
    -------
    V/V₀, potential against remote earth [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    One less this is the share of the rod's resistance that lies within x. Close to the rod
    the thin-rod form runs past 1 and is refused.

    Source: MIL-HDBK-419A (1987), volume I, equation 2-20.
    """
    _check_rod(length, diameter)
    require(diameter / 2 < distance < inf, "distance", distance, f"> {diameter / 2:g} m")
    ratio = asinh(length / distance) / (log(8 * length / diameter) - 1)
    require(ratio <= 1, "distance", distance, "farther from the rod, where the thin-rod form holds")
    return ratio


def step_voltage_ratio(length: float, diameter: float, pace: float) -> float:
    """Return the voltage across a pace that starts at a rod, over that of the rod.

        V_step / V₀ = 1 − arsinh(L / p) / [ln(8·L / d) − 1]

    Parameters
    ----------
    length : L, of the rod in the ground [m], > 0
    diameter : d, of the rod [m], > 0 … L / 5
    pace : p, from the rod outwards, 0.9 m for a person [m], > d / 2

    Returns
    -------
    V_step/V₀, share of the rod's voltage [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: MIL-HDBK-419A (1987), volume I, section 2.8 and Table 2-7.
    """
    _check_rod(length, diameter)
    require(diameter / 2 < pace < inf, "pace", pace, f"> {diameter / 2:g} m")
    ratio = asinh(length / pace) / (log(8 * length / diameter) - 1)
    require(ratio <= 1, "pace", pace, "longer, where the thin-rod form holds")
    return 1 - ratio


def potential_probe_distance(current_probe_distance: float) -> float:
    """Return where the potential probe stands in a fall-of-potential test.

        x = (√5 − 1) / 2 · D

    Parameters
    ----------
    current_probe_distance : D, from electrode to current probe [m], > 0

    Returns
    -------
    x, from electrode to potential probe, 0.618 · D [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    D at least 5, better 10 times the electrode's size. Readings at x ± 10 % of D should
    agree within 5 % (common practice, no source).

    Source: MIL-HDBK-419A (1987), volume I, equations 2-41 to 2-46.
    """
    require_positive("current_probe_distance", current_probe_distance, "m")
    return (sqrt(5) - 1) / 2 * current_probe_distance


def probe_error_term(current_probe_distance: float, potential_probe_distance: float) -> float:
    """Return the error of a fall-of-potential reading, for soil of one ohm-metre.

        e = 1 / (D − x) − 1 / x − 1 / D

    Parameters
    ----------
    current_probe_distance : D, from electrode to current probe [m], > 0
    potential_probe_distance : x, from electrode to potential probe, in line [m], > 0 … below D

    Returns
    -------
    e, times ρ / 2π the reading is too high by this [1/m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: MIL-HDBK-419A (1987), volume I, equations 2-41 to 2-46.
    """
    require_positive("current_probe_distance", current_probe_distance, "m")
    D, x = current_probe_distance, potential_probe_distance
    require(0 < x < D, "potential_probe_distance", x, f"> 0 … below {D:g} m")
    return 1 / (D - x) - 1 / x - 1 / D


def soil_resistivity(spacing: float, resistance: float) -> float:
    """Return the resistivity of the soil from four probes in line.

        ρ = 2π · a · R

    Parameters
    ----------
    spacing : a, between neighbours, at least 20 times their depth [m], > 0
    resistance : R, reading of the four-terminal meter [Ω], > 0

    Returns
    -------
    ρ, mean down to about the depth a [Ω·m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Wenner, Bulletin of the Bureau of Standards 12 (1915) 469; IEEE 81-2012 (from memory).
    """
    require_positive("spacing", spacing, "m")
    require_positive("resistance", resistance, "Ω")
    return 2 * pi * spacing * resistance


def equipment_grounding_size(overcurrent_rating: float) -> str:
    """Return the least copper equipment-grounding conductor for an overcurrent device.

        size = first row of Table 250.122 not below I_n

    Parameters
    ----------
    overcurrent_rating : I_n, of the device ahead [A], > 0 … 600

    Returns
    -------
    size, American Wire Gauge [text]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Where the supply conductors are larger than needed, this one grows in proportion.

    Source: NEC (NFPA 70, 2020) Table 250.122, see the constant.
    """
    require(0 < overcurrent_rating <= 600, "overcurrent_rating", overcurrent_rating, "> 0 … 600 A")
    return next(size for rating, size in EQUIPMENT_GROUNDING if overcurrent_rating <= rating)


def arrester_lead_voltage(length: float, current_rise: float) -> float:
    """Return the voltage that the leads of a surge arrester add to its own.

        V = 1 µH/m · L · di/dt

    Parameters
    ----------
    length : L, of both leads together [m], ≥ 0
    current_rise : di/dt, 10⁹ A/s is 1 kA/µs [A/s], ≥ 0

    Returns
    -------
    V, added voltage [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    1 kV for each metre at 1 kA/µs: keep both leads together below 0.5 m.

    Source: IEC 60364-5-53, clause 534 (length); both from memory.
    """
    require_not_negative("length", length, "m")
    require_not_negative("current_rise", current_rise, "A/s")
    return LEAD_INDUCTANCE * length * current_rise


def bond_resistance_limit(conductor_resistance: float, joints: float, joint_resistance: float) -> float:
    """Return what a bonding path may measure, leads nulled.

        R = R_conductor + n · R_joint

    Parameters
    ----------
    conductor_resistance : R_conductor, computed for the path [Ω], ≥ 0
    joints : n, joints in the path [1], 0 … 1000
    joint_resistance : R_joint, allowed for each [Ω], ≥ 0

    Returns
    -------
    R, greatest resistance of the path [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    IEC 62446-1 sets no figure. `BOND_WORKING_LIMIT` from end to end is common practice.

    Source: series resistances.
    """
    require_not_negative("conductor_resistance", conductor_resistance, "Ω")
    require_between("joints", joints, 0, 1000, "1")
    require_not_negative("joint_resistance", joint_resistance, "Ω")
    return conductor_resistance + joints * joint_resistance
