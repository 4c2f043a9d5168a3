"""What an as-built system owes on a visit, and in which order."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import cache

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.holds import HOLDS
from sizing.owed import Owed
from sizing.service_order import for_service
from sizing.system import System

BEFORE_COVER = "before_cover"
START_UP = "start_up"
SERVICE = "service"

FULL = "full"

Place = tuple[int, ...]


def order_of_checks(
    system: System, visit: str = START_UP, in_baseline: Collection[str] = (), symptoms: Sequence[str] = ()
) -> list[Owed]:
    """Return every check of a visit in working order, those that are only offered among them.

    Perishable checks come first wherever they can still be had, each behind what it needs; the rest
    follow the catalogue, and at service the rule of `sizing/service_order.py`. A check never stands before one named
    in its `after` or in its hold.
    `in_baseline` holds the ids of what was measured when the system was handed over: of the checks
    that are otherwise only offered, these are owed again at service. `symptoms` are the keys of what the owner says:
    they move no number, what they ask for says so in `first`.
    """
    wanted = [
        Owed(check.key, tag, optional=check.tier == FULL and f"{check.key}:{tag}" not in in_baseline)
        for check in CHECKS.values()
        if _belongs_to(check, visit)
        for tag in check.subjects(system)
    ]
    told, places = for_service(system, wanted, symptoms, waits_for) if visit == SERVICE else _as_built(wanted)
    found = sorted(_with_conditions_offered(told), key=lambda one: _rank(one, places))
    return [replace(one, number=i) for i, one in enumerate(_sorted_by_need(found), 1)]


def _as_built(wanted: list[Owed]) -> tuple[list[Owed], dict[str, Place]]:
    """Return what a visit wants that builds the system up, with why some of it comes first, and the place of each."""
    told = [replace(one, first=one.declared.perishable) for one in wanted]
    return told, {key: _place(check) for key, check in CHECKS.items()}


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
    """Return the checks that need a condition; other conditions only where nothing else does. None for any other."""
    return _users_by_key().get(check.key, ())


@cache
def _users_by_key() -> dict[str, tuple[Check, ...]]:
    users: dict[str, tuple[Check, ...]] = {}
    for key in (key for key, check in CHECKS.items() if check.is_condition):
        found = [one for one in CHECKS.values() if key in {n.name for n in one.needs}]
        users[key] = tuple(one for one in found if not one.is_condition) or tuple(found)
    return users


@cache
def _places() -> dict[str, int]:
    return {key: place for place, key in enumerate(CHECKS)}


def _rank(owed: Owed, places: Mapping[str, Place]) -> Place:
    """What is lost if not taken now, then what waits for nothing, then what days later brings.

    A condition goes right before the first check that needs it.
    """
    users = [places[one.key] for one in _users(owed.declared) if one.key in places]
    if users:
        return (*min(users), 0)
    return (*places.get(owed.id, places[owed.check]), 1)


def _place(check: Check) -> Place:
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
