"""Evidence of what the owner says is wrong."""

from typing import Any

from commissioning import evidence
from commissioning.models import Event, OwnerSaid
from commissioning.projections import schemas as s
from commissioning.projections.visit import visit_of
from sizing.causes.symptoms import SYMPTOMS

SAYINGS: dict[str, Any] = {
    "type": "array", "items": {"enum": sorted(SYMPTOMS)}, "uniqueItems": True, "maxItems": len(SYMPTOMS),
}  # fmt: skip


@evidence.kind("owner.said", schema=s.body({"id": s.UUID, "visit": s.UUID, "symptoms": SAYINGS, "words": s.WORDS}))
def keep_saying(event: Event, body: dict[str, Any]) -> OwnerSaid:
    """Write what the owner says; what was said before on the visit stays on record."""
    if not body["symptoms"] and not body["words"].strip():
        raise evidence.RefusedError({"$.words": "choose what the owner says, or write it"})
    return OwnerSaid.objects.create(
        pk=body["id"], visit=visit_of(event, body), symptoms=body["symptoms"], words=body["words"], by=event.actor,
        at=event.recorded_at,
    )  # fmt: skip
