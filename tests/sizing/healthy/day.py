"""One simulated visit: what is true on a system, what ordinary instruments then show, and what is said of it.

The truth comes from a second system, the one that really stands there: its nameplates differ from the record by what
the record itself allows (see `systems.py`). A reading is the truth plus the error of an instrument that keeps to its
statement: the share of the reading is the instrument's gain, the same all day; the fixed part is the last digits, new
with each reading. Gauges are wrong by the same amount all day. Errors are rectangular, as JCGM 100:2008, 4.3.7, takes
a statement without further knowledge.
"""

import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from math import hypot, isnan

from sizing.checks.case import Case, Expected, Reading, Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.conditions import TURBIDITIES, clear_sky_on
from sizing.checks.declare import Check, Input, Judged, Kind, Need, Shape, Way
from sizing.checks.weather import sky_half_width
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.judgement import Assessment, assess, measured_value
from sizing.owed import Owed
from sizing.parts import BatteryBank
from sizing.pocket.pose import PosingError, root
from sizing.system import System
from sizing.working import Working
from tests.sizing.healthy.sound import SOUND
from tests.sizing.healthy.truth import Scene, Sound

CANNOT = (MissingDataError, OutOfRangeError, SystemShapeError, PosingError)
SUN_OF_ROW = {"row 1": 1.0, "row 2": 0.86, "row 3": 0.74}
LEAST_SUN = 430.0  # W/m²; nobody goes on measuring below what currents can be judged by
SAME_ALL_DAY = ("gauge",)


@dataclass
class Taken:
    """One carrying-out: what was said of it, and each judged value as it truly was, by repeat."""

    owed: Owed
    said: Assessment
    true: dict[tuple[str, str], float] = field(default_factory=dict)


@dataclass
class Day:
    """A visit in the making. `record` is what the office knows; `there` is what stands there."""

    record: System
    there: System
    chance: random.Random
    moment: float
    has_sun_meter: bool = True
    gains: dict[str, float] = field(default_factory=dict)
    taken: dict[tuple[str, str], Taken] = field(default_factory=dict)
    impossible: list[tuple[str, str]] = field(default_factory=list)
    memory: dict[str, float] = field(default_factory=dict)
    now: str = ""
    spoil: Mapping[tuple[str, str], Callable[[float, str], float]] = field(default_factory=dict)
    """What is not sound here: by check and reading or judged value, what it is instead."""

    def __post_init__(self) -> None:
        self.air = self.chance.uniform(12, 32)
        self.sky = self.chance.choice((1.0, 0.85))
        self.share = self.sky + self.chance.uniform(-1, 1) * sky_half_width(self.sky)
        self.turbidity = self.chance.uniform(*TURBIDITIES)

    def once(self, name: str, how: Callable[[], float]) -> float:
        """Return what was drawn under that name, drawing it the first time."""
        if name not in self.memory:
            self.memory[name] = how()
        return self.memory[name]

    def sun_on(self, case: Case) -> float:
        """Return the sun that truly falls on an array now."""
        array = self.there.node(case.subject.tag)
        return self.share * clear_sky_on(case, array, "G", Working(silent=True), self.turbidity)

    def bank_voltage(self) -> float:
        """Return the nominal voltage of the first bank."""
        bank = self.there.of(BatteryBank)[0]
        return bank.need("block_voltage") * bank.need("series")

    def take(self, owed: Owed) -> Taken | None:
        """Carry a check out; None where the truth itself cannot be computed, and that is noted."""
        self.now = owed.check
        check, sound = owed.declared, SOUND.get(owed.check, Sound())
        way = check.way(sound.way if self.has_sun_meter or owed.check != "irradiance" else "sky")
        try:
            readings, true = self._truth(owed, sound, way)
        except CANNOT as problem:
            self.impossible.append((owed.id, str(problem)))
            return None
        seen = tuple(self.shown(r, way) for r in readings)
        said = assess(
            check, self.record, owed.subject, readings=seen, conditions=self.conditions(check, owed.subject),
            way=way.key, moment=self.moment, at_each=self._at_each(check, owed.subject, readings),
        )  # fmt: skip
        self.taken[owed.check, owed.subject] = Taken(owed, said, true)
        return self.taken[owed.check, owed.subject]

    # ---- the truth --------------------------------------------------------------------------

    def _truth(self, owed: Owed, sound: Sound, way: Way) -> tuple[list[Reading], dict[tuple[str, str], float]]:
        """Return the readings of perfect instruments, and what they come to."""
        check, made, true = owed.declared, [], {}
        for label in self._each_label(owed):
            own = [
                Reading(one.name, 0.0, at, bound=sound.bounds.get(one.name, ""))
                for one in way.inputs
                if not one.optional or one.name in sound.given
                for at in self._labels(check, one, label)
            ]
            case = Case(
                self.there, self.there.subject(owed.subject), (), self.true_conditions(check, owed.subject, label),
                label, way.key, self.moment, Working(silent=True),
            )  # fmt: skip
            own = [r for r in self._read_beside(sound, case, own) if not isnan(r.value)]
            for judged in check.judged:
                own = self._aimed(sound, judged, case, own)
                true[judged.name, label] = self._true(sound, judged, replace(case, readings=tuple(own)))
            made += [r for r in own if r not in made]
        return made, true

    def _each_label(self, owed: Owed) -> tuple[str, ...]:
        shape = owed.declared.repeat.shape
        return owed.declared.repeat.labels_for(self.there, owed.subject) if shape in (Shape.EACH, Shape.ROWS) else ("",)

    def _labels(self, check: Check, one: Input, label: str) -> tuple[str, ...]:
        if not one.repeats or check.repeat.shape is Shape.ONCE:
            return ("",)
        return (label,) if label else check.repeat.labels

    def _read_beside(self, sound: Sound, case: Case, own: list[Reading]) -> list[Reading]:
        """Return the readings with what is given. Repeats that are reduced together read one and the same thing."""
        shape, found = CHECKS[self.now].repeat.shape, {}
        for one in own:
            key = one.input if shape is Shape.TIMES else f"{one.input}@{one.label}"
            if key not in found:
                how = sound.given.get(one.input, 1.0)
                found[key] = how(Scene(self.chance, case, one.label, self)) if callable(how) else float(how)
        keys = [one.input if shape is Shape.TIMES else f"{one.input}@{one.label}" for one in own]
        return [self._spoiled(replace(r, value=found[key])) for r, key in zip(own, keys, strict=True)]

    def _spoiled(self, reading: Reading) -> Reading:
        change = self.spoil.get((self.now, reading.input))
        if change is None or reading.input not in SOUND.get(self.now, Sound()).given:
            return reading
        return replace(reading, value=change(reading.value, reading.label), bound="")

    def _true(self, sound: Sound, judged: Judged, case: Case) -> float:
        """Return what a value truly is; of a condition its way of finding it leaves something in doubt."""
        if judged.name in sound.true:
            return sound.true[judged.name](Scene(self.chance, case, case.label, self))  # type: ignore[operator]
        value = measured_value(judged, case)
        return value + self.model_error(judged.expected(case)) if CHECKS[self.now].is_condition else value

    def _aimed(self, sound: Sound, judged: Judged, case: Case, own: list[Reading]) -> list[Reading]:
        """Return the readings with the lead moved so that the value is what a healthy system has."""
        lead = sound.lead.get(judged.name, judged.name)
        if not any(r.input == lead for r in own):
            return own

        def with_lead(value: float) -> list[Reading]:
            return [replace(r, value=value) if r.input == lead else r for r in own]

        target = self._target(sound, judged, replace(case, readings=tuple(own)))
        if target is None:
            return own
        change = self.spoil.get((self.now, judged.name))
        target = target if change is None else change(target, case.label)
        if judged.measured is None:
            return with_lead(target)
        start = next(r.value for r in own if r.input == lead) or 1.0
        at = root(
            lambda x: measured_value(judged, replace(case, readings=tuple(with_lead(x)))) - target,
            0.6 * start,
            1.4 * start,
        )
        return with_lead(at)

    def _target(self, sound: Sound, judged: Judged, case: Case) -> float | None:
        aim = sound.aim.get(judged.name)
        scene = Scene(self.chance, case, case.label, self)
        if aim is None and judged.name in sound.given:
            return None
        expected = judged.expected(case)
        if aim is not None:
            return aim(scene, expected)
        return None if expected.nominal is None else expected.nominal + self.model_error(expected)

    def model_error(self, expected: Expected) -> float:
        """Return by how much the world departs from the model, as the model itself says that it may."""
        return sum(self.chance.uniform(-1, 1) * 3**0.5 * term.u for term in expected.terms)

    def true_conditions(self, check: Check, tag: str, label: str) -> dict[str, Value]:
        found = {}
        for need, before in self._needs(check, tag):
            values = {at: v for (name, at), v in before.true.items() if need.finding in ("", name)}
            first = next(iter(before.true)) if not need.finding else (need.finding, "")
            if need.every_repeat:
                first_name = need.finding or next(iter(before.true))[0]
                found |= {f"{need.name}/{at}": Value(v) for (n, at), v in before.true.items() if n == first_name}
            else:
                found[need.name] = Value(before.true.get(first, next(iter(values.values()))))
        return self._in_row(check, found, label)

    def _in_row(self, check: Check, found: dict[str, Value], label: str) -> dict[str, Value]:
        """Return the conditions of a row: the sun goes down meanwhile."""
        sun = found.get("irradiance")
        if check.repeat.shape is not Shape.ROWS or sun is None or label not in SUN_OF_ROW:
            return found
        share = max(SUN_OF_ROW[label], LEAST_SUN / sun.value) if sun.value > LEAST_SUN else 1.0
        return {**found, "irradiance": replace(sun, value=sun.value * share, u=sun.u * share)}

    # ---- what instruments show --------------------------------------------------------------

    def shown(self, reading: Reading, way: Way) -> Reading:
        """Return a reading as an ordinary instrument shows it."""
        declared = next(one for one in way.inputs if one.name == reading.input)
        usual, words = declared.usual, declared.label.lower()
        if declared.options or reading.bound:
            return replace(reading, words=words)
        gain = self.gains.setdefault(usual.words, self.chance.uniform(-1, 1))
        fixed = gain if any(one in usual.words for one in SAME_ALL_DAY) else self.chance.uniform(-1, 1)
        error = gain * usual.of_reading * abs(reading.value) + fixed * usual.fixed
        half_width = usual.of_reading * abs(reading.value) + usual.fixed
        value = reading.value + error
        value = max(value, declared.hard[0]) if reading.value >= declared.hard[0] else value
        return replace(reading, value=value, u=half_width / 3**0.5, words=words)

    def conditions(self, check: Check, tag: str, label: str = "") -> Mapping[str, Value | MissingDataError]:
        found: dict[str, Value] = {}
        for need, before in self._needs(check, tag):
            first = need.finding or before.said.findings[0].name
            for one in (f for f in before.said.findings if f.name == first and f.value is not None):
                if need.every_repeat:
                    words = f"{need.label.lower()} {one.repeat}"
                    apart = need.u_apart(one.value or 0.0)
                    u = own_u(need, one.terms) if apart is None else apart
                    found[f"{need.name}/{one.repeat}"] = Value(one.value, u, words=words)
                elif need.name not in found:
                    found[need.name] = Value(one.value, (one.spread or 0.0) / 2, words=need.label.lower())
        return self._in_row(check, found, label)

    def _at_each(
        self, check: Check, tag: str, readings: list[Reading]
    ) -> dict[str, tuple[float, Mapping[str, Value | MissingDataError]]] | None:
        if check.repeat.shape is not Shape.ROWS:
            return None
        labels = dict.fromkeys(r.label for r in readings if r.label)
        return {label: (self.moment, self.conditions(check, tag, label)) for label in labels}

    def _needs(self, check: Check, tag: str) -> Iterator[tuple[Need, Taken]]:
        for need in check.needs:
            try:
                subject = need.of(self.record, tag)
            except MissingDataError:
                continue
            before = self.taken.get((need.name, subject))
            if before is not None and any(f.value is not None for f in before.said.findings):
                yield need, before


def own_u(need: Need, terms: tuple[object, ...]) -> float:
    """Return the uncertainty of a repeat without what all repeats share, as the product takes it."""
    conditions = {n.label.lower() for n in CHECKS[need.name].needs}
    return hypot(*[t.u for t in terms if not t.shared and t.name not in conditions] or [0.0])  # type: ignore[attr-defined]


def only_for(check: str, order: list[Owed]) -> list[Owed]:
    """Return what of an order a check rests on, itself last among them."""
    wanted, todo = {check, "static_level"}, [check]
    while todo:
        for need in CHECKS[todo.pop()].needs:
            if need.name not in wanted:
                wanted.add(need.name)
                todo.append(need.name)
    return [one for one in order if one.check in wanted or one.declared.is_condition]


def whole_visit(day: Day, order: list[Owed]) -> Day:
    """Carry out everything that is measured or derived, in the order of checks."""
    for owed in sorted(order, key=lambda one: not one.declared.is_condition):
        if owed.declared.kind is not Kind.OBSERVED:
            day.take(owed)
    return day
