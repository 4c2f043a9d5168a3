"""Charging: the set voltage at a temperature, the current that may be had, the time it takes."""

from math import inf
from typing import NamedTuple

from sizing.guards import require, require_between, require_not_negative, require_positive


class SetPoints(NamedTuple):
    """Usual charging voltages of one kind of cell at 25 °C, lowest and highest [V], and compensation [V/K]."""

    absorption: tuple[float, float]
    float_charge: tuple[float, float]
    compensation: tuple[float, float]


# Makers' manuals; the maker of the battery comes first. Flooded absorption and all absorption of
# the sealed kinds in part from memory; gel and float values from public copies.
SET_POINTS: dict[str, SetPoints] = {
    "flooded": SetPoints((2.40, 2.47), (2.17, 2.25), (-0.006, -0.004)),
    "agm": SetPoints((2.35, 2.45), (2.23, 2.28), (-0.005, -0.003)),
    "gel": SetPoints((2.35, 2.40), (2.25, 2.25), (-0.005, -0.005)),
    "lithium iron phosphate": SetPoints((3.50, 3.65), (3.30, 3.45), (0.0, 0.0)),
}
REFERENCE_TEMPERATURE = 25.0  # °C
LITHIUM_COLDEST_CHARGE = 0.0  # °C, below it charging plates metal in the cell (from memory)


def compensated_set_point(cell_voltage: float, compensation: float, temperature: float, cells: float) -> float:
    """Return the charging voltage at the posts for the temperature of the battery.

        V(T) = N · [V₂₅ + k · (T − 25 °C)]

    Parameters
    ----------
    cell_voltage : V₂₅, set point of one cell at 25 °C [V], > 0
    compensation : k, change for each kelvin and cell, −0.005 for −5 mV [V/K], −0.02 … 0
    temperature : T, of the battery [°C], −40 … 50
    cells : N, cells in series [1], ≥ 1

    Returns
    -------
    V, set point of the battery [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    −3 and −5 mV are both published: take the battery's own. Many controllers stop
    compensating below 0 and above 40 °C (from memory). No charging above 50 °C.

    Source: makers' manuals, linear compensation (worked in two public texts).
    """
    require_positive("cell_voltage", cell_voltage, "V")
    require_between("compensation", compensation, -0.02, 0, "V/K")
    require_between("temperature", temperature, -40, 50, "°C")
    require(1 <= cells < inf, "cells", cells, "≥ 1")
    return cells * (cell_voltage + compensation * (temperature - REFERENCE_TEMPERATURE))


def set_point_shift(compensation: float, temperature: float, cells: float) -> float:
    """Return by how much the temperature moves a battery's set point.

        ΔV = N · k · (T − 25 °C)

    Parameters
    ----------
    compensation : k, change for each kelvin and cell [V/K], −0.02 … 0
    temperature : T, of the battery [°C], −40 … 50
    cells : N, cells in series [1], ≥ 1

    Returns
    -------
    ΔV, shift, negative when warm [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: as `compensated_set_point`.
    """
    require_between("compensation", compensation, -0.02, 0, "V/K")
    require_between("temperature", temperature, -40, 50, "°C")
    require(1 <= cells < inf, "cells", cells, "≥ 1")
    return cells * compensation * (temperature - REFERENCE_TEMPERATURE)


def tracking_charge_current(
    array_power: float, efficiency: float, battery_voltage: float, controller_limit: float, battery_limit: float
) -> float:
    """Return the current into the battery in bulk from a controller that tracks maximum power.

        I = min(η · P / V, I_controller, I_battery)

    Parameters
    ----------
    array_power : P, power that the array has to give now [W], ≥ 0
    efficiency : η, of the controller [1], > 0 … 1
    battery_voltage : V, at the posts [V], > 0
    controller_limit : I_controller, rated output [A], > 0
    battery_limit : I_battery, greatest charge current allowed [A], > 0

    Returns
    -------
    I, charge current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Only while the battery takes all it gets. In absorption and float it takes less. A
    controller that does not know I_battery will pass it.

    Source: energy balance.
    """
    require_not_negative("array_power", array_power, "W")
    require(0 < efficiency <= 1, "efficiency", efficiency, "> 0 … 1")
    require_positive("battery_voltage", battery_voltage, "V")
    require_positive("controller_limit", controller_limit, "A")
    require_positive("battery_limit", battery_limit, "A")
    return min(efficiency * array_power / battery_voltage, controller_limit, battery_limit)


def switching_charge_current(array_current: float, controller_limit: float, battery_limit: float) -> float:
    """Return the current into the battery in bulk from a controller that only switches.

        I = min(I_array, I_controller, I_battery)

    Parameters
    ----------
    array_current : I_array, that the array gives near battery voltage now [A], ≥ 0
    controller_limit : I_controller, rated output [A], > 0
    battery_limit : I_battery, greatest charge current allowed [A], > 0

    Returns
    -------
    I, charge current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Between short-circuit current and that at maximum power, nearer the first on a low battery.

    Source: Kirchhoff's current law.
    """
    require_not_negative("array_current", array_current, "A")
    require_positive("controller_limit", controller_limit, "A")
    require_positive("battery_limit", battery_limit, "A")
    return min(array_current, controller_limit, battery_limit)


def time_to_charge(charge: float, current: float, charge_efficiency: float) -> float:
    """Return how long a steady current takes to put back a charge.

        t = Q · 3600 / (I · η)

    Parameters
    ----------
    charge : Q, taken out since full [A·h], ≥ 0
    current : I, net into the battery [A], > 0
    charge_efficiency : η, charge kept over charge given [1], > 0 … 1

    Returns
    -------
    t, time in bulk [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    To the start of absorption only; the last 10 to 20 % come slowly. η 0.85 to 0.95 in
    lead-acid, 0.99 in lithium (common practice, no source).

    Source: conservation of charge.
    """
    require_not_negative("charge", charge, "A·h")
    require_positive("current", current, "A")
    require(0 < charge_efficiency <= 1, "charge_efficiency", charge_efficiency, "> 0 … 1")
    return charge * 3600 / (current * charge_efficiency)


def net_battery_current(charge_current: float, load_current: float) -> float:
    """Return the current into the battery while loads run.

        I = I_charge − I_load

    Parameters
    ----------
    charge_current : I_charge, from all controllers [A], ≥ 0
    load_current : I_load, to all loads [A], ≥ 0

    Returns
    -------
    I, into the battery, negative on discharge [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's current law.
    """
    require_not_negative("charge_current", charge_current, "A")
    require_not_negative("load_current", load_current, "A")
    return charge_current - load_current


def compensation_from_readings(
    first_voltage: float, first_temperature: float, second_voltage: float, second_temperature: float, cells: float
) -> float:
    """Return the compensation a controller really applies, from two set points it reached.

        k = (V₂ − V₁) / [N · (T₂ − T₁)]

    Parameters
    ----------
    first_voltage : V₁, set point of the battery at T₁ [V], > 0
    first_temperature : T₁, of the battery [°C], −40 … 50
    second_voltage : V₂, set point of the battery at T₂ [V], > 0
    second_temperature : T₂, of the battery [°C], −40 … 50, not T₁
    cells : N, cells in series [1], ≥ 1

    Returns
    -------
    k, change for each kelvin and cell [V/K]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: `compensated_set_point` solved for k.
    """
    require_positive("first_voltage", first_voltage, "V")
    require_positive("second_voltage", second_voltage, "V")
    require_between("first_temperature", first_temperature, -40, 50, "°C")
    require_between("second_temperature", second_temperature, -40, 50, "°C")
    require(second_temperature != first_temperature, "second_temperature", second_temperature, "other than the first")
    require(1 <= cells < inf, "cells", cells, "≥ 1")
    return (second_voltage - first_voltage) / (cells * (second_temperature - first_temperature))
