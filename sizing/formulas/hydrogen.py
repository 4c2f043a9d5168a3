"""Hydrogen from batteries on charge, and the air that keeps it below the explosive limit.

Close to the cells, within about 10 cm, the gas may burn in the best-aired room: no flame, no
spark, and nothing connected or disconnected with the charger on.
"""

from math import inf

from sizing.guards import require, require_between, require_not_negative, require_positive

FARADAY = 96_485.33212  # C/mol, exact values of the SI of 2019
GAS_CONSTANT = 8.314462618  # J/(mol·K)
ELECTRONS_PER_MOLECULE = 2  # 2 H⁺ + 2 e⁻ → H₂
ATMOSPHERE = 101_325.0  # Pa
WATER_MOLAR_MASS = 18.015e-3  # kg/mol
WATER_DENSITY = 998.2  # kg/m³ at 20 °C
MONTH = 30 * 86_400.0  # s

# EN 50272-2:2001 clause 8.2 (IEC 62485-2:2010 clause 7.2): v = 24 dilution to 4 % hydrogen,
# q = 0.42·10⁻³ m³/(A·h) at 0 °C, s = 5 safety; their product is 0.05 m³/(A·h).
VENTILATION_CONSTANT = 0.05  # m³/(A·h)

# Same, Table 1: gas-forming current in A for each A·h of capacity, on float and on boost, to 40 °C.
GAS_CURRENT: dict[str, tuple[float, float]] = {
    "flooded, antimony below 3 %": (0.005, 0.020),
    "valve-regulated": (0.001, 0.008),
    "nickel-cadmium, vented": (0.005, 0.050),
}
OPENING_PER_FLOW = 28.0  # cm² for each m³/h, same clause 8.3: air at 0.1 m/s


def hydrogen_volume(charge: float, temperature: float) -> float:
    """Return the hydrogen that overcharge frees in one cell.

        V = 3600 · Q / (2 · F) · R · T / p,  p = 101325 Pa

    Parameters
    ----------
    charge : Q, overcharge [A·h], ≥ 0
    temperature : T, of the gas [°C], −40 … 80

    Returns
    -------
    V, volume from one cell [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    0.42 L/(A·h) at 0 °C, 0.457 at 25 °C: the figures in circulation are one at three
    temperatures.

    Source: Faraday's law with the ideal gas; constants of the SI of 2019.
    """
    require_not_negative("charge", charge, "A·h")
    require_between("temperature", temperature, -40, 80, "°C")
    moles = 3600 * charge / (ELECTRONS_PER_MOLECULE * FARADAY)
    return moles * GAS_CONSTANT * (temperature + 273.15) / ATMOSPHERE


def ventilation_constant(dilution: float, hydrogen: float, safety: float) -> float:
    """Return the air for each ampere-hour of gas-forming charge in one cell.

        c = v · q · s

    Parameters
    ----------
    dilution : v, air for each part of hydrogen, 24 for 4 % [1], ≥ 1
    hydrogen : q, freed in one cell by one ampere-hour [m³/(A·h)], > 0
    safety : s, factor of safety [1], ≥ 1

    Returns
    -------
    c, air [m³/(A·h)]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: EN 50272-2:2001, clause 8.2 (IEC 62485-2:2010, clause 7.2).
    """
    require(1 <= dilution < inf, "dilution", dilution, "≥ 1")
    require_positive("hydrogen", hydrogen, "m³/(A·h)")
    require(1 <= safety < inf, "safety", safety, "≥ 1")
    return dilution * hydrogen * safety


def ventilation_flow(cells: float, gas_current: float, capacity: float) -> float:
    """Return the air that a battery on charge needs.

        Q = 0.05 · n · I_gas · C

    Parameters
    ----------
    cells : n, cells in series, all strings counted [1], ≥ 1
    gas_current : I_gas, for each ampere-hour, 0.020 for flooded on boost [A/(A·h)], > 0
    capacity : C, at the 10 h rate for lead-acid, of one string [A·h], > 0

    Returns
    -------
    Q, fresh air [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The standard counts m³/h; here the hour is divided out. `GAS_CURRENT` holds I_gas.
    Lithium cells free no hydrogen in normal charge.

    Source: EN 50272-2:2001, clause 8.2 (IEC 62485-2:2010, clause 7.2).
    """
    require(1 <= cells < inf, "cells", cells, "≥ 1")
    require_positive("gas_current", gas_current, "A/(A·h)")
    require_positive("capacity", capacity, "A·h")
    return VENTILATION_CONSTANT * cells * gas_current * capacity / 3600


def vent_opening(flow: float) -> float:
    """Return the free area that natural ventilation needs, at the inlet and again at the outlet.

        A = 28 cm²/(m³/h) · Q

    Parameters
    ----------
    flow : Q, fresh air [m³/s], ≥ 0

    Returns
    -------
    A, free area of each opening [m²]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Inlet low, outlet high, on opposite walls where it can be. A screen takes away area.

    Source: EN 50272-2:2001, clause 8.3 (IEC 62485-2:2010, clause 7.3).
    """
    require_not_negative("flow", flow, "m³/s")
    return OPENING_PER_FLOW * flow * 3600 / 1e4


def water_decomposed(charge: float) -> float:
    """Return the water that overcharge makes into gas in one cell.

        V = Q · 3600 s/h / (2 · F) · M / ρ

    Parameters
    ----------
    charge : Q, charge put in beyond full [A·h], ≥ 0

    Returns
    -------
    V, water [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    0.34 mL for each ampere-hour. Every cell of a string loses as much. Evaporation comes on top, in the heat.

    Source: Faraday's law, M = 18.015 g/mol, ρ = 998 kg/m³ at 20 °C.
    """
    require_not_negative("charge", charge, "A·h")
    return charge * 3600 / (ELECTRONS_PER_MOLECULE * FARADAY) * WATER_MOLAR_MASS / WATER_DENSITY


def monthly_water_of_a_cell(water: float, cells: float, time: float) -> float:
    """Return the water that each cell takes in a month of 30 days.

        v = V / n · 30 d / t

    Parameters
    ----------
    water : V, added to all cells together [m³], ≥ 0
    cells : n, cells [1], ≥ 1
    time : t, since it was last added [s], > 0

    Returns
    -------
    v, water of one cell in 30 days [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: arithmetic, no fitted coefficient.
    """
    require_not_negative("water", water, "m³")
    require(1 <= cells < inf, "cells", cells, "≥ 1")
    require_positive("time", time, "s")
    return water / cells * MONTH / time
