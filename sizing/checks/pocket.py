"""How a check is laid out for a phone without signal: the axes of the tables that stand in for its formulas.

The tables themselves are made by `sizing.pocket`. A check whose limits follow from the record alone, and whose value
is read as it is, needs no axis. Any other names, for each set of readings and conditions with which it can be taken,
a **plan**: at most three axes. Where more than three readings bear on a value, they are gathered in a **figure**
first (the power that sun and heat offer, the lift that level and tank ask for), which then is one axis.
"""

from collections.abc import Callable, Mapping
from dataclasses import field
from enum import StrEnum

from sizing.checks.case import Case
from sizing.records import record
from sizing.system import System

Span = tuple[float, float]
OfSubject = Callable[[System, str], float]
SpanOf = Callable[[System, str], Span]
MOST_AXES = 3


class Scale(StrEnum):
    """In what a value is straight between two nodes."""

    LINEAR = "linear"
    LOG = "log"
    RECIPROCAL = "reciprocal"
    CHOICE = "choice"
    """One of a few numbers, nothing between them: a stage, a test voltage. It counts as a branch, not as an axis."""


class Reduction(StrEnum):
    """How the results of every repeat of another check become one value."""

    GREATEST = "greatest"
    DIFFERENCE = "greatest less least"
    FROM_MEAN = "farthest from the mean, over the mean"


@record
class Axis:
    """A reading, a condition or the moment, where its own bounds do not say enough.

    A timed reading is named with its label, `pressure@end`. `of_day` and `day` are those of the moment in UTC.
    """

    name: str
    span: Span | SpanOf | None = None
    """From where to where, in the core unit; else the bounds of what is usual that the reading declares."""
    scale: Scale = Scale.LINEAR
    kinks: tuple[float, ...] = ()
    """Where something begins or ends, such as the least sun to judge by."""
    default: OfSubject | None = None
    """What stands in, without doubt of its own, where nobody has measured it."""


@record
class Figure:
    """A value on the way from several readings to what is judged, tabulated by itself."""

    name: str
    of: tuple[str, ...]
    by: Callable[[Case], float]
    lead: str = ""
    """Which of `of` is moved to give the figure a value, the others at `at`; the first if empty."""
    at: Mapping[str, float] = field(default_factory=dict)
    stands_in: bool = False
    """It takes the place of a reading of the same name where that was not taken, as a bucket does for a meter."""
    each_repeat: bool = False
    """Worked out for every repeat, then their mean; `agree` is how far they may lie apart, as a share of it."""
    agree: float | None = None
    kinks: tuple[float, ...] = ()
    span: Span | SpanOf | None = None
    """Where it is of use, if that is less than what its readings reach."""
    scale: Scale = Scale.LINEAR


@record
class Plan:
    """The axes over which one judged value (all of them, if `judged` is empty) is tabulated in one situation."""

    axes: tuple[str, ...] = ()
    judged: str = ""
    way: str = ""
    given: tuple[str, ...] = ()
    """Names that must be there."""
    without: tuple[str, ...] = ()
    """Names that must not be there."""
    held: Mapping[str, float] = field(default_factory=dict)
    """Conditions kept at one value because what they move stays below a tenth of the tolerance."""
    guards: tuple[str, ...] = ()
    """Figures that are looked at only for what they refuse."""
    doubtful: str = ""
    """Why a refusal here is not the last word, such as one that depends on the readings' own doubt."""


@record
class Pocket:
    """How a check is laid out for the phone."""

    plans: tuple[Plan, ...] = (Plan(),)
    axes: tuple[Axis, ...] = ()
    figures: tuple[Figure, ...] = ()
    reduced: Mapping[str, tuple[Reduction, str]] = field(default_factory=dict)
    """Judged value → how every repeat of which other check, or several readings by name, are reduced to it."""
    simply: Mapping[str, str] = field(default_factory=dict)
    """Judged value → the reading or figure that its measured value simply is."""
    value_scale: Scale = Scale.LINEAR
    """In what the measured value is straight."""
    bearable: float = 0.0
    """Of a condition, which has no limits: the doubt in it that troubles nobody, in the place of a tolerance."""
    server: str = ""
    """Why only the server judges; empty where the phone can."""

    def axis(self, name: str) -> Axis:
        """Return the axis of that name, plain if nothing more is declared."""
        return next((one for one in self.axes if one.name == name), Axis(name))

    def figure(self, name: str) -> Figure | None:
        """Return the figure of that name that is an axis by itself; one that stands in for a reading is none."""
        return next((one for one in self.figures if one.name == name and not one.stands_in), None)

    def plans_for(self, judged: str) -> tuple[Plan, ...]:
        """Return the plans of a judged value, in the order in which they are tried."""
        own = tuple(plan for plan in self.plans if plan.judged == judged)
        return own or tuple(plan for plan in self.plans if not plan.judged)


NONE = Pocket()


def along(*axes: str, **said: object) -> Pocket:
    """Return the layout with one plan over these axes."""
    return Pocket((Plan(axes),), **said)  # type: ignore[arg-type]
