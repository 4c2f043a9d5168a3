"""A site out: `record.json` with every event as it was hashed, and each file named by its SHA-256."""

import io
import json
import zipfile
from collections.abc import Iterator
from typing import Any

from django.db import transaction
from django.db.models import Q

from commissioning.chain import LATER_FIELDS, instant
from commissioning.files import digest_of, path_of, stored_files
from commissioning.models import Contact, Event, Instrument, Photo, Site, User
from commissioning.snapshot import document_of

RECORD = "record.json"
FILES = "files/"
OLDEST_ZIP_DATE = (1980, 1, 1, 0, 0, 0)  # a fixed date: the same record gives the same bytes
INSTRUMENT_FIELDS = [f.name for f in Instrument._meta.concrete_fields if f.name not in ("id", "retired_at")]


class ExportError(RuntimeError):
    """A file that the evidence names is not there, or not what its name says."""


@transaction.atomic
def export_site(site: Site) -> bytes:
    """Return the zip of a site: its whole evidence, who gave it, and every file it names; or raise ExportError."""
    try:
        record = site_record(site)
    except FileNotFoundError as error:
        raise ExportError("A file that the evidence names is missing from the server's media folder.") from error
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        _write(archive, RECORD, json.dumps(record, ensure_ascii=False, indent=1, sort_keys=True).encode())
        for name, data in stored_files(str(f["sha256"]) for f in record["files"]):
            _write(archive, FILES + name, data)
    return buffer.getvalue()


def _write(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    entry = zipfile.ZipInfo(name, OLDEST_ZIP_DATE)
    entry.compress_type = zipfile.ZIP_DEFLATED
    archive.writestr(entry, data)


def site_record(site: Site) -> dict[str, Any]:
    """Return the content of `record.json`."""
    events = list(Event.objects.of_site(site.pk).select_related("actor"))
    return {
        "format": "site-record",
        "schema": 1,
        "site": str(site.pk),
        "contact": _contact(site),
        "people": _people(events),
        "instruments": [_instrument(i) for i in _instruments(site)],
        "snapshots": [{"hash": s.hash, "body": s.body} for s in site.snapshots.order_by("hash")],
        "events": [_event(e) for e in events],
        "as_built": document_of(site),
        "files": sorted(_files(site), key=lambda f: str(f["sha256"])),
    }


def _contact(site: Site) -> dict[str, str]:
    contact = Contact.objects.filter(site=site).first() or Contact(site=site)
    return {"owner": contact.owner, "telephone": contact.telephone, "address": contact.address}


def _people(events: list[Event]) -> list[dict[str, str]]:
    people: dict[int, User] = {e.actor_id: e.actor for e in events}
    found = [{"handle": str(u.handle), "name": u.get_full_name(), "role": u.role} for u in people.values()]
    return sorted(found, key=lambda u: u["handle"])


def _instruments(site: Site) -> Iterator[Instrument]:
    yield from Instrument.objects.filter(readings__measurement__visit__site=site).distinct().order_by("pk")


def _instrument(one: Instrument) -> dict[str, Any]:
    values = {name: getattr(one, name) for name in INSTRUMENT_FIELDS}
    return {
        "id": str(one.pk),
        **{k: v if isinstance(v, str) else (v.isoformat() if v else None) for k, v in values.items()},
    }


def _event(event: Event) -> dict[str, Any]:
    return {
        "id": str(event.pk),
        "sequence": event.sequence,
        "device": event.device,
        "device_sequence": event.device_sequence,
        "kind": event.kind,
        "actor": str(event.actor.handle),
        "origin": event.origin,
        "recorded_at": instant(event.recorded_at),
        "received_at": instant(event.received_at),
        "body": event.body,
        "previous_hash": event.previous_hash,
        "hash": event.hash,
        **{name: text for name in LATER_FIELDS if (text := getattr(event, name))},
    }


def _files(site: Site) -> Iterator[dict[str, Any]]:
    names = {p for p in site.visits.values_list("photos__sha256", flat=True) if p}
    names |= {s for s in site.sheets.values_list("file_hash", flat=True) if s}
    names |= {s for s in site.visits.values_list("laboratory_samples__reports__sha256", flat=True) if s}
    names |= {s for s in site.sheets.values_list("files__file_hash", flat=True) if s}
    names -= {s for s in _from_phones(site) if not path_of(s).exists()}
    signed = set(site.visits.values_list("signatures__shown_hash", flat=True)) - {None, ""}
    names |= {s for s in signed if path_of(s).exists()}  # what was shown; a phone's own page is not kept here
    for name, data in stored_files(sorted(names)):
        if digest_of(data) != name:
            raise ExportError(f"The stored file {name[:12]} is not what its name says.")
        yield {"sha256": name, "bytes": len(data)}


def _from_phones(site: Site) -> set[str]:
    """Return the hashes of photos whose files come later than their evidence, or were said never to come."""
    later = Q(measurement__event__device__gt="") | Q(loss__isnull=False)
    with_readings = Photo.objects.filter(later, visit__site=site).values_list("sha256", flat=True)
    alone = Event.objects.of_site(site.pk).filter(kind="photo.added", device__gt="").values_list("body", flat=True)
    return {*with_readings, *(str(json.loads(body)["sha256"]) for body in alone)}
