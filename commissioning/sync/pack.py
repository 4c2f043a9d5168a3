"""What a phone takes along of one visit: its pages, how it stands, what its forms declare, its pocket tables.

One JSON document, made for one person. Its mark changes when anything in it may have: evidence on the site, the
instruments, the core, the templates.
"""

import hashlib
from functools import cache
from pathlib import Path
from typing import Any, cast

from django.conf import settings
from django.db.models import Max
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from commissioning import snapshot
from commissioning.canonical import digest
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Event, Instrument, Visit
from commissioning.photo_copies import path_of
from commissioning.progress import progress_of
from commissioning.sync.before import baseline_data, comparison_pages
from commissioning.sync.declared import check_data, unit_table
from commissioning.sync.pages import visit_pages
from commissioning.sync.record import items_of, record_data, record_pages
from commissioning.sync.standing import standing_of
from commissioning.sync.tables import tables_mark, tables_of
from commissioning.told import asked_first
from sizing import CORE_VERSION

FORMAT = 1


def stamp_of(request: HtmxHttpRequest, visit: Visit) -> str:
    """Return the mark of a pack without making it."""
    last = Event.objects.of_site(visit.site_id).last()
    counted = (Instrument.objects.aggregate(Max("pk")), _head(Event.objects.of_site(None).last()))
    today = timezone.now().date().isoformat()
    parts = (FORMAT, visit.pk, request.user.pk, request.user.role, _head(last), counted, CORE_VERSION,
             release(), today)  # fmt: skip
    return digest("|".join(str(part) for part in parts))


def _head(last: Event | None) -> str:
    return last.hash if last else ""


@cache
def release() -> str:
    """Return the mark of the templates and static files of this process."""
    found = hashlib.sha256()
    for folder in [*cast("list[Path]", settings.TEMPLATES[0]["DIRS"]), *settings.STATICFILES_DIRS]:
        for path in sorted(Path(folder).rglob("*")):
            if path.is_file():
                found.update(path.read_bytes())
    return found.hexdigest()


def pack_of(request: HtmxHttpRequest, visit: Visit) -> dict[str, Any]:
    """Return the whole pack of one visit for the person who asks."""
    progress = progress_of(visit)
    site, items = visit.site, items_of(visit)
    checks = {line.check.key: line.check for line in (*progress.lines, *progress.offered)}
    return {
        "v": FORMAT, "visit": str(visit.pk), "site": str(site.pk), "site_name": site.name,
        "kind": visit.get_kind_display(), "made_at": timezone.now().isoformat(),
        "started_at": visit.started_at.isoformat(),
        "user": str(request.user.handle), "name": str(request.user), "zone": site.zone,
        "unit_system": site.unit_system, "core": CORE_VERSION, "record": digest(snapshot.text_now(site)),
        "urls": _urls(visit),
        "pages": dict(
            [
                *visit_pages(request, progress), *record_pages(request, visit, items),
                *comparison_pages(request, progress),
            ]
        ),
        "title": f"{site.name}, {visit.get_kind_display()} visit", "version": release(),
        "thumbnails": [*_photos(visit)],
        "skeletons": render_to_string("sync/skeletons.html", {}, request),
        "units": unit_table(site.unit_system),
        "checks": {key: check_data(check) for key, check in checks.items()},
        **standing_of(progress),
        "instruments": [_instrument(one) for one in Instrument.objects.filter(retired_at=None)],
        "as_built": record_data(items),
        "baseline": baseline_data(progress),
        "asked": asked_first(progress),
        "known": _known(visit),
        "tables": tables_of(progress),
        "tables_mark": tables_mark(progress),
    }  # fmt: skip


def _urls(visit: Visit) -> dict[str, str]:
    """Return the addresses that a page of the phone leads to; what varies is put in by the phone."""
    return {
        "visit": visit.get_absolute_url(),
        "sign": reverse("visit-sign", args=[visit.pk]),
        "end": reverse("visit-end", args=[visit.pk]),
        "photos": reverse("visit-photos", args=[visit.pk]),
        "defect": reverse("defect-raise", args=[visit.pk]),
        "record": reverse("record-detail", args=[visit.site_id]),
        "field_sheet": reverse("visit-field-sheet", args=[visit.pk]),
    }


def _photos(visit: Visit) -> list[dict[str, Any]]:
    """Return the address and size of each thumbnail: they are fetched one by one, where there is room."""
    found = []
    for photo in visit.photos.all():
        url = reverse("photo-file", args=[photo.pk, "thumbnail"])
        try:
            found.append({"url": url, "bytes": path_of(photo.sha256, "thumbnail").stat().st_size})
        except (FileNotFoundError, ValueError):
            continue  # its bytes have not arrived yet
    return found


def _instrument(one: Instrument) -> dict[str, str]:
    names = ("quantity", "unit", "of_reading_percent", "counts", "resolution", "of_full_scale_percent", "full_scale")
    return {"id": str(one.pk), "name": str(one), **{name: getattr(one, name) for name in names}}


def _known(visit: Visit) -> list[str]:
    """Return the evidence of phones on this site since the visit began: what is in here need not be laid over it."""
    rows = Event.objects.filter(site=visit.site, received_at__gte=visit.started_at).exclude(device="")
    return [str(pk) for pk in rows.values_list("pk", flat=True)]
