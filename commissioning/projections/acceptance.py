"""Evidence about what stands between a visit and its sheet: defects raised and put right."""

from typing import Any, cast

from django.db.models import Max
from django.utils.dateparse import parse_date

from commissioning import evidence
from commissioning.models import Defect, Event, Site
from commissioning.projections import schemas as s
from commissioning.projections.visit import visit_of


@evidence.kind(
    "defect.raised",
    schema=s.body(
        {"id": s.UUID, "visit": s.UUID, "words": s.REASON, "is_unsafe": {"type": "boolean"}},
        {
            "check": {"anyOf": [s.KEY, {"const": ""}]},
            "subject": {"type": "string", "maxLength": 40},
            "who": {"type": "string", "maxLength": 120},
            "due": s.maybe(s.DAY),
        },
    ),
)
def raise_defect(event: Event, body: dict[str, Any]) -> Defect:
    """Write a defect under the next number of its site."""
    visit = visit_of(event, body)
    last = Defect.objects.filter(site=event.site).aggregate(last=Max("number"))["last"] or 0
    return Defect.objects.create(
        pk=body["id"], site=cast(Site, event.site), visit=visit, number=last + 1, check_key=body.get("check", ""),
        subject=body.get("subject", ""), words=body["words"], is_unsafe=body["is_unsafe"], who=body.get("who", ""),
        due=parse_date(body["due"]) if body.get("due") else None, raised_by=event.actor, raised_at=event.recorded_at,
    )  # fmt: skip


@evidence.kind("defect.put_right", schema=s.body({"defect": s.UUID, "words": s.REASON}))
def put_defect_right(event: Event, body: dict[str, Any]) -> Defect:
    """Write who put a defect right, and how. It can be put right once."""
    defect = Defect.objects.filter(pk=body["defect"], site=event.site).first()
    if defect is None:
        raise evidence.WaitsError({"$.defect": "there is no such defect on this site"})
    if defect.put_right_at is not None:
        raise evidence.RefusedError({"$.defect": "this defect has been put right already"})
    defect.put_right_at, defect.put_right_by = event.recorded_at, event.actor
    defect.put_right_words = body["words"]
    defect.save(update_fields=["put_right_at", "put_right_by", "put_right_words"])
    return defect
