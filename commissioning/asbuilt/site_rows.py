"""Sites, their visits and their sheets ready to print."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import Count, F, Window
from django.db.models.functions import RowNumber
from django.urls import reverse

from commissioning.models import Contact, Defect, Sheet, Site, Visit
from commissioning.navigation import address

MOST_SHOWN = 20


@dataclass(frozen=True)
class SiteRow:
    name: str
    place: str
    url: str
    record_url: str
    units: str
    visit: str
    visit_url: str | None
    open_words: str


@dataclass(frozen=True)
class LineRow:
    """One visit or sheet of a site."""

    title: str
    url: str | None
    words: str
    acceptance_url: str | None = None


def rows_of(sites: Iterable[Site]) -> list[SiteRow]:
    """Return the rows of a page of sites, in three queries however many there are."""
    there = list(sites)
    keys = [site.pk for site in there]
    ranked = Visit.objects.filter(site__in=keys).annotate(
        place=Window(RowNumber(), partition_by=F("site"), order_by=[F("started_at").desc(), F("pk").desc()])
    )
    last = {visit.site_id: visit for visit in ranked.filter(place=1)}
    waiting = Defect.objects.filter(site__in=keys, put_right_at=None)
    defects = dict(waiting.values_list("site").annotate(many=Count("pk")).order_by())
    return [_site_row(site, last.get(site.pk), defects.get(site.pk, 0)) for site in there]


def _site_row(site: Site, visit: Visit | None, defects: int) -> SiteRow:
    return SiteRow(
        site.name,
        site.place,
        reverse("site-detail", args=[site.pk]),
        reverse("record-detail", args=[site.pk]),
        site.get_unit_system_display(),
        visit_words(visit, site) if visit else "no visit yet",
        address("visit-detail", visit.pk) if visit else None,
        _open_words(visit, defects),
    )


def visit_words(visit: Visit, site: Site) -> str:
    """Return a visit's kind and the day on which it began there."""
    return f"{visit.get_kind_display()}, {day(visit.started_at, site)}"


def day(moment: datetime, site: Site) -> str:
    """Return the day of a moment at the site."""
    local = moment.astimezone(ZoneInfo(site.zone))
    return f"{local.day} {local:%B %Y}"


def _open_words(visit: Visit | None, defects: int) -> str:
    words = ["visit not ended"] if visit and visit.ended_at is None else []
    if defects:
        words.append(f"{defects} {'defect' if defects == 1 else 'defects'} to put right")
    return ", ".join(words) or "nothing open"


def begin_url(site: Site) -> str | None:
    """Return where a visit to a site is begun, if there is such a page."""
    url = address("visit-begin")
    return f"{url}?site={site.pk}" if url else None


def owner_of(site: Site) -> Contact | None:
    """Return whom the site belongs to, if that is known."""
    found = Contact.objects.filter(site=site).first()
    return found if found and (found.owner or found.telephone or found.address) else None


def visits_of(site: Site) -> list[LineRow]:
    """Return the latest visits of a site."""
    there = site.visits.prefetch_related("technicians")[:MOST_SHOWN]
    return [_visit_row(one, site) for one in there]


def _visit_row(visit: Visit, site: Site) -> LineRow:
    accepted_at = address("acceptance-detail", visit.pk)
    return LineRow(visit_words(visit, site), address("visit-detail", visit.pk), _visit_state(visit, site), accepted_at)


def _visit_state(visit: Visit, site: Site) -> str:
    people = ", ".join(str(person) for person in visit.technicians.all())
    if visit.ended_at is None:
        state = "not ended"
    else:
        state = "left isolated: do not use" if visit.left_isolated else f"ended {day(visit.ended_at, site)}"
    return f"{state} · {people}" if people else state


def sheets_of(site: Site) -> list[LineRow]:
    """Return the latest sheets of a site."""
    return [_sheet_row(one, site) for one in Sheet.objects.filter(site=site)[:MOST_SHOWN]]


def _sheet_row(sheet: Sheet, site: Site) -> LineRow:
    words = f"revision {sheet.revision}, {sheet.get_state_display()} · {day(sheet.issued_at, site)}"
    return LineRow(sheet.number, address("sheet-detail", sheet.pk), words)
