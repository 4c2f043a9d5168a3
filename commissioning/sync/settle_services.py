"""A person settles what phones brought: chooses a value, gives up a photo, drops an item. Each is evidence."""

from collections.abc import Collection
from uuid import UUID, uuid5

from django.db import transaction

from commissioning import evidence, judging
from commissioning.models import Choice, Measurement, Photo, PhotoLoss, Quarantined, User, Visit
from commissioning.sync.intake import CHOSEN


@transaction.atomic
def choose_measurement(
    *, visit: Visit, id: UUID, chosen: Measurement, others: Collection[Measurement], reason: str, actor: User
) -> Choice:
    """Let one of several values count. The others stay on record, and may be chosen later."""
    known = Choice.objects.filter(pk=id).first()
    if known:
        return known
    body = {
        "id": str(id), "visit": str(visit.pk), "measurement": str(chosen.pk),
        "others": [str(one.pk) for one in others], "reason": reason,
    }  # fmt: skip
    event_id = uuid5(id, "measurement.chosen")
    event = evidence.append(site=visit.site, kind="measurement.chosen", body=body, actor=actor, event_id=event_id)
    assert isinstance(event.projected, Choice)
    judging.judge_visit_again(visit, actor=actor, because=CHOSEN)
    return event.projected


@transaction.atomic
def give_photo_up(*, photo: Photo, reason: str, actor: User) -> None:
    """Say that the file of a photo will not come, and why; saying it twice changes nothing."""
    if PhotoLoss.objects.filter(photo=photo).exists():
        return
    body = {"photo": str(photo.pk), "reason": reason}
    evidence.append(site=photo.visit.site, kind="photo.lost", body=body, actor=actor)


@transaction.atomic
def drop_item(*, item: Quarantined, reason: str, actor: User) -> None:
    """Say that an item is given up, and why; word for word it stays in quarantine."""
    body = {"item": str(item.event_id), "digest": item.digest, "kind": item.kind, "reason": reason}
    event_id = uuid5(item.pk, "item.dropped")
    evidence.append(site=item.site, kind="item.dropped", body=body, actor=actor, event_id=event_id)
