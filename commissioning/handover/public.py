"""The page behind the code on a sheet: genuine and current, superseded, or withdrawn. Nothing personal."""

import json
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from commissioning.canonical import digest
from commissioning.errors import not_found
from commissioning.handover.paper import spaced
from commissioning.models import Sheet, SheetState

HEADERS = {
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}


@login_not_required
@require_safe
def sheet_verify(request: HttpRequest, token: str) -> HttpResponse:
    """Say how a sheet stands. Whatever is no token of ours, unknown or malformed, gets one and the same answer."""
    sheet = Sheet.objects.filter(token_hash=digest(token)).first()
    if sheet is None:
        answer = not_found(request, Http404())
    else:
        answer = render(request, "handover/sheet_verify.html", standing_context(sheet))
    for name, value in HEADERS.items():
        answer.headers[name] = value
    return answer


def standing_context(sheet: Sheet) -> dict[str, Any]:
    """Return what the public page tells of a sheet."""
    issue = json.loads(sheet.body)["sheet"]
    is_current = sheet.state == SheetState.ISSUED
    return {
        "number": sheet.number,
        "revision": sheet.revision,
        "issued_on": issue["issued_on"],
        "verdict": verdict_words(sheet),
        "is_current": is_current,
        "standing": issue["standing"]["words"] if is_current else "",
        "file_hash": sheet.file_hash,
        "paper": issue["paper"],
        "check_code": spaced(sheet.hash),
    }


def verdict_words(sheet: Sheet) -> str:
    """Return the one sentence that a reader came for."""
    if sheet.state == SheetState.WITHDRAWN:
        return "Withdrawn: this sheet is no longer valid."
    if sheet.state == SheetState.ISSUED:
        return "Genuine and current."
    after = Sheet.objects.filter(year=sheet.year, sequence=sheet.sequence).order_by("revision").last()
    assert after is not None
    gone = ", which is withdrawn" if after.state == SheetState.WITHDRAWN else ""
    return f"Genuine, but superseded by revision {after.revision}{gone}."
