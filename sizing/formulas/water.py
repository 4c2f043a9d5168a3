"""Liquid water near one atmosphere: density, vapour pressure, viscosity, and the head of a column."""

from math import exp, pow

from sizing.guards import require_between, require_finite, require_not_negative, require_positive

# Standard acceleration of gravity [m/s²]: ISO 80000-3:2019, exact by convention.
STANDARD_GRAVITY = 9.80665
ZERO_CELSIUS = 273.15  # K

# Kell, J. Chem. Eng. Data 20 (1975) 97, equation 16: density [kg/m³] over t [°C].
KELL_DENSITY = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
KELL_DENSITY_DENOMINATOR = 16.879850e-3

# Same paper, equation 20: isothermal compressibility at 1 atm [1e-6 / bar] over t [°C].
KELL_COMPRESSIBILITY = (50.88496, 0.6163813, 1.459187e-3, 20.08438e-6, -58.47727e-9, 410.4110e-12)
KELL_COMPRESSIBILITY_DENOMINATOR = 19.67348e-3

# IAPWS SR1-86(1992), equation 1: coefficients and exponents of θ = 1 − T/T_c.
SATURATION = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)
CRITICAL_TEMPERATURE = 647.096  # K
CRITICAL_PRESSURE = 22.064e6  # Pa

# IAPWS SR6-08(2011), equation 8 and table 4: viscosity [µPa·s] over T / 300 K.
VISCOSITY = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))


def _polynomial(coefficients: tuple[float, ...], x: float) -> float:
    return sum(a * x**i for i, a in enumerate(coefficients))


def _slope(coefficients: tuple[float, ...], x: float) -> float:
    return sum(i * a * x ** (i - 1) for i, a in enumerate(coefficients) if i)


def water_density(temperature: float) -> float:
    """Return the density of air-free water at one atmosphere.

        ρ = (a₀ + a₁·t + a₂·t² + a₃·t³ + a₄·t⁴ + a₅·t⁵) / (1 + b·t)
        with a₀ … a₅ = 999.83952, 16.945176, −7.9870401 × 10⁻³, −46.170461 × 10⁻⁶,
        105.56302 × 10⁻⁹, −280.54253 × 10⁻¹² and b = 16.879850 × 10⁻³

    Parameters
    ----------
    temperature : t, water temperature [°C], 0 … 100

    Returns
    -------
    ρ, density [kg/m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Fresh water. Ten bar of pressure adds 0.05 %; 1 g/L of dissolved salts adds about 0.08 %.

    Source: Kell, J. Chem. Eng. Data 20 (1975) 97, equation 16.
    """
    require_between("temperature", temperature, 0, 100, "°C")
    return _polynomial(KELL_DENSITY, temperature) / (1 + KELL_DENSITY_DENOMINATOR * temperature)


def thermal_expansivity(temperature: float) -> float:
    """Return the relative growth in volume of water per kelvin, at one atmosphere.

        β = −(1/ρ) · dρ/dt

    Parameters
    ----------
    temperature : t, water temperature [°C], 0 … 100

    Returns
    -------
    β, cubic expansivity; negative below 4 °C [1/K]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The derivative is that of the density polynomial, taken term by term.

    Source: Kell, J. Chem. Eng. Data 20 (1975) 97, equation 16, differentiated.
    """
    require_between("temperature", temperature, 0, 100, "°C")
    b = KELL_DENSITY_DENOMINATOR
    relative_slope = _slope(KELL_DENSITY, temperature) / _polynomial(KELL_DENSITY, temperature)
    return b / (1 + b * temperature) - relative_slope


def compressibility(temperature: float) -> float:
    """Return the isothermal compressibility of water at one atmosphere.

        κ = (c₀ + c₁·t + c₂·t² + c₃·t³ + c₄·t⁴ + c₅·t⁵) / (1 + d·t) · 10⁻⁶ / bar

    Parameters
    ----------
    temperature : t, water temperature [°C], 0 … 100

    Returns
    -------
    κ, isothermal compressibility [1/Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Air-free water only: a thousandth part of air at a few bar is softer than the water.

    Source: Kell, J. Chem. Eng. Data 20 (1975) 97, equation 20.
    """
    require_between("temperature", temperature, 0, 100, "°C")
    per_megabar = _polynomial(KELL_COMPRESSIBILITY, temperature) / (1 + KELL_COMPRESSIBILITY_DENOMINATOR * temperature)
    return per_megabar * 1e-6 / 1e5


def vapour_pressure(temperature: float) -> float:
    """Return the absolute pressure at which water boils.

        p_v = p_c · exp[(T_c/T) · (a₁θ + a₂θ^1.5 + a₃θ³ + a₄θ^3.5 + a₅θ⁴ + a₆θ^7.5)]
        with T = t + 273.15 K and θ = 1 − T/T_c

    Parameters
    ----------
    temperature : t, water temperature [°C], 0 … 370

    Returns
    -------
    p_v, absolute vapour pressure [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Pure water with a flat surface; dissolved gas comes out of cold water well above this pressure.

    Source: IAPWS SR1-86(1992), saturation properties of ordinary water, equation 1.
    """
    require_between("temperature", temperature, 0, 370, "°C")
    T = temperature + ZERO_CELSIUS
    theta = 1 - T / CRITICAL_TEMPERATURE
    exponent = CRITICAL_TEMPERATURE / T * sum(a * pow(theta, b) for a, b in SATURATION)
    return CRITICAL_PRESSURE * exp(exponent)


def dynamic_viscosity(temperature: float) -> float:
    """Return the dynamic viscosity of water at one atmosphere.

        µ = 10⁻⁶ Pa·s · Σ aᵢ · (T / 300 K)^bᵢ
        with T = t + 273.15 K

    Parameters
    ----------
    temperature : t, water temperature [°C], 0 … 100

    Returns
    -------
    µ, dynamic viscosity [Pa·s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Tables of the 1920s, still reprinted, are 0.1 to 0.7 % higher.

    Source: IAPWS SR6-08(2011), liquid water at 0.1 MPa, equation 8 and table 4.
    """
    require_between("temperature", temperature, 0, 100, "°C")
    ratio = (temperature + ZERO_CELSIUS) / 300
    return 1e-6 * sum(a * pow(ratio, b) for a, b in VISCOSITY)


def kinematic_viscosity(temperature: float) -> float:
    """Return the kinematic viscosity of water at one atmosphere.

        ν = µ / ρ

    Parameters
    ----------
    temperature : t, water temperature [°C], 0 … 100

    Returns
    -------
    ν, kinematic viscosity [m²/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    µ and ρ are those of `dynamic_viscosity` and `water_density` at the same temperature.

    Source: definition of kinematic viscosity, ISO 80000-4:2019, item 4-25 (item number from memory).
    """
    return dynamic_viscosity(temperature) / water_density(temperature)


def static_head_pressure(height: float, density: float) -> float:
    """Return the pressure under a column of still water.

        Δp = ρ · g · h

    Parameters
    ----------
    height : h, height of the water surface above the point [m], any
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    Δp, pressure above that at the surface; negative above it [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The trade's 0.433 psi/ft and 9.79 kPa/m are this at 15 to 20 °C.

    Source: hydrostatic law with the standard gravity of ISO 80000-3:2019.
    """
    require_finite("height", height, "m")
    require_positive("density", density, "kg/m³")
    return density * STANDARD_GRAVITY * height


def pressure_head(pressure: float, density: float) -> float:
    """Return the height of the water column that a pressure holds up.

        h = p / (ρ · g)

    Parameters
    ----------
    pressure : p, pressure or pressure difference [Pa], any
    density : ρ, density of the water [kg/m³], > 0

    Returns
    -------
    h, head of water [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The trade's 2.31 ft/psi is this at 15 to 20 °C. A gauge pressure gives a head above the local atmosphere.

    Source: hydrostatic law with the standard gravity of ISO 80000-3:2019.
    """
    require_finite("pressure", pressure, "Pa")
    require_positive("density", density, "kg/m³")
    return pressure / (density * STANDARD_GRAVITY)


def velocity_head(velocity: float) -> float:
    """Return the head that a stream carries as speed.

        h_v = v² / (2·g)

    Parameters
    ----------
    velocity : v, mean velocity in the pipe [m/s], ≥ 0

    Returns
    -------
    h_v, velocity head [m]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Taken with the mean velocity; the profile's own factor (1.02 to 1.1 when turbulent)
    is left out, as is usual.

    Source: Bernoulli's equation; ISO 9906:2012, definition of velocity head (clause from memory).
    """
    require_not_negative("velocity", velocity, "m/s")
    return velocity**2 / (2 * STANDARD_GRAVITY)
