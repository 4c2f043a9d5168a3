"""What became of a component or run, from the evidence: added, changed, replaced, retired."""

import json
from dataclasses import dataclass
from typing import Any

from django.db.models import Q

from commissioning.asbuilt.site_rows import day
from commissioning.models import Component, Run

MOST_SHOWN = 50


@dataclass(frozen=True)
class Entry:
    """One line of the history: when, who, what was done, and why."""

    when: str
    who: str
    what: str
    reason: str


def history_of(item: Component | Run) -> list[Entry]:
    """Return what was done to whatever stands or stood under this tag, the latest first."""
    model = type(item)
    ids = [str(pk) for pk in model.objects.filter(site=item.site, tag=item.tag).values_list("pk", flat=True)]
    named = Q()
    for one in ids:
        named |= Q(body__contains=one)
    events = item.site.events.filter(named, kind="record.changed").select_related("actor").order_by("sequence")
    seen: set[str] = set()
    found: list[Entry] = []
    for event in events:
        body = json.loads(event.body)
        what = _done([one for one in body["changes"] if one["id"] in ids], seen)
        if what:
            found.append(Entry(day(event.recorded_at, item.site), str(event.actor), what, body.get("reason", "")))
    return found[::-1][:MOST_SHOWN]


def _done(changes: list[dict[str, Any]], seen: set[str]) -> str:
    """Return in a word what one event did; `seen` are the ids that stood under the tag before it."""
    new = [one["id"] for one in changes if one["op"] == "put" and one["id"] not in seen]
    is_retired = any(one["op"] == "retire" for one in changes)
    was_there = bool(seen)
    seen.update(one["id"] for one in changes)
    if new:
        return "replaced" if is_retired else ("put back" if was_there else "added")
    if is_retired:
        return "retired"
    if any("was" in one for one in changes):
        return "put right what was typed wrongly"
    return "changed" if changes else ""
