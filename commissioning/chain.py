"""How events hang together: each hash covers the one before it, and a daily head covers all chains."""

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from itertools import groupby
from typing import Any

from django.db.models import Max

from commissioning.canonical import NotCanonicalError, canonical_json, digest
from commissioning.items import is_as_kept
from commissioning.models import DailyHead, Event

NOTHING_BEFORE = "0" * 64
OFFICE_CHAIN = "office"  # events that concern no single site

LATER_FIELDS = ("clock", "shown", "digest")  # hashed where they are set, so that older hashes stay as they are

Heads = dict[str, list[Any]]  # chain → [sequence, hash]


def event_hash(event: Event) -> str:
    """Return the SHA-256 over the hash before, the header's fields and the body, one on each line.

    What a phone added (its clock, the verdict it showed, its own digest) stands in the header where there is any.
    """
    header = {
        "id": str(event.id),
        "site": str(event.site_id) if event.site_id else None,
        "sequence": event.sequence,
        "device": event.device,
        "device_sequence": event.device_sequence,
        "kind": event.kind,
        "actor": str(event.actor.handle),
        "origin": event.origin,
        "recorded_at": instant(event.recorded_at),
        "received_at": instant(event.received_at),
        **{name: text for name in LATER_FIELDS if (text := getattr(event, name))},
    }
    return digest("\n".join((event.previous_hash, canonical_json(header), event.body)))


def instant(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def chain_of(event: Event) -> str:
    return str(event.site_id) if event.site_id else OFFICE_CHAIN


def daily_hash(head: DailyHead) -> str:
    return digest("\n".join((head.previous_hash, head.day.isoformat(), head.heads)))


def close_past_days(today: date) -> DailyHead | None:
    """Write the head of the last day that had events, once that day is over. Call it inside a transaction."""
    last = Event.objects.aggregate(last=Max("received_at"))["last"]
    if last is None or last.date() >= today or DailyHead.objects.filter(day__gte=last.date()).exists():
        return None
    before = DailyHead.objects.order_by("day").last()
    head = DailyHead(day=last.date(), heads=canonical_json(present_heads()))
    head.previous_hash = before.hash if before else NOTHING_BEFORE
    head.hash = daily_hash(head)
    head.save()
    return head


def present_heads() -> Heads:
    """Return the last sequence and hash of every chain."""
    lasts = Event.objects.values("site").annotate(last=Max("sequence")).order_by()
    events = (Event.objects.get(site_id=row["site"], sequence=row["last"]) for row in lasts)
    return {chain_of(event): [event.sequence, event.hash] for event in events}


def problems() -> list[str]:
    """Walk every chain and every daily head; return one line for each thing that is not as it was written."""
    found: list[str] = []
    hashes: dict[tuple[str, int], str] = {}
    events = Event.objects.select_related("actor").order_by("site_id", "sequence").iterator(chunk_size=2000)
    for chain, members in groupby(events, key=chain_of):
        found += problems_of_chain(chain, members, hashes)
    return found + problems_of_heads(hashes)


def problems_of_chain(chain: str, events: Iterator[Event], hashes: dict[tuple[str, int], str]) -> list[str]:
    """Return what is wrong in one chain, and note each event's hash in `hashes` on the way."""
    found: list[str] = []
    number, before = 0, NOTHING_BEFORE
    for event in events:
        where = f"chain {chain}, event {event.sequence} ({event.id})"
        number += 1
        if event.sequence != number:
            found.append(f"{where}: events {number} to {event.sequence - 1} are missing")
            number = event.sequence
        if event.previous_hash != before:
            found.append(f"{where}: does not follow the event before it")
        found += [f"{where}: {fault}" for fault in faults_within(event)]
        before = hashes[chain, event.sequence] = event.hash
    return found


def faults_within(event: Event) -> list[str]:
    faults = []
    if event_hash(event) != event.hash:
        faults.append("the content is not what was hashed")
    if not is_canonical(event.body):
        faults.append("the body is not canonical JSON")
    if event.digest and not is_as_kept(event):
        faults.append("is not what the phone kept")
    return faults


def is_canonical(text: str) -> bool:
    try:
        return canonical_json(json.loads(text)) == text
    except (NotCanonicalError, ValueError):
        return False


def problems_of_heads(hashes: dict[tuple[str, int], str]) -> list[str]:
    found: list[str] = []
    before = NOTHING_BEFORE
    for head in DailyHead.objects.order_by("day"):
        if head.previous_hash != before or daily_hash(head) != head.hash:
            found.append(f"daily head {head.day}: is not as it was written")
        before = head.hash
        found += [f"daily head {head.day}: {fault}" for fault in heads_not_met(head, hashes)]
    return found


def heads_not_met(head: DailyHead, hashes: dict[tuple[str, int], str]) -> list[str]:
    try:
        heads: Heads = json.loads(head.heads)
        return [
            f"chain {chain}, event {sequence} is gone or another"
            for chain, (sequence, hash_then) in heads.items()
            if hashes.get((chain, sequence)) != hash_then
        ]
    except (AttributeError, TypeError, ValueError):
        return ["the list of chains cannot be read"]
