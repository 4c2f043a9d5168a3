"""What an as-built system owes on a visit, and in which order."""

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.holds import HOLDS
from sizing.owed import Owed
from sizing.system import System

START_UP = "start_up"
SERVICE = "service"


def order_of_checks(system: System, visit: str = START_UP) -> list[Owed]:
    """Return every owed check of a visit in working order.

    Perishable checks come first wherever they can still be had, each behind what it needs; the rest
    follow the catalogue. A check never stands before one named in its `after` or in its hold.
    """
    wanted = [
        Owed(check.key, tag)
        for check in CHECKS.values()
        if visit != SERVICE or _is_for_service(check)
        for tag in check.subjects(system)
    ]
    placed = _sorted_by_need(sorted(wanted, key=_rank))
    return [Owed(o.check, o.subject, i) for i, o in enumerate(placed, 1)]


def _is_for_service(check: Check) -> bool:
    """Whether a check is repeated at service, or is a condition that a repeated one needs."""
    return check.at_service or any(one.at_service for one in _users(check))


def _users(check: Check) -> list[Check]:
    """Return the checks that need a condition, other conditions left out; none for any other check."""
    if not check.is_condition:
        return []
    return [one for one in CHECKS.values() if not one.is_condition and check.key in {n.name for n in one.needs}]


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
    place = list(CHECKS).index(check.key)
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
