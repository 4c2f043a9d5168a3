"""The frozen record of a sheet: what it says, in texts and whole numbers alone.

`content_of` reads everything but the issue itself; its hash names what an office person was shown and signed for.
`sealed` adds the issue. The canonical JSON of the whole is the record; its SHA-256 is the record's hash.
The owner is frozen by name alone: telephone and address stay in the side table, where they can be erased.
"""

import json
from datetime import date
from typing import Any

from commissioning import snapshot
from commissioning.canonical import canonical_json, digest
from commissioning.chain import NOTHING_BEFORE, instant
from commissioning.drawn_section import drawn_section
from commissioning.handover.as_built import NOT_RECORDED, field_value, summary
from commissioning.handover.drawings import drawings_of
from commissioning.handover.duty import duty_of
from commissioning.handover.exceptions import exceptions_of
from commissioning.handover.workings import workings_of
from commissioning.ledger import grouped, instruments_of, lines_of
from commissioning.models import Contact, Event, Instrument, Signature, Site, Visit
from commissioning.moments import day_words, days_words, moment_words, zone_of
from commissioning.progress import Progress
from sizing import CORE_VERSION
from sizing.checks.declare import Kind
from sizing.parts import SiteData

Plain = dict[str, Any]
FORMAT = "handover-sheet"
SCHEMA = 1
TEMPLATE = "sheet-2"
LANGUAGE = "en"
LIMITS = (
    "Visible parts only; values of the day; no promise of the source's yield; water quality only as sampled.",
    "It lapses when parts or settings change.",
    "Checks follow the method of the source named beside them; nothing here claims compliance with a standard.",
    "Local codes and licensed practice come first.",
)


def content_of(visit: Visit, progress: Progress) -> Plain:
    """Return all that a sheet of this visit says as things stand, but for its issue."""
    site = visit.site
    lines = lines_of(progress)
    text = canonical_json(snapshot.document_of(site))
    document = json.loads(text)
    section = drawn_section(text, site.unit_system, is_print=True) if progress.system else ""
    return {
        "format": FORMAT,
        "schema": SCHEMA,
        "template": TEMPLATE,
        "language": LANGUAGE,
        "core_version": CORE_VERSION,
        "site": _site(site),
        "parties": _parties(visit, progress),
        "visit": _visit(visit),
        "scope": {"covered": site.covered or NOT_RECORDED, "not_covered": site.not_covered or NOT_RECORDED},
        "duty": duty_of(progress, document),
        "as_built": {"snapshot": digest(text), "section": section, **summary(document)},
        "results": grouped(lines),
        "exceptions": exceptions_of(visit, progress),
        "signatures": [_signature(one, visit) for one in visit.signatures.all()],
        "instruments": _instruments(progress),
        "workings": workings_of(progress),
        "drawings": drawings_of(progress),
        "limits_of_sheet": list(LIMITS),
        "log_head": log_head(site),
    }


def content_hash(content: Plain) -> str:
    """Return the hash of what was shown."""
    return digest(canonical_json(content))


def sealed(content: Plain, issue: Plain) -> str:
    """Return the frozen record: the canonical JSON of content and issue, with the issuer's statement last."""
    signatures = [*content["signatures"], issue.pop("statement")]
    return canonical_json({**content, "signatures": signatures, "sheet": issue})


def log_head(site: Site) -> Plain:
    """Return the last event of the site's chain: the record stands on everything up to it."""
    last = Event.objects.of_site(site.pk).last()
    return {"sequence": last.sequence if last else 0, "hash": last.hash if last else NOTHING_BEFORE}


def _site(site: Site) -> Plain:
    altitude = field_value(SiteData.declarations()["altitude"], site.plate.get("altitude"))
    return {
        "id": str(site.pk), "name": site.name, "place": site.place, "unit_system": site.unit_system,
        "zone": site.zone, "altitude": altitude or NOT_RECORDED,
    }  # fmt: skip


def _parties(visit: Visit, progress: Progress) -> Plain:
    contact = Contact.objects.filter(site=visit.site_id).first()
    taken = [x.measurement for x in progress.lines if x.measurement and x.check.kind is not Kind.DERIVED]
    people = {one.taken_by.get_full_name() for one in taken}
    return {
        "owner": (contact.owner if contact else "") or NOT_RECORDED,
        "tested_by": sorted(people),
        "tested_on": days_words([one.taken_at for one in taken], zone_of(visit.site)) or NOT_RECORDED,
    }


def _visit(visit: Visit) -> Plain:
    return {
        "id": str(visit.pk),
        "kind": visit.get_kind_display(),
        "started_at": instant(visit.started_at),
        "ended_at": instant(visit.ended_at) if visit.ended_at else "",
        "left_isolated": visit.left_isolated_reason if visit.left_isolated else "",
    }


def _signature(one: Signature, visit: Visit) -> Plain:
    return {
        "name": one.printed_name, "role": one.role, "meaning": one.meaning, "strokes": one.strokes,
        "at": instant(one.at), "when": moment_words(one.at, zone_of(visit.site)), "shown_hash": one.shown_hash,
    }  # fmt: skip


def _instruments(progress: Progress) -> list[Plain]:
    found = instruments_of(line.measurement for line in progress.lines if line.measurement)
    last = max((line.measurement.taken_at for line in progress.lines if line.measurement), default=None)
    day = last.astimezone(zone_of(progress.visit.site)).date() if last else None
    return [_instrument(one, day) for one in sorted(found.values(), key=lambda i: i.tag)]


def _instrument(one: Instrument, last_used: date | None) -> Plain:
    """Return an instrument as its card stands, with what that leaves in doubt for the days of the visit."""
    calibrated = day_words(one.calibrated_on) if one.calibrated_on else NOT_RECORDED
    return {
        "tag": one.tag, "name": one.name, "serial": one.serial, "calibrated": calibrated,
        "due": day_words(one.calibration_due) if one.calibration_due else "", "reference": one.calibration_reference,
        "since": _since(one, last_used),
    }  # fmt: skip


def _since(one: Instrument, last_used: date | None) -> str:
    """Return what stands between the calibration on the card and the day of use; empty where nothing does."""
    if last_used is None:
        return ""
    if one.calibrated_on and one.calibrated_on > last_used:
        return "calibrated after it was used here"
    return "overdue when it was used" if one.calibration_due and one.calibration_due < last_used else ""
