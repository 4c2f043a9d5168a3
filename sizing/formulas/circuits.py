"""Currents and voltages of whole circuits: what a battery, an inverter or a charger puts on its cables."""

from collections.abc import Sequence
from math import fsum, inf

from sizing.guards import require, require_not_negative, require_positive


def bank_voltage(block_voltage: float, blocks: float) -> float:
    """Return the nominal voltage of blocks in series.

        V_b = n_s · V_block

    Parameters
    ----------
    block_voltage : V_block, nominal voltage of one block [V], > 0
    blocks : n_s, blocks in series [1], ≥ 1

    Returns
    -------
    V_b, nominal voltage of the bank [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's voltage law.
    """
    require_positive("block_voltage", block_voltage, "V")
    require(1 <= blocks < inf, "blocks", blocks, "≥ 1")
    return blocks * block_voltage


def bank_fault_current(block_current: float, strings: float) -> float:
    """Return the current of a short circuit at the posts of a bank.

        I_k = n_p · I_block

    Parameters
    ----------
    block_current : I_block, short-circuit current of one block [A], > 0
    strings : n_p, strings in parallel [1], ≥ 1

    Returns
    -------
    I_k, fault current at the posts [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Blocks in series add voltage and resistance alike, so they add no current. Links and cables lower it:
    at the posts it is highest.

    Source: Kirchhoff's laws on like blocks; IEC 61660-1:1997 computes it more closely (from memory).
    """
    require_positive("block_current", block_current, "A")
    require(1 <= strings < inf, "strings", strings, "≥ 1")
    return strings * block_current


def summed_current(currents: Sequence[float]) -> float:
    """Return the current of users or sources on one cable.

        I = Σ Iᵢ

    Parameters
    ----------
    currents : Iᵢ, current of each [A, …], one or more, each ≥ 0

    Returns
    -------
    I, current in the cable [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    All at once: no allowance is made for some of them standing still.

    Source: Kirchhoff's current law.
    """
    require(len(currents) > 0, "currents", len(currents), "one or more numbers")
    for one in currents:
        require_not_negative("currents", one, "A")
    return fsum(currents)


def greatest_charge_current(
    array_power: float, efficiency: float, battery_voltage: float, controller_limit: float
) -> float:
    """Return the most that a tracking controller can push into a battery.

        I = min(η · P / V, I_controller)

    Parameters
    ----------
    array_power : P, rated power of the array [W], ≥ 0
    efficiency : η, of the controller [1], > 0 … 1
    battery_voltage : V, nominal, of the bank [V], > 0
    controller_limit : I_controller, rated output [A], > 0

    Returns
    -------
    I, greatest charge current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Cold modules at a cloud's edge give more than rated for minutes.

    Source: conservation of energy.
    """
    require_not_negative("array_power", array_power, "W")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    require_positive("battery_voltage", battery_voltage, "V")
    require_positive("controller_limit", controller_limit, "A")
    return min(efficiency * array_power / battery_voltage, controller_limit)


def lost_share(loss: float, whole: float) -> float:
    """Return a loss as a share of the whole.

        s = ΔP / P

    Parameters
    ----------
    loss : ΔP, power lost [W], ≥ 0
    whole : P, power at the near end [W], > 0

    Returns
    -------
    s, share lost [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition.
    """
    require_not_negative("loss", loss, "W")
    require_positive("whole", whole, "W")
    return loss / whole


def string_fuse_least(short_circuit_current: float) -> float:
    """Return the least rating of a string fuse where IEC practice rules.

        I_n ≥ 1.5 · I_sc

    Parameters
    ----------
    short_circuit_current : I_sc, of the string at standard test conditions [A], > 0

    Returns
    -------
    I_n, least rating [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEC 62548:2016, clause 6.5.3, string overcurrent protection (from memory).
    """
    require_positive("short_circuit_current", short_circuit_current, "A")
    return 1.5 * short_circuit_current


def string_fuse_most(short_circuit_current: float, module_maximum: float) -> float:
    """Return the highest rating of a string fuse where IEC practice rules.

        I_n ≤ min(2.4 · I_sc, I_module)

    Parameters
    ----------
    short_circuit_current : I_sc, of the string at standard test conditions [A], > 0
    module_maximum : I_module, series fuse maximum of the module [A], > 0

    Returns
    -------
    I_n, highest rating [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEC 62548:2016, clause 6.5.3, string overcurrent protection (from memory).
    """
    require_positive("short_circuit_current", short_circuit_current, "A")
    require_positive("module_maximum", module_maximum, "A")
    return min(2.4 * short_circuit_current, module_maximum)


# IEC 60269-1:2006, clause 5.3.1, rated currents of fuse-links up to 630 A (from memory) [A].
IEC_RATINGS: tuple[float, ...] = (
    2, 4, 6, 8, 10, 12, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630,
)  # fmt: skip


def next_iec_rating(current: float) -> float:
    """Return the smallest fuse rating of the IEC series that is not below a current.

        I_std = least of IEC 60269-1 with I_std ≥ I

    Parameters
    ----------
    current : I, least rating allowed [A], > 0 … 630

    Returns
    -------
    I_std, standard rating [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEC 60269-1:2006, clause 5.3.1 (from memory).
    """
    require(0 < current <= IEC_RATINGS[-1], "current", current, "> 0 … 630 A")
    return next(rating for rating in IEC_RATINGS if rating >= current)
