"""The pages behind the code on a sheet: genuine and current, superseded, withdrawn, changed or not ours.

Nothing personal stands on them. A file is compared on the reader's own device where its browser can do that.
"""

import json
import re
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods, require_safe

from commissioning.accounts.throttle import OPEN_WINDOW, may_look_up
from commissioning.canonical import digest
from commissioning.errors import not_found
from commissioning.handover.authenticity import Answer, Examined, examine, examine_hash, standing_words
from commissioning.handover.paper import spaced
from commissioning.handover.paper_file import files_of
from commissioning.handover.seal_keys import own_fingerprint
from commissioning.models import Sheet, SheetState
from commissioning.water_now import water_now

HEADERS = {
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}
A_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)
MOST_BYTES = 30 * 1024 * 1024
TOO_LARGE = "This file is larger than any sheet (30 MB)."
NO_FILE = "Choose the PDF file first."


@login_not_required
@require_safe
def sheet_verify(request: HttpRequest, token: str) -> HttpResponse:
    """Say how a sheet stands. Whatever is no token of ours, unknown or malformed, gets one and the same answer."""
    if not may_look_up(request):
        return too_many(request)
    sheet = Sheet.objects.filter(token_hash=digest(token)).select_related("site", "visit__site").first()
    if sheet is None:
        answer = not_found(request, Http404())
    else:
        answer = render(request, "handover/sheet_verify.html", standing_context(sheet))
    return _closed(answer)


@csrf_exempt  # it changes nothing and knows nobody; a browser that tells no referrer names no origin to check
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
def file_verify(request: HttpRequest) -> HttpResponse:
    """Say what a file is: by the hash that a device worked out, or by the file itself, which is not kept."""
    if not may_look_up(request):
        return too_many(request)
    context: dict[str, Any] = {"own_fingerprint": spaced(own_fingerprint())}
    if request.method == "POST":
        context |= _sent(request)
    elif A_HASH.fullmatch(asked := request.GET.get("sha256", "")):
        known = examine_hash(asked)
        context |= {"found": _shown(known)} if known else {"unknown_hash": asked}
    return _closed(render(request, "handover/file_verify.html", context))


def _sent(request: HttpRequest) -> dict[str, Any]:
    file = request.FILES.get("file")
    if file is None:
        return {"error": NO_FILE}
    if file.size is None or file.size > MOST_BYTES:
        return {"error": TOO_LARGE}
    return {"found": _shown(examine(file.read()))}


def _shown(found: Examined) -> dict[str, Any]:
    """Return an answer ready to print. Of a copy that was changed only the number is told."""
    sheet = found.sheet if found.answer is not Answer.NOT_OURS else None
    named = {"number": sheet.number, "revision": sheet.revision} if sheet else {}
    water = water_now(sheet.site, sheet) if sheet and found.answer is not Answer.CHANGED else None
    said = {"answer": found.answer.value, "words": found.words, "why": found.why, "is_good": found.is_good}
    return {**said, **named, "water": water}


def too_many(request: HttpRequest) -> HttpResponse:
    """Say that this place has asked too often of late. Nothing is looked up, no file is read."""
    answer = render(request, "handover/too_many.html", {"minutes": OPEN_WINDOW // 60}, status=429)
    answer.headers["Retry-After"] = str(OPEN_WINDOW)
    return _closed(answer)


def _closed(answer: HttpResponse) -> HttpResponse:
    for name, value in HEADERS.items():
        answer.headers[name] = value
    return answer


def standing_context(sheet: Sheet) -> dict[str, Any]:
    """Return what the public page tells of a sheet."""
    issue = json.loads(sheet.body)["sheet"]
    is_current = sheet.state == SheetState.ISSUED
    made = files_of(sheet)
    return {
        "number": sheet.number,
        "revision": sheet.revision,
        "issued_on": issue["issued_on"],
        "verdict": standing_words(sheet),
        "is_current": is_current,
        "standing": issue["standing"]["words"] if is_current else "",
        "water": water_now(sheet.site, sheet),
        "files": [{"paper": paper, "hash": name} for paper, name in made.items()],
        "hashes": " ".join(made.values()),
        "check_code": spaced(sheet.hash),
        "seal": spaced(issue.get("seal", "")),
    }
