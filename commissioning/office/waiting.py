"""What waits and on whom, read from the record: nobody keeps a second list, so nothing can be left on one."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from uuid import UUID

from django.db.models import Exists, F, OuterRef, QuerySet, Window
from django.db.models.functions import RowNumber
from django.urls import reverse

from commissioning.models import (
    Concession,
    Defect,
    LaboratorySample,
    Measurement,
    Question,
    SetAside,
    SettingAside,
    Sheet,
    SheetState,
    Site,
    User,
    Visit,
    VisitKind,
)
from commissioning.moments import day_words, zone_of
from commissioning.office.in_doubt import Doubted, doubted, tag_now
from commissioning.water_now import outdated
from sizing.checks.catalogue import CHECKS

AHEAD_DAYS = 30
"""How long before its last day a concession is said to end; our own choice."""
ASIDE = {SetAside.PARKED: "parked", SetAside.CANNOT_BE_TAKEN: "cannot be taken"}


class Whom(StrEnum):
    """On whom a thing waits."""

    TECHNICIAN = "technician"
    OFFICE = "office"
    LABORATORY = "laboratory"
    PART = "part"
    OWNER = "owner"


@dataclass(frozen=True)
class Waiting:
    """One thing that waits: since when, what, where, on whom, and the page on which it is settled."""

    since: date
    what: str
    detail: str
    site: Site
    whom: Whom
    name: str
    url: str
    link: str


def waiting_on(user: User, today: date) -> list[Waiting]:
    """Return everything that waits, what has waited longest first, in as many queries for one site as for many."""
    sites = {site.pk: site for site in Site.objects.for_user(user)}
    found = [
        *_defects(sites), *_asides(sites), *_visits(sites), *_samples(sites), *_concessions(sites, today),
        *_questions(sites), *_doubted(sites), *_outdated(sites),
    ]  # fmt: skip
    return sorted(found, key=lambda one: (one.since, one.site.name, one.what))


def check_title(check_key: str, subject: str) -> str:
    """Return a check as it is spoken of, also one that the catalogue no longer knows."""
    check = CHECKS.get(check_key)
    return f"{check.title if check else check_key}, {subject}"


def day_at(moment: datetime, site: Site) -> date:
    """Return the day of a moment at the site."""
    return moment.astimezone(zone_of(site)).date()


def whom_of(words: str, usual: Whom = Whom.TECHNICIAN) -> Whom:
    """Return on whom something waits that somebody is named for: a role by its own word, else a person of the firm."""
    return next((whom for whom in Whom if whom.value in re.findall(r"\w+", words.lower())), usual)


def _defects(sites: dict[UUID, Site]) -> Iterator[Waiting]:
    for one in Defect.objects.filter(put_right_at=None, site__in=sites).select_related("raised_by"):
        site = sites[one.site_id]
        words, due = one.words.strip().rstrip("."), f"; by {day_words(one.due)}" if one.due else ""
        safe = "unsafe" if one.is_unsafe else "not unsafe"
        at = f", {check_title(one.check_key, one.subject)}" if one.check_key else ""
        yield Waiting(
            day_at(one.raised_at, site), f"Defect {one.number} ({safe}){at}", words + due, site,
            whom_of(one.who), one.who or one.raised_by.get_full_name(),
            reverse("defect-detail", args=[one.visit_id, one.pk]), "To the defect",
        )  # fmt: skip


def _asides(sites: dict[UUID, Site]) -> Iterator[Waiting]:
    """Yield what is parked: a sample waits for its laboratory, anything else for whoever parked it."""
    for one in _latest_asides(sites):
        site, check = sites[one.visit.site_id], CHECKS.get(one.check_key)
        at_laboratory = check is not None and check.from_laboratory
        whom = Whom.LABORATORY if at_laboratory else whom_of(one.reason)
        yield Waiting(
            day_at(one.at, site), check_title(one.check_key, one.subject),
            f"{ASIDE[SetAside(one.how)]}: {one.reason or 'no reason given'}", site, whom,
            "" if whom is not Whom.TECHNICIAN else one.by.get_full_name(),
            reverse("measurement", args=[one.visit_id, f"{one.check_key}:{one.subject}"]),
            "Enter the result" if at_laboratory else "To the check",
        )  # fmt: skip


def _samples(sites: dict[UUID, Site]) -> Iterator[Waiting]:
    """Yield each sample on which no report has come back."""
    for one in LaboratorySample.objects.filter(reports=None, visit__site__in=sites).select_related("visit"):
        site = sites[one.visit.site_id]
        yield Waiting(
            one.sent_on, "Report on a sample", one.words or f"handed over {day_words(one.sent_on)}", site,
            Whom.LABORATORY, one.laboratory, reverse("laboratory", args=[one.visit_id]), "To the laboratory's page",
        )  # fmt: skip


def _questions(sites: dict[UUID, Site]) -> Iterator[Waiting]:
    """Yield each question that nobody has answered: it waits on whoever took the check, or is on the visit."""
    rows = Question.objects.open().filter(visit__site__in=sites).select_related("visit", "measurement__taken_by")
    for one in rows.prefetch_related("visit__technicians"):
        site, taken = sites[one.visit.site_id], one.measurement
        people = [taken.taken_by] if taken else one.visit.technicians.all()
        yield Waiting(
            day_at(one.at, site), f"Question, {check_title(one.check_key, one.subject)}", one.words, site,
            Whom.TECHNICIAN, ", ".join(str(person) for person in people),
            reverse("question-detail", args=[one.visit_id, one.pk]), "To the question",
        )  # fmt: skip


def _doubted(sites: dict[UUID, Site]) -> Iterator[Waiting]:
    for one in doubted(sites):
        yield _bad(one, sites[one.visit.site_id]) if one.is_bad else _overdue(one, sites[one.visit.site_id])


def _bad(one: Doubted, site: Site) -> Waiting:
    """Return readings with what was found bad: taken again while the visit goes on, else conceded or another visit."""
    goes_on, people = one.visit.ended_at is None, sorted({str(m.taken_by) for m in one.measurements})
    way = (Whom.TECHNICIAN, ", ".join(people)) if goes_on else (Whom.OFFICE, "")
    url = reverse("acceptance-detail", args=[one.visit.pk])
    if len(one.measurements) == 1:
        url = reverse("measurement", args=[one.visit.pk, _owed(one)[0]])
    link = "To the reading" if len(one.measurements) == 1 else "To acceptance"
    return Waiting(one.since, _in_doubt_words(one), one.why, site, *way, url, link)


def _overdue(one: Doubted, site: Site) -> Waiting:
    """Return readings with what was overdue: the office has it calibrated, and knows then whether they stand."""
    url = reverse("instrument-detail", args=[one.instrument.pk])
    words = f"{one.why}; keep a calibration, or what it found"
    return Waiting(one.since, _in_doubt_words(one), words, site, Whom.OFFICE, "", url, "To the instrument")


def _owed(one: Doubted) -> list[str]:
    return [f"{m.check_key}:{tag_now(m)}" for m in one.measurements]


def _in_doubt_words(one: Doubted) -> str:
    if len(one.measurements) > 1:
        return f"{len(one.measurements)} readings in doubt"
    only = one.measurements[0]
    return f"In doubt: {check_title(only.check_key, tag_now(only))}"


def _outdated(sites: dict[UUID, Site]) -> Iterator[Waiting]:
    """Yield sheets that a laboratory's result has overtaken: the owner is told, the sheet revised or withdrawn."""
    issued = Sheet.objects.filter(state=SheetState.ISSUED, site__in=sites).defer("body")
    for one in outdated(issued):
        site, found = sites[one.sheet.site_id], "; ".join(result.words for result in one.results)
        words = "do not drink: tell the owner, then issue it again" if one.is_bad else "issue it again with what came"
        yield Waiting(
            one.since, f"Sheet {one.sheet.number} needs a revision", f"{found}: {words}", site, Whom.OFFICE, "",
            reverse("laboratory", args=[one.results[0].measurement.visit_id]), "To the laboratory's page",
        )  # fmt: skip


def _latest_asides(sites: Iterable[UUID]) -> Iterator[SettingAside]:
    """Yield the last word on each check set aside, where nothing was measured, conceded or certified since."""
    same = {"visit": OuterRef("visit"), "check_key": OuterRef("check_key"), "subject": OuterRef("subject")}
    ranked = SettingAside.objects.filter(visit__site__in=sites).annotate(
        place=Window(
            RowNumber(), partition_by=[F("visit"), F("check_key"), F("subject")], order_by=[F("at").desc(), F("pk")]
        )
    )
    latest = ranked.filter(place=1).values("pk")
    waits = (
        SettingAside.objects.filter(pk__in=latest, how__in=list(ASIDE))
        .exclude(Exists(Measurement.objects.filter(**same)))
        .exclude(Exists(Concession.objects.in_force().filter(**same)))
        .exclude(Exists(_issued(OuterRef("visit"))))
    )
    yield from waits.select_related("visit", "by")


def _issued(visit: OuterRef) -> QuerySet[Sheet]:
    return Sheet.objects.filter(visit=visit, state=SheetState.ISSUED)


def _visits(sites: dict[UUID, Site]) -> Iterator[Waiting]:
    """Yield visits not signed yet, and start-ups that are ended and have no sheet that stands."""
    waits = Visit.objects.filter(site__in=sites).exclude(Exists(_issued(OuterRef("pk"))))
    for visit in waits.prefetch_related("technicians"):
        site = sites[visit.site_id]
        if visit.ended_at is None:
            yield _unsigned(visit, site)
        elif visit.kind == VisitKind.START_UP:
            yield Waiting(
                day_at(visit.ended_at, site), "Sheet to look over", _ended_words(visit, site), site, Whom.OFFICE, "",
                reverse("acceptance-detail", args=[visit.pk]), "To acceptance",
            )  # fmt: skip


def _unsigned(visit: Visit, site: Site) -> Waiting:
    people = ", ".join(str(person) for person in visit.technicians.all())
    kind, began = visit.get_kind_display().capitalize(), day_words(visit.started_at, zone_of(site))
    return Waiting(
        day_at(visit.started_at, site), f"{kind} visit not signed", f"begun {began}", site, Whom.TECHNICIAN, people,
        visit.get_absolute_url(), "To the visit",
    )  # fmt: skip


def _ended_words(visit: Visit, site: Site) -> str:
    assert visit.ended_at is not None
    left = "left isolated, " if visit.left_isolated else ""
    return f"start-up {left}ended {day_words(visit.ended_at, zone_of(site))}"


def _concessions(sites: dict[UUID, Site], today: date) -> Iterator[Waiting]:
    """Yield concessions that have ended, or soon will, on a visit whose sheet stands."""
    issued = Exists(_issued(OuterRef("visit")))
    ending = Concession.objects.filter(issued, visit__site__in=sites).exclude(expires_on=None)
    for one in ending.select_related("visit", "by"):
        assert one.expires_on is not None
        if (one.expires_on - today).days > AHEAD_DAYS:
            continue
        site, past = sites[one.visit.site_id], one.expires_on < today
        yield Waiting(
            day_at(one.at, site), f"Concession {'ended' if past else 'ends'} {day_words(one.expires_on)}",
            f"{check_title(one.check_key, one.subject)}: {one.reason}", site, Whom.OFFICE, one.by.get_full_name(),
            reverse("acceptance-detail", args=[one.visit_id]), "To acceptance",
        )  # fmt: skip
