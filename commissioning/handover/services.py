"""A sheet is drafted, issued, issued anew as a revision, and withdrawn. Nothing of it is ever edited."""

import json
import secrets
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from uuid import uuid4

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from commissioning import evidence, files, judging, pdf, snapshot
from commissioning.chain import instant
from commissioning.handover.freeze import content_hash, content_of, log_head, sealed
from commissioning.handover.paper_file import files_of
from commissioning.handover.seal_keys import SealError, own_fingerprint
from commissioning.handover.sheet_pdf import printed_sheet
from commissioning.handover.standing import standing_of, why_only_isolated
from commissioning.models import Sheet, SheetFile, SheetState, UnitSystem, User, Visit, VisitKind
from commissioning.moments import day_words, moment_words, zone_of
from commissioning.open_items import OpenItem, open_items
from commissioning.progress import Progress, awaited_words, progress_of

Plain = dict[str, Any]
TOKEN_BYTES = 16  # 128 bits: at 100 tries a second for ten years nobody meets one of a million sheets
MOST_TRIES = 3


class ChangedError(RuntimeError):
    """What would be issued is no longer what was shown."""


class NotIssuedError(RuntimeError):
    """The sheet cannot be issued as it stands; the message says why."""


@dataclass(frozen=True)
class Draft:
    """What a sheet of a visit would say now."""

    visit: Visit
    progress: Progress
    content: Plain
    items: list[OpenItem]
    only_isolated: list[str]
    current: Sheet | None

    @property
    def shown_hash(self) -> str:
        return content_hash(self.content)


@dataclass(frozen=True)
class Seen:
    """Who sees to an open item, and by when."""

    who: str
    due: date


@dataclass(frozen=True)
class Entry:
    """What the office adds to a draft when it issues the sheet."""

    shown_hash: str
    paper: pdf.Paper
    seen_to: dict[str, Seen] = field(default_factory=dict)
    isolated: str = ""
    reason: str = ""
    next_inspection: date | None = None
    strokes: str = ""


def draft_of(visit: Visit) -> Draft:
    """Return what a sheet of this visit would say, as things stand."""
    progress = progress_of(visit)
    current = visit.sheets.filter(state=SheetState.ISSUED).first()
    content = content_of(visit, progress)
    return Draft(visit, progress, content, open_items(progress), why_only_isolated(progress), current)


def usual_paper(visit: Visit) -> pdf.Paper:
    """Return the paper that is usual where a site's units are."""
    return "Letter" if visit.site.unit_system == UnitSystem.US else "A4"


def issue_sheet(*, visit: Visit, entry: Entry, actor: User, address: str) -> Sheet:
    """Freeze, print, seal and issue the sheet that was shown; raise ChangedError if it is not that any more.

    The slow work, freezing, rendering and sealing, is done before the write lock is taken. Under the lock the number
    must still be the next and the site's chain must not have grown; otherwise all is done again. The file lies on
    disk before the event that names its hash is committed: a crash in between leaves a file that nobody names and
    no sheet, and the number is given to the next. If rendering fails, nothing is issued. `address` is where the
    public page of a token lies, with {} for the token.
    """
    if not actor.is_office:
        raise PermissionDenied
    if judging.judge_visit_again(visit, actor=actor, because="before the sheet"):
        raise ChangedError
    for _ in range(MOST_TRIES):
        draft = draft_of(visit)
        _refuse(draft, entry)
        record = frozen_record(draft, entry, actor, address, timezone.now())
        made = None if pdf.pdf_available() else _printed(record, entry.paper)
        sheet = _keep(draft, record, made, actor)
        if sheet is not None:
            return sheet
    raise ChangedError


def _printed(record: str, paper: pdf.Paper) -> bytes:
    try:
        return printed_sheet(record, paper)
    except SealError as problem:
        raise NotIssuedError(str(problem)) from problem


def _refuse(draft: Draft, entry: Entry) -> None:
    if draft.visit.kind == VisitKind.BEFORE_COVER:
        raise NotIssuedError(
            "A visit before cover proves what is buried and no more: the sheet is issued on a start-up."
        )
    if draft.progress.problem:
        raise NotIssuedError(f"The as-built record does not hold together: {draft.progress.problem}")
    if draft.shown_hash != entry.shown_hash:
        raise ChangedError
    if draft.progress.awaited:
        raise NotIssuedError(awaited_sentence(draft.progress))
    if draft.only_isolated and not entry.isolated:
        raise NotIssuedError("It can only be issued as “left isolated: do not use”. " + " ".join(draft.only_isolated))
    if draft.current is not None and not entry.reason:
        raise NotIssuedError("Say why it is issued again.")
    if any(item.key not in entry.seen_to for item in draft.items):
        raise NotIssuedError("Every open item needs somebody who sees to it, and a day.")


def awaited_sentence(progress: Progress) -> str:
    """Return why nothing is issued before every photo is here; empty where all are."""
    if not progress.awaited:
        return ""
    many = awaited_words(len(progress.awaited))
    return f"{many}: send them from the phone, or say why they never will come. Until then nothing is issued."


def frozen_record(draft: Draft, entry: Entry, actor: User, address: str, at: datetime) -> str:
    """Return the frozen record as its canonical JSON."""
    return sealed(draft.content, issue_of(draft, entry, actor, address, at))


def issue_of(draft: Draft, entry: Entry, actor: User, address: str, at: datetime) -> Plain:
    """Return the issue: number, revision, standing, open items, and the issuer's statement.

    The token stands in the record in clear, so that the paper can be printed again from the record alone, here or
    after a restore elsewhere. It opens nothing but "genuine and current"; whoever holds the record knows far more.
    The table keeps only its hash, by which the public page looks it up.
    """
    zone = zone_of(draft.visit.site)
    year, sequence, revision = next_number(draft.current, at.astimezone(zone).year)
    token = secrets.token_urlsafe(TOKEN_BYTES)
    return {
        "year": year,
        "sequence": sequence,
        "number": f"{year}-{sequence:03d}",
        "revision": revision,
        "supersedes": draft.current.hash if draft.current else "",
        "reason": entry.reason,
        "token": token,
        "address": address.format(token),
        "office": settings.OFFICE_NAME,
        "seal": own_fingerprint(),
        "paper": entry.paper,
        "issued_at": instant(at),
        "issued_on": day_words(at, zone),
        "issued_by": actor.get_full_name(),
        "standing": standing_of(draft.progress, draft.items, entry.isolated),
        "open_items": [_seen_to(i, item, entry.seen_to[item.key]) for i, item in enumerate(draft.items, 1)],
        "next_inspection": day_words(entry.next_inspection) if entry.next_inspection else "",
        "statement": {
            "name": actor.get_full_name(), "role": "office", "meaning": "issued", "strokes": entry.strokes,
            "at": instant(at), "when": moment_words(at, zone), "shown_hash": entry.shown_hash,
        },
    }  # fmt: skip


def _seen_to(number: int, item: OpenItem, seen: Seen) -> Plain:
    return {
        "number": number, "owed": item.owed, "what": item.title, "words": item.words, "who": seen.who,
        "due": day_words(seen.due), "due_on": seen.due.isoformat(),
    }  # fmt: skip


def next_number(current: Sheet | None, year: int) -> tuple[int, int, int]:
    """Return year, number and revision of the next sheet: a revision of the current one, or the year's next number."""
    if current is not None:
        return current.year, current.sequence, current.revision + 1
    last = Sheet.objects.filter(year=year).aggregate(last=Max("sequence"))["last"] or 0
    return year, last + 1, 1


def _keep(draft: Draft, record: str, made: bytes | None, actor: User) -> Sheet | None:
    """Write the issue if its number is still the next and nothing has happened on the site since; else None."""
    frozen = json.loads(record)
    with transaction.atomic():
        current = draft.visit.sheets.filter(state=SheetState.ISSUED).first()
        issue = frozen["sheet"]
        is_next = next_number(current, issue["year"]) == (issue["year"], issue["sequence"], issue["revision"])
        if not is_next or log_head(draft.visit.site) != frozen["log_head"]:
            return None
        snapshot.take(draft.visit.site)
        body = {
            "visit": str(draft.visit.pk),
            "record": record,
            "file_hash": files.keep(made) if made else "",
        }
        at = datetime.fromisoformat(issue["issued_at"])
        event = evidence.append(
            site=draft.visit.site, kind="sheet.issued", body=body, actor=actor, event_id=uuid4(), at=at
        )
    assert isinstance(event.projected, Sheet)
    return event.projected


def print_sheet(*, sheet: Sheet, paper: pdf.Paper, actor: User) -> str:
    """Make the file of a sheet on a paper that has none yet, and return its hash. The paper shows the same record."""
    if not actor.is_office:
        raise PermissionDenied
    if known := files_of(sheet).get(paper):
        return known
    made = _printed(sheet.body, paper)
    with transaction.atomic():
        if known := SheetFile.objects.filter(sheet=sheet, paper=paper).values_list("file_hash", flat=True).first():
            return str(known)  # made by somebody else meanwhile
        body = {"sheet": str(sheet.pk), "paper": paper, "file_hash": files.keep(made)}
        evidence.append(site=sheet.site, kind="sheet.printed", body=body, actor=actor)
    return str(body["file_hash"])


@transaction.atomic
def withdraw_sheet(*, sheet: Sheet, reason: str, actor: User) -> Sheet:
    """Withdraw the current sheet, with a reason."""
    if not actor.is_office:
        raise PermissionDenied
    body = {"sheet": str(sheet.pk), "reason": reason}
    event = evidence.append(site=sheet.site, kind="sheet.withdrawn", body=body, actor=actor)
    assert isinstance(event.projected, Sheet)
    return event.projected
