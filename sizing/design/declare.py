"""How a rule of the design check is declared: one constant and its function, in one place.

A rule computes one value from the as-built record alone and holds it against limits. Nothing is measured, so there is
no uncertainty: the margin is what is printed.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from typing import Any, TypeVar

from sizing.checks.case import Case
from sizing.checks.declare import Limit
from sizing.parts import Part
from sizing.quantities import Quantity
from sizing.records import record
from sizing.system import SITE, Node, Run, System
from sizing.working import Working

T = TypeVar("T")


class Sort(StrEnum):
    """What a rule guards: people and equipment, or what the system is to deliver."""

    SAFETY = "safety"
    FUNCTION = "function"


class Met(StrEnum):
    """How a rule stands on one subject."""

    NOT_MET = "not met"
    CANNOT_BE_SAID = "cannot be said"
    MET = "met"


@record
class Share:
    """One line of where something went: a part on the way and what it took, or what is there at an end."""

    label: str
    amount: float


@record
class Shares:
    """Where the head, or the volts, went: from what is there at the source to what is left at the end."""

    title: str
    quantity: Quantity
    lines: tuple[Share, ...]


@record
class Outcome:
    """The value of a rule on one subject and the limits it is held against, in the core unit of `quantity`."""

    quantity: Quantity
    value: float
    lower: float | None = None
    upper: float | None = None
    basis: str = ""
    shares: Shares | None = None

    @property
    def is_met(self) -> bool:
        return self.margin >= 0

    @property
    def nearest(self) -> float:
        """The limit that the value is nearest to, or farthest beyond."""
        limits = [limit for limit in (self.lower, self.upper) if limit is not None]
        return min(limits, key=self._distance)

    @property
    def margin(self) -> float:
        """What is left to the nearest limit; negative beyond it."""
        return self._distance(self.nearest)

    @property
    def margin_share(self) -> float | None:
        """The margin as a share of that limit; None where the limit is zero, or no share can be told of it."""
        if self.quantity in NO_SHARE or self.nearest == 0:
            return None
        return self.margin / abs(self.nearest)

    def _distance(self, limit: float) -> float:
        return self.value - limit if limit is self.lower else limit - self.value


NO_SHARE = {Quantity.TEMPERATURE, Quantity.ELEVATION, Quantity.COUNT}
"""Quantities whose zero is a convention, and counts: a share of them says nothing."""


class Scene:
    """A system under the design check, with what several rules ask for computed once."""

    def __init__(self, system: System) -> None:
        self.system = system
        self._found: dict[str, Any] = {}

    def once(self, name: str, find: Callable[[], T]) -> T:
        """Return what `find` gives, found once for all rules. What it raises is raised again each time."""
        if name not in self._found:
            try:
                self._found[name] = (find(), None)
            except (LookupError, ValueError) as problem:
                self._found[name] = (None, problem)
        value, failed = self._found[name]
        if failed is not None:
            raise failed
        found: T = value
        return found


@dataclass
class Ask:
    """One evaluation of a rule: on which subject, against what, and a working to record into."""

    scene: Scene
    tag: str
    against: str = ""
    w: Working = field(default_factory=Working)

    @property
    def system(self) -> System:
        return self.scene.system

    @cached_property
    def subject(self) -> Node | Run:
        return self.system.subject(self.tag)

    @property
    def node(self) -> Node:
        return self.system.node(self.tag)

    @property
    def site(self) -> Node | Run:
        return self.system.subject(SITE)

    @property
    def case(self) -> Case:
        """The same, as the checks' own functions see it: their working is this one."""
        return Case(self.system, self.subject, w=self.w)

    def silent(self) -> "Ask":
        """Return the same question with a working that keeps nothing."""
        return Ask(self.scene, self.tag, self.against, Working(silent=True))


def alone(system: System, tag: str) -> tuple[str, ...]:
    """Return the one evaluation of a rule that holds its subject against nothing else."""
    return ("",)


def always(system: System, tag: str) -> bool:
    """Whether a rule concerns a subject: it does."""
    return True


@record
class Rule:
    """One entry of the design check."""

    key: str
    title: str
    sort: Sort
    subjects: tuple[type[Part], ...]
    """Kinds of component or run; empty: the whole site."""
    purpose: str
    """One sentence: what goes wrong where it is not met."""
    limits: tuple[Limit, ...]
    evaluate: Callable[[Ask], Outcome]
    against: Callable[[System, str], tuple[str, ...]] = alone
    """What a subject is held against, one evaluation each: a tag, or words such as "tank full"."""
    applies: Callable[[System, str], bool] = always

    def targets(self, system: System) -> list[tuple[str, str]]:
        """Return every subject with what it is held against, in tag order."""
        every: list[Node | Run] = [*system.nodes.values(), *system.runs.values()]
        tags = sorted(one.tag for one in every if isinstance(one.part, self.subjects)) if self.subjects else [SITE]
        return [(tag, against) for tag in tags if self.applies(system, tag) for against in self.against(system, tag)]
