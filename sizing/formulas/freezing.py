"""Cooling of water standing in the cold, and the ice that follows."""

from math import exp, log, pi

from sizing.guards import require, require_finite, require_not_negative, require_positive

# Liquid water from 0 to 20 °C: IAPWS-95 gives 4220 to 4184. Heat of fusion: IAPWS R10-06(2009) gives
# 333.4 kJ/kg; the trade's rounder 334 (144 BTU/lb) is taken.
WATER_HEAT_CAPACITY = 4200.0  # J/(kg·K)
HEAT_OF_FUSION = 334_000.0  # J/kg


def surface_conductance(area: float, thermal_resistance: float) -> float:
    """Return the heat that a wall loses per kelvin.

        UA = A / R

    Parameters
    ----------
    area : A, area that loses heat [m²], ≥ 0
    thermal_resistance : R, thermal resistance of the wall with its insulation [m²·K/W], > 0

    Returns
    -------
    UA, conductance [W/K]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    A US R-value (h·ft²·°F/BTU) times 0.1761. Add the conductances of walls, roof and floor. Wind and
    wet insulation make it larger.

    Source: ISO 6946:2017, thermal transmittance of a plane component.
    """
    require_not_negative("area", area, "m²")
    require_positive("thermal_resistance", thermal_resistance, "m²·K/W")
    return area / thermal_resistance


def pipe_conductance(length: float, pipe_diameter: float, insulated_diameter: float, conductivity: float) -> float:
    """Return the heat that an insulated pipe loses per kelvin.

        UA = 2 · π · λ · L / ln(D/d)

    Parameters
    ----------
    length : L, length of the pipe [m], ≥ 0
    pipe_diameter : d, outside diameter of the pipe [m], > 0
    insulated_diameter : D, outside diameter of the insulation [m], > d
    conductivity : λ, thermal conductivity of the insulation [W/(m·K)], > 0

    Returns
    -------
    UA, conductance [W/K]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The insulation alone; the pipe's wall and the air film add a little resistance.

    Source: ISO 12241:2022, insulation of pipes (clause from memory).
    """
    require_not_negative("length", length, "m")
    require_positive("pipe_diameter", pipe_diameter, "m")
    require_positive("insulated_diameter", insulated_diameter, "m")
    require_positive("conductivity", conductivity, "W/(m·K)")
    require(insulated_diameter > pipe_diameter, "insulated_diameter", insulated_diameter, f"> {pipe_diameter} m")
    return 2 * pi * conductivity * length / log(insulated_diameter / pipe_diameter)


def heat_loss(conductance: float, temperature_difference: float) -> float:
    """Return the heat that an enclosure loses.

        P = UA · Δt

    Parameters
    ----------
    conductance : UA, conductance of the enclosure [W/K], ≥ 0
    temperature_difference : Δt, inside minus outside temperature [K], any

    Returns
    -------
    P, heat loss [W]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The heater that holds a tank at this difference needs at least this power.

    Source: ISO 6946:2017, definition of thermal transmittance.
    """
    require_not_negative("conductance", conductance, "W/K")
    require_finite("temperature_difference", temperature_difference, "K")
    return conductance * temperature_difference


def cooling_time_constant(water_mass: float, heat_capacity: float, conductance: float) -> float:
    """Return the time constant of water cooling in its enclosure.

        τ = m · c / UA

    Parameters
    ----------
    water_mass : m, mass of the water [kg], > 0
    heat_capacity : c, specific heat of the water, 4200 from 0 to 20 °C [J/(kg·K)], > 0
    conductance : UA, conductance of the enclosure [W/K], > 0

    Returns
    -------
    τ, time constant [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The water is taken as one temperature. A tank lasts weeks, a still insulated pipe an hour or two.

    Source: Newton's law of cooling for a lumped mass.
    """
    require_positive("water_mass", water_mass, "kg")
    require_positive("heat_capacity", heat_capacity, "J/(kg·K)")
    require_positive("conductance", conductance, "W/K")
    return water_mass * heat_capacity / conductance


def cooled_temperature(
    start_temperature: float, ambient_temperature: float, time: float, time_constant: float
) -> float:
    """Return the temperature of water after standing in the cold.

        t = t_a + (t₀ − t_a) · exp(−θ/τ)

    Parameters
    ----------
    start_temperature : t₀, temperature at the start [°C], any
    ambient_temperature : t_a, temperature outside [°C], any
    time : θ, time elapsed [s], ≥ 0
    time_constant : τ, time constant [s], > 0

    Returns
    -------
    t, temperature of the water [°C]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    Liquid water only: a result below 0 °C means that ice has begun, and the water stays at 0 °C.

    Source: Newton's law of cooling for a lumped mass.
    """
    require_finite("start_temperature", start_temperature, "°C")
    require_finite("ambient_temperature", ambient_temperature, "°C")
    require_not_negative("time", time, "s")
    require_positive("time_constant", time_constant, "s")
    return ambient_temperature + (start_temperature - ambient_temperature) * exp(-time / time_constant)


def cooling_time(
    start_temperature: float, end_temperature: float, ambient_temperature: float, time_constant: float
) -> float:
    """Return how long water takes to cool to a temperature.

        θ = τ · ln[ (t₀ − t_a) / (t_e − t_a) ]

    Parameters
    ----------
    start_temperature : t₀, temperature at the start [°C], > t_e
    end_temperature : t_e, temperature to reach [°C], > t_a
    ambient_temperature : t_a, temperature outside [°C], any
    time_constant : τ, time constant [s], > 0

    Returns
    -------
    θ, time [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    With t_e = 0 °C, the time until ice begins at a steady outside temperature.

    Source: Newton's law of cooling for a lumped mass, solved for time.
    """
    require_finite("start_temperature", start_temperature, "°C")
    require_finite("end_temperature", end_temperature, "°C")
    require_finite("ambient_temperature", ambient_temperature, "°C")
    require_positive("time_constant", time_constant, "s")
    require(end_temperature > ambient_temperature, "end_temperature", end_temperature, f"> {ambient_temperature} °C")
    require(start_temperature >= end_temperature, "start_temperature", start_temperature, f"≥ {end_temperature} °C")
    return time_constant * log((start_temperature - ambient_temperature) / (end_temperature - ambient_temperature))


def freezing_heat(ice_mass: float) -> float:
    """Return the heat that water at 0 °C gives up as it freezes.

        Q = m · L
        with L = 334 kJ/kg

    Parameters
    ----------
    ice_mass : m, mass of water turned to ice [kg], ≥ 0

    Returns
    -------
    Q, heat of freezing [J]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    As much as cooling the same water by 80 K.

    Source: heat of fusion at 0 °C, IAPWS R10-06(2009), rounded up to the trade's 334 kJ/kg.
    """
    require_not_negative("ice_mass", ice_mass, "kg")
    return ice_mass * HEAT_OF_FUSION


def freezing_time(ice_mass: float, conductance: float, ambient_temperature: float) -> float:
    """Return how long water at 0 °C takes to freeze.

        θ = m · L / (UA · (0 − t_a))
        with L = 334 kJ/kg

    Parameters
    ----------
    ice_mass : m, mass of water turned to ice [kg], ≥ 0
    conductance : UA, conductance of the enclosure [W/K], > 0
    ambient_temperature : t_a, temperature outside [°C], < 0

    Returns
    -------
    θ, time [s]

    Raises
    ------
    OutOfRangeError
        If an argument is outside the range beside it.

    Notes
    -----
    The ice's own insulation is left out, so it takes rather longer. A pipe bursts before it is frozen
    through: a plug is enough.

    Source: energy balance with the heat of fusion.
    """
    require_not_negative("ice_mass", ice_mass, "kg")
    require_positive("conductance", conductance, "W/K")
    require_finite("ambient_temperature", ambient_temperature, "°C")
    require(ambient_temperature < 0, "ambient_temperature", ambient_temperature, "< 0 °C")
    return freezing_heat(ice_mass) / (conductance * -ambient_temperature)
