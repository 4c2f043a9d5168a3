"""When somebody has to come back: by the sheet that stands, and a year after each service visit."""

import json
from datetime import UTC, date, datetime, timedelta

from commissioning.models import Sheet, SheetState, Site, Visit, VisitKind
from commissioning.moments import zone_of

A_YEAR = timedelta(days=365)
"""Between service visits, where the sheet says nothing later (common practice, no source)."""


def inspection_due(site: Site) -> date | None:
    """Return the day by which the sheet that stands advised the next inspection."""
    sheet = Sheet.objects.filter(site=site, state=SheetState.ISSUED).order_by("-issued_at").first()
    words = json.loads(sheet.body).get("sheet", {}).get("next_inspection", "") if sheet else ""
    try:
        return datetime.strptime(words, "%d %B %Y").replace(tzinfo=UTC).date()
    except ValueError:
        return None


def due_after(visit: Visit) -> date:
    """Return the day by which the next service is due after a visit."""
    done = (visit.ended_at or visit.started_at).astimezone(zone_of(visit.site)).date()
    return done + A_YEAR


def service_due(site: Site) -> date | None:
    """Return when a site is due: a year after the last service visit that ended, else what the sheet advised.

    A sheet issued since that visit counts as the later word.
    """
    last = Visit.objects.filter(site=site, kind=VisitKind.SERVICE).exclude(ended_at=None).first()
    sheet = Sheet.objects.filter(site=site, state=SheetState.ISSUED).order_by("-issued_at").first()
    advised = inspection_due(site)
    if last is None or (sheet and advised and last.ended_at and sheet.issued_at > last.ended_at):
        return advised
    return due_after(last)
