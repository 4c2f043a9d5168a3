"""What could not be taken in is kept word for word, once, where the office sees it."""

from django.utils import timezone

from commissioning.canonical import canonical_json
from commissioning.items import Item
from commissioning.models import Quarantined, Site, User
from commissioning.sync.item_form import text_of
from commissioning.sync.strict import Faults


def set_apart(item: Item, site: Site, state: str, faults: Faults, sender: User) -> Quarantined:
    """Keep an item that was refused or that contradicts what stands; the same item twice is kept once."""
    known = Quarantined.objects.filter(digest=item["digest"]).first()
    return known or Quarantined.objects.create(
        site=site, event_id=item["id"], device=item["device"], device_sequence=item["n"], kind=item["kind"],
        state=state, faults=canonical_json(faults), text=text_of(item), digest=item["digest"], sent_by=sender,
        received_at=timezone.now(),
    )  # fmt: skip
