"""Evidence that the office accepts a departure."""

from typing import Any

from django.utils.dateparse import parse_date

from commissioning import evidence
from commissioning.models import Concession, Event
from commissioning.projections import schemas as s
from commissioning.projections.visit import visit_of
from sizing.checks.catalogue import CHECKS
from sizing.holds import hold_that_fixes


@evidence.kind(
    "concession.granted",
    schema=s.body(
        {"id": s.UUID, "visit": s.UUID, "check": {"enum": sorted(CHECKS)}, "subject": s.TAG, "reason": s.REASON},
        {"expires_on": s.maybe(s.DAY)},
    ),
)
def grant_concession(event: Event, body: dict[str, Any]) -> Concession:
    """Write a concession. What keeps people safe from voltage or bad water is put right, never conceded."""
    hold = hold_that_fixes(body["check"])
    if hold is not None:
        raise evidence.RefusedError({"$.check": f"the hold {hold.title} can only be settled: this is put right"})
    return Concession.objects.create(
        pk=body["id"], visit=visit_of(event, body), check_key=body["check"], subject=body["subject"],
        reason=body["reason"], expires_on=parse_date(body["expires_on"]) if body.get("expires_on") else None,
        by=event.actor, at=event.recorded_at,
    )  # fmt: skip
