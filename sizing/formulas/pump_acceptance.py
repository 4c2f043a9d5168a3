"""How far a pump may miss its guarantee: the tolerances of the hydraulic acceptance test."""

from math import hypot

from sizing.guards import require, require_positive

# ISO 9906:2012, table 8 (also ANSI/HI 14.6): flow and head ±, power +, efficiency −, as shares of the
# guaranteed value. From memory. Grade 3B is for series-made pumps.
ACCEPTANCE_GRADES: dict[str, tuple[float, float, float, float]] = {
    "1B": (0.05, 0.03, 0.04, -0.03),
    "2B": (0.08, 0.05, 0.08, -0.05),
    "3B": (0.09, 0.07, 0.09, -0.07),
}

# ISO 9906:2012, 4.4.2, harmonised with ANSI/HI 14.6: pumps that take 10 kW or less.
SMALL_PUMP_POWER = 10_000.0  # W
SMALL_PUMP_FLOW_TOLERANCE = 0.10
SMALL_PUMP_HEAD_TOLERANCE = 0.08


def small_pump_efficiency_tolerance(input_power: float) -> float:
    """Return how far the efficiency of a pump of 10 kW or less may fall short.

        τ_η = −[10 · (1 − P / 10 kW) + 7] / 100

    Parameters
    ----------
    input_power : P, rated power into the pump [W], > 0, ≤ 10 000

    Returns
    -------
    τ_η, tolerance as a share of the guaranteed efficiency [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Written for a test bench. On site the uncertainty of the field instruments comes on top.

    Source: ISO 9906:2012, 4.4.2 (from memory).
    """
    require_positive("input_power", input_power, "W")
    require(input_power <= SMALL_PUMP_POWER, "input_power", input_power, "≤ 10 000 W")
    return -(10 * (1 - input_power / SMALL_PUMP_POWER) + 7) / 100


def small_pump_power_tolerance(input_power: float) -> float:
    """Return how far the power of a pump of 10 kW or less may exceed its guarantee.

        τ_P = √(0.07² + τ_η²)

    Parameters
    ----------
    input_power : P, rated power into the pump [W], > 0, ≤ 10 000

    Returns
    -------
    τ_P, tolerance as a share of the guaranteed power [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    τ_η is `small_pump_efficiency_tolerance` at the same power.

    Source: ISO 9906:2012, 4.4.2 (from memory).
    """
    return hypot(0.07, small_pump_efficiency_tolerance(input_power))
