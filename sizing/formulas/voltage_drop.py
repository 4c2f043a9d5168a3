"""What a cable, joint or switch loses under current: volts and heat."""

from sizing.guards import require, require_not_negative, require_positive


def two_wire_loop_resistance(resistance_per_length: float, length: float) -> float:
    """Return the resistance there and back of a two-wire circuit.

        R_loop = 2 · L · r

    Parameters
    ----------
    resistance_per_length : r, of one conductor, at its temperature [Ω/m], > 0
    length : L, one way [m], ≥ 0

    Returns
    -------
    R_loop, resistance of the loop [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Ohm's law; two conductors in series.
    """
    require_positive("resistance_per_length", resistance_per_length, "Ω/m")
    require_not_negative("length", length, "m")
    return 2 * length * resistance_per_length


def voltage_drop(current: float, loop_resistance: float) -> float:
    """Return the voltage lost on the way there and back.

        ΔV = I · R_loop

    Parameters
    ----------
    current : I, in the circuit [A], ≥ 0
    loop_resistance : R_loop, both conductors [Ω], ≥ 0

    Returns
    -------
    ΔV, voltage drop [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Ohm's law.
    """
    require_not_negative("current", current, "A")
    require_not_negative("loop_resistance", loop_resistance, "Ω")
    return current * loop_resistance


def three_phase_voltage_drop(current: float, conductor_resistance: float, power_factor: float) -> float:
    """Return the line-to-line voltage lost in a three-phase cable, reactance left out.

        ΔV = √3 · I · R · cos φ

    Parameters
    ----------
    current : I, in each conductor [A], ≥ 0
    conductor_resistance : R, one conductor, one way [Ω], ≥ 0
    power_factor : cos φ, of the load [1], > 0 … 1

    Returns
    -------
    ΔV, drop between lines [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Up to about 35 mm² reactance adds little (common practice, no source).

    Source: IEC 60364-5-52:2009, annex G (from memory), without the reactive term.
    """
    require_not_negative("current", current, "A")
    require_not_negative("conductor_resistance", conductor_resistance, "Ω")
    require(0 < power_factor <= 1, "power_factor", power_factor, "> 0 … 1")
    return float(3**0.5 * current * conductor_resistance * power_factor)


def drop_fraction(drop: float, source_voltage: float) -> float:
    """Return a voltage drop as a share of the voltage at the source.

        s = ΔV / V

    Parameters
    ----------
    drop : ΔV, voltage drop [V], ≥ 0
    source_voltage : V, at the near end [V], > 0

    Returns
    -------
    s, share lost [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    2 to 3 % in array and battery circuits, 5 % in all, is common practice, no source.

    Source: definition.
    """
    require_not_negative("drop", drop, "V")
    require_positive("source_voltage", source_voltage, "V")
    return drop / source_voltage


def conductor_loss(current: float, loop_resistance: float) -> float:
    """Return the power that a cable turns to heat.

        P = I² · R_loop

    Parameters
    ----------
    current : I, in the circuit [A], ≥ 0
    loop_resistance : R_loop, both conductors [Ω], ≥ 0

    Returns
    -------
    P, heat [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Joule's law.
    """
    require_not_negative("current", current, "A")
    require_not_negative("loop_resistance", loop_resistance, "Ω")
    return current**2 * loop_resistance


def joint_resistance(drop: float, current: float) -> float:
    """Return the resistance of a joint, fuse or switch from the voltage across it under load.

        R = ΔV / I

    Parameters
    ----------
    drop : ΔV, across the joint while current flows [V], ≥ 0
    current : I, through it [A], > 0

    Returns
    -------
    R, resistance of the joint [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Ohm's law.
    """
    require_not_negative("drop", drop, "V")
    require_positive("current", current, "A")
    return drop / current
