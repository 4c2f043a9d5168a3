"""What cannot be computed yet because a field of the record is empty.

Every owed check is tried with stand-ins for its readings and conditions. Where a field of a nameplate is missing it
is noted, a stand-in takes its place and the check is tried on, so that one look shows all that a check waits for.
Stand-ins lie inside the declared usual range, are used for this alone, and no number computed with one is shown.
"""

import dataclasses
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from commissioning import snapshot
from commissioning.canonical import canonical_json
from commissioning.models import Site
from sizing.checks.case import Case, Reading, Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Input, Judged
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.judgement import measured_value
from sizing.parts import Field, FieldKind, Part
from sizing.system import SITE, System

MOST_FIELDS = 40  # no check waits for more
PLACES = (0.5, 0.15)  # of the usual range: what one place of it hides, the other may show
Bounds = tuple[float, float]


@dataclass(frozen=True)
class Gap:
    """A field that is not recorded, and the titles of the checks that wait for it."""

    tag: str
    field: str
    label: str
    checks: tuple[str, ...]


@dataclass(frozen=True)
class Lack:
    """Something in the shape of the record itself, such as a loop of pipes, and the checks that wait for it."""

    words: str
    checks: tuple[str, ...]


@dataclass(frozen=True)
class Gaps:
    fields: tuple[Gap, ...] = ()
    lacks: tuple[Lack, ...] = ()


def gaps_of(site: Site) -> Gaps:
    """Return what the record of a site lacks, the field that most checks wait for first."""
    text = canonical_json(snapshot.document_of(site))
    try:
        return _gaps_of_text(text)
    except SystemShapeError as problem:
        return Gaps(lacks=(Lack(str(problem), ("every check",)),))


@lru_cache(maxsize=64)
def _gaps_of_text(text: str) -> Gaps:
    return gaps_in(snapshot.system_of(json.loads(text)))


def gaps_in(system: System) -> Gaps:
    """Return what a system lacks for the checks that it owes."""
    fields: dict[tuple[str, str], list[str]] = {}
    lacks: dict[str, list[str]] = {}
    for check in CHECKS.values():
        for tag in check.subjects(system):
            for found in _waits_for(check, system, tag):
                place = fields.setdefault(found, []) if isinstance(found, tuple) else lacks.setdefault(found, [])
                place.append(f"{check.title}{'' if tag == SITE else f', {tag}'}")
    gaps = [Gap(tag, name, _label(system, tag, name), _unique(checks)) for (tag, name), checks in fields.items()]
    return Gaps(
        tuple(sorted(gaps, key=lambda gap: (-len(gap.checks), gap.tag, gap.field))),
        tuple(Lack(words, _unique(checks)) for words, checks in lacks.items()),
    )


def _unique(checks: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(checks))


def _label(system: System, tag: str, name: str) -> str:
    return system.subject(tag).part.declarations()[name].label


Found = tuple[str, str] | str
"""A field as (tag, name), or words about the shape of the record."""


def _waits_for(check: Check, system: System, tag: str) -> set[Found]:
    found: set[Found] = set()
    for judged in check.judged:
        for place in PLACES:
            found |= set(_tried(check, judged, system, tag, place))
    return found


def _tried(check: Check, judged: Judged, system: System, tag: str, place: float) -> Iterator[Found]:
    """Yield each thing that stops the check, filling one after the other."""
    for _ in range(MOST_FIELDS):
        try:
            _evaluate(check, judged, system, tag, place)
            return
        except MissingDataError as problem:
            if not _is_field(system, problem.owner, problem.field):
                if _is_of_record(system, problem):
                    yield problem.words
                return
            yield problem.owner, problem.field
            filled = _with_stand_in(system, problem.owner, problem.field, place)
            if filled is None:
                return
            system = filled
        except SystemShapeError as problem:
            yield str(problem)
            return
        except OutOfRangeError:
            return


def _is_of_record(system: System, problem: MissingDataError) -> bool:
    """Whether the record itself lacks something that is no field: a host, a run, a component."""
    return problem.owner in system.nodes or problem.owner in system.runs or problem.field == "component"


def _is_field(system: System, owner: str, name: str) -> bool:
    if owner != SITE and owner not in system.nodes and owner not in system.runs:
        return False
    return name in system.subject(owner).part.declarations()


def _evaluate(check: Check, judged: Judged, system: System, tag: str, place: float) -> None:
    """Evaluate what is measured and what is expected, on stand-ins for readings and conditions.

    What may be left out is left out: then the record has to give it.
    """
    labels = check.repeat.labels_for(system, tag)
    way = check.way()
    readings = tuple(
        Reading(one.name, _between(one.soft or one.hard, place), label)
        for one in way.inputs
        if not one.optional
        for label in (labels if one.repeats else ("",))
    )
    needed = [need for need in check.needs if not need.optional]
    conditions = {need.name: Value(_condition(need.name, need.finding, place)) for need in needed}
    case = Case(system, system.subject(tag), readings, conditions, labels[0], way.key, 0.0)
    judged.expected(case)
    measured_value(judged, case)


def _condition(key: str, finding: str, place: float) -> float:
    """Return a stand-in for what another check gives: from its own reading, or from its need of one."""
    check = CHECKS[key]
    names = (finding, *(judged.name for judged in check.judged))
    inputs: list[Input] = [i for way in check.ways for i in way.inputs]
    best = next((i for name in names for i in inputs if i.name == name), inputs[0] if inputs else None)
    return _between(best.soft or best.hard, place) if best else 1.0


def _between(bounds: Bounds, place: float) -> float:
    """Return a value inside a range, by ratio where the range has one."""
    low, high = bounds
    if low > 0:
        return float(low * (high / low) ** place)
    return low + place * (high - low)


def _with_stand_in(system: System, tag: str, name: str, place: float) -> System | None:
    """Return the system with one field filled; None where nothing can stand in for it."""
    subject = system.subject(tag)
    value = _stand_in(subject.part.declarations()[name], place)
    if value is None:
        return None
    part = dataclasses.replace(subject.part, **{name: value})
    return _with_part(system, tag, part)


def _stand_in(field: Field, place: float) -> Any:
    if field.kind in (FieldKind.MEASURE, FieldKind.NUMBER) and field.hard:
        value = _between(field.soft or field.hard, place)
        return float(round(value)) if field.kind is FieldKind.NUMBER else value
    if field.kind is FieldKind.CHOICE:
        return field.choices[0].value
    return None


def _with_part(system: System, tag: str, part: Any) -> System:
    if tag == SITE:
        return dataclasses.replace(system, site=part)
    if tag in system.runs:
        return dataclasses.replace(system, runs=_changed(system.runs, tag, part))
    return dataclasses.replace(system, nodes=_changed(system.nodes, tag, part))


def _changed(there: Mapping[str, Any], tag: str, part: Part) -> dict[str, Any]:
    return {**there, tag: dataclasses.replace(there[tag], part=part)}
