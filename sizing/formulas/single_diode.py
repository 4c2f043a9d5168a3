"""The whole current-voltage curve of a module: the single-diode model of De Soto.

It needs five fitted numbers that no nameplate prints; a module data base lists them. The
simpler forms of `photovoltaic` were checked against it.
"""

from collections.abc import Callable
from math import exp, inf
from typing import NamedTuple

from sizing.formulas.photovoltaic import STC_IRRADIANCE, STC_TEMPERATURE
from sizing.guards import require, require_between, require_not_negative, require_positive

BOLTZMANN_EV = 8.617333262e-5  # eV/K, exact values of the SI of 2019
SILICON_GAP = 1.121  # eV at 25 °C, De Soto et al. 2006
SILICON_GAP_SLOPE = -0.0002677  # 1/K, De Soto et al. 2006
HALVINGS = 200  # more than a double has bits


class Diode(NamedTuple):
    """Five numbers of the curve at one irradiance and temperature."""

    photocurrent: float  # A
    saturation_current: float  # A
    series_resistance: float  # Ω
    shunt_resistance: float  # Ω
    thermal_voltage: float  # V, cells × ideality × k·T/q


def diode_at_conditions(rated: Diode, irradiance: float, cell_temperature: float, coefficient: float) -> Diode:
    """Return the five numbers of a silicon module at an irradiance and cell temperature.

        I_L = G / G₀ · [I_L0 + α · (T − T₀)],  a = a₀ · T / T₀,  R_sh = R_sh0 · G₀ / G
        I_o = I_o0 · (T / T₀)³ · exp[E_g0 / (k·T₀) − E_g / (k·T)]
        E_g = E_g0 · [1 − 0.0002677 · (T − T₀)],  R_s = R_s0

    Parameters
    ----------
    rated : I_L0, I_o0, R_s0, R_sh0, a₀, at 1000 W/m² and 25 °C [A, A, Ω, Ω, V], each > 0, R_s0 ≥ 0
    irradiance : G, on the plane of the module [W/m²], > 0
    cell_temperature : T, of the cells [°C], −90 … 150
    coefficient : α, absolute temperature coefficient of current [A/K], −1 … 1

    Returns
    -------
    I_L, I_o, R_s, R_sh, a [A, A, Ω, Ω, V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: De Soto, Klein, Beckman, Solar Energy 80 (2006) 78, equations 3 to 9.
    """
    _check_diode("rated", rated)
    require_positive("irradiance", irradiance, "W/m²")
    require_between("cell_temperature", cell_temperature, -90, 150, "°C")
    require_between("coefficient", coefficient, -1, 1, "A/K")
    T, T0 = cell_temperature + 273.15, STC_TEMPERATURE + 273.15
    gap = SILICON_GAP * (1 + SILICON_GAP_SLOPE * (T - T0))
    growth = (T / T0) ** 3 * exp(SILICON_GAP / (BOLTZMANN_EV * T0) - gap / (BOLTZMANN_EV * T))
    sun = irradiance / STC_IRRADIANCE
    photocurrent = sun * (rated.photocurrent + coefficient * (T - T0))
    require(photocurrent > 0, "coefficient", coefficient, "small enough to leave a current")
    return Diode(
        photocurrent,
        rated.saturation_current * growth,
        rated.series_resistance,
        rated.shunt_resistance / sun,
        rated.thermal_voltage * T / T0,
    )


def _check_diode(name: str, diode: Diode) -> None:
    require_positive(name, diode.photocurrent, "A of photocurrent")
    require_positive(name, diode.saturation_current, "A of saturation current")
    require_not_negative(name, diode.series_resistance, "Ω in series")
    require_positive(name, diode.shunt_resistance, "Ω of shunt")
    require_positive(name, diode.thermal_voltage, "V of thermal voltage")


def _bisect(falls: Callable[[float], float], low: float, high: float) -> float:
    """Return where a falling function crosses zero between two bounds."""
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if falls(middle) > 0 else (low, middle)
    return (low + high) / 2


def _current_at_junction(diode: Diode, junction: float) -> float:
    grown = exp(min(junction / diode.thermal_voltage, 700.0)) - 1  # 700: before a double overflows
    return diode.photocurrent - diode.saturation_current * grown - junction / diode.shunt_resistance


def current_at_voltage(diode: Diode, voltage: float) -> float:
    """Return the current of a module at a voltage.

        I = I_L − I_o · {exp[(V + I·R_s) / a] − 1} − (V + I·R_s) / R_sh

    Parameters
    ----------
    diode : I_L, I_o, R_s, R_sh, a, at the conditions [A, A, Ω, Ω, V], each > 0, R_s ≥ 0
    voltage : V, at the terminals [V], 0 … open-circuit voltage

    Returns
    -------
    I, current [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: De Soto, Klein, Beckman, Solar Energy 80 (2006) 78, equation 1; by halving.
    """
    limit = open_circuit_point(diode)
    require_between("voltage", voltage, 0, limit * (1 + 1e-12), "V")
    # V + I·R_s, the voltage of the junction, lies between V and where no current is left
    top = voltage + diode.photocurrent * diode.series_resistance
    junction = _bisect(
        lambda at: voltage + _current_at_junction(diode, at) * diode.series_resistance - at, min(voltage, limit), top
    )
    return _current_at_junction(diode, junction)


def open_circuit_point(diode: Diode) -> float:
    """Return the open-circuit voltage of the curve.

        0 = I_L − I_o · [exp(V / a) − 1] − V / R_sh

    Parameters
    ----------
    diode : I_L, I_o, R_s, R_sh, a, at the conditions [A, A, Ω, Ω, V], each > 0, R_s ≥ 0

    Returns
    -------
    V_oc, open-circuit voltage [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: De Soto, Klein, Beckman, Solar Energy 80 (2006) 78, equation 1 at no current.
    """
    _check_diode("diode", diode)
    return _bisect(lambda at: _current_at_junction(diode, at), 0.0, diode.photocurrent * diode.shunt_resistance)


def maximum_power_voltage(diode: Diode) -> float:
    """Return the voltage at which the curve gives most power.

        V_mp = V with d(V · I) / dV = 0

    Parameters
    ----------
    diode : I_L, I_o, R_s, R_sh, a, at the conditions [A, A, Ω, Ω, V], each > 0, R_s ≥ 0

    Returns
    -------
    V_mp, voltage at maximum power [V]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: De Soto, Klein, Beckman, Solar Energy 80 (2006) 78, equation 1; by halving.
    """

    def slope(junction: float) -> float:
        """Return dP/dV times a positive factor, at a voltage of the junction."""
        current = _current_at_junction(diode, junction)
        steep = diode.saturation_current / diode.thermal_voltage * exp(min(junction / diode.thermal_voltage, 700.0))
        conductance = steep + 1 / diode.shunt_resistance
        voltage = junction - current * diode.series_resistance
        return current * (1 + conductance * diode.series_resistance) - voltage * conductance

    junction = _bisect(slope, 0.0, open_circuit_point(diode))
    return junction - _current_at_junction(diode, junction) * diode.series_resistance


def current_into_motor(diode: Diode, back_emf: float, armature_resistance: float) -> float:
    """Return the current where a directly coupled DC motor and the curve meet.

        I = curve at V,  V = E + I · R_a

    Parameters
    ----------
    diode : I_L, I_o, R_s, R_sh, a, at the conditions [A, A, Ω, Ω, V], each > 0, R_s ≥ 0
    back_emf : E, voltage that the motor generates at its speed [V], 0 … below open circuit
    armature_resistance : R_a, winding, brushes and cable [Ω], ≥ 0

    Returns
    -------
    I, current of the operating point [A]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Source: Kirchhoff's voltage law with De Soto's equation 1; by halving.
    """
    limit = open_circuit_point(diode)
    require(0 <= back_emf < limit, "back_emf", back_emf, f"0 … below {limit:g} V")
    require(0 <= armature_resistance < inf, "armature_resistance", armature_resistance, "≥ 0 Ω")
    outside = armature_resistance + diode.series_resistance
    junction = _bisect(
        lambda at: back_emf + _current_at_junction(diode, at) * outside - at,
        back_emf,
        back_emf + diode.photocurrent * outside,
    )
    return _current_at_junction(diode, junction)
