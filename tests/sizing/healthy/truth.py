"""What healthy systems have, where no formula says it: how clear the water is, how full the tank, how set the switch.

Each range is what a sound new system commonly shows (common practice, no source), well inside its limit. Where a check
knows what a number should be, the number of the system that really stands there is taken, and nothing stands here.
"""

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import exp, log
from typing import TYPE_CHECKING

from sizing.checks.case import Case, Expected
from sizing.errors import MissingDataError

if TYPE_CHECKING:
    from tests.sizing.healthy.day import Day

DAY, HOUR = 86_400.0, 3_600.0


@dataclass
class Scene:
    """Where one true reading is asked for."""

    chance: random.Random
    case: Case
    label: str
    day: "Day"

    def between(self, low: float, high: float) -> float:
        return self.chance.uniform(low, high)

    def plate(self, name: str) -> float:
        return self.case.subject.need(name)

    def true(self, check: str, tag: str) -> float:
        """Return the true value of an earlier measurement, its first judged value."""
        if (check, tag) not in self.day.taken:
            raise MissingDataError(check, tag, f"{check} of {tag} could not be taken")
        return next(iter(self.day.taken[check, tag].true.values()))


Given = Callable[[Scene], float] | float
Aim = Callable[[Scene, Expected], float]


@dataclass(frozen=True)
class Sound:
    """How a check is taken on a healthy system: what is read beside, and what the judged value comes to."""

    way: str = ""
    given: Mapping[str, Given] = field(default_factory=dict)
    aim: Mapping[str, Aim] = field(default_factory=dict)
    lead: Mapping[str, str] = field(default_factory=dict)
    bounds: Mapping[str, str] = field(default_factory=dict)
    true: Mapping[str, Given] = field(default_factory=dict)
    """What a condition truly is, where the way of reading it can only come near."""


def about(low: float, high: float) -> Given:
    return lambda scene: scene.between(low, high)


def spread_evenly(low: float, high: float) -> Given:
    """A range of which each decade is as likely as the next."""
    return lambda scene: exp(scene.between(log(low), log(high)))


def share_of(limit: str, low: float, high: float) -> Aim:
    """A share of a limit or of the nominal."""
    return lambda scene, expected: scene.between(low, high) * float(getattr(expected, limit))


def off_nominal(half_width: float) -> Aim:
    """The nominal of what is there, off by up to so much."""

    def aim(scene: Scene, e: Expected) -> float:
        return float(e.nominal or 0.0) + scene.day.model_error(e) + scene.between(-half_width, half_width)

    return aim


def scattered(share: float) -> Aim:
    """The nominal of what is there, each repeat by itself off by a normal share."""

    def aim(scene: Scene, e: Expected) -> float:
        return (float(e.nominal or 0.0) + scene.day.model_error(e)) * (1 + scene.chance.gauss(0, share))

    return aim


def above_limit(low: float, high: float) -> Aim:
    """Between the lower limit and the nominal, at shares of the way."""

    def aim(scene: Scene, e: Expected) -> float:
        return float(e.lower or 0.0) + scene.between(low, high) * (float(e.nominal or 0.0) - float(e.lower or 0.0))

    return aim
