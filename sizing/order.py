"""What an as-built system owes on a visit, and in which order."""

from collections.abc import Collection
from dataclasses import replace
from functools import cache

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.holds import HOLDS
from sizing.owed import Owed
from sizing.system import System

BEFORE_COVER = "before_cover"
START_UP = "start_up"
SERVICE = "service"

FULL = "full"


def order_of_checks(system: System, visit: str = START_UP, in_baseline: Collection[str] = ()) -> list[Owed]:
    """Return every check of a visit in working order, those that are only offered among them.

    Perishable checks come first wherever they can still be had, each behind what it needs; the rest
    follow the catalogue. A check never stands before one named in its `after` or in its hold.
    `in_baseline` holds the ids of what was measured when the system was handed over: of the checks
    that are otherwise only offered, these are owed again at service.
    """
    wanted = [
        Owed(check.key, tag, optional=check.tier == FULL and f"{check.key}:{tag}" not in in_baseline)
        for check in CHECKS.values()
        if _belongs_to(check, visit)
        for tag in check.subjects(system)
    ]
    placed = _sorted_by_need(sorted(_with_conditions_offered(wanted), key=_rank))
    return [replace(one, number=i) for i, one in enumerate(placed, 1)]


def _belongs_to(check: Check, visit: str) -> bool:
    """Whether a check, or as a condition one that needs it, belongs to a kind of visit."""
    return any(_is_of(one, visit) for one in (check, *_users(check)))


def _is_of(check: Check, visit: str) -> bool:
    if visit == BEFORE_COVER:
        return check.before_cover
    return check.at_service if visit == SERVICE else check.at_start_up


def _with_conditions_offered(wanted: list[Owed]) -> list[Owed]:
    """Return the list with each condition owed as far as an owed check needs it, and else only offered."""
    owed = {one.check for one in wanted if not one.optional}
    there = {one.check for one in wanted}
    wanted = [one for one in wanted if _is_of_use(one.declared, there)]
    return [replace(one, optional=_is_offered(one, owed, there)) for one in wanted]


def _is_of_use(check: Check, there: set[str]) -> bool:
    """Whether a check is no condition, or something on this system needs it."""
    users = _users(check)
    return not users or any(one.key in there for one in users)


def _is_offered(one: Owed, owed: set[str], there: set[str]) -> bool:
    users = [check for check in _users(one.declared) if check.key in there]
    if not users:
        return one.optional
    needs = [n for check in users if check.key in owed for n in check.needs if n.name == one.check]
    return all(n.optional for n in needs) and (one.optional or not needs)


def _users(check: Check) -> tuple[Check, ...]:
    """Return the checks that need a condition, other conditions left out; none for any other check."""
    return _users_by_key().get(check.key, ())


@cache
def _users_by_key() -> dict[str, tuple[Check, ...]]:
    conditions = [key for key, check in CHECKS.items() if check.is_condition]
    others = [check for check in CHECKS.values() if not check.is_condition]
    return {key: tuple(one for one in others if key in {n.name for n in one.needs}) for key in conditions}


@cache
def _places() -> dict[str, int]:
    return {key: place for place, key in enumerate(CHECKS)}


def _rank(owed: Owed) -> tuple[int, int, int]:
    """What is lost if not taken now, then what waits for nothing, then what days later brings.

    A condition goes right before the first check that needs it.
    """
    check = owed.declared
    users = _users(check)
    if users:
        return (*min(_place(one) for one in users), 0)
    return (*_place(check), 1)


def _place(check: Check) -> tuple[int, int]:
    """Return where a check stands by itself: its urgency, and its place in the catalogue."""
    place = _places()[check.key]
    if check.perishable:
        return (0, place)
    return (2 if check.from_laboratory else 1, place)


def _sorted_by_need(owed: list[Owed]) -> list[Owed]:
    """Return the list with each check moved behind those it waits for, otherwise in place."""
    placed: list[Owed] = []
    waiting = list(owed)
    keys = {o.check for o in owed}
    while waiting:
        ready = next((o for o in waiting if _is_free(o, waiting, keys)), waiting[0])
        waiting.remove(ready)
        placed.append(ready)
    return placed


def _is_free(owed: Owed, waiting: list[Owed], keys: set[str]) -> bool:
    before = {key for key in waits_for(owed.declared) if key in keys}
    return not any(o.check in before and o != owed for o in waiting)


def waits_for(check: Check) -> set[str]:
    """Return the keys of the checks that must come before: named ones, needs and those of its hold."""
    gate = HOLDS[check.gate].requires if check.gate else ()
    return (
        {*check.after, *gate} | {n.name for n in check.needs if not n.optional and not CHECKS[n.name].is_condition}
    ) - {check.key}
