"""Evidence about a visit: begun, checks set aside, holds released, signed, ended."""

from datetime import UTC, datetime
from typing import Any, cast

from django.utils.dateparse import parse_datetime

from commissioning import evidence
from commissioning.models import Event, HoldRelease, SetAside, SettingAside, Signature, Site, Visit, VisitKind
from commissioning.projections import schemas as s
from sizing.holds import HOLDS


def moment(text: str, where: str) -> datetime:
    """Return a moment with its offset, or refuse the place in the body."""
    try:
        found = parse_datetime(text)
        if found is not None and found.tzinfo is not None:
            found.astimezone(UTC)  # overflows at either end of the calendar
            return found
    except (ValueError, OverflowError):
        raise evidence.RefusedError({where: "there is no such time"}) from None
    raise evidence.RefusedError({where: "a time needs its offset from UTC"})


def visit_of(event: Event, body: dict[str, Any]) -> Visit:
    """Return the visit named in a body, if it belongs to the event's site."""
    found = Visit.objects.filter(pk=body["visit"], site=event.site).first()
    if found is None:
        raise evidence.WaitsError({"$.visit": "there is no such visit on this site"})
    found.site = cast(Site, event.site)  # read already
    return found


@evidence.kind(
    "visit.begun", schema=s.body({"visit": s.UUID, "kind": {"enum": VisitKind.values}, "started_at": s.MOMENT})
)
def begin_visit(event: Event, body: dict[str, Any]) -> Visit:
    visit = Visit.objects.create(
        pk=body["visit"],
        site=cast(Site, event.site),
        kind=body["kind"],
        started_at=moment(body["started_at"], "$.started_at"),
    )
    visit.technicians.add(event.actor)
    return visit


@evidence.kind(
    "check.set_aside",
    schema=s.body(
        {
            "id": s.UUID,
            "visit": s.UUID,
            "check": s.KEY,
            "subject": s.TAG,
            "how": {"enum": SetAside.values},
            "reason": s.WORDS,
        }
    ),
)
def set_check_aside(event: Event, body: dict[str, Any]) -> SettingAside:
    if body["how"] not in (SetAside.PARKED, SetAside.TAKEN_UP) and not body["reason"].strip():
        raise evidence.RefusedError({"$.reason": "say why"})
    return SettingAside.objects.create(
        pk=body["id"],
        visit=visit_of(event, body),
        check_key=body["check"],
        subject=body["subject"],
        how=body["how"],
        reason=body["reason"],
        by=event.actor,
        at=event.recorded_at,
    )


@evidence.kind(
    "hold.released", schema=s.body({"id": s.UUID, "visit": s.UUID, "hold": {"enum": sorted(HOLDS)}, "reason": s.REASON})
)
def release_hold(event: Event, body: dict[str, Any]) -> HoldRelease:
    if HOLDS[body["hold"]].only_settled:
        raise evidence.RefusedError({"$.hold": "this hold can only be settled, never released"})
    return HoldRelease.objects.create(
        pk=body["id"],
        visit=visit_of(event, body),
        hold=body["hold"],
        reason=body["reason"],
        by=event.actor,
        at=event.recorded_at,
    )


@evidence.kind(
    "visit.signed",
    schema=s.body(
        {
            "id": s.UUID,
            "visit": s.UUID,
            "printed_name": {"type": "string", "minLength": 1, "maxLength": 120},
            "role": {"type": "string", "minLength": 1, "maxLength": 60},
            "meaning": {"type": "string", "minLength": 1, "maxLength": 200},
            "strokes": {"type": "string", "maxLength": 200_000},
            "shown_hash": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
        }
    ),
)
def sign_visit(event: Event, body: dict[str, Any]) -> Signature:
    return Signature.objects.create(
        pk=body["id"],
        visit=visit_of(event, body),
        printed_name=body["printed_name"],
        role=body["role"],
        meaning=body["meaning"],
        strokes=body["strokes"],
        shown_hash=body["shown_hash"],
        by=event.actor,
        at=event.recorded_at,
    )


@evidence.kind("visit.ended", schema=s.body({"visit": s.UUID, "left_isolated": {"type": "boolean"}, "reason": s.WORDS}))
def end_visit(event: Event, body: dict[str, Any]) -> Visit:
    """Write how a visit ended. Of two endings, by two phones, the first stands; "left isolated" is never lost."""
    visit = visit_of(event, body)
    if visit.ended_at is None:
        visit.ended_at = event.recorded_at
    if body["left_isolated"] or not visit.left_isolated:
        visit.left_isolated, visit.left_isolated_reason = body["left_isolated"], body["reason"]
    visit.full_clean(exclude=["site", "technicians"])
    visit.save()
    return visit
