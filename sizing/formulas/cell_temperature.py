"""Temperature of a solar cell from the weather: three published models.

They differ by about 7 K on the same weather, which is 2 % of open-circuit voltage. A probe
on the back of a module is better than any of them.
"""

from math import exp, inf
from typing import NamedTuple

from sizing.guards import require, require_not_negative, require_positive

ABSOLUTE_ZERO = -273.15  # °C

# IEC 61215-2 (and ASTM E1036): the nominal operating cell temperature is stated at
# 800 W/m², 20 °C air, 1 m/s wind, open circuit.
NOCT_IRRADIANCE = 800.0  # W/m²
NOCT_AMBIENT = 20.0  # °C


class SandiaMount(NamedTuple):
    """Fitted numbers of the Sandia model for one way of mounting."""

    a: float
    b: float  # s/m
    cell_above_module: float  # K at 1000 W/m²


# King, Boyson, Kratochvil: "Photovoltaic Array Performance Model", Sandia report
# SAND2004-3535, Table 1.
SANDIA_MOUNTS: dict[str, SandiaMount] = {
    "glass/glass, open rack": SandiaMount(-3.47, -0.0594, 3.0),
    "glass/glass, close to the roof": SandiaMount(-2.98, -0.0471, 1.0),
    "glass/polymer, open rack": SandiaMount(-3.56, -0.0750, 3.0),
    "glass/polymer, insulated back": SandiaMount(-2.81, -0.0455, 0.0),
}

# Faiman, Progress in Photovoltaics 16 (2008) 307-315: mean of seven module types, open rack.
FAIMAN_U0 = 25.0  # W/(m²·K)
FAIMAN_U1 = 6.84  # W·s/(m³·K)


def noct_cell_temperature(ambient_temperature: float, noct: float, irradiance: float) -> float:
    """Return the cell temperature by the nominal-operating-temperature rule.

        T_c = T_a + (NOCT − 20 °C) / 800 W/m² · G

    Parameters
    ----------
    ambient_temperature : T_a, air temperature in the shade [°C], > −273.15
    noct : NOCT, nominal operating cell temperature of the nameplate [°C], > 20
    irradiance : G, on the plane of the module [W/m²], ≥ 0

    Returns
    -------
    T_c, temperature of the cells [°C]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    No wind in it: true near 1 m/s on an open rack. Reads high in a breeze.

    Source: definition of NOCT, IEC 61215-2 (2016) MQT 05 (number from memory), scaled in proportion to G.
    """
    require(ABSOLUTE_ZERO < ambient_temperature < inf, "ambient_temperature", ambient_temperature, "> −273.15 °C")
    require(NOCT_AMBIENT < noct < inf, "noct", noct, "> 20 °C")
    require_not_negative("irradiance", irradiance, "W/m²")
    return ambient_temperature + (noct - NOCT_AMBIENT) / NOCT_IRRADIANCE * irradiance


def sandia_module_temperature(
    ambient_temperature: float, irradiance: float, wind_speed: float, a: float, b: float
) -> float:
    """Return the temperature of the back of a module by the Sandia model.

        T_m = G · exp(a + b · v) + T_a

    Parameters
    ----------
    ambient_temperature : T_a, air temperature in the shade [°C], > −273.15
    irradiance : G, on the plane of the module [W/m²], ≥ 0
    wind_speed : v, wind at 10 m height [m/s], ≥ 0
    a : a, fitted number of the mounting [1], < 0
    b : b, fitted number of the mounting [s/m], ≤ 0

    Returns
    -------
    T_m, temperature of the back of the module [°C]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Good to about 5 K. `SANDIA_MOUNTS` holds a and b.

    Source: Sandia report SAND2004-3535 (2004), equation 11 and Table 1 (numbers from memory).
    """
    require(ABSOLUTE_ZERO < ambient_temperature < inf, "ambient_temperature", ambient_temperature, "> −273.15 °C")
    require_not_negative("irradiance", irradiance, "W/m²")
    require_not_negative("wind_speed", wind_speed, "m/s")
    require(-inf < a < 0, "a", a, "< 0")
    require(-inf < b <= 0, "b", b, "≤ 0 s/m")
    return irradiance * exp(a + b * wind_speed) + ambient_temperature


def cell_temperature_from_module(module_temperature: float, irradiance: float, cell_above_module: float) -> float:
    """Return the cell temperature from the temperature of the back of the module.

        T_c = T_m + G / 1000 W/m² · ΔT

    Parameters
    ----------
    module_temperature : T_m, temperature of the back of the module [°C], > −273.15
    irradiance : G, on the plane of the module [W/m²], ≥ 0
    cell_above_module : ΔT, cell above back at 1000 W/m² [K], ≥ 0

    Returns
    -------
    T_c, temperature of the cells [°C]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    ΔT is 3 K on an open rack, 0 K with an insulated back.

    Source: Sandia report SAND2004-3535 (2004), equation 12 and Table 1 (numbers from memory).
    """
    require(ABSOLUTE_ZERO < module_temperature < inf, "module_temperature", module_temperature, "> −273.15 °C")
    require_not_negative("irradiance", irradiance, "W/m²")
    require_not_negative("cell_above_module", cell_above_module, "K")
    return module_temperature + irradiance / 1000 * cell_above_module


def faiman_module_temperature(
    ambient_temperature: float, irradiance: float, wind_speed: float, u0: float, u1: float
) -> float:
    """Return the module temperature by Faiman's heat balance.

        T_m = T_a + G / (U₀ + U₁ · v)

    Parameters
    ----------
    ambient_temperature : T_a, air temperature in the shade [°C], > −273.15
    irradiance : G, on the plane of the module [W/m²], ≥ 0
    wind_speed : v, wind beside the module [m/s], ≥ 0
    u0 : U₀, heat loss in still air [W/(m²·K)], > 0
    u1 : U₁, heat loss added by wind [W·s/(m³·K)], ≥ 0

    Returns
    -------
    T_m, temperature of the module [°C]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Open rack: `FAIMAN_U0` and `FAIMAN_U1`. IEC 61853-2 measures both for a module.

    Source: Faiman, Progress in Photovoltaics 16 (2008) 307, equation 7 (number from memory).
    """
    require(ABSOLUTE_ZERO < ambient_temperature < inf, "ambient_temperature", ambient_temperature, "> −273.15 °C")
    require_not_negative("irradiance", irradiance, "W/m²")
    require_not_negative("wind_speed", wind_speed, "m/s")
    require_positive("u0", u0, "W/(m²·K)")
    require_not_negative("u1", u1, "W·s/(m³·K)")
    return ambient_temperature + irradiance / (u0 + u1 * wind_speed)
