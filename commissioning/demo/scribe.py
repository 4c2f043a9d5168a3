"""Writes what the demo tells through the append door, each thing at the moment at which it was done."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any, NamedTuple
from uuid import UUID, uuid5

from commissioning import evidence, judging
from commissioning.models import Contact, Defect, Instrument, Measurement, Site, User, Visit
from commissioning.moments import zone_of
from commissioning.progress import progress_of
from commissioning.visits.services import event_id
from commissioning.visits.signing import keep_shown, shown_at_signing
from sizing.checks.declare import Answer

HERE = Path(__file__).parent
DEMO = UUID("0d3a6c52-7b1e-4f0e-9c58-21d4b8e7a960")  # every id of the demo follows from this one


class Reading(NamedTuple):
    """One reading as a technician types it; `by` is the tag of the instrument, `clock` when it was not at once."""

    input: str
    typed: str
    unit: str = ""
    label: str = ""
    by: str = ""
    clock: str = ""


@dataclass(frozen=True)
class Scribe:
    """Whose hand writes, about which visit, and which day its first one is."""

    visit: Visit
    actor: User
    first_day: date

    def at(self, clock: str, day: int = 0) -> datetime:
        """Return a moment of the visit in the zone of its site: time of day, and days after the first."""
        return moment_of(self.visit.site, self.first_day + timedelta(days=day), clock)

    def write(self, kind: str, made: UUID, at: datetime, **body: Any) -> Any:
        """Append one piece of evidence about the visit; return the row it makes."""
        whole = {"visit": str(self.visit.pk), **body}
        event = evidence.append(
            site=self.visit.site, kind=kind, body=whole, actor=self.actor, event_id=event_id(made, kind), at=at
        )
        return event.projected


def moment_of(site: Site, day: date, clock: str) -> datetime:
    """Return a time of day at a site."""
    return datetime.combine(day, time.fromisoformat(clock), zone_of(site))


def put_site(file: str, actor: User, at: date, *, owner: str, **described: str) -> Site:
    """Put a site with the as-built record of a file beside this module."""
    document = json.loads((HERE / file).read_text(encoding="utf-8"))
    known = document["site"]
    site = Site.objects.create(pk=uuid5(DEMO, file), name=known["name"], unit_system=known["unit_system"])
    site.zone = described["zone"]
    moment = moment_of(site, at, "17:00")
    body = {**described, "name": known["name"], "unit_system": known["unit_system"], "plate": known["plate"]}
    for kind, content in (("site.described", body), ("record.changed", {"changes": changes_of(document, site)})):
        made = event_id(site.pk, kind)
        evidence.append(site=site, kind=kind, body=content, actor=actor, event_id=made, at=moment)
    Contact.objects.create(site=site, owner=owner)
    site.refresh_from_db()
    return site


def changes_of(document: dict[str, Any], site: Site) -> list[dict[str, Any]]:
    """Return what puts every component and run of an as-built document; hosts stand before what sits in them."""
    ids = {one["tag"]: str(uuid5(site.pk, one["tag"])) for one in (*document["components"], *document["runs"])}
    components = [
        {**one, "op": "put", "sort": "component", "id": ids[one["tag"]], "host": ids.get(one.get("host", ""))}
        for one in document["components"]
    ]
    runs = [
        {**one, "op": "put", "sort": "run", "id": ids[one["tag"]], "start": ids[one["start"]], "end": ids[one["end"]]}
        for one in document["runs"]
    ]
    return components + runs


def begin(site: Site, kind: str, actor: User, day: date, clock: str) -> Scribe:
    """Begin a visit and return the hand that writes about it."""
    at, made = moment_of(site, day, clock), uuid5(site.pk, f"{kind} {day}")
    body = {"visit": str(made), "kind": kind, "started_at": at.isoformat()}
    evidence.append(
        site=site, kind="visit.begun", body=body, actor=actor, event_id=event_id(made, "visit.begun"), at=at
    )
    return Scribe(Visit.objects.get(pk=made), actor, day)


def take(
    scribe: Scribe,
    at: datetime,
    check: str,
    subject: str,
    *readings: Reading,
    way: str = "",
    note: str = "",
    answer: str = "",
    replaces: Measurement | None = None,
    reason: str = "",
    photos: Sequence[dict[str, Any]] = (),
) -> Measurement:
    """Write down a measurement; `judge` says later what is to be said of it."""
    made = uuid5(scribe.visit.pk, f"{check}:{subject} {at.isoformat()}")
    tags = {reading.by for reading in readings if reading.by}
    instruments = {one.tag: str(one.pk) for one in Instrument.objects.filter(tag__in=tags)}
    body: dict[str, Any] = {
        "id": str(made), "check": check, "subject": subject, "taken_at": at.isoformat(), "way": way, "note": note,
        "answer": answer,
        "readings": [
            {
                "input": one.input, "typed": one.typed, "unit": one.unit, "label": one.label,
                "instrument": instruments[one.by] if one.by else None, "at": read_at(one, at).isoformat(),
            }
            for one in readings
        ],
    }  # fmt: skip
    if replaces:
        body |= {"supersedes": str(replaces.pk), "supersedes_reason": reason}
    if photos:
        body["photos"] = [{"id": str(uuid5(made, one["sha256"])), **one} for one in photos]
    measurement = scribe.write("measurement.taken", made, at, **body)
    assert isinstance(measurement, Measurement)
    return measurement


def read_at(reading: Reading, at: datetime) -> datetime:
    """Return when a reading was read: by its own clock, on the day of its measurement."""
    return datetime.combine(at.date(), time.fromisoformat(reading.clock), at.tzinfo) if reading.clock else at


def judge(scribe: Scribe) -> None:
    """Judge whatever was written down, all at once, and take what follows from it."""
    judging.judge_visit_again(scribe.visit, actor=scribe.actor, because="")


def see(scribe: Scribe, at: datetime, *checks: str, note: str = "") -> None:
    """Answer observations, each `check:subject`, as it should be."""
    for owed in checks:
        check, _, subject = owed.partition(":")
        take(scribe, at, check, subject, note=note, answer=Answer.AS_IT_SHOULD_BE.value)


def set_aside(scribe: Scribe, at: datetime, check: str, subject: str, how: str, reason: str) -> None:
    """Park a check, or say that it cannot be taken."""
    made = uuid5(scribe.visit.pk, f"{how} {check}:{subject}")
    scribe.write("check.set_aside", made, at, id=str(made), check=check, subject=subject, how=how, reason=reason)


def raise_defect(
    scribe: Scribe, at: datetime, words: str, *, check: str, subject: str, who: str, due: date, is_unsafe: bool = False
) -> Defect:
    """Raise a defect at a check."""
    made = uuid5(scribe.visit.pk, words)
    defect = scribe.write(
        "defect.raised", made, at, id=str(made), words=words, is_unsafe=is_unsafe, check=check, subject=subject,
        who=who, due=due.isoformat(),
    )  # fmt: skip
    assert isinstance(defect, Defect)
    return defect


def put_right(scribe: Scribe, at: datetime, defect: Defect, words: str) -> None:
    """Say how a defect was put right."""
    body = {"defect": str(defect.pk), "words": words}
    evidence.append(
        site=defect.site, kind="defect.put_right", body=body, actor=scribe.actor,
        event_id=event_id(defect.pk, "defect.put_right"), at=at,
    )  # fmt: skip


def sign(scribe: Scribe, at: datetime, printed_name: str, role: str, meaning: str, strokes: str) -> None:
    """Put a drawn name under exactly what the visit says now."""
    made = uuid5(scribe.visit.pk, printed_name)
    shown = shown_at_signing(progress_of(scribe.visit))
    keep_shown(shown)
    scribe.write(
        "visit.signed", made, at, id=str(made), printed_name=printed_name, role=role, meaning=meaning, strokes=strokes,
        shown_hash=shown.hash,
    )  # fmt: skip


def end(scribe: Scribe, at: datetime) -> None:
    """End the visit as it stands."""
    scribe.write("visit.ended", scribe.visit.pk, at, left_isolated=False, reason="")
    scribe.visit.refresh_from_db()
