"""Tightness tests: the water a line may take, and what temperature does to a shut-in pressure."""

from math import sqrt

from sizing.formulas.water import ZERO_CELSIUS
from sizing.guards import require, require_finite, require_not_negative, require_positive

# AWWA C600-17 and C605-21 (editions from memory): L [US gal/h] = S [ft] · D [in] · √P [psi] / 148 000.
MAKEUP_DIVISOR = 148_000.0
FOOT = 0.3048  # m
INCH = 0.0254  # m
PSI = 6894.757  # Pa
GALLON_PER_HOUR = 3.785411784e-3 / 3600  # m³/s


def makeup_allowance(length: float, nominal_diameter: float, test_pressure_gauge: float) -> float:
    """Return the makeup water that a line with gasketed joints may take under test.

        L = S · D · √P / 148 000
        with S in ft, D in inches, P in psi and L in US gal/h

    Parameters
    ----------
    length : S, length of the tested line [m], ≥ 0
    nominal_diameter : D, nominal diameter [m], > 0
    test_pressure_gauge : P, mean gauge pressure of the test [Pa], ≥ 0

    Returns
    -------
    L, makeup allowance [m³/s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Gasketed joints only: fused, solvent-welded and threaded lines are allowed none. Two hours, pressure
    kept within 5 psi. An older edition divided by 133 200.

    Source: AWWA C600 and C605, hydrostatic testing allowance (AWWA C605-05, as printed with its table).
    """
    require_not_negative("length", length, "m")
    require_positive("nominal_diameter", nominal_diameter, "m")
    require_not_negative("test_pressure_gauge", test_pressure_gauge, "Pa gauge")
    feet, inches, psi = length / FOOT, nominal_diameter / INCH, test_pressure_gauge / PSI
    return feet * inches * sqrt(psi) / MAKEUP_DIVISOR * GALLON_PER_HOUR


def rigid_pressure_slope(expansivity: float, compressibility: float) -> float:
    """Return how fast pressure follows temperature in a full, shut line that does not give.

        dp/dt = β / κ

    Parameters
    ----------
    expansivity : β, cubic expansivity of the water [1/K], any
    compressibility : κ, compressibility of the water [1/Pa], > 0

    Returns
    -------
    dp/dt, pressure slope [Pa/K]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    184 kPa/K at 10 °C and 451 kPa/K at 20 °C: an upper bound, for pipes stretch and trapped air yields.

    Source: definitions of expansivity and compressibility, at constant volume and mass.
    """
    require_finite("expansivity", expansivity, "1/K")
    require_positive("compressibility", compressibility, "1/Pa")
    return expansivity / compressibility


def pipe_pressure_slope(
    expansivity: float, compressibility: float, pipe_expansion: float, pipe_modulus: float, diameter_over_wall: float
) -> float:
    """Return how fast pressure follows temperature in a full, shut pipe that is free to stretch.

        dp/dt = (β − 3·α) / (κ + D / (e·E))

    Parameters
    ----------
    expansivity : β, cubic expansivity of the water [1/K], any
    compressibility : κ, compressibility of the water [1/Pa], > 0
    pipe_expansion : α, linear expansion coefficient of the pipe [1/K], ≥ 0
    pipe_modulus : E, modulus of elasticity of the pipe [Pa], > 0
    diameter_over_wall : D/e, diameter over wall thickness [1], > 2

    Returns
    -------
    dp/dt, pressure slope [Pa/K]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Negative in plastic at well temperatures: a warming line loses pressure without a leak. Thin wall,
    no trapped air, no creep; PE creeps, so its modulus is that of the test's duration.

    Source: constant mass of water in a thin-walled elastic tube; derived here from the definitions of
    β, κ, α and hoop stress.
    """
    require_finite("expansivity", expansivity, "1/K")
    require_positive("compressibility", compressibility, "1/Pa")
    require_not_negative("pipe_expansion", pipe_expansion, "1/K")
    require_positive("pipe_modulus", pipe_modulus, "Pa")
    require_finite("diameter_over_wall", diameter_over_wall, "")
    require(diameter_over_wall > 2, "diameter_over_wall", diameter_over_wall, "> 2")
    return (expansivity - 3 * pipe_expansion) / (compressibility + diameter_over_wall / pipe_modulus)


def pressure_fall(start_pressure: float, end_pressure: float) -> float:
    """Return how far pressure fell over a hold.

        Δp = p₁ − p₂

    Parameters
    ----------
    start_pressure : p₁, pressure at the start [Pa], any
    end_pressure : p₂, pressure at the end [Pa], any

    Returns
    -------
    Δp, fall; negative when the pressure rose [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Both gauge or both absolute, from the same gauge.

    Source: difference of two readings; common practice, no source.
    """
    require_finite("start_pressure", start_pressure, "Pa")
    require_finite("end_pressure", end_pressure, "Pa")
    return start_pressure - end_pressure


def unexplained_pressure_fall(pressure_fall: float, pressure_slope: float, temperature_change: float) -> float:
    """Return the fall in pressure that temperature does not explain.

        Δp_u = Δp + (dp/dt) · Δt

    Parameters
    ----------
    pressure_fall : Δp, fall over the hold [Pa], any
    pressure_slope : dp/dt, pressure slope of the shut line [Pa/K], any
    temperature_change : Δt, end minus start temperature of the water [K], any

    Returns
    -------
    Δp_u, fall left to explain [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Cooling explains a fall in steel; warming explains one in plastic.

    Source: definition of the slope; derived here.
    """
    require_finite("pressure_fall", pressure_fall, "Pa")
    require_finite("pressure_slope", pressure_slope, "Pa/K")
    require_finite("temperature_change", temperature_change, "K")
    return pressure_fall + pressure_slope * temperature_change


def leaked_volume(
    line_volume: float, pressure_fall: float, compressibility: float, pipe_modulus: float, diameter_over_wall: float
) -> float:
    """Return the water that has left a shut line, from the fall in pressure.

        V_l = V · Δp · (κ + D / (e·E))

    Parameters
    ----------
    line_volume : V, volume of the shut line [m³], > 0
    pressure_fall : Δp, fall in pressure not explained by temperature [Pa], ≥ 0
    compressibility : κ, compressibility of the water [1/Pa], > 0
    pipe_modulus : E, modulus of elasticity of the pipe [Pa], > 0
    diameter_over_wall : D/e, diameter over wall thickness [1], > 2

    Returns
    -------
    V_l, water lost [m³]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A spoonful empties the gauge of a stiff line: a fast fall need not be a large leak. Trapped air
    makes the true loss larger.

    Source: definition of compressibility and hoop stretch of a thin tube; derived here.
    """
    require_positive("line_volume", line_volume, "m³")
    require_not_negative("pressure_fall", pressure_fall, "Pa")
    require_positive("compressibility", compressibility, "1/Pa")
    require_positive("pipe_modulus", pipe_modulus, "Pa")
    require_finite("diameter_over_wall", diameter_over_wall, "")
    require(diameter_over_wall > 2, "diameter_over_wall", diameter_over_wall, "> 2")
    return line_volume * pressure_fall * (compressibility + diameter_over_wall / pipe_modulus)


def air_hold_pressure(
    start_pressure_gauge: float, start_temperature: float, end_temperature: float, atmosphere: float
) -> float:
    """Return the gauge pressure that a tight line full of air shows at another temperature.

        p₂ = (p₁ + p_amb) · (t₂ + 273.15) / (t₁ + 273.15) − p_amb

    Parameters
    ----------
    start_pressure_gauge : p₁, gauge pressure at the start [Pa], ≥ 0
    start_temperature : t₁, temperature of the air at the start [°C], > −273.15
    end_temperature : t₂, temperature of the air at the end [°C], > −273.15
    atmosphere : p_amb, absolute pressure of the air outside [Pa], > 0

    Returns
    -------
    p₂, gauge pressure at the end [Pa]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Compressed air stores the force of a bursting pipe: plastic pipe is not tested with air unless its
    maker allows it, and nobody stands over it.

    Source: Gay-Lussac's law, p/T constant at constant volume.
    """
    require_not_negative("start_pressure_gauge", start_pressure_gauge, "Pa gauge")
    require_finite("start_temperature", start_temperature, "°C")
    require_finite("end_temperature", end_temperature, "°C")
    require_positive("atmosphere", atmosphere, "Pa absolute")
    require(start_temperature > -ZERO_CELSIUS, "start_temperature", start_temperature, "> −273.15 °C")
    require(end_temperature > -ZERO_CELSIUS, "end_temperature", end_temperature, "> −273.15 °C")
    ratio = (end_temperature + ZERO_CELSIUS) / (start_temperature + ZERO_CELSIUS)
    return (start_pressure_gauge + atmosphere) * ratio - atmosphere
