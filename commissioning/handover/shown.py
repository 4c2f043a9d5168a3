"""Drafts and sheets ready to print on the desk's pages."""

import json
from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from commissioning.doubts import doubts_in
from commissioning.handover.paper import PHOTO, context_of, preview_of
from commissioning.handover.paper_file import files_of
from commissioning.handover.services import Draft, awaited_sentence
from commissioning.handover.standing import standing_of
from commissioning.models import Photo, Sheet, SheetState, Site
from commissioning.moments import day_words, zone_of
from commissioning.projections.sheet import PAPERS, issued_paper
from commissioning.water_now import water_now

Shown = dict[str, Any]
A_TOKEN = "TOKEN"  # noqa: S105  # a mark that is replaced, no secret


def address_of_token(request: HttpRequest) -> str:
    """Return where the public finds a sheet, with {} for its token."""
    path = reverse("sheet-verify", args=[A_TOKEN]).replace(A_TOKEN, "{}")
    return settings.PUBLIC_ADDRESS + path if settings.PUBLIC_ADDRESS else request.build_absolute_uri("/")[:-1] + path


def draft_context(draft: Draft) -> Shown:
    """Return the draft's page: the sheet as it would be, and what forbids or revises it."""
    visit = draft.visit
    issue = {
        "standing": standing_of(draft.progress, draft.items, visit.left_isolated_reason if visit.left_isolated else ""),
        "open_items": [
            {"number": i, "owed": one.owed, "what": one.title, "words": one.words, "who": one.who,
             "due": day_words(one.due) if one.due else ""}
            for i, one in enumerate(draft.items, 1)
        ],
    }  # fmt: skip
    return {
        "visit": visit,
        "site": visit.site,
        "problem": draft.progress.problem,
        "only_isolated": draft.only_isolated,
        "awaited": awaited_sentence(draft.progress),
        "open_questions": sum(1 for one in draft.progress.questions if one.is_open),
        "doubts": doubts_in(draft.progress),
        "current": draft.current,
        "next_revision": draft.current.revision + 1 if draft.current else 1,
        "shown_hash": draft.shown_hash,
        **on_screen(preview_of(json.loads(json.dumps(draft.content)), issue), visit.site),
    }


def sheet_context(sheet: Sheet) -> Shown:
    """Return the page of one sheet: its state, its revisions, its papers, and the sheet itself."""
    made = files_of(sheet)
    same = Sheet.objects.filter(year=sheet.year, sequence=sheet.sequence).select_related("site", "issued_by")
    return {
        "sheet": sheet,
        "site": sheet.site,
        "state": state_words(sheet),
        "is_current": sheet.state == SheetState.ISSUED,
        "revisions": sheet_rows(same.defer("body")),
        "water": water_now(sheet.site, sheet) if sheet.state == SheetState.ISSUED else None,
        "has_visit_record": sheet.visit.signatures.exists(),
        "papers": [_paper(sheet, one, made) for one in PAPERS],
        **on_screen(context_of(sheet.body), sheet.site),
    }


def _paper(sheet: Sheet, paper: str, made: dict[str, str]) -> Shown:
    is_issued = paper == issued_paper(sheet) and bool(sheet.file_hash)
    said = "the file as issued" if is_issued else "the same record on other paper: another file, the same check code"
    return {
        "name": paper, "url": reverse("sheet-file", args=[sheet.pk, paper]), "said": said,
        "file_hash": made.get(paper, ""),
    }  # fmt: skip


def state_words(sheet: Sheet) -> str:
    """Return how a sheet stands, with the reason."""
    words = {
        SheetState.ISSUED: "Issued, current",
        SheetState.SUPERSEDED: "Superseded",
        SheetState.WITHDRAWN: "Withdrawn",
    }
    reason = f": {sheet.state_reason}" if sheet.state_reason else ""
    return words[SheetState(sheet.state)] + reason


def sheet_rows(sheets: Iterable[Sheet]) -> list[Shown]:
    """Return sheets as lines of a list."""
    return [
        {
            "number": one.number, "revision": one.revision, "url": reverse("sheet-detail", args=[one.pk]),
            "site": one.site.name, "state": one.state, "said": one.state_reason or one.reason,
            "with_open_items": one.with_open_items, "issued_on": day_words(one.issued_at, zone_of(one.site)),
            "issued_by": one.issued_by.get_full_name(),
        }
        for one in sheets
    ]  # fmt: skip


def on_screen(context: Shown, site: Site) -> Shown:
    """Return the sheet's context with its photographs at the addresses of the desk."""
    rows = Photo.objects.filter(visit__site=site).values_list("sha256", "pk")
    urls = {PHOTO + sha: reverse("photo-file", args=[pk, "thumbnail"]) for sha, pk in rows}
    return {**context, "photos": [{**one, "src": urls.get(one["src"], "")} for one in context["photos"]]}
