"""State of charge of a battery at rest, from its voltage or the gravity of its acid.

Values are per cell. Resting means no load and no charge for 8 hours, better 24. Published
tables differ by 10 to 15 points of charge at one voltage.
"""

from math import inf

from sizing.formulas.tables import between_rows
from sizing.guards import require, require_between

# Flooded lead-acid at 26.7 °C after rest, an industry table that two public copies agree on:
# volts of a 12 V battery, specific gravity, state of charge, freezing point [°C].
LEAD_ACID_ROWS: tuple[tuple[float, float, float, float], ...] = (
    (11.89, 1.120, 0.00, -23.0),
    (12.06, 1.155, 0.25, -27.0),
    (12.24, 1.190, 0.50, -37.0),
    (12.45, 1.225, 0.75, -48.0),
    (12.65, 1.265, 1.00, -59.0),
)

# Lithium iron phosphate after a day of rest, one public table: volts of a cell, state of charge.
LITHIUM_ROWS: tuple[tuple[float, float], ...] = ((3.20, 0.20), (3.30, 0.50), (3.40, 1.00))

GRAVITY_TEMPERATURE = 80.0  # °F, to which the table and its gravities refer (26.7 °C)
GRAVITY_PER_DEGREE_F = 0.0004  # 0.004 for every 10 °F, US Army TM 9-6140-200-14
GRAVITY_TO_VOLTS = 0.845  # V, open-circuit voltage of a cell less its gravity (from memory)


def lead_acid_state_of_charge(cell_voltage: float) -> float:
    """Return the state of charge of a flooded lead-acid cell from its voltage at rest.

        SoC = table at V, straight between 1.982, 2.010, 2.040, 2.075 and 2.108 V

    Parameters
    ----------
    cell_voltage : V, of one cell at rest, near 27 °C [V], 1.9817 … 2.1083

    Returns
    -------
    SoC, state of charge, 0 … 1 [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Above the table the cell has not rested: its surface charge reads as charge. Sealed cells
    rest 0.02 to 0.03 V higher (from memory). An ordinary meter resolves no better than ±10 %.

    Source: battery-industry table, see the constant; linear between its rows.
    """
    rows = [(volts / 6, charge) for volts, _, charge, _ in LEAD_ACID_ROWS]
    return between_rows("cell_voltage", cell_voltage, rows, "V")


def gravity_state_of_charge(specific_gravity: float) -> float:
    """Return the state of charge of a flooded lead-acid cell from its gravity.

        SoC = table at SG, straight between 1.120, 1.155, 1.190, 1.225 and 1.265

    Parameters
    ----------
    specific_gravity : SG, carried to 26.7 °C [1], 1.120 … 1.265

    Returns
    -------
    SoC, state of charge, 0 … 1 [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    For cells filled to 1.265. Tropical filling is weaker: use the nameplate's full gravity.

    Source: battery-industry table, see the constant; linear between its rows.
    """
    rows = [(gravity, charge) for _, gravity, charge, _ in LEAD_ACID_ROWS]
    return between_rows("specific_gravity", specific_gravity, rows, "1")


def lithium_state_of_charge(cell_voltage: float) -> float:
    """Return a rough state of charge of a lithium iron phosphate cell after a day of rest.

        SoC = table at V, straight between 3.20, 3.30 and 3.40 V

    Parameters
    ----------
    cell_voltage : V, of one cell at rest [V], 3.20 … 3.40

    Returns
    -------
    SoC, state of charge, 0.2 … 1 [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Most of the charge lies within 0.1 V: good to ±10 to 20 points. Count ampere-hours.

    Source: one public table, see the constant.
    """
    return between_rows("cell_voltage", cell_voltage, LITHIUM_ROWS, "V")


def freezing_temperature(state_of_charge: float) -> float:
    """Return the temperature at which the acid of a flooded cell freezes.

        T_f = table at SoC, straight between −23, −27, −37, −48 and −59 °C

    Parameters
    ----------
    state_of_charge : SoC, state of charge [1], 0 … 1

    Returns
    -------
    T_f, freezing temperature [°C]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Other tables have a flat cell freeze already near −7 °C: keep batteries charged in frost.

    Source: battery-industry table, see the constant; linear between its rows.
    """
    rows = [(charge, freezes) for _, _, charge, freezes in LEAD_ACID_ROWS]
    return between_rows("state_of_charge", state_of_charge, rows, "1")


def rest_voltage_from_gravity(specific_gravity: float, cells: float) -> float:
    """Return the voltage at rest that a lead-acid battery's gravity calls for.

        V = N · (SG + 0.845 V)

    Parameters
    ----------
    specific_gravity : SG, of the acid [1], 1.15 … 1.32
    cells : N, cells in series [1], ≥ 1

    Returns
    -------
    V, voltage at rest [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Within 0.08 V of the table for 12 V from 25 to 100 % of charge, not below. A cell that
    reads lower than its gravity says is suspect.

    Source: rule of the trade, 0.84 to 0.85 V (from memory).
    """
    require_between("specific_gravity", specific_gravity, 1.15, 1.32, "1")
    require(1 <= cells < inf, "cells", cells, "≥ 1")
    return cells * (specific_gravity + GRAVITY_TO_VOLTS)


def gravity_at_reference(reading: float, temperature: float) -> float:
    """Return a hydrometer reading carried to 26.7 °C.

        SG = SG_t + 0.004 · (T − 80 °F) / 10 °F,  T in °F

    Parameters
    ----------
    reading : SG_t, as read [1], 1.0 … 1.4
    temperature : T, of the acid [°C], −40 … 60

    Returns
    -------
    SG, at 26.7 °C [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Warm acid is thinner: add above 80 °F, take off below. Printed copies with 0.0003 for
    10 °F, or with the sign turned, are wrong.

    Source: US Army TM 9-6140-200-14 (paragraph from memory).
    """
    require_between("reading", reading, 1.0, 1.4, "1")
    require_between("temperature", temperature, -40, 60, "°C")
    fahrenheit = temperature * 9 / 5 + 32
    return reading + GRAVITY_PER_DEGREE_F * (fahrenheit - GRAVITY_TEMPERATURE)


def lead_acid_rest_voltage(state_of_charge: float) -> float:
    """Return the voltage of a flooded lead-acid cell at rest, from its state of charge.

        V = table at SoC, straight between 0, 25, 50, 75 and 100 %

    Parameters
    ----------
    state_of_charge : SoC, state of charge [1], 0 … 1

    Returns
    -------
    V, of one cell at rest, near 27 °C [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: battery-industry table, see the constant; linear between its rows.
    """
    rows = [(charge, volts / 6) for volts, _, charge, _ in LEAD_ACID_ROWS]
    return between_rows("state_of_charge", state_of_charge, rows, "1")


def lithium_rest_voltage(state_of_charge: float) -> float:
    """Return the voltage of a lithium iron phosphate cell after a day of rest, roughly, from its state of charge.

        V = table at SoC, straight between 20, 50 and 100 %

    Parameters
    ----------
    state_of_charge : SoC, state of charge [1], 0.2 … 1

    Returns
    -------
    V, of one cell at rest [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: one public table, see the constant.
    """
    rows = [(charge, volts) for volts, charge in LITHIUM_ROWS]
    return between_rows("state_of_charge", state_of_charge, rows, "1")
