"""What was put right in a record because it was typed wrongly: the thing itself was always so.

A set point that is moved makes what was measured before it stale; one that was only mistyped does not. The change
says which of the two it was, and keeps what stood there before (`was`).
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from commissioning.canonical import canonical_json
from commissioning.models import Site

MARK = '"was":'  # as canonical JSON writes it; a reading with that text in a reason is only read in vain


@dataclass(frozen=True)
class Correction:
    """One field of a component or run as it was typed wrongly, and as it was put right; both as canonical JSON."""

    id: str
    field: str
    was: str
    now: str


def corrections_of(site: Site) -> tuple[Correction, ...]:
    """Return every correction of a site's record, in the order in which they were made. One query."""
    events = site.events.filter(kind="record.changed", body__contains=MARK).order_by("sequence")
    return tuple(one for body in events.values_list("body", flat=True) for one in _in_event(json.loads(body)))


def _in_event(body: dict[str, Any]) -> Iterable[Correction]:
    for change in body["changes"]:
        plate = {**change.get("nameplate", {}), **change.get("fields", {})}  # the whole of it, or what was put right
        for field, was in change.get("was", {}).items():
            now = plate.get(field)
            yield Correction(change["id"], field, canonical_json(was), canonical_json(now))


@lru_cache(maxsize=64)
def corrected(text: str, corrections: tuple[Correction, ...]) -> str:
    """Return an earlier record as text, with what was put right since: what was typed wrongly never stood there."""
    if not corrections:
        return text
    document = json.loads(text)
    things = {one["id"]: one["nameplate"] for one in (*document["components"], *document["runs"])}
    for one in corrections:
        plate = things.get(one.id, {})
        if one.field in plate and canonical_json(plate[one.field]) == one.was:
            plate[one.field] = json.loads(one.now)
    return canonical_json(document)


def typed_before(stored: dict[str, Any], plate: dict[str, Any], fields: Iterable[str]) -> dict[str, Any]:
    """Return what stood in some fields before they were put right: those that hold something else now."""
    return {name: stored[name] for name in fields if name in stored and name in plate and stored[name] != plate[name]}
