"""Random carryings-out of a check: readings and conditions within their bounds, values near their limits."""

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import floor

from sizing.checks.case import Reading, Value
from sizing.checks.declare import Check, Input, Need, Shape, Way
from sizing.checks.pocket import Plan
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.judgement import Assessment, assess
from sizing.pocket.pose import PosingError, Stand
from sizing.pocket.tabulate import FigureTable, Pocketed, range_on_axis, tolerance
from sizing.system import System

CANNOT = (MissingDataError, OutOfRangeError, SystemShapeError, LookupError)
MIDSUMMER = 1_813_000_000.0  # Unix time [s], noon of some day in June


@dataclass(frozen=True)
class Draw:
    """One carrying-out, in core units."""

    way: str
    readings: tuple[Reading, ...]
    conditions: Mapping[str, Value]
    moment: float

    def judged(self, check: Check, system: System, tag: str) -> Assessment:
        return assess(
            check, system, tag, readings=self.readings, conditions=self.conditions, way=self.way, moment=self.moment
        )


def draws(check: Check, system: System, tag: str, pocketed: Pocketed, many: int, seed: int) -> Iterator[Draw]:
    """Yield random carryings-out of each way of a check: most of them such as its tables were laid out for."""
    stand = Stand(check, system, tag, MIDSUMMER)
    figures = {one.figure.name: one for one in pocketed.figures}
    for way in check.ways or (Way("", "", ()),):
        chance = random.Random(f"{check.key}{tag}{way.key}{seed}")  # noqa: S311  # readings, no secret
        plans = [plan for plan in check.pocket.plans if plan.way in ("", way.key)]
        for _ in range(many):
            draw = _drawn(stand, way, chance)
            if plans and chance.random() < 0.8:
                draw = _planned(stand, draw, chance.choice(plans), figures, chance)
            yield _near_limits(stand, draw, chance)


def _planned(stand: Stand, draw: Draw, plan: Plan, figures: Mapping[str, FigureTable], chance: random.Random) -> Draw:
    """Return a carrying-out with what a plan asks for: every axis of it somewhere on its range."""
    asked = [range_on_axis(stand, name, figures) for name in plan.axes]
    aims = {one.name: chance.choice(one.choices) if one.choices else chance.uniform(one.low, one.high) for one in asked}
    try:
        base = stand.base({**plan.held, **aims}, plan.way)
    except (*CANNOT, PosingError):
        return draw
    needs = {need.name: need for need in stand.check.needs}
    readings = [r for r in draw.readings if r.input not in plan.without]
    conditions = {name: value for name, value in draw.conditions.items() if name not in plan.without}
    for name, value in base.items():
        if name in needs:
            words = needs[name].label.lower()
            conditions[name] = Value(value, abs(value) * chance.choice((0.002, 0.01)), words=words)
        elif name not in ("day", "of_day"):
            readings = _reread(stand, readings, name, value)
    moment = floor(base["day"]) * 86_400 + base.get("of_day", 43_200.0) if "day" in base else draw.moment
    return replace(draw, readings=tuple(readings), conditions=conditions, moment=moment)


def _reread(stand: Stand, readings: list[Reading], name: str, value: float) -> list[Reading]:
    """Return readings with that one in its place; a bucket is filled in the time that it then takes."""
    name, _, label = name.partition("@")
    figure = next((one for one in stand.check.pocket.figures if one.name == name and one.stands_in), None)
    if figure is not None and not any(r.input == name for r in readings) and "volume" in figure.of:
        times = {r.label: r.value for r in readings if r.input == "time"}
        return [replace(r, value=value * times[r.label]) if r.input == "volume" else r for r in readings]
    declared = stand.check.input(name)
    if declared is None:
        return readings
    if not any(r.input == name for r in readings):
        label = label or next((x for x in _labels(stand, declared)), "")
        return [*readings, Reading(name, value, label, _u(declared, value), words=declared.label.lower())]
    mine = (name, label)
    return [
        replace(r, value=value, u=_u(declared, value)) if r.input == mine[0] and mine[1] in ("", r.label) else r
        for r in readings
    ]


def _drawn(stand: Stand, way: Way, chance: random.Random) -> Draw:
    check = stand.check
    readings: list[Reading] = []
    for one in way.inputs:
        if one.optional and chance.random() < 0.3:
            continue
        middle = _value(stand, one.name, one, chance)
        labels = _labels(stand, one)
        for label in labels:
            value = middle if one.options else middle * (1 + chance.uniform(-0.004, 0.004))
            readings.append(Reading(one.name, value, label, _u(one, value), words=one.label.lower()))
    conditions = {}
    for need in check.needs:
        if need.optional and chance.random() < 0.4:
            continue
        conditions |= _condition(stand, need, chance)
    return Draw(way.key, tuple(readings), conditions, MIDSUMMER + chance.uniform(0, 18) * 86_400)


def _labels(stand: Stand, one: Input) -> tuple[str, ...]:
    repeat = stand.check.repeat
    if repeat.shape is Shape.ONCE or not one.repeats:
        return ("",)
    if repeat.shape is Shape.EACH:
        return ("1",)
    if repeat.shape is Shape.ROWS:
        return ("row 1",)
    return repeat.labels


def _u(one: Input, value: float) -> float:
    return 0.0 if one.options else (abs(value) * one.usual.of_reading + one.usual.fixed) / 3**0.5


def _value(stand: Stand, name: str, one: Input | None, chance: random.Random) -> float:
    if one is not None and one.options:
        return chance.choice(one.options).number
    try:
        asked = stand.range_of(name)
        low, high = (asked.low, asked.high) if not asked.choices else (asked.choices[0], asked.choices[-1])
    except CANNOT:
        low, high = one.soft or one.hard if one else (0.0, 1.0)
    return chance.uniform(low + 0.02 * (high - low), high - 0.02 * (high - low))


def _condition(stand: Stand, need: Need, chance: random.Random) -> dict[str, Value]:
    words = need.label.lower()
    value = _value(stand, need.name, stand.input_of(need.name), chance)
    if need.every_repeat:
        return {
            f"{need.name}/{i}": Value(value * chance.uniform(0.97, 1.03), abs(value) * 0.003, words=f"{words} {i}")
            for i in (1, 2, 3)
        }
    return {need.name: Value(value, abs(value) * chance.choice((0.002, 0.01)), words=words)}


def _near_limits(stand: Stand, draw: Draw, chance: random.Random) -> Draw:
    """Return the carrying-out with each value that is simply read brought near what is expected."""
    found = draw.judged(stand.check, stand.system, stand.tag)
    readings = list(draw.readings)
    for one in found.findings:
        if one.expected is None or one.value is None:
            continue
        figures = {n: getattr(one.expected, n) for n in ("lower", "upper", "nominal", "bearable")}
        figures = {n: x for n, x in figures.items() if x is not None}
        limits = [figures[n] for n in ("lower", "upper", "nominal") if n in figures]
        if not limits:
            continue
        aim = chance.choice(limits) + chance.gauss(0, 1) * tolerance(figures)
        for i, reading in enumerate(readings):
            if reading.input == one.name and (not one.repeat or reading.label in (one.repeat, "")):
                readings[i] = replace(reading, value=max(aim, 1e-9) * (1 + chance.uniform(-0.001, 0.001)))
    return replace(draw, readings=tuple(readings))
