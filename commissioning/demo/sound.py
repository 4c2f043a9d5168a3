"""Readings as a sound system would give them: asked of the model, then rounded as an instrument shows them.

Of a check's readings most are free (how much was let run, how long): those are given. The one that is judged is
moved until what is measured lies where the model says, a little beside it: no two readings of a day are the same.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random

from commissioning import units
from commissioning.demo.scribe import Reading as Typed
from commissioning.judging import Conditions
from sizing.checks.case import Case, Expected, Reading
from sizing.checks.declare import Check, Input, Judged, Shape, Way
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.judgement import measured_value
from sizing.system import System

NOT_COMPUTED = (MissingDataError, OutOfRangeError, SystemShapeError)
BESIDE, APART = 0.25, 0.04
"""How far a reading lies beside the middle at most, and repeats from each other, as shares of the room there is to the
nearer limit (invented)."""
NEAR = 0.3  # and no farther than this share of the middle, however wide the limits are
DIGITS = 4  # as an instrument shows
TURNS = 12
CLOSE = 1e-6
TINY = 1e-9
ABOUT = "~"
ROWS = "rows"  # among what is given: the names of the rows, with commas between

Given = Mapping[str, str]
"""What is typed of the free readings, by input or by `input@label`: "20", or "20 L" in a unit of its own; "~6.3" is
where a reading that is moved begins."""


@dataclass(frozen=True)
class Asked:
    """One check on one subject, as it is carried out."""

    check: Check
    system: System
    subject: str
    unit_system: str
    conditions: Conditions
    moment: float
    given: Given
    noise: Random
    way: str = ""
    aims: Mapping[str, float] = field(default_factory=dict)
    """Where a judged value shall lie, as a share of its own limit: for what is not as it should be."""

    @property
    def carried_out(self) -> Way:
        return self.check.way(self.way)

    def labels(self) -> tuple[str, ...]:
        """Return the repeats that are read: rows are named by what was given for them."""
        if self.check.repeat.shape is Shape.ROWS:
            named = [one.strip() for one in self.given.get(ROWS, "").split(",") if one]
            return tuple(named) or self.check.repeat.labels[: self.check.repeat.least]
        return self.check.repeat.labels_for(self.system, self.subject)

    def labels_of(self, one: Input) -> tuple[str, ...]:
        return self.labels() if one.repeats else ("",)


def sound_readings(asked: Asked, by: Mapping[str, str]) -> list[Typed]:
    """Return what is typed of a check; `by` names the instruments."""
    values = {
        (one.name, label): value
        for one in asked.carried_out.inputs
        for label in asked.labels_of(one)
        if (value := _start(asked, one, label)) is not None
    }
    for judged in asked.check.judged if not asked.check.is_condition else ():
        free = _free_input(asked, judged)
        if free is not None:
            _move(asked, judged, free, values)
    return [
        _typed(asked, one, label, values[one.name, label], by)
        for one in asked.carried_out.inputs
        for label in asked.labels_of(one)
        if (one.name, label) in values
    ]


Values = dict[tuple[str, str], float]


def _given(asked: Asked, one: Input, label: str) -> tuple[str, str] | None:
    """Return what is given of a reading as typed text and unit."""
    text = asked.given.get(f"{one.name}@{label}", asked.given.get(one.name))
    if text is None or text.startswith(ABOUT):
        return None
    typed, _, code = text.partition(" ") if not text.startswith(("<", ">")) else (text, "", "")
    return typed, code or units.default_unit(one.quantity, asked.unit_system).code


def _start(asked: Asked, one: Input, label: str) -> float | None:
    """Return the core value of what is given, else the middle of what is usual; nothing for what need not be read."""
    found, about = _given(asked, one, label), asked.given.get(one.name, "")
    if about.startswith(ABOUT):
        found = about.removeprefix(ABOUT), units.default_unit(one.quantity, asked.unit_system).code
    if found is None:
        return None if one.optional else _middle(one)
    if one.options:
        return next(option.number for option in one.options if option.value == found[0])
    return units.to_core(float(found[0].lstrip("<> ")), found[1], one.quantity)


def _middle(one: Input) -> float:
    if one.options:
        return one.options[0].number
    low, high = one.soft or one.hard
    return (low * high) ** 0.5 if low > 0 else (low + high) / 2


def _free_input(asked: Asked, judged: Judged) -> Input | None:
    """Return the reading that follows the model: that of the judged value's name, else the only judged one's first."""
    inputs = asked.carried_out.inputs
    fixed = {name for name, text in asked.given.items() if not text.startswith(ABOUT)}
    free = [one for one in inputs if one.name not in fixed and not one.options and not one.optional]
    named = next((one for one in free if judged.name.endswith(one.name)), None)
    return named or (free[0] if free and len(asked.check.judged) == 1 else None)


def _move(asked: Asked, judged: Judged, free: Input, values: Values) -> None:
    """Move one reading, or each of its repeats, to where the judged value lies as the model says."""
    labels = asked.labels_of(free)
    apart = asked.check.repeat.shape in (Shape.EACH, Shape.ROWS)
    beside = asked.noise.uniform(-BESIDE, BESIDE)
    for group in [(label,) for label in labels] if apart else [labels]:
        keys = [(free.name, label) for label in group if f"{free.name}@{label}" not in asked.given]
        if not keys:
            continue
        own = beside + asked.noise.uniform(-APART, APART)
        found = _solved(asked, judged, keys, values, group[0] if apart else "", own)
        spread = _spread(free, found, _room(asked, judged, values, group[0] if apart else ""))
        for key in keys:
            values[key] = found if len(keys) == 1 else found + spread * asked.noise.uniform(-1, 1)


def _solved(
    asked: Asked, judged: Judged, keys: list[tuple[str, str]], values: Values, label: str, beside: float
) -> float:
    """Return where a reading lies at which measured and aimed at agree, by the secant."""
    x = values[keys[0]]

    def off(at: float) -> float:
        values.update(dict.fromkeys(keys, at))
        case = _case(asked, values, label)
        return measured_value(judged, case) - aimed_at(judged.expected(case), beside, asked.aims.get(judged.name))

    try:
        before, at_before, at = x, off(x), x * 1.02 + 1e-9
        for _ in range(TURNS):
            at_now = off(at)
            if abs(at_now - at_before) <= CLOSE * abs(at_now) or abs(at - before) <= CLOSE * abs(at):
                break
            before, at_before, at = at, at_now, at - at_now * (at - before) / (at_now - at_before)
    except NOT_COMPUTED:
        values.update(dict.fromkeys(keys, x))
        return x
    return at


def _spread(one: Input, middle: float, room_there: float) -> float:
    """Return how far repeats lie from their mean: little beside the limits, and well within what is still agreement."""
    agreed = (one.agree_fixed, one.agree_share and one.agree_share * abs(middle))
    return min([APART * room_there, *(limit / 4 for limit in agreed if limit)])


def _room(asked: Asked, judged: Judged, values: Values, label: str) -> float:
    """Return how far the nearer limit lies from the middle; nothing where that cannot be computed."""
    try:
        return room(judged.expected(_case(asked, values, label)))
    except NOT_COMPUTED:
        return 0.0


def room(expected: Expected) -> float:
    """Return the distance from what is expected to the nearer limit."""
    middle = middle_of(expected)
    return min((abs(limit - middle) for limit in (expected.lower, expected.upper) if limit is not None), default=0.0)


def middle_of(expected: Expected) -> float:
    """Return where a sound reading lies: at what is expected, else between the limits or well inside the one."""
    if expected.nominal is not None:
        return expected.nominal
    if expected.lower is not None and expected.upper is not None:
        return (expected.lower + expected.upper) / 2
    if expected.lower is not None:
        return 1.5 * expected.lower
    return 0.4 * expected.upper if expected.upper is not None else 0.0


def aimed_at(expected: Expected, beside: float, aim: float | None) -> float:
    """Return where the judged value shall lie: a little beside the middle, or at a share of its limit."""
    if aim is not None:
        limit = expected.lower if expected.lower is not None else expected.upper
        return aim * (limit if limit is not None else middle_of(expected))
    middle = middle_of(expected)
    return middle + beside * min(room(expected), NEAR * abs(middle))


def _case(asked: Asked, values: Values, label: str) -> Case:
    readings = tuple(Reading(name, value, of) for (name, of), value in values.items())
    subject = asked.system.subject(asked.subject)
    return Case(asked.system, subject, readings, asked.conditions, label, asked.carried_out.key, asked.moment)


def _typed(asked: Asked, one: Input, label: str, value: float, by: Mapping[str, str]) -> Typed:
    """Return a reading as it is typed: what was given word for word, else with the digits of an instrument."""
    found = _given(asked, one, label)
    instrument = _instrument(asked.check, one.quantity.value, by)
    if found is not None:
        return Typed(one.name, found[0], "" if one.options else found[1], label, instrument)
    if one.options:
        return Typed(one.name, one.options[0].value, "", label)
    unit = units.default_unit(one.quantity, asked.unit_system)
    text = shown(units.from_core(value, unit.code, one.quantity), unit.places)
    return Typed(one.name, text, unit.code, label, instrument)


def _instrument(check: Check, quantity: str, by: Mapping[str, str]) -> str:
    """Return what reads a quantity at a check: named for the check, for its group, or for the quantity."""
    ways = (f"{check.key}/{quantity}", f"{check.group}/{quantity}", quantity)
    return next((by[way] for way in ways if way in by), "")


def shown(value: float, places: int) -> str:
    """Return a number as a display shows it: four digits, and no more places than its unit has."""
    whole = len(str(int(abs(value))))
    return f"{abs(value) if abs(value) < TINY else value:.{max(0, min(places, DIGITS - whole))}f}"
