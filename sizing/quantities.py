"""The quantities that the core knows, and the one unit in which it holds each.

The unit text is what a docstring prints between brackets and what a working shows.
Gauge and absolute pressure are different quantities: no unit can tell them apart.
"""

from enum import StrEnum


class Quantity(StrEnum):
    """What a number measures. The value is stable: it stands in records and exports."""

    LENGTH = "length"
    ELEVATION = "elevation"
    DEPTH = "depth"
    DIAMETER = "diameter"
    AREA = "area"
    CONDUCTOR_SECTION = "conductor_section"
    VOLUME = "volume"
    FLOW = "flow"
    VELOCITY = "velocity"
    GAUGE_PRESSURE = "gauge_pressure"
    ABSOLUTE_PRESSURE = "absolute_pressure"
    PRESSURE_DIFFERENCE = "pressure_difference"
    HEAD = "head"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature_difference"
    TEMPERATURE_COEFFICIENT = "temperature_coefficient"
    VOLTAGE_PER_KELVIN = "voltage_per_kelvin"
    VOLTAGE = "voltage"
    CURRENT = "current"
    POWER = "power"
    ENERGY = "energy"
    RESISTANCE = "resistance"
    INSULATION = "insulation"
    RESISTIVITY = "resistivity"
    IRRADIANCE = "irradiance"
    CHARGE_AH = "charge_ah"
    DURATION = "duration"
    ANGLE = "angle"
    LATITUDE = "latitude"
    LONGITUDE = "longitude"
    RATIO = "ratio"
    COUNT = "count"
    SPECIFIC_CAPACITY = "specific_capacity"
    SPECIFIC_ENERGY = "specific_energy"
    FLOW_COEFFICIENT = "flow_coefficient"
    DENSITY = "density"
    KINEMATIC_VISCOSITY = "kinematic_viscosity"
    SPEED = "speed"
    MASS_CONCENTRATION_MG_PER_L = "mass_concentration_mg_per_l"
    TURBIDITY_NTU = "turbidity_ntu"
    SETTLED_SAND_ML_PER_L = "settled_sand_ml_per_l"
    COLONIES_PER_100_ML = "colonies_per_100_ml"
    CONDUCTIVITY = "conductivity"
    PH = "ph"


CORE_UNIT: dict[Quantity, str] = {
    Quantity.LENGTH: "m",
    Quantity.ELEVATION: "m",
    Quantity.DEPTH: "m",
    Quantity.DIAMETER: "m",
    Quantity.AREA: "m²",
    Quantity.CONDUCTOR_SECTION: "m²",
    Quantity.VOLUME: "m³",
    Quantity.FLOW: "m³/s",
    Quantity.VELOCITY: "m/s",
    Quantity.GAUGE_PRESSURE: "Pa",
    Quantity.ABSOLUTE_PRESSURE: "Pa",
    Quantity.PRESSURE_DIFFERENCE: "Pa",
    Quantity.HEAD: "m",
    Quantity.TEMPERATURE: "°C",
    Quantity.TEMPERATURE_DIFFERENCE: "K",
    Quantity.TEMPERATURE_COEFFICIENT: "1/K",
    Quantity.VOLTAGE_PER_KELVIN: "V/K",
    Quantity.VOLTAGE: "V",
    Quantity.CURRENT: "A",
    Quantity.POWER: "W",
    Quantity.ENERGY: "J",
    Quantity.RESISTANCE: "Ω",
    Quantity.INSULATION: "Ω",
    Quantity.RESISTIVITY: "Ω·m",
    Quantity.IRRADIANCE: "W/m²",
    Quantity.CHARGE_AH: "A·h",
    Quantity.DURATION: "s",
    Quantity.ANGLE: "°",
    Quantity.LATITUDE: "°",
    Quantity.LONGITUDE: "°",
    Quantity.RATIO: "1",
    Quantity.COUNT: "1",
    Quantity.SPECIFIC_CAPACITY: "m²/s",
    Quantity.SPECIFIC_ENERGY: "J/m³",
    Quantity.FLOW_COEFFICIENT: "m³/s",
    Quantity.DENSITY: "kg/m³",
    Quantity.KINEMATIC_VISCOSITY: "m²/s",
    Quantity.SPEED: "m/s",
    Quantity.MASS_CONCENTRATION_MG_PER_L: "mg/L",
    Quantity.TURBIDITY_NTU: "NTU",
    Quantity.SETTLED_SAND_ML_PER_L: "mL/L",
    Quantity.COLONIES_PER_100_ML: "1/(100 mL)",
    Quantity.CONDUCTIVITY: "S/m",
    Quantity.PH: "1",
}
"""Core unit of each quantity. `FLOW_COEFFICIENT` is the flow of water at a loss of 1 bar."""
