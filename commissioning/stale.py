"""Measurements that a later change of the as-built record has made stale: owed again, with the reason.

A measurement stands on the record as it was when it was first judged, which is when it came in. Where today's record
differs from that in a way that touches it (`sizing.staleness`), it no longer speaks for what is there.
"""

import json
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from commissioning import snapshot
from commissioning.canonical import digest
from commissioning.corrections import Correction, corrected, corrections_of
from commissioning.models import Measurement, Snapshot, Visit
from commissioning.nameplates import NameplateError
from sizing.errors import SystemShapeError
from sizing.staleness import retagged, stale_checks
from sizing.system import System

Key = tuple[str, str]
Reasons = dict[Key, str]
GONE = " (retired)"  # of a part whose tag another one bears today


def stale_reasons(visit: Visit, taken: Mapping[Key, list[Measurement]], text: str) -> Reasons:
    """Return why the latest measurement of an owed check no longer counts; those that still count are left out.

    `text` is the record as it stands. A check taken again on a later visit is not owed again on this one. Asks no
    query where the record has not changed since.
    """
    latest = {key: rows[-1] for key, rows in taken.items()}
    then = {key: name for key, row in latest.items() if (name := first_snapshot(row)) and name != digest(text)}
    if not then:
        return {}
    bodies = dict(Snapshot.objects.filter(pk__in=set(then.values())).values_list("pk", "body"))
    known = corrections_of(visit.site)
    before = {name: corrected(body, known) for name, body in bodies.items()}
    found = {key: why for key, name in then.items() if (why := dict(_between(before[name], text)).get(key))}
    return _without_repeated(visit, found, latest, text, known) if found else {}


def first_snapshot(row: Measurement) -> str:
    """Return the name of the record on which a measurement was first judged."""
    first = min(row.judgements.all(), key=lambda j: j.made_at, default=None)
    return str(first.snapshot_id) if first else ""


def _without_repeated(
    visit: Visit, found: Reasons, latest: Mapping[Key, Measurement], text: str, known: tuple[Correction, ...]
) -> Reasons:
    """Return the reasons less those whose check was taken again since, on another visit and on a record that holds."""
    later = (
        Measurement.objects.current()
        .on_standing()
        .filter(visit__site=visit.site_id, check_key__in={check for check, _ in found})
        .exclude(visit=visit)
        .prefetch_related("judgements__snapshot")
        .select_related("component", "run")
    )
    again = {
        key
        for row in later
        if (key := (row.check_key, tag_now(row))) in found
        and row.taken_at > latest[key].taken_at
        and not is_stale(row, key, text, known)
    }
    return {key: why for key, why in found.items() if key not in again}


def is_stale(row: Measurement, key: Key, text: str, known: tuple[Correction, ...] | None = None) -> bool:
    """Whether the record has changed since a measurement first was judged, so that it no longer speaks for it."""
    first = min(row.judgements.all(), key=lambda j: j.made_at, default=None)
    if first is None or first.snapshot.body == text:
        return False
    known = corrections_of(row.visit.site) if known is None else known
    return key in dict(_between(corrected(first.snapshot.body, known), text))


def changed_between(then: Measurement, now: Measurement, key: Key, known: tuple[Correction, ...]) -> str:
    """Return what changed between two measurements of one check so that they are not of the same thing; else empty.

    Both are taken on the record on which they were first judged; their judgements must come with their snapshots.
    """
    if (then.component_id, then.run_id) != (now.component_id, now.run_id):
        return f"{now.subject} was replaced"
    bodies = [_first_body(one) for one in (then, now)]
    if not all(bodies):
        return ""
    before, after = (corrected(body, known) for body in bodies)
    return dict(_between(before, after)).get(key, "")


def _first_body(row: Measurement) -> str:
    first = min(row.judgements.all(), key=lambda j: j.made_at, default=None)
    return first.snapshot.body if first else ""


def tag_now(row: Measurement) -> str:
    """Return the tag that the subject bears today."""
    if row.component is not None:
        return str(row.component.tag)
    return str(row.run.tag) if row.run is not None else str(row.subject)


@lru_cache(maxsize=64)
def _between(before: str, after: str) -> tuple[tuple[Key, str], ...]:
    """Return what is owed again between two records, as texts: key and reason."""
    if before == after:
        return ()
    old, new = json.loads(before), json.loads(after)
    try:
        stale = stale_checks(_as_called_today(old, new), snapshot.system_of(new))
    except (SystemShapeError, NameplateError):
        return ()  # one of the two has no sound shape: the page says so itself
    return tuple(((one.check, one.subject), one.reason) for one in stale)


def _as_called_today(old: dict[str, Any], new: dict[str, Any]) -> System:
    """Return the earlier system with the tags that its components and runs bear today."""
    today = {one["id"]: one["tag"] for one in _things(new)}
    borne = set(today.values())
    tags = {}
    for one in _things(old):
        if one["id"] in today:
            tags[one["tag"]] = today[one["id"]]
        elif one["tag"] in borne:
            tags[one["tag"]] = f"{one['tag']}{GONE}"
    return retagged(snapshot.system_of(old), tags)


def _things(document: dict[str, Any]) -> Iterable[dict[str, Any]]:
    return [*document["components"], *document["runs"]]
