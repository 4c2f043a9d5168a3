"""A site in, exactly: every event with its own id, place and hash, and the rows projected anew from them."""

import io
import json
import zipfile
from datetime import date
from typing import Any, cast
from uuid import UUID

from django.core.exceptions import ObjectDoesNotExist, ValidationError
from django.db import transaction
from django.utils.dateparse import parse_datetime
from jsonschema import Draft202012Validator

from commissioning import files
from commissioning.canonical import canonical_json, digest
from commissioning.chain import LATER_FIELDS, NOTHING_BEFORE, event_hash
from commissioning.evidence import KINDS
from commissioning.models import Contact, Event, Instrument, Site, Snapshot, User
from commissioning.open_record.export import FILES, RECORD
from commissioning.open_record.schema import SITE_RECORD_SCHEMA
from commissioning.snapshot import document_of

MOST_BYTES = 2 * 1024**3
VALIDATOR = Draft202012Validator(SITE_RECORD_SCHEMA)
Record = dict[str, Any]


class LoadError(ValueError):
    """The file is not an exported site, or not as it was written; nothing was stored."""


def load_site(data: bytes) -> Site:
    """Store an exported site and return it. All or nothing; raises LoadError in words."""
    record, blobs = _opened(data)
    _refuse_bad_chain(record)
    with transaction.atomic():
        if Site.objects.filter(pk=record["site"]).exists():
            raise LoadError("This site is here already; nothing was changed.")
        site = Site.objects.create(pk=record["site"], name="being read")
        people = {one["handle"]: _person(one) for one in record["people"]}
        for one in record["instruments"]:
            _keep_instrument(one)
        for one in record["snapshots"]:
            Snapshot.objects.create(hash=one["hash"], site=site, body=one["body"])
        for item in record["events"]:
            _replay(site, item, people)
        if any(record["contact"].values()):
            Contact.objects.create(site=site, **record["contact"])
        site.refresh_from_db()
        if canonical_json(document_of(site)) != canonical_json(record["as_built"]):
            raise LoadError("The as-built record does not follow from the evidence in the file.")
        for blob in blobs.values():
            files.keep(blob)
    return site


def _opened(data: bytes) -> tuple[Record, dict[str, bytes]]:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(entry.file_size for entry in archive.infolist()) > MOST_BYTES:
                raise LoadError("The file unpacks to more than 2 GB.")
            record = json.loads(archive.read(RECORD))
            names = [e.filename for e in archive.infolist() if e.filename.startswith(FILES)]
            blobs = {name.removeprefix(FILES): archive.read(name) for name in names}
    except (zipfile.BadZipFile, KeyError, ValueError, RecursionError, NotImplementedError, RuntimeError) as error:
        if isinstance(error, LoadError):
            raise
        raise LoadError("This is not an exported site.") from error
    _refuse_bad_form(record, blobs)
    return cast(Record, record), blobs


def _refuse_bad_form(record: Any, blobs: dict[str, bytes]) -> None:
    fault = next(iter(VALIDATOR.iter_errors(record)), None)
    if fault is not None:
        raise LoadError(f"{fault.json_path}: {fault.message[:200]}")
    named = {f["sha256"] for f in record["files"]}
    if named != set(blobs):
        raise LoadError("The files in the archive are not those that the record names.")
    for name, blob in blobs.items():
        if files.digest_of(blob) != name:
            raise LoadError(f"The file {name[:12]} is not what its name says.")
    for one in record["snapshots"]:
        if digest(one["body"]) != one["hash"]:
            raise LoadError(f"The snapshot {one['hash'][:12]} is not what its name says.")


def _refuse_bad_chain(record: Record) -> None:
    before = NOTHING_BEFORE
    for number, item in enumerate(record["events"], 1):
        if item["sequence"] != number or item["previous_hash"] != before:
            raise LoadError(f"Event {number} does not follow the one before it.")
        if item["kind"] not in KINDS:
            raise LoadError(f"Event {number} is of a kind that is not known here: {item['kind'][:60]}.")
        before = item["hash"]


def _person(one: dict[str, str]) -> User:
    """Return the person of that handle; one not known here is kept without a way to sign in."""
    known = User.objects.filter(handle=one["handle"]).first()
    if known is not None:
        return known
    user = User(
        handle=UUID(one["handle"]),
        username=f"from-elsewhere-{one['handle']}",
        display_name=one["name"][:80],
        is_active=False,
    )
    user.role = one["role"] if one["role"] in ("technician", "office") else "technician"
    user.set_unusable_password()
    user.save()
    return user


def _keep_instrument(one: dict[str, Any]) -> None:
    if Instrument.objects.filter(pk=one["id"]).exists():
        return
    values = dict(one)
    while Instrument.objects.filter(tag=values["tag"]).exists():
        values["tag"] = (values["tag"] + "'")[-16:]
    for name in ("calibrated_on", "calibration_due"):
        values[name] = date.fromisoformat(values[name]) if values.get(name) else None
    known = {f.name for f in Instrument._meta.concrete_fields}
    Instrument.objects.create(**{name: value for name, value in values.items() if name in known})


def _replay(site: Site, item: dict[str, Any], people: dict[str, User]) -> None:
    if item["actor"] not in people:
        raise LoadError(f"Event {item['sequence']} names a person who is not in the file.")
    moments = parse_datetime(item["recorded_at"]), parse_datetime(item["received_at"])
    if moments[0] is None or moments[1] is None:
        raise LoadError(f"Event {item['sequence']} has no readable time.")
    event = Event(
        id=UUID(item["id"]),
        site=site,
        sequence=item["sequence"],
        device=item["device"],
        device_sequence=item["device_sequence"],
        kind=item["kind"],
        actor=people[item["actor"]],
        origin=item["origin"],
        recorded_at=moments[0],
        received_at=moments[1],
        body=item["body"],
        **{name: item.get(name, "") for name in LATER_FIELDS},
        previous_hash=item["previous_hash"],
        hash=item["hash"],
    )
    if event_hash(event) != item["hash"]:
        raise LoadError(f"Event {item['sequence']} is not as it was written.")
    if Event.objects.filter(pk=event.pk).exists():
        raise LoadError(f"Event {item['sequence']} stands in another site's record here.")
    event.save()
    _project(event)


def _project(event: Event) -> None:
    kind = KINDS[event.kind]
    body = json.loads(event.body)
    fault = next(iter(kind.validator.iter_errors(body)), None)
    if fault is not None:
        raise LoadError(f"Event {event.sequence}: {fault.json_path}: {fault.message[:200]}")
    try:
        kind.project(event, body)
    except (LookupError, ValueError, ObjectDoesNotExist, ValidationError) as error:
        raise LoadError(f"Event {event.sequence} ({event.kind}): {error}") from error
