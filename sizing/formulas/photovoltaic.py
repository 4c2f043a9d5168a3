"""Current, voltage and power of modules, strings and arrays at the conditions of the moment.

Nameplate values hold at standard test conditions: 1000 W/m² and cells at 25 °C.
Temperature coefficients are relative, in 1/K: −0.29 %/K on a nameplate is −0.0029.
"""

from collections.abc import Sequence
from math import floor, inf, isfinite, log

from sizing.guards import require, require_between, require_not_negative, require_positive

STC_IRRADIANCE = 1000.0  # W/m², IEC 60904-3
STC_TEMPERATURE = 25.0  # °C, IEC 60904-3
ABSOLUTE_ZERO = -273.15  # °C
COLDEST_CELL = -90.0  # °C, colder than any weather station has read
HOTTEST_CELL = 150.0  # °C, beyond it the straight-line coefficients mean nothing
BOLTZMANN_OVER_CHARGE = 1.380649e-23 / 1.602176634e-19  # V/K, exact since the SI of 2019

# NEC (NFPA 70) Table 690.7(A), crystalline and multicrystalline silicon: lowest ambient of the
# row [°C], factor. Rows −6…−10 and −16…−20 checked against public copies, others from memory.
COLD_VOLTAGE_FACTORS: tuple[tuple[float, float], ...] = (
    (20, 1.02), (15, 1.04), (10, 1.06), (5, 1.08), (0, 1.10), (-5, 1.12), (-10, 1.14),
    (-15, 1.16), (-20, 1.18), (-25, 1.20), (-30, 1.21), (-35, 1.23), (-40, 1.25),
)  # fmt: skip


def _check_conditions(irradiance: float, cell_temperature: float, coefficient: float) -> None:
    """Refuse weather and coefficients for which a straight line has no meaning."""
    require_positive("irradiance", irradiance, "W/m²")
    _check_temperature(cell_temperature, coefficient, "cell_temperature")


def _check_temperature(temperature: float, coefficient: float, name: str) -> None:
    require_between(name, temperature, COLDEST_CELL, HOTTEST_CELL, "°C")
    # keeps 1 + c·ΔT above zero up to 150 °C
    require(-0.008 < coefficient < 0.008, "coefficient", coefficient, "between −0.008 and 0.008 1/K")


def short_circuit_current(
    rated_current: float, irradiance: float, cell_temperature: float, coefficient: float
) -> float:
    """Return the short-circuit current of a module at an irradiance and cell temperature.

        I_sc = I_sc0 · G / 1000 W/m² · [1 + α · (T_c − 25 °C)]

    Parameters
    ----------
    rated_current : I_sc0, nameplate short-circuit current [A], > 0
    irradiance : G, on the plane of the module [W/m²], > 0
    cell_temperature : T_c, temperature of the cells [°C], −90 … 150
    coefficient : α, relative temperature coefficient of current [1/K], −0.008 … 0.008

    Returns
    -------
    I_sc, short-circuit current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Within 0.5 % of a single-diode model from 200 to 850 W/m². Judge a measured current only
    above about 400 W/m² (common practice, no source). Holds for the current at maximum
    power too, with its own rating and coefficient.

    Source: IEC 60891:2021, procedure 1, with V left out; linear in G and T.
    """
    require_positive("rated_current", rated_current, "A")
    _check_conditions(irradiance, cell_temperature, coefficient)
    warming = cell_temperature - STC_TEMPERATURE
    return rated_current * irradiance / STC_IRRADIANCE * (1 + coefficient * warming)


def open_circuit_voltage(
    rated_voltage: float,
    irradiance: float,
    cell_temperature: float,
    coefficient: float,
    cells_in_series: float,
    ideality: float,
) -> float:
    """Return the open-circuit voltage of a module at an irradiance and cell temperature.

        V_oc = V_oc0 · [1 + β · (T_c − 25 °C)] + N · n · k·T/q · ln(G / 1000 W/m²)
        T = T_c + 273.15 K, k/q = 8.617333 × 10⁻⁵ V/K

    Parameters
    ----------
    rated_voltage : V_oc0, nameplate open-circuit voltage [V], > 0
    irradiance : G, on the plane of the module [W/m²], > 0
    cell_temperature : T_c, temperature of the cells [°C], −90 … 150
    coefficient : β, relative temperature coefficient of voltage [1/K], −0.008 … 0.008
    cells_in_series : N, cells in series in the module [1], ≥ 1
    ideality : n, diode ideality factor [1], 0.5 … 2.5

    Returns
    -------
    V_oc, open-circuit voltage [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it, or the light is too weak for the form.

    Notes
    -----
    Within 0.6 % of a single-diode model from 200 to 850 W/m². Without the logarithm the
    result is high by 2.7 % at 600 W/m² and 7 % at 200 W/m². n is 1.0 to 1.3 for silicon.
    A half-cut module counts the cells of one half. Holds for the voltage at maximum power
    too, with its own rating and coefficient, though less closely.

    Source: diode equation at zero current; k, q exact in the SI of 2019; β term of IEC 60891.
    """
    require_positive("rated_voltage", rated_voltage, "V")
    _check_conditions(irradiance, cell_temperature, coefficient)
    require(1 <= cells_in_series < inf, "cells_in_series", cells_in_series, "≥ 1")
    require_between("ideality", ideality, 0.5, 2.5, "1")
    thermal = BOLTZMANN_OVER_CHARGE * (cell_temperature - ABSOLUTE_ZERO)
    by_temperature = rated_voltage * (1 + coefficient * (cell_temperature - STC_TEMPERATURE))
    by_light = cells_in_series * ideality * thermal * log(irradiance / STC_IRRADIANCE)
    require(by_temperature + by_light > 0, "irradiance", irradiance, "high enough to leave a voltage above 0 V")
    return by_temperature + by_light


def maximum_power(rated_power: float, irradiance: float, cell_temperature: float, coefficient: float) -> float:
    """Return the greatest power of a module at an irradiance and cell temperature.

        P = P₀ · G / 1000 W/m² · [1 + γ · (T_c − 25 °C)]

    Parameters
    ----------
    rated_power : P₀, nameplate power [W], > 0
    irradiance : G, on the plane of the module [W/m²], > 0
    cell_temperature : T_c, temperature of the cells [°C], −90 … 150
    coefficient : γ, relative temperature coefficient of power [1/K], −0.008 … 0.008

    Returns
    -------
    P, power at the maximum-power point [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Soiling, mismatch and wiring are not in it. Optimistic by some per cent in weak light.

    Source: Dobos, PVWatts Version 5 Manual, NREL/TP-6A20-62641 (2014), equation 8 (number from memory).
    """
    require_positive("rated_power", rated_power, "W")
    _check_conditions(irradiance, cell_temperature, coefficient)
    warming = cell_temperature - STC_TEMPERATURE
    return rated_power * irradiance / STC_IRRADIANCE * (1 + coefficient * warming)


def string_voltage(module_voltage: float, modules_in_series: int) -> float:
    """Return the voltage of a string of like modules.

        V_string = n_s · V_module

    Parameters
    ----------
    module_voltage : V_module, voltage of one module [V], ≥ 0
    modules_in_series : n_s, modules in series [1], ≥ 1

    Returns
    -------
    V_string, voltage of the string [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's voltage law; no fitted coefficient.
    """
    require_not_negative("module_voltage", module_voltage, "V")
    require(1 <= modules_in_series < inf, "modules_in_series", modules_in_series, "≥ 1")
    return modules_in_series * module_voltage


def array_current(string_current: float, strings: int) -> float:
    """Return the current of like strings in parallel.

        I_array = n_p · I_string

    Parameters
    ----------
    string_current : I_string, current of one string [A], ≥ 0
    strings : n_p, strings in parallel [1], ≥ 1

    Returns
    -------
    I_array, current of the array [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's current law; no fitted coefficient.
    """
    require_not_negative("string_current", string_current, "A")
    require(1 <= strings < inf, "strings", strings, "≥ 1")
    return strings * string_current


def voltage_at_record_low(rated_voltage: float, record_low: float, coefficient: float, modules_in_series: int) -> float:
    """Return the highest open-circuit voltage of a string, at the coldest sunrise on record.

        V_max = n_s · V_oc0 · [1 + β · (T_min − 25 °C)]

    Parameters
    ----------
    rated_voltage : V_oc0, nameplate open-circuit voltage of a module [V], > 0
    record_low : T_min, lowest expected air temperature [°C], −90 … 25
    coefficient : β, relative temperature coefficient of voltage [1/K], −0.008 … 0
    modules_in_series : n_s, modules in series [1], ≥ 1

    Returns
    -------
    V_max, voltage that controller, switches and cable must stand [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    No loss is taken for weak light: the cells are at air temperature when the sun clears
    the horizon or a cloud edge. Above the controller's maximum input it destroys it.

    Source: NEC (NFPA 70, 2020) 690.7(A)(1), calculation from the temperature coefficient.
    """
    require_positive("rated_voltage", rated_voltage, "V")
    require_between("record_low", record_low, COLDEST_CELL, STC_TEMPERATURE, "°C")
    require(-0.008 < coefficient <= 0, "coefficient", coefficient, "−0.008 … 0 1/K")
    require(1 <= modules_in_series < inf, "modules_in_series", modules_in_series, "≥ 1")
    return modules_in_series * rated_voltage * (1 + coefficient * (record_low - STC_TEMPERATURE))


def cold_voltage_factor(record_low: float) -> float:
    """Return the factor on open-circuit voltage in cold, for silicon without a coefficient.

        f = Table 690.7(A) at T_min

    Parameters
    ----------
    record_low : T_min, lowest expected air temperature [°C], −40 … < 25

    Returns
    -------
    f, highest voltage over nameplate voltage [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A row holds from its coldest whole degree upwards, so −0.5 °C takes the row −1 … −5.
    Use the coefficient of the nameplate where it is printed.

    Source: NEC (NFPA 70, 2020) Table 690.7(A), rows partly from memory, see the constant.
    """
    require(-40 <= record_low < 25, "record_low", record_low, "−40 … < 25 °C")
    return next(factor for coldest, factor in COLD_VOLTAGE_FACTORS if record_low >= coldest)


def most_modules_in_series(voltage_limit: float, module_voltage: float) -> int:
    """Return how many modules in series stay within a voltage limit.

        n_s = ⌊V_limit / V_module⌋

    Parameters
    ----------
    voltage_limit : V_limit, lowest of the limits of controller, switches and code [V], > 0
    module_voltage : V_module, highest voltage of one module, at the record low [V], > 0

    Returns
    -------
    n_s, modules in series [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's voltage law; no fitted coefficient.
    """
    require_positive("voltage_limit", voltage_limit, "V")
    require_positive("module_voltage", module_voltage, "V")
    return floor(voltage_limit / module_voltage)


def spread_from_mean(values: Sequence[float]) -> float:
    """Return the largest deviation of any value from the mean, over the mean.

        s = max |xᵢ − x̄| / x̄

    Parameters
    ----------
    values : xᵢ, like readings, all in one unit [1, …], two or more, mean > 0

    Returns
    -------
    s, largest relative deviation [1]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    "Within 5 % of each other" is read against the mean. Highest minus lowest over the
    mean can be nearly twice as large: 4.9 % this way may be 6.8 % that way.

    Source: comparison of strings, IEC 62446-1:2016 (5 % under stable irradiance, seen in
    secondary text; the reference to the mean is this project's reading).
    """
    require(len(values) >= 2, "values", len(values), "two or more readings")
    require(all(isfinite(value) for value in values), "values", values, "finite numbers")
    mean = sum(values) / len(values)
    require(mean > 0, "values", mean, "readings with a mean above 0")
    return max(abs(value - mean) for value in values) / mean
