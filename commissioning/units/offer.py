"""The units on offer for each quantity: a fixed list, so that no typed text reaches pint.

A code is stored in records and exports, so it never changes; a symbol is what is printed.
The conductor gauge AWG is no unit: it is a choice among sizes.
"""

from dataclasses import dataclass
from enum import StrEnum

from sizing.quantities import Quantity

Q = Quantity


class UnitSystem(StrEnum):
    """Which units a site meets first; every other unit stays on offer for one reading."""

    METRIC = "metric"
    US = "us"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as stored (`code`), as printed (`symbol`), and as pint spells it."""

    code: str
    symbol: str
    pint: str
    places: int  # the most decimals worth printing when no uncertainty says better
    name: str = ""  # for a screen reader, where the symbol does not speak for itself


class UnknownUnitError(ValueError):
    """A unit code that is not on offer for the quantity."""

    def __init__(self, code: str, quantity: Q) -> None:
        super().__init__(f"{code!r} is not a unit on offer for {quantity.value.replace('_', ' ')}")
        self.code = code
        self.quantity = quantity


_UNITS = (
    Unit("m", "m", "meter", 2, "metres"),
    Unit("mm", "mm", "millimeter", 1, "millimetres"),
    Unit("ft", "ft", "foot", 2, "feet"),
    Unit("in", "in", "inch", 3, "inches"),
    Unit("m2", "m²", "meter ** 2", 2, "square metres"),
    Unit("ft2", "ft²", "foot ** 2", 1, "square feet"),
    Unit("mm2", "mm²", "millimeter ** 2", 2, "square millimetres"),
    Unit("kcmil", "kcmil", "kcmil", 1, "thousand circular mils"),
    Unit("L", "L", "liter", 1, "litres"),
    Unit("m3", "m³", "meter ** 3", 3, "cubic metres"),
    Unit("gal", "gal (US)", "gallon", 1, "US gallons"),
    Unit("imp_gal", "gal (imp.)", "imperial_gallon", 1, "imperial gallons"),
    Unit("L/min", "L/min", "liter / minute", 1, "litres per minute"),
    Unit("L/s", "L/s", "liter / second", 3, "litres per second"),
    Unit("m3/h", "m³/h", "meter ** 3 / hour", 2, "cubic metres per hour"),
    Unit("m3/d", "m³/d", "meter ** 3 / day", 2, "cubic metres per day"),
    Unit("gal/min", "gal/min", "gallon / minute", 2, "US gallons per minute"),
    Unit("gal/d", "gal/d", "gallon / day", 0, "US gallons per day"),
    Unit("m/s", "m/s", "meter / second", 2, "metres per second"),
    Unit("ft/s", "ft/s", "foot / second", 2, "feet per second"),
    Unit("km/h", "km/h", "kilometer / hour", 1, "kilometres per hour"),
    Unit("mph", "mph", "mile / hour", 1, "miles per hour"),
    Unit("kPa", "kPa", "kilopascal", 1, "kilopascals"),
    Unit("bar", "bar", "bar", 3, "bar"),
    Unit("m_water", "mH₂O", "metre_of_water", 2, "metres of water"),
    Unit("kgf/cm2", "kgf/cm²", "kgf / centimeter ** 2", 3, "kilograms-force per square centimetre"),
    Unit("psi", "psi", "psi", 1, "pounds per square inch"),
    Unit("ft_water", "ftH₂O", "foot_of_water", 1, "feet of water"),
    Unit("hPa", "hPa", "hectopascal", 1, "hectopascals"),
    Unit("inHg", "inHg", "inch_of_mercury", 2, "inches of mercury"),
    Unit("degC", "°C", "degC", 1, "degrees Celsius"),
    Unit("degF", "°F", "degF", 1, "degrees Fahrenheit"),
    Unit("K", "K", "kelvin", 1, "kelvins"),
    Unit("delta_degF", "°F", "delta_degF", 1, "degrees Fahrenheit of difference"),
    Unit("%/K", "%/K", "percent / kelvin", 3, "percent per kelvin, the same as percent per °C"),
    Unit("1/K", "1/K", "1 / kelvin", 5, "per kelvin"),
    Unit("mV/K", "mV/K", "millivolt / kelvin", 1, "millivolts per kelvin, the same as millivolts per °C"),
    Unit("V", "V", "volt", 2, "volts"),
    Unit("mV", "mV", "millivolt", 1, "millivolts"),
    Unit("A", "A", "ampere", 2, "amperes"),
    Unit("mA", "mA", "milliampere", 1, "milliamperes"),
    Unit("W", "W", "watt", 0, "watts"),
    Unit("kW", "kW", "kilowatt", 3, "kilowatts"),
    Unit("hp", "hp", "horsepower", 2, "horsepower"),
    Unit("Wh", "Wh", "watt * hour", 0, "watt-hours"),
    Unit("kWh", "kWh", "kilowatt * hour", 2, "kilowatt-hours"),
    Unit("ohm", "Ω", "ohm", 3, "ohms"),
    Unit("milliohm", "mΩ", "milliohm", 1, "milliohms"),
    Unit("kohm", "kΩ", "kiloohm", 3, "kilohms"),
    Unit("Mohm", "MΩ", "megaohm", 2, "megohms"),
    Unit("Gohm", "GΩ", "gigaohm", 2, "gigohms"),
    Unit("ohm.m", "Ω·m", "ohm * meter", 1, "ohm metres"),
    Unit("W/m2", "W/m²", "watt / meter ** 2", 0, "watts per square metre"),
    Unit("kW/m2", "kW/m²", "kilowatt / meter ** 2", 3, "kilowatts per square metre"),
    Unit("Ah", "A·h", "ampere * hour", 1, "ampere-hours"),
    Unit("s", "s", "second", 1, "seconds"),
    Unit("min", "min", "minute", 1, "minutes"),
    Unit("h", "h", "hour", 2, "hours"),
    Unit("deg", "°", "degree", 1, "degrees"),
    Unit("%", "%", "percent", 1, "percent"),
    Unit("1", "", "1", 3),
    Unit("(L/min)/m", "(L/min)/m", "liter / minute / meter", 2, "litres per minute for each metre"),
    Unit("(m3/h)/m", "(m³/h)/m", "meter ** 3 / hour / meter", 3, "cubic metres per hour for each metre"),
    Unit("(gal/min)/ft", "(gal/min)/ft", "gallon / minute / foot", 3, "US gallons per minute for each foot"),
    Unit("Wh/m3", "Wh/m³", "watt * hour / meter ** 3", 0, "watt-hours per cubic metre"),
    Unit("Wh/gal", "Wh/gal", "watt * hour / gallon", 2, "watt-hours per US gallon"),
    # Both are brought to the core's loss of 1 bar: IEC 60534-1 makes Kv 0.865 Cv.
    Unit("Kv", "m³/h at 1 bar", "meter ** 3 / hour", 3, "cubic metres per hour at a loss of 1 bar"),
    Unit(
        "Cv",
        "gal/min at 1 psi",
        "gallon / minute * (bar / psi) ** 0.5",
        3,
        "US gallons per minute at a loss of 1 psi",
    ),
    Unit("kg/m3", "kg/m³", "kilogram / meter ** 3", 1, "kilograms per cubic metre"),
    Unit("lb/ft3", "lb/ft³", "pound / foot ** 3", 2, "pounds per cubic foot"),
    Unit("m2/s", "m²/s", "meter ** 2 / second", 9, "square metres per second"),
    Unit("mm2/s", "mm²/s", "millimeter ** 2 / second", 3, "square millimetres per second"),
    # The core keeps these four as the instrument or the laboratory prints them.
    Unit("mg/L", "mg/L", "1", 2, "milligrams per litre"),
    Unit("NTU", "NTU", "1", 2, "nephelometric turbidity units"),
    Unit("mL/L", "mL/L", "1", 2, "millilitres per litre"),
    Unit("cfu/100mL", "cfu/100 mL", "1", 0, "colony-forming units in 100 millilitres"),
    Unit("uS/cm", "µS/cm", "microsiemens / centimeter", 0, "microsiemens per centimetre"),
    Unit("mS/m", "mS/m", "millisiemens / meter", 1, "millisiemens per metre"),
    Unit("mS/cm", "mS/cm", "millisiemens / centimeter", 3, "millisiemens per centimetre"),
    Unit("pH", "", "1", 2, "pH"),
)
UNIT: dict[str, Unit] = {one.code: one for one in _UNITS}

_WATER_PRESSURE = (("kPa", "bar", "m_water", "kgf/cm2"), ("psi", "ft_water"))
_PLAIN: tuple[str, ...] = ()

OFFER: dict[Q, tuple[tuple[str, ...], tuple[str, ...]]] = {
    Q.LENGTH: (("m", "mm"), ("ft", "in")),
    Q.ELEVATION: (("m",), ("ft",)),
    Q.DEPTH: (("m",), ("ft", "in")),
    Q.DIAMETER: (("mm",), ("in",)),
    Q.AREA: (("m2",), ("ft2",)),
    Q.CONDUCTOR_SECTION: (("mm2", "kcmil"), _PLAIN),
    Q.VOLUME: (("L", "m3", "imp_gal"), ("gal",)),
    Q.FLOW: (("L/min", "L/s", "m3/h", "m3/d"), ("gal/min", "gal/d")),
    Q.VELOCITY: (("m/s",), ("ft/s",)),
    Q.GAUGE_PRESSURE: _WATER_PRESSURE,
    Q.ABSOLUTE_PRESSURE: (("kPa", "hPa", "bar"), ("psi", "inHg")),
    Q.PRESSURE_DIFFERENCE: _WATER_PRESSURE,
    Q.HEAD: (("m",), ("ft",)),
    Q.TEMPERATURE: (("degC",), ("degF",)),
    Q.TEMPERATURE_DIFFERENCE: (("K",), ("delta_degF",)),
    Q.TEMPERATURE_COEFFICIENT: (("%/K", "1/K"), _PLAIN),
    Q.VOLTAGE_PER_KELVIN: (("mV/K",), _PLAIN),
    Q.VOLTAGE: (("V", "mV"), _PLAIN),
    Q.CURRENT: (("A", "mA"), _PLAIN),
    Q.POWER: (("W", "kW", "hp"), _PLAIN),
    Q.ENERGY: (("kWh", "Wh"), _PLAIN),
    Q.RESISTANCE: (("ohm", "milliohm", "kohm", "Mohm"), _PLAIN),
    Q.INSULATION: (("Mohm", "kohm", "Gohm"), _PLAIN),
    Q.RESISTIVITY: (("ohm.m",), _PLAIN),
    Q.IRRADIANCE: (("W/m2", "kW/m2"), _PLAIN),
    Q.CHARGE_AH: (("Ah",), _PLAIN),
    Q.DURATION: (("s", "min", "h"), _PLAIN),
    Q.ANGLE: (("deg",), _PLAIN),
    Q.LATITUDE: (("deg",), _PLAIN),
    Q.LONGITUDE: (("deg",), _PLAIN),
    Q.RATIO: (("%", "1"), _PLAIN),
    Q.COUNT: (("1",), _PLAIN),
    Q.SPECIFIC_CAPACITY: (("(L/min)/m", "(m3/h)/m"), ("(gal/min)/ft",)),
    Q.SPECIFIC_ENERGY: (("Wh/m3",), ("Wh/gal",)),
    Q.FLOW_COEFFICIENT: (("Kv",), ("Cv",)),
    Q.DENSITY: (("kg/m3",), ("lb/ft3",)),
    Q.KINEMATIC_VISCOSITY: (("mm2/s", "m2/s"), _PLAIN),
    Q.SPEED: (("m/s", "km/h"), ("mph", "ft/s")),
    Q.MASS_CONCENTRATION_MG_PER_L: (("mg/L",), _PLAIN),
    Q.TURBIDITY_NTU: (("NTU",), _PLAIN),
    Q.SETTLED_SAND_ML_PER_L: (("mL/L",), _PLAIN),
    Q.COLONIES_PER_100_ML: (("cfu/100mL",), _PLAIN),
    Q.CONDUCTIVITY: (("uS/cm", "mS/m", "mS/cm"), _PLAIN),
    Q.PH: (("pH",), _PLAIN),
}
"""Quantity → (metric codes, US customary codes), the usual one first."""


def offered(quantity: Q, system: str = UnitSystem.METRIC) -> tuple[Unit, ...]:
    """Return every unit on offer, those of `system` first."""
    metric, us = OFFER[quantity]
    codes = us + metric if UnitSystem(system) is UnitSystem.US else metric + us
    return tuple(UNIT[code] for code in codes)


def default_unit(quantity: Q, system: str = UnitSystem.METRIC) -> Unit:
    """Return the unit that a field or a page of this unit system shows."""
    return offered(quantity, system)[0]


def usual_unit(quantity: Q, system: str, usual: tuple[float, float]) -> Unit:
    """Return the unit that a field offers first: for a time, the largest in which the least of it is one or more.

    Where nought is possible, what counts is a day's twenty-fourth part of the most: sun hours come in hours.
    """
    if quantity is not Q.DURATION:
        return default_unit(quantity, system)
    least = usual[0] or usual[1] / 24
    return next(UNIT[code] for code, seconds in (("h", 3600), ("min", 60), ("s", 0)) if least >= seconds)


def unit(code: str, quantity: Q) -> Unit:
    """Return the unit stored under `code`, or raise UnknownUnitError."""
    metric, us = OFFER[quantity]
    if code not in metric + us:
        raise UnknownUnitError(code, quantity)
    return UNIT[code]


def hint(quantity: Q) -> str:
    """Return the word that no unit symbol can carry: gauge or absolute."""
    words = {Q.GAUGE_PRESSURE: "gauge", Q.ABSOLUTE_PRESSURE: "absolute"}
    return words.get(quantity, "")
