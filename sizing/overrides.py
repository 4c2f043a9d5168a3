"""Limits that a site sets in the place of a check's own, with their owner in the basis."""

import dataclasses
from collections.abc import Mapping

from sizing.checks.case import Case, Expected
from sizing.checks.declare import Check, Expecting, Judged
from sizing.errors import OutOfRangeError
from sizing.holds import hold_that_fixes
from sizing.records import record


@record
class Override:
    """Limits of a site for one judged value, in core units; a side that is None keeps the check's own."""

    lower: float | None
    upper: float | None
    basis: str
    """Whose limit it is and why."""


def overridden(check: Check, overrides: Mapping[str, Override]) -> Check:
    """Return a check whose judged values have a site's limits. What keeps people safe stays as it is."""
    if not overrides or hold_that_fixes(check.key) is not None:
        return check
    judged = tuple(_judged(one, overrides[one.name]) if one.name in overrides else one for one in check.judged)
    return dataclasses.replace(check, judged=judged)


def _judged(judged: Judged, override: Override) -> Judged:
    return dataclasses.replace(judged, expected=_expecting(judged.expected, override))


def _expecting(own: Expecting, override: Override) -> Expecting:
    def expected(case: Case) -> Expected:
        found = own(case)
        lower = override.lower if override.lower is not None else found.lower
        upper = override.upper if override.upper is not None else found.upper
        if lower is not None and upper is not None and lower > upper:
            raise OutOfRangeError("site limit", f"{lower:g} … {upper:g}", "such that the lower lies below the upper")
        return dataclasses.replace(found, lower=lower, upper=upper, basis=_basis(found, override))

    return expected


def _basis(own: Expected, override: Override) -> str:
    """Return whose limits these are; a side that the site has left names the check's own basis."""
    kept = [
        side
        for side, ours, theirs in (("lower", override.lower, own.lower), ("upper", override.upper, own.upper))
        if ours is None and theirs is not None
    ]
    return f"{override.basis}; {kept[0]} limit: {own.basis}" if kept else override.basis
