"""The pack of a visit, for the phone that takes it along."""

import gzip
import json
from uuid import UUID

from django.http import HttpResponse
from django.views.decorators.http import require_GET

from commissioning.htmx import HtmxHttpRequest
from commissioning.sync.pack import pack_of, stamp_of
from commissioning.visits.lookup import visit_for

LEVEL = 7  # of gzip: more costs time and wins one part in a hundred


@require_GET
def pack(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Hand out what a phone takes along; nothing where it has this very pack already."""
    visit = visit_for(request.user, visit_id)
    mark = f'"{stamp_of(request, visit)}"'
    if request.headers.get("If-None-Match") == mark:
        return HttpResponse(status=304, headers={"ETag": mark, "Cache-Control": "no-store"})
    text = json.dumps({"logbook": 1, **pack_of(request, visit)}, ensure_ascii=False, separators=(",", ":"))
    body = gzip.compress(text.encode(), LEVEL, mtime=0)
    headers = {"ETag": mark, "Cache-Control": "no-store", "Content-Encoding": "gzip", "Vary": "Accept-Encoding"}
    return HttpResponse(body, content_type="application/json", headers=headers)
