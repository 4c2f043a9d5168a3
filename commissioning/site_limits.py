"""Limits that a site has of its own: how they enter a judgement, and how they are printed."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from commissioning import units
from commissioning.models import SiteLimit
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.overrides import Override, overridden


@dataclass(frozen=True)
class LimitShown:
    """One limit of a site, ready to print."""

    limit: SiteLimit
    value: str
    label: str
    where: str
    by: str


def standing_limits(site_id: UUID) -> list[SiteLimit]:
    """Return the limits that count on a site today."""
    return list(SiteLimit.objects.standing().filter(site=site_id).select_related("by"))


def with_limits(check: Check, tag: str, limits: Iterable[SiteLimit]) -> Check:
    """Return a check with a site's limits in the place of its own; those of a tag go before those for all."""
    mine = [one for one in limits if one.check_key == check.key and one.subject in ("", tag)]
    mine.sort(key=lambda one: bool(one.subject))
    return overridden(check, {one.judged: override_of(one) for one in mine})


def override_of(one: SiteLimit) -> Override:
    """Return what a limit does to a judgement."""
    return Override(one.lower, one.upper, f"site limit by {one.by.get_full_name()}: {one.reason}")


def limits_shown(site_id: UUID, check: Check) -> list[LimitShown]:
    """Return the limits of a site for one check, as a page prints them."""
    return [shown(one) for one in standing_limits(site_id) if one.check_key == check.key]


def shown(one: SiteLimit) -> LimitShown:
    """Return a limit as it was typed, with its value's name, its subject and its owner."""
    judged = next((j for j in CHECKS[one.check_key].judged if j.name == one.judged), None)
    symbol = units.unit(one.unit, judged.quantity).symbol if judged else one.unit
    lower, upper = one.lower_typed, one.upper_typed
    text = f"{lower} … {upper}" if lower and upper else f"at least {lower}" if lower else f"at most {upper}"
    where = one.subject or "every one on this site"
    return LimitShown(one, f"{text} {symbol}".strip(), judged.label if judged else one.judged, where, str(one.by))
