"""Evidence of how what phones brought was settled: a value chosen, a photo given up, an item dropped."""

from typing import Any, cast

from commissioning import evidence
from commissioning.models import Choice, Event, ItemSettled, Measurement, PassedOver, Photo, PhotoLoss, Site
from commissioning.projections import schemas as s
from commissioning.projections.visit import visit_of

SHA256: dict[str, Any] = {"type": "string", "pattern": "^[0-9a-f]{64}$"}


@evidence.kind(
    "measurement.chosen",
    schema=s.body(
        {
            "id": s.UUID,
            "visit": s.UUID,
            "measurement": s.UUID,
            "others": {"type": "array", "items": s.UUID, "minItems": 1, "maxItems": 50, "uniqueItems": True},
            "reason": s.REASON,
        }
    ),
)
def choose_measurement(event: Event, body: dict[str, Any]) -> Choice:
    """Write which of several values of one owed check counts; the others are passed over, and stay."""
    visit = visit_of(event, body)
    chosen, *others = (_measured(visit.pk, one) for one in (body["measurement"], *body["others"]))
    if any((one.check_key, one.subject) != (chosen.check_key, chosen.subject) for one in others) or chosen in others:
        raise evidence.RefusedError({"$.others": "must be other values of the same check"})
    choice = Choice.objects.create(
        pk=body["id"], measurement=chosen, reason=body["reason"], by=event.actor, at=event.recorded_at
    )
    PassedOver.objects.filter(measurement=chosen).delete()
    for one in others:
        PassedOver.objects.update_or_create(measurement=one, defaults={"choice": choice})
    return choice


def _measured(visit_id: Any, id: str) -> Measurement:
    found = Measurement.objects.filter(pk=id, visit=visit_id).first()
    if found is None:
        raise evidence.WaitsError({"$.measurement": "there is no such measurement on this visit"})
    return found


@evidence.kind("photo.lost", schema=s.body({"photo": s.UUID, "reason": s.REASON}))
def give_photo_up(event: Event, body: dict[str, Any]) -> PhotoLoss:
    """Write why the file of a photo will not come. What was said with it stays, and so does its hash."""
    photo = Photo.objects.filter(pk=body["photo"], visit__site=event.site).first()
    if photo is None:
        raise evidence.WaitsError({"$.photo": "there is no such photo on this site"})
    if PhotoLoss.objects.filter(photo=photo).exists():
        raise evidence.RefusedError({"$.photo": "this photo has been given up already"})
    return PhotoLoss.objects.create(photo=photo, reason=body["reason"], by=event.actor, at=event.recorded_at)


@evidence.kind(
    "item.dropped",
    schema=s.body(
        {"item": s.UUID, "digest": SHA256, "kind": {"type": "string", "maxLength": 64}, "reason": s.REASON},
        {"visit": s.UUID, "faults": s.WORDS},
    ),
)
def drop_item(event: Event, body: dict[str, Any]) -> ItemSettled:
    """Write that an item which could not be taken in is given up, and why. Word for word it stays in quarantine."""
    return ItemSettled.objects.create(
        pk=event.pk, site=cast(Site, event.site), digest=body["digest"], reason=body["reason"], by=event.actor,
        at=event.recorded_at,
    )  # fmt: skip


@evidence.kind(
    "file.brought_in",
    schema=s.body({"sha256": SHA256, "stored": {"type": "array", "items": s.UUID, "minItems": 1}}),
)
def note_file(event: Event, body: dict[str, Any]) -> None:
    """Leave it at the event: who of the office brought which file, and the evidence that came of it."""
