"""What a person does on a return that belongs to no check."""

from typing import cast
from uuid import UUID

from django.db import transaction

from commissioning import evidence
from commissioning.models import OwnerSaid, User, Visit
from commissioning.visits.services import event_id

KIND = "owner.said"


@transaction.atomic
def keep_saying(*, visit: Visit, id: UUID, symptoms: list[str], words: str, actor: User) -> OwnerSaid:
    """Keep what the owner says on a visit; sent twice it is kept once."""
    known = OwnerSaid.objects.filter(pk=id, visit=visit).first()
    if known:
        return known
    body = {"id": str(id), "visit": str(visit.pk), "symptoms": symptoms, "words": words.strip()}
    event = evidence.append(site=visit.site, kind=KIND, body=body, actor=actor, event_id=event_id(id, KIND))
    return cast(OwnerSaid, event.projected)
