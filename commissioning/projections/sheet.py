"""Evidence about handover sheets: issued, and withdrawn."""

import json
from typing import Any, cast

from jsonschema import Draft202012Validator

from commissioning import evidence
from commissioning.canonical import NotCanonicalError, canonical_json, digest
from commissioning.models import Event, Sheet, SheetFile, SheetState, Site, Visit
from commissioning.pdf import Paper
from commissioning.projections import schemas as s
from commissioning.projections.visit import visit_of

SHA256 = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
PAPERS: tuple[Paper, ...] = ("A4", "Letter")
ADDRESS_END = "^[A-Za-z0-9_-]{22}$"  # 128 bits, safe in a URL

# What the rows need of a frozen record; the rest is content, and free.
RECORD = {
    "type": "object",
    "required": ["sheet"],
    "properties": {
        "sheet": {
            "type": "object",
            "required": ["year", "sequence", "revision", "token", "paper", "reason", "standing"],
            "properties": {
                "year": {"type": "integer", "minimum": 2000},
                "sequence": {"type": "integer", "minimum": 1},
                "revision": {"type": "integer", "minimum": 1},
                "token": {"type": "string", "pattern": ADDRESS_END},
                "paper": {"enum": list(PAPERS)},
                "reason": {"type": "string"},
                "standing": {"type": "object", "required": ["open_items"]},
            },
        }
    },
}
RECORD_VALIDATOR = Draft202012Validator(RECORD)


@evidence.kind(
    "sheet.issued",
    schema=s.body(
        {
            "visit": s.UUID,
            "record": {"type": "string", "minLength": 2},
            "file_hash": {"anyOf": [SHA256, {"const": ""}]},
        }
    ),
)
def issue_sheet(event: Event, body: dict[str, Any]) -> Sheet:
    """Write a sheet under the id of its event; a revision supersedes the one before it."""
    visit = visit_of(event, body)
    issue = frozen_issue(body["record"])
    _supersede(visit, issue)
    return Sheet.objects.create(
        pk=event.pk, site=cast(Site, event.site), visit=visit, year=issue["year"], sequence=issue["sequence"],
        revision=issue["revision"], body=body["record"], hash=digest(body["record"]),
        token_hash=digest(issue["token"]), file_hash=body["file_hash"],
        with_open_items=bool(issue["standing"]["open_items"]), reason=issue["reason"], issued_by=event.actor,
        issued_at=event.recorded_at,
    )  # fmt: skip


def issued_paper(sheet: Sheet) -> str:
    """Return the paper that was chosen when a sheet was issued."""
    return str(json.loads(sheet.body)["sheet"]["paper"])


def frozen_issue(text: str) -> dict[str, Any]:
    """Return the part of a frozen record that tells of its issue; refuse any other text than the canonical one."""
    try:
        record = json.loads(text)
        is_canonical = canonical_json(record) == text
    except (ValueError, NotCanonicalError, RecursionError):
        is_canonical = False
    if not is_canonical:
        raise evidence.RefusedError({"$.record": "is not canonical JSON"})
    faults = {f"$.record{error.json_path[1:]}": error.message for error in RECORD_VALIDATOR.iter_errors(record)}
    if faults:
        raise evidence.RefusedError(faults)
    return cast(dict[str, Any], record["sheet"])


def _supersede(visit: Visit, issue: dict[str, Any]) -> None:
    """Mark the revision before as superseded. A number is shared only by the revisions of one visit's sheet."""
    same = Sheet.objects.filter(year=issue["year"], sequence=issue["sequence"]).order_by("revision")
    before = same.last()
    if before is None and issue["revision"] == 1:
        return
    if before is None or before.visit_id != visit.pk or issue["revision"] != before.revision + 1:
        raise evidence.RefusedError({"$.record.sheet.revision": "does not follow the revision before it"})
    if before.state != SheetState.ISSUED:
        raise evidence.RefusedError({"$.record.sheet.revision": f"the revision before it is {before.state}"})
    before.state = SheetState.SUPERSEDED
    before.state_reason = issue["reason"]
    before.save(update_fields=["state", "state_reason"])


@evidence.kind("sheet.printed", schema=s.body({"sheet": s.UUID, "paper": {"enum": list(PAPERS)}, "file_hash": SHA256}))
def print_sheet(event: Event, body: dict[str, Any]) -> SheetFile:
    """Write down a further file of a sheet. Each paper has one file, and it is never another."""
    sheet = Sheet.objects.filter(pk=body["sheet"], site=event.site).first()
    if sheet is None:
        raise evidence.RefusedError({"$.sheet": "there is no such sheet of this site"})
    is_there = bool(sheet.file_hash) and body["paper"] == issued_paper(sheet)
    if is_there or sheet.files.filter(paper=body["paper"]).exists():
        raise evidence.RefusedError({"$.paper": "this sheet has its file on this paper"})
    if SheetFile.objects.filter(file_hash=body["file_hash"]).exists():
        raise evidence.RefusedError({"$.file_hash": "this file is that of another sheet"})
    return SheetFile.objects.create(
        pk=event.pk, sheet=sheet, paper=body["paper"], file_hash=body["file_hash"], made_at=event.recorded_at
    )


@evidence.kind("sheet.withdrawn", schema=s.body({"sheet": s.UUID, "reason": s.REASON}))
def withdraw_sheet(event: Event, body: dict[str, Any]) -> Sheet:
    """Mark a sheet as withdrawn. Only the current one can be: a superseded one stands no more as it is."""
    sheet = Sheet.objects.filter(pk=body["sheet"], site=event.site).first()
    if sheet is None:
        raise evidence.RefusedError({"$.sheet": "there is no such sheet of this site"})
    if sheet.state != SheetState.ISSUED:
        raise evidence.RefusedError({"$.sheet": f"this sheet is {sheet.state} already"})
    sheet.state, sheet.state_reason = SheetState.WITHDRAWN, body["reason"]
    sheet.save(update_fields=["state", "state_reason"])
    return sheet
