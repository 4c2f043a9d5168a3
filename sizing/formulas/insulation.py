"""Insulation resistance: at what voltage to test, what must be reached, how heat lowers it.

The test puts up to 1000 V on the leads and leaves the cable charged. Disconnect electronics
and surge arresters, keep people away from the far end, discharge afterwards and prove it.
"""

from math import inf
from typing import NamedTuple

from sizing.guards import require, require_between, require_positive

REFERENCE_TEMPERATURE = 40.0  # °C, IEEE 43-2013
SYSTEM_VOLTAGE_FACTOR = 1.25  # IEC 62446-1:2016, insulation table: open-circuit voltage × 1.25


class InsulationRow(NamedTuple):
    """One row of an insulation table: above which system voltage it holds, how to test, what to reach."""

    above: float  # V
    test_voltage: float  # V DC
    minimum: float  # Ω


# IEC 62446-1:2016, insulation resistance of the DC circuits. Test voltages checked against
# public copies; the minimum resistances are from memory.
ARRAY_TEST: tuple[InsulationRow, ...] = (
    InsulationRow(500, 1000, 1.0e6),
    InsulationRow(120, 500, 1.0e6),
    InsulationRow(0, 250, 0.5e6),
)

# IEEE 43-2013, minimum after one minute at 40 °C: most random-wound machines, and form-wound
# ones below 1 kV (from memory).
SMALL_MOTOR_MINIMUM = 5.0e6  # Ω
SMALL_MOTOR_TEST_VOLTAGE = 500.0  # V DC, IEEE 43-2013, windings below 1 kV (from memory)

# IEEE 43-2013, least polarization index by thermal class of the winding.
POLARIZATION_MINIMUM: dict[str, float] = {"A": 1.5, "B": 2.0, "F": 2.0, "H": 2.0}


class MotorBand(NamedTuple):
    """What a submersible motor's insulation reading means from a value upwards."""

    from_resistance: float  # Ω
    meaning: str


# Application handbooks of submersible motors, 500 V, one lead to the drop pipe or earth; three
# public copies agree. Another edition splits at 1.0 MΩ instead of 0.5 MΩ; an older one calls
# 0.02 … 0.5 MΩ damaged yet no reason by itself to pull the pump, and below 0.02 MΩ one.
MOTOR_IN_WELL: tuple[MotorBand, ...] = (
    MotorBand(2.0e6, "new"),
    MotorBand(0.5e6, "good"),
    MotorBand(0.02e6, "damage likely"),
    MotorBand(0.0, "failed"),
)
MOTOR_ON_BENCH: tuple[MotorBand, ...] = (
    MotorBand(200.0e6, "new"),
    MotorBand(10.0e6, "good"),
    MotorBand(0.0, "not to be installed"),
)


def array_system_voltage(open_circuit_voltage: float) -> float:
    """Return the system voltage by which the insulation test of an array is chosen.

        V_sys = 1.25 · V_oc

    Parameters
    ----------
    open_circuit_voltage : V_oc, of the string at standard test conditions [V], > 0

    Returns
    -------
    V_sys, system voltage [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: IEC 62446-1:2016, insulation resistance table, first column.
    """
    require_positive("open_circuit_voltage", open_circuit_voltage, "V")
    return SYSTEM_VOLTAGE_FACTOR * open_circuit_voltage


def _array_row(system_voltage: float) -> InsulationRow:
    require(0 < system_voltage <= 1000, "system_voltage", system_voltage, "> 0 … 1000 V")
    if system_voltage == 120:  # the row says 120 V to 500 V, ends included
        return ARRAY_TEST[1]
    return next(row for row in ARRAY_TEST if system_voltage > row.above)


def array_test_voltage(system_voltage: float) -> float:
    """Return the voltage at which the insulation of an array is tested.

        V_test = 250 V below 120 V, 500 V up to 500 V, 1000 V above

    Parameters
    ----------
    system_voltage : V_sys, 1.25 times the open-circuit voltage [V], > 0 … 1000

    Returns
    -------
    V_test, test voltage, DC [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    96 V of open-circuit voltage already reach the middle row.

    Source: IEC 62446-1:2016, insulation resistance table, second column.
    """
    return _array_row(system_voltage).test_voltage


def array_minimum_insulation(system_voltage: float) -> float:
    """Return the least insulation resistance of an array.

        R_min = 0.5 MΩ below 120 V, 1 MΩ from 120 V

    Parameters
    ----------
    system_voltage : V_sys, 1.25 times the open-circuit voltage [V], > 0 … 1000

    Returns
    -------
    R_min, least resistance to earth [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Dew and wet glass lower the reading: write down the state of the surface.

    Source: IEC 62446-1:2016, insulation resistance table, third column (from memory).
    """
    return _array_row(system_voltage).minimum


def resistance_at_40(resistance: float, temperature: float) -> float:
    """Return an insulation resistance carried to 40 °C by the halving rule.

        R₄₀ = R · 0.5^((40 °C − T) / 10 K)

    Parameters
    ----------
    resistance : R, measured after one minute [Ω], > 0
    temperature : T, of the winding when measured [°C], −20 … 120

    Returns
    -------
    R₄₀, resistance at 40 °C [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    12 MΩ at 20 °C are only 3 MΩ at 40 °C. For insulation that melts; the 2013 edition
    gives another curve for insulation that sets.

    Source: IEEE 43-2013, annex A, resistance halved for every 10 K (rule seen in secondary text).
    """
    require_positive("resistance", resistance, "Ω")
    require_between("temperature", temperature, -20, 120, "°C")
    return float(resistance * 0.5 ** ((REFERENCE_TEMPERATURE - temperature) / 10))


def motor_minimum_at(temperature: float) -> float:
    """Return the least insulation resistance of a small motor, as read at a temperature.

        R_min(T) = 5 MΩ / 0.5^((40 °C − T) / 10 K)

    Parameters
    ----------
    temperature : T, of the winding when measured [°C], −20 … 120

    Returns
    -------
    R_min, least reading at that temperature [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Motor alone. With a drop cable in a well the bands of `MOTOR_IN_WELL` are the trade's.

    Source: IEEE 43-2013, Table 3, 5 MΩ at 40 °C below 1 kV (from memory).
    """
    return SMALL_MOTOR_MINIMUM / resistance_at_40(1.0, temperature)


def polarization_index(one_minute: float, ten_minutes: float) -> float:
    """Return how much insulation resistance grows from one minute to ten.

        PI = R₁₀ / R₁

    Parameters
    ----------
    one_minute : R₁, after one minute of test voltage [Ω], > 0 … 5·10⁹
    ten_minutes : R₁₀, after ten minutes [Ω], > 0

    Returns
    -------
    PI, polarization index [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Above 5 GΩ the index says nothing. `POLARIZATION_MINIMUM` holds the least by class.

    Source: IEEE 43-2013, clause 12.2 (clause from memory).
    """
    require(0 < one_minute <= 5e9, "one_minute", one_minute, "> 0 … 5·10⁹ Ω")
    require_positive("ten_minutes", ten_minutes, "Ω")
    return ten_minutes / one_minute


def two_pole_resistance(positive_to_earth: float, negative_to_earth: float) -> float:
    """Return the resistance of both poles together to earth, from each pole's own.

        R = R₊ · R₋ / (R₊ + R₋)

    Parameters
    ----------
    positive_to_earth : R₊, positive pole to earth [Ω], > 0
    negative_to_earth : R₋, negative pole to earth [Ω], > 0

    Returns
    -------
    R, as the test with joined poles would read [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    An array is one circuit: each pole's reading already holds part of the other's leak, so
    this is the cautious figure.

    Source: parallel resistances; IEC 62446-1:2016 names both methods of test.
    """
    require_positive("positive_to_earth", positive_to_earth, "Ω")
    require_positive("negative_to_earth", negative_to_earth, "Ω")
    return 1 / (1 / positive_to_earth + 1 / negative_to_earth)


def motor_band(resistance: float, bands: tuple[MotorBand, ...]) -> str:
    """Return what a submersible motor's insulation reading means.

        band = first row whose lower end R reaches

    Parameters
    ----------
    resistance : R, reading at 500 V, one lead to drop pipe or earth [Ω], ≥ 0
    bands : rows, highest first, `MOTOR_IN_WELL` or `MOTOR_ON_BENCH` [Ω, text], ending at 0

    Returns
    -------
    band, meaning of the reading [text]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Length, temperature and layout of the cable move the reading: the trend at a fixed
    procedure says more than one value.

    Source: submersible-motor application handbooks, see the constants.
    """
    require(0 <= resistance <= inf, "resistance", resistance, "≥ 0 Ω")
    require(len(bands) > 0 and bands[-1].from_resistance == 0, "bands", bands, "rows that end at 0 Ω")
    return next(band.meaning for band in bands if resistance >= band.from_resistance)


def motor_in_well_minimum(condition: str) -> float:
    """Return the least insulation resistance of a submersible motor with its drop cable in the well.

        R_min = 2 MΩ for a new motor and cable, 0.5 MΩ for one in service

    Parameters
    ----------
    condition : state, of motor and cable [text], one of new, in service

    Returns
    -------
    R_min, least resistance to earth, 500 V for one minute [Ω]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Below 0.5 MΩ look for the fault. The trend over the years says more than one value.

    Source: submersible-motor application handbooks, see `MOTOR_IN_WELL`.
    """
    band = {"new": "new", "in service": "good"}.get(condition)
    require(band is not None, "condition", condition, "one of new, in service")
    return next(row.from_resistance for row in MOTOR_IN_WELL if row.meaning == band)
