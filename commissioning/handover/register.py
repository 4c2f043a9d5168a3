"""What the evidence knows of issued files, and whether sheets, files and evidence still agree."""

import json
import os
from collections.abc import Iterator
from typing import Any

from django.db.models import Q

from commissioning import files
from commissioning.canonical import digest
from commissioning.handover.paper_file import files_of
from commissioning.models import Event, Sheet

SLICE = 256  # bytes; enough of a packed page that no other sheet has the same at the same place
PLACES = (0.2, 0.4, 0.6, 0.8)


def sheet_of_file(sha256: str) -> Sheet | None:
    """Return the sheet whose file has this hash."""
    found = Sheet.objects.filter(Q(file_hash=sha256) | Q(files__file_hash=sha256))
    return found.select_related("site").distinct().first()


def sheet_like(data: bytes) -> Sheet | None:
    """Return the sheet of which some bytes are a changed copy: pieces of one of its files lie at the same places."""
    places = [int(share * len(data)) for share in PLACES] if len(data) > 4 * SLICE else []
    pieces = [(place, data[place : place + SLICE]) for place in places]
    alike = {sheet: _alike(name, pieces) for sheet, name in issued_files()}
    return max(alike, key=lambda one: alike[one], default=None) if any(alike.values()) else None


def issued_files() -> Iterator[tuple[Sheet, str]]:
    """Yield every sheet with the hash of each of its files."""
    for sheet in Sheet.objects.prefetch_related("files").order_by("issued_at"):
        for name in files_of(sheet).values():
            yield sheet, name


def _alike(name: str, pieces: list[tuple[int, bytes]]) -> int:
    """Return how many pieces lie at their places in a stored file."""
    try:
        with files.path_of(name).open("rb") as file:
            return sum(os.pread(file.fileno(), len(piece), place) == piece for place, piece in pieces)
    except OSError:
        return 0


def problems_of_sheets() -> list[str]:
    """Return one line for every sheet that does not agree with its evidence, its hash or its files."""
    found = []
    for sheet in Sheet.objects.select_related("site").prefetch_related("files").order_by("issued_at"):
        where = f"sheet {sheet.number}, revision {sheet.revision}"
        found += [f"{where}: {fault}" for fault in (*faults_of_record(sheet), *_faults_of_files(sheet))]
    return found


def faults_of_record(sheet: Sheet) -> Iterator[str]:
    """Yield what is wrong with a sheet's record: against its hash, its own event, and the event it stands on."""
    if digest(sheet.body) != sheet.hash:
        yield "the record is not what was hashed"
    event = Event.objects.filter(pk=sheet.pk, kind="sheet.issued").first()
    body: dict[str, Any] = json.loads(event.body) if event else {}
    if (body.get("record"), body.get("file_hash")) != (sheet.body, sheet.file_hash):
        yield "it is not what its event says"
    head = json.loads(sheet.body)["log_head"]
    stands_on = Event.objects.filter(site=sheet.site, sequence=head["sequence"], hash=head["hash"])
    if head["sequence"] and not stands_on.exists():
        yield f"the event it stands on, {head['sequence']}, is gone or another: the evidence was rewritten since"


def _faults_of_files(sheet: Sheet) -> Iterator[str]:
    for paper, name in files_of(sheet).items():
        try:
            if files.digest_of(files.read(name)) != name:
                yield f"the file on {paper} paper is not the one that was made"
        except FileNotFoundError:
            yield f"the file on {paper} paper is missing"
