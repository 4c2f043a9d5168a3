"""What falls due: service of sites, by the inspection that their sheets advise, and calibration of instruments."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Max
from django.urls import reverse

from commissioning.models import Instrument, Sheet, SheetState, Site, User, Visit, VisitKind
from commissioning.office.waiting import day_at

AHEAD = timedelta(days=60)
"""How long before its day a thing is listed: a visit is planned, an instrument sent in. Our own choice."""
A_YEAR = timedelta(days=365)
"""From one service to the next where no sheet says otherwise since: common practice, no source."""
_advised: dict[str, date | None] = {}
"""The inspection that a frozen record advises, by its hash: a record never changes, so each is read once."""


@dataclass(frozen=True)
class Due:
    """One thing that falls due: on which day, what, why then, and where it is seen to."""

    on: date
    what: str
    why: str
    url: str
    link: str


def due_until(user: User, today: date) -> list[Due]:
    """Return what is overdue or falls due soon, the earliest first; the queries do not grow with the sites."""
    found = [*_services(user), *_calibrations()]
    return sorted((one for one in found if one.on <= today + AHEAD), key=lambda one: (one.on, one.what))


def _services(user: User) -> Iterator[Due]:
    sheets = Sheet.objects.filter(state=SheetState.ISSUED, site__in=Site.objects.for_user(user))
    latest: dict[UUID, Sheet] = {}
    for one in sheets.select_related("site").defer("body").order_by("issued_at"):
        latest[one.site_id] = one
    advised = _advised_by(latest.values())
    served = _last_served(latest)
    for key, sheet in latest.items():
        on, last = advised[sheet.hash], served.get(key)
        why = f"advised by sheet {sheet.number}"
        if last is not None and last > sheet.issued_at:
            on, why = day_at(last, sheet.site) + A_YEAR, "a year after the last service visit"
        if on is not None:
            yield Due(on, f"Service, {sheet.site.name}", why, sheet.site.get_absolute_url(), "To the site")


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


def _calibrations() -> Iterator[Due]:
    for one in Instrument.objects.filter(retired_at=None).exclude(calibration_due=None):
        assert one.calibration_due is not None
        why = "readings taken with it after that day are marked wherever they are printed"
        url = reverse("instrument-detail", args=[one.pk])
        yield Due(one.calibration_due, f"Calibration, {one}", why, url, "To the instrument")
