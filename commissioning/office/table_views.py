"""What leaves the desk for other programs: a site's readings as a table, and every site in one archive."""

import tempfile
import zipfile
from collections.abc import Iterator
from uuid import UUID

from django.contrib import messages
from django.http import FileResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from commissioning.chain import instant
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Reading, Site
from commissioning.office_only import office_only
from commissioning.open_record import ExportError, export_site
from commissioning.spreadsheet import csv_lines

HEAD = (
    "visit", "kind", "check", "subject", "input", "repeat", "typed", "unit", "value in core unit",
    "standard uncertainty", "instrument", "read at", "taken by", "note", "superseded",
)  # fmt: skip
IN_MEMORY = 16 * 1024**2
"""Bytes of the whole archive from which on it lies on disk while it is made."""


@require_GET
@office_only
def site_readings(request: HtmxHttpRequest, site_id: UUID) -> StreamingHttpResponse:
    """Send every reading of a site as a table, superseded ones too, row by row."""
    site = get_object_or_404(Site.objects.for_user(request.user), pk=site_id)
    answer = StreamingHttpResponse(csv_lines(HEAD, _rows(site)), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{slugify(site.name) or "site"}-readings.csv"'
    return answer


def _rows(site: Site) -> Iterator[tuple[object, ...]]:
    there = Reading.objects.filter(measurement__visit__site=site).select_related(
        "instrument", "measurement__visit", "measurement__taken_by"
    )
    superseded = set(
        Reading.objects.filter(measurement__visit__site=site)
        .exclude(measurement__supersedes=None)
        .values_list("measurement__supersedes", flat=True)
    )
    for one in there.order_by("measurement__taken_at", "measurement", "position").iterator(chunk_size=500):
        m = one.measurement
        yield (
            m.visit_id, m.visit.get_kind_display(), m.check_key, m.subject, one.input, one.label, one.typed, one.unit,
            one.value, one.u, one.instrument.tag if one.instrument else "", instant(one.at), m.taken_by.get_full_name(),
            m.note, "yes" if m.pk in superseded else "",
        )  # fmt: skip


@require_GET
@office_only
def every_site(request: HtmxHttpRequest) -> HttpResponseBase:
    """Send every site with all its evidence and files: one archive of the archives that each is read back from."""
    held = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115  # closed by the answer when it is sent
    try:
        with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as archive:
            for site in Site.objects.for_user(request.user).order_by("name", "pk").iterator():
                name = f"{slugify(site.name) or 'site'}-{site.pk}.zip"
                archive.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), export_site(site))
    except ExportError as error:
        held.close()
        messages.error(request, f"Nothing was sent. {error}")
        return redirect("site-list")
    held.seek(0)
    return FileResponse(held, as_attachment=True, filename="every-site.zip", content_type="application/zip")
