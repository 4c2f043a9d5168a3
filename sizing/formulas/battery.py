"""Batteries under load and as a set of cells: running time, sag, spread, capacity left."""

from collections.abc import Sequence
from math import inf, isfinite, log

from sizing.guards import require, require_between, require_not_negative, require_positive

# US Army TM 9-6140-200-14, paragraph 4-7: more between any two cells of a charged battery
# and the battery is unserviceable.
GRAVITY_SPREAD_LIMIT = 0.025

# US Bureau of Reclamation FIST 3-6, IEEE 450 and IEEE 1188: test yearly, replace.
YEARLY_TEST_BELOW = 0.90
REPLACE_BELOW = 0.80


def greatest_difference(values: Sequence[float]) -> float:
    """Return the highest less the lowest of the cells' or blocks' readings.

        Δ = max xᵢ − min xᵢ

    Parameters
    ----------
    values : xᵢ, gravity or voltage of each [1, …], two or more

    Returns
    -------
    Δ, in the unit of the readings [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: US Army TM 9-6140-200-14, paragraph 4-7 ("between any two cells").
    """
    require(len(values) >= 2, "values", len(values), "two or more readings")
    require(all(isfinite(value) for value in values), "values", values, "finite numbers")
    return max(values) - min(values)


def battery_voltage(cell_voltage: float, cells: float) -> float:
    """Return the voltage of cells in series.

        V = N · V_cell

    Parameters
    ----------
    cell_voltage : V_cell, of one cell [V], ≥ 0
    cells : N, cells in series [1], ≥ 1

    Returns
    -------
    V, of the battery [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's voltage law.
    """
    require_not_negative("cell_voltage", cell_voltage, "V")
    require(1 <= cells < inf, "cells", cells, "≥ 1")
    return cells * cell_voltage


def running_time(capacity: float, rated_time: float, current: float, exponent: float) -> float:
    """Return how long a lead-acid battery carries a current, by Peukert's law.

        t = R · (C / (I · R))^k

    Parameters
    ----------
    capacity : C, rated at R [A·h], > 0
    rated_time : R, discharge time of that rating, 20 h are 72000 s [s], > 0
    current : I, drawn [A], > 0
    exponent : k, Peukert's, 1.05 … 1.35 in lead-acid [1], 1 … 2

    Returns
    -------
    t, time to empty [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    t = C / I^k with the 20 h capacity is a common error: it gives 14.5 h for a load that the
    rating says lasts 20 h.

    Source: Peukert 1897, written for a rating at any time; constant temperature.
    """
    require_positive("capacity", capacity, "A·h")
    require_positive("rated_time", rated_time, "s")
    require_positive("current", current, "A")
    require_between("exponent", exponent, 1, 2, "1")
    return float(rated_time * (capacity * 3600 / (current * rated_time)) ** exponent)


def charge_delivered(current: float, duration: float) -> float:
    """Return the charge that a steady current moves.

        Q = I · t / 3600

    Parameters
    ----------
    current : I, steady current [A], ≥ 0
    duration : t, how long it flows [s], ≥ 0

    Returns
    -------
    Q, charge [A·h]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: definition of electric charge, IEC 80000-6.
    """
    require_not_negative("current", current, "A")
    require_not_negative("duration", duration, "s")
    return current * duration / 3600


def peukert_exponent(first_current: float, first_time: float, second_current: float, second_time: float) -> float:
    """Return Peukert's exponent from two discharges.

        k = ln(t₂ / t₁) / ln(I₁ / I₂)

    Parameters
    ----------
    first_current : I₁, steady current [A], > 0
    first_time : t₁, to empty at I₁ [s], > 0
    second_current : I₂, another steady current [A], > 0, not I₁
    second_time : t₂, to empty at I₂ [s], > 0

    Returns
    -------
    k, exponent [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Peukert's law solved for its exponent.
    """
    require_positive("first_current", first_current, "A")
    require_positive("first_time", first_time, "s")
    require_positive("second_current", second_current, "A")
    require_positive("second_time", second_time, "s")
    require(second_current != first_current, "second_current", second_current, "other than the first current")
    return log(second_time / first_time) / log(first_current / second_current)


def capacity_fraction(test_time: float, rated_time: float) -> float:
    """Return the share of its rated capacity that a battery still has.

        c = t / t_rated

    Parameters
    ----------
    test_time : t, to the end voltage at the rated current, temperature allowed for [s], > 0
    rated_time : t_rated, of the data sheet at that current [s], > 0

    Returns
    -------
    c, share of rated capacity [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Below 90 % test every year, below 80 % replace.

    Source: US Bureau of Reclamation, FIST 3-6 Storage Battery Maintenance; IEEE 450.
    """
    require_positive("test_time", test_time, "s")
    require_positive("rated_time", rated_time, "s")
    return test_time / rated_time


def internal_resistance(rest_voltage: float, load_voltage: float, current: float) -> float:
    """Return the resistance of battery and leads from the sag under a known load.

        R = (V₀ − V) / I

    Parameters
    ----------
    rest_voltage : V₀, just before the load [V], > 0
    load_voltage : V, after one minute of it [V], 0 … V₀
    current : I, of the load [A], > 0

    Returns
    -------
    R, resistance [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Ohm's law.
    """
    require_positive("rest_voltage", rest_voltage, "V")
    require_between("load_voltage", load_voltage, 0, rest_voltage, "V")
    require_positive("current", current, "A")
    return (rest_voltage - load_voltage) / current


def sagged_voltage(rest_voltage: float, current: float, resistance: float) -> float:
    """Return the voltage of a battery under load.

        V = V₀ − I · R

    Parameters
    ----------
    rest_voltage : V₀, without load [V], > 0
    current : I, of the load [A], ≥ 0, at most V₀ / R
    resistance : R, of battery and leads [Ω], ≥ 0

    Returns
    -------
    V, under load [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Ohm's law.
    """
    require_positive("rest_voltage", rest_voltage, "V")
    require_not_negative("current", current, "A")
    require_not_negative("resistance", resistance, "Ω")
    require(current * resistance <= rest_voltage, "current", current, "no more than the short-circuit current")
    return rest_voltage - current * resistance


def short_circuit_current(rest_voltage: float, resistance: float) -> float:
    """Return the current into a dead short, which a fuse at the battery must interrupt.

        I_k = V₀ / R

    Parameters
    ----------
    rest_voltage : V₀, of the battery [V], > 0
    resistance : R, of battery and leads [Ω], > 0

    Returns
    -------
    I_k, short-circuit current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    From the battery's data sheet where it prints one: a field reading of R is too coarse.

    Source: Ohm's law; IEC 60896-11 derives it from a two-point load line (from memory).
    """
    require_positive("rest_voltage", rest_voltage, "V")
    require_positive("resistance", resistance, "Ω")
    return rest_voltage / resistance


def unloaded_voltage(voltage: float, current: float, resistance: float) -> float:
    """Return the voltage that a battery would show without its load.

        V₀ = V + I · R

    Parameters
    ----------
    voltage : V, at the posts under load [V], > 0
    current : I, that the load draws [A], ≥ 0
    resistance : R, of the bank [Ω], ≥ 0

    Returns
    -------
    V₀, voltage without load [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Within the first minutes only: under a long load the acid at the plates is weaker, and V₀ comes back in hours.

    Source: Ohm's law; `sagged_voltage` turned round.
    """
    require_positive("voltage", voltage, "V")
    require_not_negative("current", current, "A")
    require_not_negative("resistance", resistance, "Ω")
    return voltage + current * resistance
