"""The order of a service visit: what is read before anything is touched, and what tells most where one stands.

The rule, in this order (common practice, no source, but for the counting of causes in `sizing/causes/telling.py`):

1. As found, before a hand is on anything; then the walk round, so that nobody works beside a danger unseen.
2. What is lost by running, drawing or charging: levels and voltages at rest.
3. All that is read on the system as it runs; then what needs it isolated, lifted or drained, in one go; then what has
   to run again after that. Leaving comes last but for what the laboratory sends later.
4. Within such a stage one place after another, so that nobody walks there twice; within a place the reading that
   tells most causes of this system apart first. The place with the most telling reading comes first.

A check never stands before one that it waits for: `sizing/order.py` sees to that. What the owner's words ask for is
put in front by its `first`, with all that must come before it, and keeps its number: the number is the same on phone,
desk and paper, whenever the words were heard.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from enum import IntEnum

from sizing.causes import applies, causes, of_system
from sizing.causes.symptoms import asked_by, readings_of
from sizing.causes.telling import telling_order
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.owed import Owed
from sizing.system import System

AS_FOUND = "as_found"
LOOK_FIRST = "look before a hand goes in"
DRAINED = frozenset({"precharge", "relief_opens", "specific_gravity", "tightness_whole", "tightness_makeup"})
"""What shuts, lifts, opens or drains something, beside the tests on what is isolated."""


class Stage(IntEnum):
    """How far a check disturbs the system as it was found."""

    FOUND = 0
    LOOK = 1
    AT_REST = 2
    RUNNING = 3
    ISOLATED = 4
    AGAIN = 5
    LEAVING = 6
    LABORATORY = 7


Waits = Callable[[Check], set[str]]
Place = tuple[int, ...]
Spot = tuple[Stage, str]


def for_service(
    system: System, wanted: Sequence[Owed], symptoms: Sequence[str], waits_for: Waits
) -> tuple[list[Owed], dict[str, Place]]:
    """Return what a service visit wants, with why some comes first, and the place of each by its id and by its key."""
    asked = asked_by(system, wanted, symptoms)
    keys = {one.check for one in wanted}
    stages = {one.id: _stage(one.declared, keys, waits_for) for one in wanted}
    reasons = _with_what_comes_before(wanted, asked, waits_for)
    told = [_why(one, stages[one.id], reasons, one.id in asked) for one in wanted]
    return told, _places(system, wanted, stages)


def _stage(check: Check, keys: set[str], waits_for: Waits) -> Stage:
    if check.key == AS_FOUND:
        return Stage.FOUND
    if check.group == "Walk-round":
        return Stage.LOOK
    if check.from_laboratory:
        return Stage.LABORATORY
    if check.group == "Handing over":
        return Stage.LEAVING
    if _isolates(check):
        return Stage.ISOLATED
    if check.perishable:
        return Stage.AT_REST
    before = _all_before(check, keys, waits_for)
    return Stage.AGAIN if any(_isolates(CHECKS[key]) for key in before) else Stage.RUNNING


def _isolates(check: Check) -> bool:
    """Whether something is switched off and locked, opened, lifted or drained for it."""
    return check.group == "Dead tests" or check.gate == "safe_to_work" or check.key in DRAINED


def _all_before(check: Check, keys: set[str], waits_for: Waits) -> set[str]:
    """Return the keys of all that must come before a check, and before those."""
    found: set[str] = set()
    todo = [check.key]
    while todo:
        more = (waits_for(CHECKS[todo.pop()]) & keys) - found
        found |= more
        todo += more
    return found


def _with_what_comes_before(wanted: Sequence[Owed], asked: Mapping[str, str], waits_for: Waits) -> dict[str, str]:
    """Return what is asked for with its reason, and what has to be taken before it with that one's name."""
    keys = {one.check for one in wanted}
    before: dict[str, str] = {}
    for one in wanted:
        if one.id in asked:
            for key in _all_before(one.declared, keys, waits_for):
                before.setdefault(key, f"comes before {one.declared.title.lower()}")
    named = {one.id: before[one.check] for one in wanted if one.check in before}
    return {**named, **asked}


def _why(one: Owed, stage: Stage, reasons: Mapping[str, str], is_asked: bool) -> Owed:
    """Return a check with why it comes before others; what the owner's words ask for is owed, not only offered."""
    optional = one.optional and not is_asked
    if stage in (Stage.FOUND, Stage.AT_REST):
        return replace(one, first=one.declared.perishable, optional=optional)
    return replace(one, first=LOOK_FIRST if stage is Stage.LOOK else reasons.get(one.id, ""), optional=optional)


def _places(system: System, wanted: Sequence[Owed], stages: Mapping[str, Stage]) -> dict[str, Place]:
    """Return stage, turn of the spot, telling and catalogue place, by id; under a key alone the first of them."""
    telling = _telling(system, wanted)
    spots = {one.id: (stages[one.id], place_of(system, one.subject)) for one in wanted}
    turns = _turns(spots, telling)
    catalogue = {key: place for place, key in enumerate(CHECKS)}
    found: dict[str, Place] = {}
    for one in wanted:
        told = telling.get(one.id, len(telling))
        own = (stages[one.id], turns[spots[one.id]], told, catalogue[one.check])
        found[one.id] = own
        found[one.check] = min(own, found.get(one.check, own))
    return found


def _turns(spots: Mapping[str, Spot], telling: Mapping[str, int]) -> dict[Spot, int]:
    """Return in which turn a spot is walked to: the one with the most telling reading first."""
    best: dict[Spot, int] = {}
    for owed_id, spot in spots.items():
        best[spot] = min(best.get(spot, len(telling)), telling.get(owed_id, len(telling)))
    return {spot: turn for turn, spot in enumerate(sorted(best, key=lambda spot: (best[spot], spot)))}


def _telling(system: System, wanted: Sequence[Owed]) -> dict[str, int]:
    """Return the place of each check among the readings that tell the causes of this system apart."""
    principles, parts = of_system(system)
    there = readings_of(wanted)
    order = telling_order([one for one in causes() if applies(one, principles, parts)], tuple(there))
    found: dict[str, int] = {}
    for place, key in enumerate(order):
        for one in there[key]:
            found.setdefault(one.id, place)
    return found


def place_of(system: System, tag: str) -> str:
    """Return where one stands at a subject: what it sits in, or the beginning of a run."""
    for _ in range(len(system.nodes)):
        if tag in system.runs:
            tag = system.runs[tag].start.tag
        node = system.nodes.get(tag)
        if node is None or node.host is None:
            return tag
        tag = node.host
    return tag
