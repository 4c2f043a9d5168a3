"""Evidence that the office sets a limit of a site, or lifts it."""

from typing import Any, cast

from commissioning import evidence, units
from commissioning.models import Component, Event, Run, Site, SiteLimit
from commissioning.projections import schemas as s
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Judged
from sizing.holds import hold_that_fixes
from sizing.system import SITE

TYPED: dict[str, Any] = {"type": "string", "maxLength": 40}


@evidence.kind(
    "limit.set",
    schema=s.body(
        {
            "id": s.UUID,
            "check": {"enum": sorted(CHECKS)},
            "judged": s.KEY,
            "subject": {"type": "string", "maxLength": 40},
            "lower": TYPED,
            "upper": TYPED,
            "unit": {"type": "string", "maxLength": 20},
            "reason": s.REASON,
        }
    ),
)
def set_limit(event: Event, body: dict[str, Any]) -> SiteLimit:
    """Write a limit; one that stood for the same value is lifted by it."""
    check = CHECKS[body["check"]]
    judged = judged_of(check, body["judged"])
    lower, upper = (_side(body, name, judged) for name in ("lower", "upper"))
    if lower is None and upper is None:
        raise evidence.RefusedError({"$.lower": "type a lower or an upper limit"})
    if lower is not None and upper is not None and lower > upper:
        raise evidence.RefusedError({"$.lower": "must not lie above the upper limit"})
    _refuse_unknown_subject(event, body["subject"])
    same = {"site": event.site, "check_key": check.key, "judged": judged.name, "subject": body["subject"]}
    SiteLimit.objects.standing().filter(**same).update(
        lifted_at=event.recorded_at, lifted_by=event.actor, lifted_reason=f"replaced: {body['reason']}"
    )
    return SiteLimit.objects.create(
        pk=body["id"], **same, lower_typed=body["lower"], upper_typed=body["upper"], unit=body["unit"], lower=lower,
        upper=upper, reason=body["reason"], by=event.actor, at=event.recorded_at,
    )  # fmt: skip


def judged_of(check: Check, name: str) -> Judged:
    """Return the judged value that a limit is for, or refuse: what keeps people safe has no limits of a site."""
    hold = hold_that_fixes(check.key)
    if hold is not None:
        raise evidence.RefusedError({"$.check": f"the hold {hold.title} can only be settled: its limits stay"})
    found = next((j for j in check.judged if j.name == name), None)
    if found is None or check.is_condition:
        raise evidence.RefusedError({"$.judged": f"{check.key} judges no {name}"})
    return found


def _side(body: dict[str, Any], name: str, judged: Judged) -> float | None:
    if not body[name]:
        return None
    try:
        return units.parse(body[name], body["unit"], judged.quantity).value_core
    except (units.InputError, units.UnknownUnitError) as error:
        raise evidence.RefusedError({f"$.{name}": str(error)}) from error


def _refuse_unknown_subject(event: Event, tag: str) -> None:
    if tag in ("", SITE):
        return
    there = {"site": event.site, "tag": tag}
    if not (Component.objects.standing().filter(**there).exists() or Run.objects.standing().filter(**there).exists()):
        raise evidence.RefusedError({"$.subject": f"{tag} is not in the as-built record"})


@evidence.kind("limit.lifted", schema=s.body({"limit": s.UUID, "reason": s.REASON}))
def lift_limit(event: Event, body: dict[str, Any]) -> SiteLimit:
    """Write who lifted a limit, and why; the check's own limits count again."""
    found = SiteLimit.objects.standing().filter(pk=body["limit"], site=cast(Site, event.site)).first()
    if found is None:
        raise evidence.RefusedError({"$.limit": "no such limit stands on this site"})
    found.lifted_at, found.lifted_by, found.lifted_reason = event.recorded_at, event.actor, body["reason"]
    found.save(update_fields=["lifted_at", "lifted_by", "lifted_reason"])
    return found
