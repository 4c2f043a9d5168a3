"""What a phone must know of checks, units and nameplates to read what is typed: declarations as plain data."""

from typing import Any

from commissioning import units
from commissioning.progress import ON_HOLDS
from commissioning.units.convert import linear
from commissioning.visits.fields import hint_of
from commissioning.visits.shapes import Step, is_through_the_day, rows_again, steps
from sizing.checks.declare import Check, Input, Shape, Way
from sizing.errors import MissingDataError
from sizing.parts import Field, FieldKind, Part
from sizing.quantities import Quantity
from sizing.system import System

TYPED_KINDS = (FieldKind.MEASURE, FieldKind.NUMBER, FieldKind.TEXT, FieldKind.CHOICE)
"""Kinds of nameplate fields that can be put right on the phone; tables are typed at the desk."""


def unit_table(system: str) -> dict[str, list[dict[str, Any]]]:
    """Return the units on offer for each quantity, the usual one first: core value = typed × factor + offset."""
    return {q.value: [_unit(one, q) for one in units.offered(q, system)] for q in Quantity}


def _unit(one: units.Unit, quantity: Quantity) -> dict[str, Any]:
    """Return a unit; `rank` is its place when slips are looked for, `daily` whether people use it every day."""
    factor, offset = linear(one.code, quantity)
    daily = {units.default_unit(quantity, system) for system in units.UnitSystem}
    return {
        "code": one.code, "symbol": one.symbol, "name": one.name, "places": one.places, "factor": factor,
        "offset": offset, "daily": one in daily, "rank": units.offered(quantity).index(one),
    }  # fmt: skip


def ways_of(check: Check) -> tuple[Way, ...]:
    """Return the ways of a check; an observation has one, in which nothing is typed."""
    return check.ways or (check.way(""),)


def check_data(check: Check) -> dict[str, Any]:
    """Return a check's declaration as far as a phone needs it."""
    repeat = check.repeat
    return {
        "key": check.key, "title": check.title, "kind": check.kind.value, "group": check.group, "state": check.state,
        "perishable": check.perishable, "gate": check.gate, "after": list(check.after), "needs_sun": check.needs_sun,
        "is_condition": check.is_condition, "from_laboratory": check.from_laboratory,
        "limits": [[one.words, one.source] for one in check.limits],
        "is_judged": bool(check.judged), "is_on_hold": check.key in ON_HOLDS,
        "repeat": {
            "shape": repeat.shape.value, "labels": list(repeat.labels), "noun": repeat.noun, "least": repeat.least,
            "minutes": list(repeat.minutes), "by_the_day": is_through_the_day(check),
        },
        "ways": [{"key": w.key, "label": w.label, "inputs": [input_data(i) for i in w.inputs]} for w in ways_of(check)],
    }  # fmt: skip


def input_data(one: Input) -> dict[str, Any]:
    """Return one reading's declaration."""
    return {
        "name": one.name, "label": one.label, "quantity": one.quantity.value, "hard": list(one.hard),
        "soft": list(one.soft) if one.soft else None, "hint": hint_of(one), "repeats": one.repeats,
        "optional": one.optional, "may_be_bound": one.may_be_bound, "agree_share": one.agree_share,
        "agree_fixed": one.agree_fixed, "usual": [one.usual.of_reading, one.usual.fixed],
        "options": [[o.value, o.label, o.number] for o in one.options],
    }  # fmt: skip


def need_data(check: Check, system: System, tag: str) -> list[dict[str, Any]]:
    """Return what a check on one subject needs from elsewhere, each with the subject on which it is measured."""
    found = []
    for need in check.needs:
        try:
            subject, problem = need.of(system, tag), ""
        except MissingDataError as missing:
            subject, problem = "", missing.words
        found.append({
            "name": need.name, "subject": subject, "problem": problem, "label": need.label, "kind": need.kind.value,
            "quantity": need.quantity.value, "max_age": need.max_age, "bracket": need.bracket,
            "optional": need.optional, "finding": need.finding, "every_repeat": need.every_repeat,
            "apart": [need.apart.of_reading, need.apart.fixed] if need.apart else None,
        })  # fmt: skip
    return found


def step_data(check: Check, way: Way, system: System, tag: str) -> dict[str, Any]:
    """Return the steps in which a way is typed, and the one row that can be added; or what is missing for them."""
    try:
        first = steps(check, way, system, tag)
    except MissingDataError as problem:
        return {"steps": [], "missing": problem.words}
    return {"steps": [_step(one) for one in first]}


def more_steps(check: Check, way: Way, system: System, tag: str) -> list[Step]:
    """Return the step of one further row, by which every later one is drawn."""
    if check.repeat.shape is not Shape.ROWS:
        return []
    return rows_again(check, way, ["further"])[-1:]


def _step(one: Step) -> list[Any]:
    return [one.heading, one.minute, [[cell.name, cell.input.name, cell.label] for cell in one.cells]]


def part_data(part: type[Part]) -> dict[str, Any]:
    """Return the fields of a kind of component or run that can be put right on the phone."""
    declared = part.declarations().items()
    return {name: _field(one) for name, one in declared if one.kind in TYPED_KINDS}


def _field(one: Field) -> dict[str, Any]:
    return {
        "label": one.label, "kind": one.kind.value, "quantity": one.quantity.value if one.quantity else "",
        "hard": list(one.hard) if one.hard else None, "soft": list(one.soft) if one.soft else None,
        "whole": one.whole,
    }  # fmt: skip
