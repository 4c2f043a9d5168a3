"""From a point on the axes of a table to the case that the formulas see."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from itertools import product
from math import floor

from sizing.checks.case import Case, Reading, Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Input
from sizing.checks.pocket import Axis, Figure, Plan, Scale, Span, SpanOf
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.pocket.grid import scaled, unscaled
from sizing.pocket.grow import Range
from sizing.system import System
from sizing.working import Working

CANNOT = (MissingDataError, OutOfRangeError, SystemShapeError)
DAY = 86_400.0
DAYS_TABULATED = 21.0  # a phone may be away that long
MOST_TRIES = 60
NEAR = 1e-11  # share of a figure to which it is met
MOMENT = ("day", "of_day")


class SpanError(LookupError):
    """A check names an axis of which nothing says from where to where it runs."""


class PosingError(ValueError):
    """No readings within their bounds give a figure the value that was asked for."""


@dataclass(frozen=True)
class Stand:
    """A check on one subject, to be evaluated at many points."""

    check: Check
    system: System
    tag: str
    moment: float = 0.0
    """From when on the tables are to serve, Unix time [s]."""

    def case(self, values: Mapping[str, float], way: str, working: Working | None = None) -> Case:
        """Return the case in which readings, conditions and moment have these values, each without doubt."""
        needs = {need.name for need in self.check.needs}
        readings = tuple(
            Reading(name.partition("@")[0], value, name.partition("@")[2])
            for name, value in values.items()
            if name not in needs and name not in MOMENT
        )
        conditions = {name: Value(value) for name, value in values.items() if name in needs}
        w, moment = working or Working(silent=True), self._moment(values)
        return Case(self.system, self.system.subject(self.tag), readings, conditions, "", way, moment, w)

    def _moment(self, values: Mapping[str, float]) -> float | None:
        """Return the moment of a point; noon, or the first day, where the point says only the other of the two."""
        if not any(name in values for name in MOMENT):
            return None
        return floor(values.get("day", self.moment // DAY)) * DAY + values.get("of_day", DAY / 2)

    def base(self, targets: Mapping[str, float], way: str) -> dict[str, float]:
        """Return readings and conditions that give every target its value; figures are met by moving their lead."""
        found = {name: value for name, value in targets.items() if self.check.pocket.figure(name) is None}
        for name, value in targets.items():
            figure = self.check.pocket.figure(name)
            if figure is not None:
                found = self._met(figure, value, found, way)
        return found

    def guarded(self, guards: tuple[str, ...], values: dict[str, float], way: str) -> dict[str, float]:
        """Return the values with what guards look at, somewhere where they refuse nothing."""
        for figure in self.check.pocket.figures:
            if figure.name in guards:
                values = self._unrefused(figure, values, way)
        return values

    def _unrefused(self, figure: Figure, values: dict[str, float], way: str) -> dict[str, float]:
        beside = [one for one in self._inputs(figure) if one not in values]
        for stand in product(*(self._places(figure, one) for one in beside)):
            around = {**values, **dict(zip(beside, stand, strict=True))}
            with suppress(*CANNOT):
                figure.by(self.case(around, way))
                return around
        return values

    def lacking(self, ask: Callable[[Case], object], names: Sequence[str], plan: Plan) -> str:
        """Return a reading or need of the check that a function asks for and that is not among some names."""
        try:
            middle = {name: self.stands_in(name) for name in names if self.check.pocket.figure(name) is None}
            figures = {name: value for figure in self.check.pocket.figures for name, value in self._of(figure, names)}
            ask(self.case(self.guarded(plan.guards, {**figures, **middle, **plan.held}, plan.way), plan.way))
        except MissingDataError as problem:
            known = {one.name for way in self.check.ways for one in way.inputs} | {n.name for n in self.check.needs}
            is_asked = problem.owner in ("reading", "condition") and problem.field in known
            return problem.field if is_asked and problem.field not in (*names, *plan.without) else ""
        except (OutOfRangeError, SystemShapeError):
            pass
        return ""

    def _of(self, figure: Figure, names: Sequence[str]) -> list[tuple[str, float]]:
        """Return what a figure is worked out from, each where it usually stands, if it is among some names."""
        if figure.name not in names or figure.stands_in:
            return []
        return [(name, figure.at.get(name, self.stands_in(name))) for name in self._inputs(figure)]

    def _met(self, figure: Figure, value: float, values: dict[str, float], way: str) -> dict[str, float]:
        """Return the values with what gives a figure its own: its lead moved, what stands beside it where need be."""
        lead = figure.lead or figure.of[0]
        beside = [name for name in self._inputs(figure) if name != lead and name not in values]
        asked = self.range_of(lead)
        for stand in product(*(self._places(figure, name) for name in beside)):
            around = {**values, **dict(zip(beside, stand, strict=True))}
            with suppress(PosingError):
                off, ends = self._off(figure, value, around, lead, way), (asked.low, asked.high)
                return {**around, lead: root(off, *ends, asked.scale)}
        raise PosingError(f"nothing gives {figure.name} the value {value:g}")

    def _off(
        self, figure: Figure, value: float, around: dict[str, float], lead: str, way: str
    ) -> Callable[[float], float]:
        return lambda at: figure.by(self.case({**around, lead: at}, way)) - value

    def inputs_of(self, name: str) -> list[str]:
        """Return the readings and conditions behind an axis: itself, or those of a figure."""
        figure = self.check.pocket.figure(name)
        return self._inputs(figure) if figure else [name]

    def _inputs(self, figure: Figure) -> list[str]:
        """Return the readings and conditions of a figure, those of a figure inside it among them."""
        found: list[str] = []
        for name in figure.of:
            inner = self.check.pocket.figure(name)
            found += self._inputs(inner) if inner else [name]
        return list(dict.fromkeys(found))

    def _places(self, figure: Figure, name: str) -> tuple[float, ...]:
        """Return where a reading may stand while another is moved: where it usually does, then its ends."""
        usual = figure.at.get(name, self.stands_in(name))
        asked = self.range_of(name)
        return tuple(dict.fromkeys((usual, *asked.choices, asked.low, asked.high)))

    def stands_in(self, name: str) -> float:
        """Return what a reading or condition is taken to be where a table has no axis for it."""
        default = self.check.pocket.axis(name).default
        if default is not None:
            return default(self.system, self.tag)
        asked = self.range_of(name)
        return asked.choices[0] if asked.choices else (asked.low + asked.high) / 2

    def range_of(self, name: str) -> Range:
        """Return from where to where an axis runs, with its scale, kinks or choices."""
        declared = self.check.pocket.axis(name)
        read = self.input_of(name)
        is_chosen = declared.scale is Scale.CHOICE or self._is_only_chosen(name)
        if read is not None and read.options and is_chosen:
            return Range(name, 0.0, 0.0, Scale.CHOICE, choices=tuple(one.number for one in read.options))
        low, high = self._span(declared, read)
        return Range(name, low, high, declared.scale, declared.kinks)

    def _is_only_chosen(self, name: str) -> bool:
        """Whether only one of a few numbers can come: a condition may also be measured, or lie between two of them."""
        return name not in {need.name for need in self.check.needs}

    def _span(self, declared: Axis, read: Input | None) -> tuple[float, float]:
        if declared.name == "day":
            first = self.moment // DAY
            return first, first + DAYS_TABULATED
        if declared.span is not None:
            return self.span_of(declared.span)
        if read is None:
            raise SpanError(f"{self.check.key}: the axis {declared.name} needs a span")
        if read.options:
            return min(one.number for one in read.options), max(one.number for one in read.options)
        return read.soft or read.hard

    def span_of(self, declared: Span | SpanOf) -> Span:
        """Return a span, asked of the record where it depends on it."""
        return declared(self.system, self.tag) if callable(declared) else declared

    def input_of(self, name: str) -> Input | None:
        """Return the reading that a name stands for, of this check or of the one whose result it is."""
        own = self.check.input(name.partition("@")[0])
        if own is not None:
            return own
        need = next((n for n in self.check.needs if n.name == name), None)
        if need is None:
            return None
        other = CHECKS[need.name]
        like = (one for way in other.ways for one in way.inputs if one.quantity is need.quantity)
        return other.input(need.finding or other.judged[0].name) or next(like, None)


def root(off: Callable[[float], float], low: float, high: float, scale: Scale = Scale.LINEAR) -> float:
    """Return where a steady function is nought, by secants; raises PosingError where none is found near the range."""
    ends = scaled(low, scale), scaled(high, scale)
    found = _crossing(lambda at: off(unscaled(at, scale)), ends[0] * 0.6 + ends[1] * 0.4, ends[0] * 0.4 + ends[1] * 0.6)
    return unscaled(found, scale)


def _crossing(off: Callable[[float], float], a: float, b: float) -> float:
    try:
        at_a, at_b = off(a), off(b)
        near = NEAR * max(abs(at_a), abs(at_b), abs(at_b - at_a))
        for _ in range(MOST_TRIES):
            if abs(at_b) <= near:
                return b
            if at_a == at_b:
                break
            a, b, at_a = b, b - at_b * (b - a) / (at_b - at_a), at_b
            at_b = off(b)
    except (*CANNOT, ZeroDivisionError) as problem:
        raise PosingError(str(problem)) from problem
    raise PosingError("no reading gives this figure")
