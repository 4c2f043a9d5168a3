"""Runs the rules of the design check over a system. It never raises: what cannot be said, says why."""

from collections.abc import Iterable

from sizing.design.catalogue import RULES
from sizing.design.declare import Ask, Met, Outcome, Rule, Scene
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.records import record
from sizing.system import System
from sizing.working import Step


@record
class Lacking:
    """What keeps a rule from being evaluated. `field` is empty where it is no field of the record."""

    owner: str
    field: str
    words: str


@record
class Result:
    """How one rule stands on one subject, with its working."""

    rule: Rule
    tag: str
    against: str
    met: Met
    outcome: Outcome | None = None
    steps: tuple[Step, ...] = ()
    lacking: Lacking | None = None

    @property
    def id(self) -> str:
        return ":".join(part for part in (self.rule.key, self.tag, self.against) if part)


def design_check(system: System, keys: Iterable[str] = ()) -> list[Result]:
    """Return every result of the rules named, of all rules if none is named."""
    scene = Scene(system)
    wanted = [RULES[key] for key in keys] or list(RULES.values())
    return [_result(rule, Ask(scene, tag, against)) for rule in wanted for tag, against in _targets(rule, system)]


def _targets(rule: Rule, system: System) -> list[tuple[str, str]]:
    return rule.targets(system)


def _result(rule: Rule, ask: Ask) -> Result:
    try:
        outcome = rule.evaluate(ask)
    except MissingDataError as problem:
        return _unsaid(rule, ask, Lacking(problem.owner, problem.field, problem.words))
    except (OutOfRangeError, SystemShapeError) as problem:
        return _unsaid(rule, ask, Lacking(ask.tag, "", str(problem)))
    met = Met.MET if outcome.is_met else Met.NOT_MET
    return Result(rule, ask.tag, ask.against, met, outcome, tuple(ask.w.steps))


def _unsaid(rule: Rule, ask: Ask, lacking: Lacking) -> Result:
    return Result(rule, ask.tag, ask.against, Met.CANNOT_BE_SAID, None, tuple(ask.w.steps), lacking)
