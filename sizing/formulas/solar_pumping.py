"""Power on its way from a solar array to a pump."""

from math import inf

from sizing.guards import require, require_between, require_not_negative, require_positive


def array_power(module_power: float, modules_in_series: float, strings: float) -> float:
    """Return the power of an array of like modules.

        P_a = n_s · n_p · P_module

    Parameters
    ----------
    module_power : P_module, power of one module at the conditions of the moment [W], ≥ 0
    modules_in_series : n_s, modules in a string [1], ≥ 1
    strings : n_p, strings in parallel [1], ≥ 1

    Returns
    -------
    P_a, power of the array [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Without soiling, mismatch and cable losses: together some 5 to 10 % in a clean new array.

    Source: sum over like modules; conservation of energy.
    """
    require_not_negative("module_power", module_power, "W")
    require(1 <= modules_in_series < inf, "modules_in_series", modules_in_series, "≥ 1")
    require(1 <= strings < inf, "strings", strings, "≥ 1")
    return modules_in_series * strings * module_power


def direct_current_power(voltage: float, current: float) -> float:
    """Return the power of a direct current.

        P = U · I

    Parameters
    ----------
    voltage : U, between the two wires [V], ≥ 0
    current : I, in one of them [A], ≥ 0

    Returns
    -------
    P, power [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Both read within seconds of each other, at the same point.

    Source: definition of electric power, IEC 60050-131 (from memory).
    """
    require_not_negative("voltage", voltage, "V")
    require_not_negative("current", current, "A")
    return voltage * current


def controller_output_power(input_power: float, efficiency: float) -> float:
    """Return the power that leaves a controller.

        P_o = η · P_i

    Parameters
    ----------
    input_power : P_i, power into the controller [W], ≥ 0
    efficiency : η, efficiency of the controller [1], > 0, ≤ 1

    Returns
    -------
    P_o, power out of the controller [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of efficiency.
    """
    require_not_negative("input_power", input_power, "W")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0, ≤ 1")
    return efficiency * input_power


def controller_input_power(output_power: float, efficiency: float) -> float:
    """Return the power that a controller takes in to give an output.

        P_i = P_o / η

    Parameters
    ----------
    output_power : P_o, power out of the controller [W], ≥ 0
    efficiency : η, efficiency of the controller [1], > 0, ≤ 1

    Returns
    -------
    P_i, power into the controller [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of efficiency.
    """
    require_not_negative("output_power", output_power, "W")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0, ≤ 1")
    return output_power / efficiency


def power_taken(available_power: float, greatest_power: float) -> float:
    """Return the power that is taken where more may be offered than the load can use.

        P = smaller of P_a and P_max

    Parameters
    ----------
    available_power : P_a, power offered [W], ≥ 0
    greatest_power : P_max, greatest power that the load takes [W], > 0

    Returns
    -------
    P, power taken [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Above the load's rating the array is held below its maximum power point: more sun changes nothing.

    Source: common practice, no source.
    """
    require_not_negative("available_power", available_power, "W")
    require_positive("greatest_power", greatest_power, "W")
    return min(available_power, greatest_power)


def motor_cable_loss(power: float, voltage: float, loop_resistance: float, wires: float) -> float:
    """Return the power lost in the cable to a motor, from power and rated voltage.

        ΔP = k · R_loop · (P / U)²
        with k = 1 for two wires, k = 1/2 for the three wires of a three-phase motor

    Parameters
    ----------
    power : P, power into the cable [W], ≥ 0
    voltage : U, rated voltage, between lines [V], > 0
    loop_resistance : R_loop, resistance there and back through two of the wires [Ω], ≥ 0
    wires : n, wires that carry the current [1], 2 or 3

    Returns
    -------
    ΔP, power lost [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Power factor 1. At low speed the voltage is below its rating and the loss larger than this.

    Source: Joule's law, with I = P/U in two wires and I = P/(√3·U) in three.
    """
    require_not_negative("power", power, "W")
    require_positive("voltage", voltage, "V")
    require_not_negative("loop_resistance", loop_resistance, "Ω")
    require(wires in (2, 3), "wires", wires, "2 or 3")
    factor = 1.0 if wires == 2 else 0.5
    return factor * loop_resistance * (power / voltage) ** 2


def power_after_loss(power: float, loss: float) -> float:
    """Return the power that arrives at the far end of a cable.

        P₂ = P₁ − ΔP

    Parameters
    ----------
    power : P₁, power into the cable [W], ≥ 0
    loss : ΔP, power lost in it [W], 0 … P₁

    Returns
    -------
    P₂, power out of the cable [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of energy.
    """
    require_not_negative("power", power, "W")
    require_between("loss", loss, 0, power, "W")
    return power - loss
