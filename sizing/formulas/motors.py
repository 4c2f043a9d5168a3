"""Motors: what they draw, how even their phases are, what their winding should measure."""

from collections.abc import Sequence
from math import inf, sqrt

from sizing.formulas.tables import between_rows
from sizing.guards import require, require_not_negative, require_positive

# NEMA MG 1-2016, Figure 14-1: unbalance, factor on rated power. The rows 2 and 3 % are read
# off the curve, the lower of two public readings (0.88 and 0.90 at 3 %); beyond 5 % not to be run.
UNBALANCE_DERATING: tuple[tuple[float, float], ...] = (
    (0.00, 1.00), (0.01, 1.00), (0.02, 0.95), (0.03, 0.88), (0.04, 0.82), (0.05, 0.75),
)  # fmt: skip


def phase_unbalance(readings: Sequence[float]) -> float:
    """Return the unbalance of three line voltages or line currents.

        s = max |Vᵢ − V̄| / V̄

    Parameters
    ----------
    readings : Vᵢ, the three readings [V, …], three, each ≥ 0, mean > 0

    Returns
    -------
    s, unbalance [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Volts, or amperes alike. Highest minus lowest over the mean is another, larger figure.
    Current is 6 to 10 times as unbalanced as voltage.

    Source: NEMA MG 1-2016, 14.36.
    """
    require(len(readings) == 3, "readings", len(readings), "three readings")
    require(all(0 <= one < inf for one in readings), "readings", readings, "each ≥ 0")
    mean = sum(readings) / 3
    require(mean > 0, "readings", readings, "not all zero")
    return max(abs(one - mean) for one in readings) / mean


def unbalance_derating(unbalance: float) -> float:
    """Return the share of its rated power that a motor may give on unbalanced voltage.

        f = Figure 14-1 at s, straight between its points

    Parameters
    ----------
    unbalance : s, voltage unbalance [1], 0 … 0.05

    Returns
    -------
    f, factor on rated power [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: NEMA MG 1-2016, Figure 14-1, points from memory but for 2 % and 3 %.
    """
    return between_rows("unbalance", unbalance, UNBALANCE_DERATING, "1")


def direct_current(power: float, voltage: float, efficiency: float) -> float:
    """Return the current that a DC motor or controller draws for a useful power.

        I = P / (η · V)

    Parameters
    ----------
    power : P, useful power [W], ≥ 0
    voltage : V, at the terminals [V], > 0
    efficiency : η, useful over electric power [1], > 0 … 1

    Returns
    -------
    I, current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: energy balance.
    """
    require_not_negative("power", power, "W")
    require_positive("voltage", voltage, "V")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    return power / (efficiency * voltage)


def three_phase_current(power: float, line_voltage: float, power_factor: float, efficiency: float) -> float:
    """Return the line current of a three-phase motor.

        I = P / (√3 · V · cos φ · η)

    Parameters
    ----------
    power : P, shaft power [W], ≥ 0
    line_voltage : V, between lines [V], > 0
    power_factor : cos φ, of the load [1], > 0 … 1
    efficiency : η, shaft over electric power [1], > 0 … 1

    Returns
    -------
    I, current in each line [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of three-phase power, IEC 80000-6.
    """
    require_not_negative("power", power, "W")
    require_positive("line_voltage", line_voltage, "V")
    require(0 < power_factor <= 1, "power_factor", power_factor, "> 0 … 1")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    return power / (sqrt(3) * line_voltage * power_factor * efficiency)


def dc_motor_voltage(back_emf: float, current: float, armature_resistance: float) -> float:
    """Return the voltage a DC motor needs at a speed and load.

        V = E + I · R_a

    Parameters
    ----------
    back_emf : E, voltage it generates at that speed [V], ≥ 0
    current : I, for that torque [A], ≥ 0
    armature_resistance : R_a, winding and brushes [Ω], ≥ 0

    Returns
    -------
    V, at the terminals [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's voltage law for a machine with constant field.
    """
    require_not_negative("back_emf", back_emf, "V")
    require_not_negative("current", current, "A")
    require_not_negative("armature_resistance", armature_resistance, "Ω")
    return back_emf + current * armature_resistance


def stalled_current(voltage: float, armature_resistance: float) -> float:
    """Return the current of a DC motor that does not turn.

        I = V / R_a

    Parameters
    ----------
    voltage : V, at the terminals [V], ≥ 0
    armature_resistance : R_a, winding and brushes [Ω], > 0

    Returns
    -------
    I, current at standstill [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    An array cannot give more than its short-circuit current: a motor that stalls on it sits
    near that current at a low voltage.

    Source: Ohm's law; no voltage is generated at standstill.
    """
    require_not_negative("voltage", voltage, "V")
    require_positive("armature_resistance", armature_resistance, "Ω")
    return voltage / armature_resistance


def winding_resistance(reading: float, cable_loop: float) -> float:
    """Return a motor's winding resistance from a reading taken at the top of its cable.

        R_w = R − R_cable

    Parameters
    ----------
    reading : R, between two leads at the wellhead [Ω], > 0
    cable_loop : R_cable, the two conductors down and up [Ω], 0 … below R

    Returns
    -------
    R_w, between the motor's terminals [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Printed cable tables differ by up to 10 % from calculated copper: allow for it, or
    measure a spare length.

    Source: series resistances.
    """
    require_positive("reading", reading, "Ω")
    require(0 <= cable_loop < reading, "cable_loop", cable_loop, f"0 … below {reading:g} Ω")
    return reading - cable_loop
