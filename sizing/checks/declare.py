"""How a check is declared: one constant and its functions, in one place.

A check owns its readings, what it needs from elsewhere, its method, cautions, bounds and limits.
`commissioning` reads all of that; it adds nothing of its own.
"""

from collections.abc import Callable
from dataclasses import field
from enum import StrEnum
from math import prod

from sizing.checks.case import Case, Expected
from sizing.checks.pocket import NONE, Pocket
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import Part
from sizing.quantities import Quantity
from sizing.records import record
from sizing.system import SITE, Node, Run, System, as_counted

Bounds = tuple[float, float]

COMMON = "common practice, no source"


class Kind(StrEnum):
    """How a check comes to its value."""

    MEASURED = "measured"
    OBSERVED = "observed"
    DERIVED = "derived"


class Answer(StrEnum):
    """What a person may answer to an observation."""

    AS_IT_SHOULD_BE = "as it should be"
    NOT_AS_IT_SHOULD_BE = "not as it should be"
    DOES_NOT_APPLY = "does not apply here"


class Shape(StrEnum):
    """How readings repeat within one measurement."""

    ONCE = "once"
    TIMES = "times"  # n times, reduced together
    EACH = "each"  # once per string or block, judged one by one
    ROWS = "rows"  # rows through the day, judged one by one
    TIMED = "timed"  # at set minutes, reduced together


@record
class Repeat:
    """The shape of a measurement. `labels` are the repeats where they are fixed."""

    shape: Shape = Shape.ONCE
    labels: tuple[str, ...] = ("",)
    per: str = ""
    """EACH: nameplate field of the subject that counts the repeats, or several times one another, such as
    `series*parallel`; `noun` is what one is called."""
    noun: str = ""
    minutes: tuple[float, ...] = ()
    least: int = 1

    def labels_for(self, system: System, tag: str) -> tuple[str, ...]:
        """Return the repeats on one subject; raises MissingDataError where their count is not recorded."""
        if self.shape is Shape.EACH:
            many = int(prod(system.node(tag).need(field) for field in self.per.split("*")))
            return tuple(f"{self.noun} {i}" for i in range(1, many + 1))
        return self.labels


ONCE = Repeat()


def times(n: int) -> Repeat:
    """Return the shape of n repeats, reduced together."""
    return Repeat(Shape.TIMES, tuple(str(i) for i in range(1, n + 1)), least=n)


def each(per: str, noun: str) -> Repeat:
    """Return the shape of one reading per string, block or cell, counted by a nameplate field."""
    return Repeat(Shape.EACH, per=per, noun=noun)


def rows(least: int, first: int) -> Repeat:
    """Return the shape of rows through the day: at least `least`, `first` offered at first."""
    return Repeat(Shape.ROWS, tuple(f"row {i}" for i in range(1, first + 1)), noun="row", least=least)


def timed(**labels: float) -> Repeat:
    """Return the shape of a timed series: label = minute after the start."""
    return Repeat(Shape.TIMED, tuple(labels), minutes=tuple(labels.values()), least=len(labels))


@record
class Accuracy:
    """What an ordinary instrument of the kind states: a share of the reading and a fixed part (core unit)."""

    of_reading: float = 0.0
    fixed: float = 0.0
    words: str = ""


@record
class Option:
    """One choice of a word input."""

    value: str
    label: str
    number: float


@record
class Input:
    """One thing that is read. Bounds in the core unit: beyond `hard` impossible, beyond `soft` asked back."""

    name: str
    label: str
    quantity: Quantity
    hard: Bounds
    soft: Bounds | None = None
    hint: str = ""
    repeats: bool = True
    optional: bool = False
    may_be_bound: bool = False
    usual: Accuracy = Accuracy()
    agree_share: float | None = None
    """Greatest spread of repeats, as a share of their mean; beyond it they are taken again."""
    agree_fixed: float | None = None
    """The same as a fixed amount in the core unit."""
    options: tuple[Option, ...] = ()
    """A word to choose instead of a number to type; each stands for a number."""


@record
class Way:
    """One way of carrying out a check: what is read and with which instruments."""

    key: str
    label: str
    inputs: tuple[Input, ...]
    instruments: tuple[str, ...] = ()


class Needed(StrEnum):
    """Where a need comes from, and so how it ages."""

    WEATHER = "weather"
    EARLIER = "earlier"


def same_subject(system: System, tag: str) -> str:
    """Return the subject itself: the need is measured on the same component."""
    return tag


@record
class Need:
    """A result of another check that this one needs; `name` is that check's key."""

    name: str
    kind: Needed
    label: str
    quantity: Quantity
    of: Callable[[System, str], str] = same_subject
    """System and subject → tag of the component whose measurement counts; may raise MissingDataError."""
    max_age: float | None = None
    """Seconds between the two measurements; None: any earlier one of the same visit."""
    bracket: float | None = None
    """Greatest change between the value before and the value after, as a share."""
    optional: bool = False
    finding: str = ""
    """Which judged value of the other check is taken; its first one if empty."""
    every_repeat: bool = False
    """All repeats of the other check are taken, each under `name/label`, such as `voltage/string 1`."""
    apart: Accuracy | None = None
    """How far one instrument may be off from repeat to repeat, where only their differences count: its gain cancels."""

    def u_apart(self, value: float) -> float | None:
        """Return the standard uncertainty of a repeat against the others; None where they share nothing."""
        if self.apart is None:
            return None
        return standard_from_half_width(self.apart.of_reading * abs(value) + self.apart.fixed)


@record
class Caution:
    """What can hurt at this step, in two lines, and who says so."""

    words: str
    source: str


@record
class Limit:
    """A limit in words, with its owner: for the catalogue, the page and the sheet."""

    words: str
    source: str


Measured = Callable[[Case], float]
Expecting = Callable[[Case], Expected]


@record
class Judged:
    """One value that a check judges: how it is reduced from the readings, and what it should be."""

    name: str
    label: str
    quantity: Quantity
    expected: Expecting
    measured: Measured | None = None
    """None: the reading of the same name, or the mean of its repeats."""


@record
class Check:
    """One entry of the catalogue."""

    key: str
    title: str
    kind: Kind
    subject: type[Part] | None
    """Kind of component or run it is taken on; None: the whole site."""
    group: str
    purpose: str
    """One sentence: what a good result proves."""
    ways: tuple[Way, ...] = ()
    judged: tuple[Judged, ...] = ()
    repeat: Repeat = ONCE
    needs: tuple[Need, ...] = ()
    state: str = ""
    method: tuple[str, ...] = ()
    normal: str = ""
    """What it looks, sounds or feels like when all is well, for somebody who has not seen it before."""
    cautions: tuple[Caution, ...] = ()
    limits: tuple[Limit, ...] = ()
    after: tuple[str, ...] = ()
    gate: str = ""
    """Key of the hold behind which the check waits."""
    tier: str = "must"
    """`must`: always owed. `full`: offered at a start-up, and owed again at service once a baseline has it."""
    perishable: str = ""
    """Why the reading is lost later; empty if it is not."""
    needs_sun: bool = False
    at_service: bool = False
    before_cover: bool = False
    """Owed on the visit before anything is covered."""
    at_start_up: bool = True
    """False: a thing that is out of sight by then, and so belongs to the visit before cover alone."""
    is_condition: bool = False
    from_laboratory: bool = False
    applies: Callable[[System, str], bool] = field(default=lambda system, tag: True)
    pocket: Pocket = NONE
    """Over which axes the phone's tables of it run."""
    revision: int = 1

    def way(self, key: str = "") -> Way:
        """Return the way of that key, the first one if empty."""
        return next((w for w in self.ways if w.key == key), self.ways[0]) if self.ways else Way("", "", ())

    def input(self, name: str) -> Input | None:
        """Return the input of that name in any way."""
        return next((i for w in self.ways for i in w.inputs if i.name == name), None)

    def subjects(self, system: System) -> list[str]:
        """Return the tags of every subject on a system, as a person counts."""
        if self.subject is None:
            found = [SITE]
        else:
            every: list[Node | Run] = [*system.nodes.values(), *system.runs.values()]
            found = sorted((s.tag for s in every if isinstance(s.part, self.subject)), key=as_counted)
        return [tag for tag in found if self.applies(system, tag)]
