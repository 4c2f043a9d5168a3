"""Voltage and current of a supply under load: an array away from its best point, a bank and its cable, an inverter."""

from collections.abc import Sequence
from math import exp, fsum, inf, log, sqrt

from sizing.guards import require, require_between, require_not_negative, require_positive


def array_current_at_voltage(
    voltage: float,
    short_circuit_current: float,
    open_circuit_voltage: float,
    maximum_power_voltage: float,
    maximum_power_current: float,
) -> float:
    """Return the current of an array at a voltage, from the four figures of its nameplate at the conditions.

        I = I_sc · {1 − C₁ · [exp(V / (C₂ · V_oc)) − 1]}
        with C₂ = (V_mp / V_oc − 1) / ln(1 − I_mp / I_sc)
        and C₁ = (1 − I_mp / I_sc) · exp(−V_mp / (C₂ · V_oc))

    Parameters
    ----------
    voltage : V, at the array [V], 0 … V_oc
    short_circuit_current : I_sc, of the array at the conditions [A], > I_mp
    open_circuit_voltage : V_oc, of the array at the conditions [V], > V_mp
    maximum_power_voltage : V_mp, of the array at the conditions [V], > 0
    maximum_power_current : I_mp, of the array at the conditions [A], > 0

    Returns
    -------
    I, current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Passes through the short circuit and the point of maximum power, and within C₁ of the open circuit. Against a
    single-diode model it is within 2 % of I_sc up to V_mp, where a battery holds an array; above V_mp it is high by
    as much as 11 %. Like strings, none of them shaded.

    Source: Rauschenbach, Solar Cell Array Design Handbook (1980), exponential approximation (from memory).
    """
    require_positive("maximum_power_voltage", maximum_power_voltage, "V")
    require_positive("maximum_power_current", maximum_power_current, "A")
    require(
        maximum_power_voltage < open_circuit_voltage < inf,
        "open_circuit_voltage",
        open_circuit_voltage,
        f"> {maximum_power_voltage:g} V and finite",
    )
    require(
        maximum_power_current < short_circuit_current < inf,
        "short_circuit_current",
        short_circuit_current,
        f"> {maximum_power_current:g} A and finite",
    )
    require_between("voltage", voltage, 0, open_circuit_voltage, "V")
    left = 1 - maximum_power_current / short_circuit_current
    C2 = (maximum_power_voltage / open_circuit_voltage - 1) / log(left)
    C1 = left * exp(-maximum_power_voltage / (C2 * open_circuit_voltage))
    return short_circuit_current * (1 - C1 * (exp(voltage / (C2 * open_circuit_voltage)) - 1))


def voltage_of_power(power: float, current: float) -> float:
    """Return the voltage at which a power is carried by a current.

        V = P / I

    Parameters
    ----------
    power : P, power [W], ≥ 0
    current : I, current [A], > 0

    Returns
    -------
    V, voltage [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of electric power, IEC 60050-131 (from memory).
    """
    require_not_negative("power", power, "W")
    require_positive("current", current, "A")
    return power / current


def bank_resistance(block_resistance: float, series: float, parallel: float) -> float:
    """Return the internal resistance of a bank of like blocks.

        R_b = R_block · n_s / n_p

    Parameters
    ----------
    block_resistance : R_block, internal resistance of one block [Ω], > 0
    series : n_s, blocks in series [1], ≥ 1
    parallel : n_p, strings in parallel [1], ≥ 1

    Returns
    -------
    R_b, resistance between the posts of the bank [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Links between blocks left out. Of a full, new battery near 25 °C: empty, cold or old it is a multiple.

    Source: Kirchhoff's laws on like blocks.
    """
    require_positive("block_resistance", block_resistance, "Ω")
    require(1 <= series < inf, "series", series, "≥ 1")
    require(1 <= parallel < inf, "parallel", parallel, "≥ 1")
    return block_resistance * series / parallel


def voltage_at_constant_power(source_voltage: float, resistance: float, power: float) -> float:
    """Return the voltage at a load that takes a power whatever its voltage, behind a resistance.

        V = [V₀ + √(V₀² − 4 · R · P)] / 2

    Parameters
    ----------
    source_voltage : V₀, of the source without load [V], > 0
    resistance : R, of source, cable and joints, there and back [Ω], ≥ 0
    power : P, that the load takes [W], 0 … V₀² / (4·R)

    Returns
    -------
    V, at the load [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For an inverter or an electronically driven pump, which take more current as the voltage falls. Beyond the
    greatest power no voltage holds: the load collapses.

    Source: Kirchhoff's voltage law with P = V·I; the higher root, at which the load runs.
    """
    require_positive("source_voltage", source_voltage, "V")
    require_not_negative("resistance", resistance, "Ω")
    require_not_negative("power", power, "W")
    rest = source_voltage**2 - 4 * resistance * power
    require(rest >= 0, "power", power, "≤ V₀²/(4·R), the most that this resistance lets through")
    return (source_voltage + sqrt(rest)) / 2


def inverter_input_power(output_power: float, efficiency: float, idle_power: float) -> float:
    """Return the power that an inverter takes in to give an output.

        P_i = P_o / η + P_0

    Parameters
    ----------
    output_power : P_o, power that its loads take [W], ≥ 0
    efficiency : η, of the inverter, its idle draw left out [1], > 0 … 1
    idle_power : P_0, what it draws without a load [W], ≥ 0

    Returns
    -------
    P_i, power into the inverter [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A printed peak efficiency holds the idle draw already: then this is high by P_0, little at half load.

    Source: energy balance.
    """
    require_not_negative("output_power", output_power, "W")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    require_not_negative("idle_power", idle_power, "W")
    return output_power / efficiency + idle_power


def inverter_output_power(input_power: float, efficiency: float, idle_power: float) -> float:
    """Return the power that an inverter gives for what it takes in.

        P_o = η · (P_i − P_0)

    Parameters
    ----------
    input_power : P_i, power into the inverter [W], ≥ P_0
    efficiency : η, of the inverter, its idle draw left out [1], > 0 … 1
    idle_power : P_0, what it draws without a load [W], ≥ 0

    Returns
    -------
    P_o, power that its loads get [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Read at its battery terminals: volts times amperes there, not on its display.

    Source: energy balance; `inverter_input_power` turned round.
    """
    require_not_negative("idle_power", idle_power, "W")
    require(idle_power <= input_power < inf, "input_power", input_power, f"≥ {idle_power:g} W and finite")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    return efficiency * (input_power - idle_power)


def summed_power(powers: Sequence[float]) -> float:
    """Return the power of several sources or users together.

        P = Σ Pᵢ

    Parameters
    ----------
    powers : Pᵢ, power of each [W, …], one or more, each ≥ 0

    Returns
    -------
    P, power of all [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: conservation of energy.
    """
    require(len(powers) > 0, "powers", len(powers), "one or more numbers")
    for one in powers:
        require_not_negative("powers", one, "W")
    return fsum(powers)
