"""When somebody has to come back: by the sheet that stands, and a year after each service visit. The one rule of it."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Max

from commissioning.models import Sheet, SheetState, Site, Visit, VisitKind
from commissioning.moments import zone_of

A_YEAR = timedelta(days=365)
"""Between service visits, where the sheet says nothing later (common practice, no source)."""
_advised: dict[str, date | None] = {}
"""The inspection that a frozen record advises, by its hash: a record never changes, so each is read once."""


@dataclass(frozen=True)
class ServiceDue:
    """The day on which a site is due, and the sheet that advised it; no sheet: a year after the last service."""

    on: date
    sheet: Sheet | None = None

    @property
    def why(self) -> str:
        return f"advised by sheet {self.sheet.number}" if self.sheet else "a year after the last service visit"


def due_after(visit: Visit) -> date:
    """Return the day by which the next service is due after a visit."""
    return _a_year_on(visit.ended_at or visit.started_at, visit.site)


def _a_year_on(moment: datetime, site: Site) -> date:
    return moment.astimezone(zone_of(site)).date() + A_YEAR


def service_due(site: Site) -> ServiceDue | None:
    """Return when a site is due; None where neither a sheet nor a service visit says so."""
    return services_due([site]).get(site.pk)


def services_due(sites: Iterable[Site]) -> dict[UUID, ServiceDue]:
    """Return when each site is due, in a fixed number of queries.

    What the sheet that stands advised counts until a service visit ends after it was issued; from then on a year
    after that visit. Where a sheet advised nothing, the last service visit counts, whenever it was.
    """
    by_id = {one.pk: one for one in sites}
    sheets, served = _latest_sheets(by_id), _last_served(by_id)
    advised = _advised_by(sheets.values())
    found = {}
    for key, site in by_id.items():
        sheet, last = sheets.get(key), served.get(key)
        day = advised[sheet.hash] if sheet else None
        if sheet and day and (last is None or last < sheet.issued_at):
            found[key] = ServiceDue(day, sheet)
        elif last is not None:
            found[key] = ServiceDue(_a_year_on(last, site))
    return found


def _latest_sheets(sites: Iterable[UUID]) -> dict[UUID, Sheet]:
    issued = Sheet.objects.filter(state=SheetState.ISSUED, site__in=list(sites))
    return {one.site_id: one for one in issued.defer("body").order_by("issued_at")}


def _last_served(sites: Iterable[UUID]) -> dict[UUID, datetime]:
    ended = Visit.objects.filter(site__in=list(sites), kind=VisitKind.SERVICE).exclude(ended_at=None)
    return dict(ended.order_by().values_list("site").annotate(last=Max("ended_at")))


def _advised_by(sheets: Iterable[Sheet]) -> dict[str, date | None]:
    """Return the day that each sheet advises; the bodies of those not read yet come in one query."""
    there = list(sheets)
    unread = [one.pk for one in there if one.hash not in _advised]
    for digest, body in Sheet.objects.filter(pk__in=unread).values_list("hash", "body") if unread else ():
        _advised[digest] = _day_in(body)
    return {one.hash: _advised[one.hash] for one in there}


def _day_in(body: str) -> date | None:
    words = json.loads(body).get("sheet", {}).get("next_inspection", "")
    try:
        return datetime.strptime(words, "%d %B %Y").date()  # noqa: DTZ007  # a day has no zone
    except ValueError:
        return None
