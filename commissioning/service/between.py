"""What lies between two measurements of one check, for the core to say how far they can be compared."""

from dataclasses import dataclass

from commissioning import judging, units
from commissioning.doubts import other_units
from commissioning.models import Measurement
from sizing.checks.case import Value
from sizing.checks.declare import Check
from sizing.drift import Between, Pair
from sizing.judgement import Finding
from sizing.quantities import Quantity

# Conditions of which twice as much is another situation; a level or a temperature is taken out by the check itself.
BY_FACTOR = frozenset({Quantity.IRRADIANCE, Quantity.DURATION, Quantity.FLOW})


@dataclass(frozen=True)
class Beside:
    """How both were taken, and the conditions of both days."""

    then_taken: str
    now_taken: str
    conditions: tuple[Pair, ...]


def beside_both(
    check: Check, then: Measurement, now: Measurement, before: judging.Conditions, today: judging.Conditions
) -> Beside:
    """Return what is alike for every value of a check: how it was taken, and under which conditions."""
    pairs = [
        Pair(words=need.label.lower(), then=old.value, now=new.value)
        for need in check.needs
        if need.quantity in BY_FACTOR
        and isinstance(old := before.get(need.name), Value)
        and isinstance(new := today.get(need.name), Value)
    ]
    kinds = _kinds(then), _kinds(now)
    is_known = bool(kinds[0] and kinds[1])
    return Beside(_taken(check, then, kinds[0] * is_known), _taken(check, now, kinds[1] * is_known), tuple(pairs))


def between_days(finding: Finding, now: Measurement, changed: str, beside: Beside) -> Between:
    """Return what the core wants to know of the days of one value."""
    typed = next((r.unit for r in now.readings.all() if r.input == finding.name and r.unit), "")
    return Between(
        changed=f"{changed}: what was measured before says nothing of it" if changed else "",
        then_taken=beside.then_taken,
        now_taken=beside.now_taken,
        conditions=beside.conditions,
        unit=units.unit(typed, finding.quantity).symbol if typed else "",
        others=other_units(finding.quantity, typed) if typed else (),
    )


def _taken(check: Check, one: Measurement, kinds: tuple[str, ...]) -> str:
    """Return how a measurement was taken: its way, where there is a choice, and with what."""
    way = check.way(one.way).label.lower() if len(check.ways) > 1 and one.way else ""
    return ", ".join(part for part in (way, " and ".join(kinds)) if part)


def _kinds(one: Measurement) -> tuple[str, ...]:
    """Return the kinds of instrument behind a measurement, as the instruments' own list names them."""
    return tuple(sorted({r.instrument.name.lower() for r in one.readings.all() if r.instrument}))
