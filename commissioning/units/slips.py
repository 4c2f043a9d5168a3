"""The commonest slips behind an implausible reading: another unit, another zero, a lost point."""

from dataclasses import dataclass
from math import inf, log

from commissioning.units.convert import to_core
from commissioning.units.figures import plain, with_symbol
from commissioning.units.offer import Unit, UnitSystem, default_unit, offered
from sizing.quantities import Quantity

STANDARD_ATMOSPHERE = 101_325.0  # Pa, ISO 2533
FEW_ATMOSPHERES = 3  # above that, one atmosphere more or less explains nothing

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Cure:
    """What may have been meant, ready to be stored instead: text, unit code, and how to show it."""

    text: str
    unit: str
    label: str


@dataclass(frozen=True, slots=True)
class Slip:
    """An explanation in words. It has no cure where only the instrument can give the number."""

    words: str
    cure: Cure | None = None


def is_outside(core: float, range_: Range) -> bool:
    """Compare with a breath of room, or 12 in would lie below a limit of 0.3048 m."""
    room = 1e-9 * max(abs(core), abs(range_[0]), abs(range_[1]))
    return not range_[0] - room <= core <= range_[1] + room


def likely_slip(value: float, chosen: Unit, quantity: Quantity, usual: Range) -> Slip | None:
    """Return the commonest slip that explains a value outside the usual range, or None."""
    if not is_outside(to_core(value, chosen.code, quantity), usual):
        return None
    slips = (_other_unit, _lost_sign, _absolute_for_gauge, _wrong_power_of_ten)
    return next((found for look in slips if (found := look(value, chosen, quantity, usual))), None)


def _cure(value: float, one: Unit) -> Cure:
    text = plain(value)
    return Cure(text, one.code, with_symbol(text, one.symbol))


def _other_unit(value: float, chosen: Unit, quantity: Quantity, usual: Range) -> Slip | None:
    found = [
        one for one in offered(quantity) if one != chosen and not is_outside(to_core(value, one.code, quantity), usual)
    ]
    if not found:
        return None
    best = min(found, key=lambda one: _unlikeliness(value, one, quantity, usual))
    cure = _cure(value, best)
    return Slip(f"{_cure(value, chosen).label}? {cure.label} would be usual.", cure)


def _unlikeliness(value: float, one: Unit, quantity: Quantity, usual: Range) -> tuple[bool, float]:
    """Order candidates: the units people use daily first, then by how ordinary the value would be."""
    daily = {default_unit(quantity, system) for system in UnitSystem}
    core = to_core(value, one.code, quantity)
    if usual[0] <= 0 or core <= 0:
        return one not in daily, abs(core - sum(usual) / 2)
    return one not in daily, abs(log(core) - (log(usual[0]) + log(usual[1])) / 2)


def _lost_sign(value: float, chosen: Unit, quantity: Quantity, usual: Range) -> Slip | None:
    if is_outside(to_core(-value, chosen.code, quantity), usual):
        return None
    cure = _cure(-value, chosen)
    return Slip(f"{cure.label} would be usual: is the sign right?", cure)


def _absolute_for_gauge(value: float, chosen: Unit, quantity: Quantity, usual: Range) -> Slip | None:
    core = to_core(value, chosen.code, quantity)
    limit = FEW_ATMOSPHERES * STANDARD_ATMOSPHERE if quantity is Quantity.GAUGE_PRESSURE else -inf
    if core > limit or is_outside(core - STANDARD_ATMOSPHERE, usual):
        return None
    return Slip(
        "One atmosphere less would be usual: does it show absolute pressure? Open to the air, a gauge must read 0."
    )


def _wrong_power_of_ten(value: float, chosen: Unit, quantity: Quantity, usual: Range) -> Slip | None:
    if quantity in {Quantity.TEMPERATURE, Quantity.LATITUDE, Quantity.LONGITUDE}:
        return None
    for power in (-1, 1, -3, 3, -2, 2):
        meant = value * 10**power if power > 0 else value / 10**-power
        if not is_outside(to_core(meant, chosen.code, quantity), usual):
            cure = _cure(meant, chosen)
            return Slip(f"{cure.label} would be usual: is the point in its place?", cure)
    return None
