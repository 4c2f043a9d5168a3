"""Evidence of what went to a laboratory and what came back. What the report says is measured at its checks."""

from typing import Any

from commissioning import evidence
from commissioning.models import Event, LaboratoryReport, LaboratorySample
from commissioning.projections import schemas as s
from commissioning.projections.instrument import day_in
from commissioning.projections.visit import visit_of

REPORT_TYPES = ("application/pdf", "image/jpeg", "image/png")
PLACE: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 120, "pattern": r"\S"}
NUMBER: dict[str, Any] = {"type": "string", "minLength": 1, "maxLength": 80, "pattern": r"\S"}


@evidence.kind(
    "laboratory.sent",
    schema=s.body({"id": s.UUID, "visit": s.UUID, "laboratory": PLACE, "sent_on": s.DAY, "words": s.WORDS}),
)
def send_sample(event: Event, body: dict[str, Any]) -> LaboratorySample:
    """Write that a sample of a visit was handed to a laboratory."""
    return LaboratorySample.objects.create(
        pk=body["id"], visit=visit_of(event, body), laboratory=body["laboratory"],
        sent_on=day_in(body["sent_on"], "$.sent_on"), words=body["words"], by=event.actor, at=event.recorded_at,
    )  # fmt: skip


@evidence.kind(
    "laboratory.reported",
    schema=s.body(
        {
            "id": s.UUID,
            "sample": s.UUID,
            "number": NUMBER,
            "method": s.LINE,
            "received_on": s.DAY,
            "sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
            "media_type": {"enum": sorted(REPORT_TYPES)},
        }
    ),
)
def keep_report(event: Event, body: dict[str, Any]) -> LaboratoryReport:
    """Write a laboratory's report. It settles no hold: the values typed at the checks do."""
    sample = LaboratorySample.objects.filter(pk=body["sample"], visit__site=event.site).first()
    if sample is None:
        raise evidence.WaitsError({"$.sample": "there is no such sample on this site"})
    return LaboratoryReport.objects.create(
        pk=body["id"], sample=sample, number=body["number"], method=body["method"],
        received_on=day_in(body["received_on"], "$.received_on"), sha256=body["sha256"],
        media_type=body["media_type"], by=event.actor, at=event.recorded_at,
    )  # fmt: skip
