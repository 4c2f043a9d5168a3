"""Which checks matter when others are taken: what those need, what needs them, and what that needs in turn."""

from collections.abc import Collection
from functools import lru_cache

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Kind


def relevant_to(taken: Collection[str], measured: Collection[str]) -> set[str]:
    """Return the checks whose measurements must be read to judge `taken`, and all that changes with them.

    `measured` are the checks of which there is any measurement on the visit; of the others there is nothing to read.
    """
    found: set[str] = set()
    for key in taken:
        found |= needs_of(key)
    for key in followers_of(frozenset(taken)):
        if key in measured or _can_be_derived(CHECKS[key], measured):
            found |= {key, *needs_of(key)}
    return found & set(measured)


@lru_cache(maxsize=512)
def needs_of(key: str) -> frozenset[str]:
    """Return the checks whose results a check uses."""
    return frozenset(need.name for need in CHECKS[key].needs)


@lru_cache(maxsize=512)
def followers_of(keys: frozenset[str]) -> frozenset[str]:
    """Return the checks that use a result of these, however far removed; and those that the record alone calls for."""
    found = {key for key, check in CHECKS.items() if follows_from_record(check)}
    while True:
        more = {key for key in CHECKS if key not in found and needs_of(key) & (keys | found)}
        if not more:
            return frozenset(found)
        found |= more


def follows_from_record(check: Check) -> bool:
    """Whether a check is derived from the record alone: it waits for no measurement."""
    return check.kind is Kind.DERIVED and all(need.optional for need in check.needs)


def _can_be_derived(check: Check, measured: Collection[str]) -> bool:
    return check.kind is Kind.DERIVED and all(need.optional or need.name in measured for need in check.needs)


@lru_cache(maxsize=1)
def in_order_of_need() -> list[Check]:
    """Return the catalogue with every check behind those it needs."""
    placed: dict[str, Check] = {}

    def place(check: Check) -> None:
        if check.key in placed:
            return
        for need in check.needs:
            place(CHECKS[need.name])
        placed[check.key] = check

    for check in CHECKS.values():
        place(check)
    return list(placed.values())
