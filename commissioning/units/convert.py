"""Conversion between a unit on offer and the core unit, by the one pint registry.

pint is asked once for each unit and quantity, in decimals, so that a factor is exact to
the last bit of a float. What remains, factor and offset, is the same data a phone uses.
"""

from decimal import Decimal
from functools import cache
from typing import Any

from commissioning.units.offer import unit
from sizing.quantities import CORE_UNIT, Quantity

_CORE_PINT = {
    "m": "meter",
    "m²": "meter ** 2",
    "m³": "meter ** 3",
    "m³/s": "meter ** 3 / second",
    "m/s": "meter / second",
    "Pa": "pascal",
    "°C": "degC",
    "K": "kelvin",
    "1/K": "1 / kelvin",
    "V/K": "volt / kelvin",
    "V": "volt",
    "A": "ampere",
    "W": "watt",
    "J": "joule",
    "Ω": "ohm",
    "Ω·m": "ohm * meter",
    "W/m²": "watt / meter ** 2",
    "A·h": "ampere * hour",
    "s": "second",
    "°": "degree",
    "1": "1",
    "m²/s": "meter ** 2 / second",
    "J/m³": "joule / meter ** 3",
    "kg/m³": "kilogram / meter ** 3",
    "mg/L": "1",
    "NTU": "1",
    "mL/L": "1",
    "1/(100 mL)": "1",
    "S/m": "siemens / meter",
}
"""Core unit as `sizing` prints it → as pint spells it."""


@cache
def registry() -> Any:
    """Return the process's only unit registry, made when first asked for."""
    import pint  # 0.1 s and 20 MB, so not before a page needs it

    made: Any = pint.UnitRegistry(non_int_type=Decimal)
    # Conventional columns, as NIST SP 811 defines them: not those of water at some temperature.
    made.define("metre_of_water = 9806.65 pascal")
    made.define("foot_of_water = 0.3048 metre_of_water")
    made.define("inch_of_mercury = 3386.389 pascal")
    return made


@cache
def linear(code: str, quantity: Quantity) -> tuple[float, float]:
    """Return (factor, offset): value in the core unit = typed value × factor + offset."""
    made = registry()
    source = made.parse_units(unit(code, quantity).pint)
    target = made.parse_units(_CORE_PINT[CORE_UNIT[quantity]])
    offset = Decimal(made.convert(Decimal(0), source, target))
    one = Decimal(made.convert(Decimal(1), source, target))
    return float(one - offset), float(offset)


def to_core(value: float, code: str, quantity: Quantity) -> float:
    """Return a typed value in the core unit of its quantity."""
    factor, offset = linear(code, quantity)
    return value * factor + offset


def from_core(value: float, code: str, quantity: Quantity) -> float:
    """Return a core value in the unit `code`."""
    factor, offset = linear(code, quantity)
    return (value - offset) / factor


def scale(difference: float, code: str, quantity: Quantity) -> float:
    """Return a difference of core values, such as an uncertainty, in the unit `code`."""
    return difference / linear(code, quantity)[0]
