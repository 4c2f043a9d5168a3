"""Cross-checks: readings of a visit held against each other, which catches slips without knowing the right answer."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from sizing.cross import electrical, pressure, repeats, water
from sizing.cross.measured import Measured, Other, Taken, taken
from sizing.cross.relation import Doubt, Relation, Slip, doubt_of
from sizing.formulas.atmosphere import atmospheric_pressure
from sizing.records import record
from sizing.system import System

__all__ = ["Doubt", "Found", "Measured", "Other", "Relation", "Slip", "doubt_of", "doubts_about"]


@record
class Found:
    """A doubt, and the repeats in which it shows, such as rows 1 to 3."""

    doubt: Doubt
    repeats: tuple[str, ...]


def doubts_about(system: System, measured: Iterable[Measured]) -> list[Found]:
    """Return what does not fit, each doubt once, in the order in which the readings are taken."""
    there = taken(measured)
    air = atmospheric_pressure(system.site.altitude or 0.0)
    found = (doubt_of(relation, air) for relation in relations(system, there, air))
    return _once([one for one in found if one is not None])


def relations(system: System, there: Taken, atmosphere: float) -> Iterator[Relation]:
    """Yield every relation for which there are readings."""
    yield from repeats.repeats_agree(there)
    yield from water.levels_in_order(system, there)
    yield from electrical.strings_apart(system, there)
    yield from electrical.all_strings_high(system, there)
    yield from electrical.power_over_sun(system, there)
    yield from electrical.water_over_electric(system, there)
    yield from electrical.gravity_against_voltage(system, there)
    yield from water.fill_balance(system, there)
    yield from water.pressures_by_height(system, there)
    yield from water.delivery_not_above_rest(system, there)
    yield from pressure.pressures_in_order(system, there)
    yield from pressure.drawdown_by_precharge(system, there, atmosphere)


def _once(doubts: list[Doubt]) -> list[Found]:
    """Return doubts of one relation on the same owed checks as one, with the repeats in which each shows."""
    found: dict[tuple[str, str, tuple[str, ...]], Found] = {}
    for doubt in doubts:
        key = (doubt.key, doubt.words, doubt.readings)
        labels = tuple(dict.fromkeys(m.repeat for m in doubt.involved if m.repeat))
        shared = labels if len(labels) == 1 else ()
        if key not in found:
            found[key] = Found(doubt, shared)
        else:
            found[key] = replace(found[key], repeats=found[key].repeats + shared)
    return list(found.values())
