"""The form in which a phone keeps one piece of evidence: what is in it, and the digest that it makes of it."""

import json
from typing import Any

from commissioning.canonical import canonical_json, digest
from commissioning.models import Event

Item = dict[str, Any]

VERSION = 1  # of the form, as a phone writes it today
OLDEST_VERSION = 1  # the oldest that is still read


def digest_of_item(item: Item) -> str:
    """Return the SHA-256 of an item's canonical text, its own digest left out."""
    return digest(canonical_json({name: value for name, value in item.items() if name != "digest"}))


def item_of(event: Event, version: int = VERSION) -> Item:
    """Return an event as the item that the phone kept."""
    item: Item = {
        "v": version, "id": str(event.pk), "device": event.device, "n": event.device_sequence,
        "user": str(event.actor.handle), "site": str(event.site_id), "kind": event.kind,
        "body": json.loads(event.body), "clock": json.loads(event.clock or "{}"),
    }  # fmt: skip
    return {**item, "shown": json.loads(event.shown)} if event.shown else item


def is_as_kept(event: Event) -> bool:
    """Whether an event still says what the phone made its digest of."""
    try:
        return any(
            digest_of_item(item_of(event, version)) == event.digest for version in range(OLDEST_VERSION, VERSION + 1)
        )
    except ValueError:
        return False
