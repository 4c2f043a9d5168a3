"""The air's own pressure, which every gauge leaves out."""

from math import pow

from sizing.guards import require_between, require_finite, require_positive

# U.S. Standard Atmosphere 1976 (NOAA, NASA, USAF), tables 1 to 4, layer 0 and its base.
SEA_LEVEL_PRESSURE = 101_325.0  # Pa
SEA_LEVEL_TEMPERATURE = 288.15  # K
LAPSE_RATE = 0.0065  # K/m
GRAVITY = 9.80665  # m/s²
MOLAR_MASS_OF_AIR = 0.0289644  # kg/mol
GAS_CONSTANT = 8.31432  # J/(mol·K), the value of 1976


def atmospheric_pressure(altitude: float) -> float:
    """Return the pressure of the standard atmosphere.

        p = p₀ · (1 − L·h / T₀)^(g·M / (R·L))

    Parameters
    ----------
    altitude : h, height above mean sea level [m], -1000 … 11000

    Returns
    -------
    p, absolute pressure of the air [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Weather moves it by about ±3 % (from memory). Geopotential and map height differ by
    less than 0.1 % here and are not told apart.

    Source: U.S. Standard Atmosphere 1976, equation 33a with the constants of layer 0.
    """
    require_between("altitude", altitude, -1000, 11_000, "m")
    exponent = GRAVITY * MOLAR_MASS_OF_AIR / (GAS_CONSTANT * LAPSE_RATE)
    return SEA_LEVEL_PRESSURE * pow(1 - LAPSE_RATE * altitude / SEA_LEVEL_TEMPERATURE, exponent)


def absolute_pressure(gauge_pressure: float, atmosphere: float) -> float:
    """Return the absolute pressure behind a gauge reading.

        p = p_e + p_amb

    Parameters
    ----------
    gauge_pressure : p_e, reading above the surrounding air [Pa], ≥ −p_amb
    atmosphere : p_amb, absolute pressure of the air around the gauge [Pa], > 0

    Returns
    -------
    p, absolute pressure [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A gauge pressure in a gas law is the commonest slip at altitude.

    Source: definition of gauge pressure, ISO 80000-4:2019, item 4-14.2 (item number from memory).
    """
    require_positive("atmosphere", atmosphere, "Pa")
    require_finite("gauge_pressure", gauge_pressure, "Pa")
    require_between("gauge_pressure", gauge_pressure, -atmosphere, float("inf"), "Pa")
    return gauge_pressure + atmosphere
