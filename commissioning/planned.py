"""The plan of upkeep with its days: what is to be done on a system, when it was last shown done, and when next."""

import calendar
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from django.utils import timezone

from commissioning.models import Measurement, Site, VisitKind
from commissioning.moments import zone_of
from sizing.running.upkeep import Task, proved_on, tasks
from sizing.system import System

Owed = tuple[str, str]
EVERY = {1: "every month", 3: "every three months", 6: "twice a year", 12: "every year"}


@dataclass(frozen=True)
class Planned:
    """One task with the day on which it was shown done last, if any, and the day by which it is due."""

    task: Task
    last: date | None
    due: date


def plan_of(site: Site, system: System) -> list[Planned]:
    """Return the plan of a site, in two queries; most frequent tasks first, as the core lists them.

    A task that checks show done counts from the day by which all of them had been taken on what stands there today;
    one that was never shown, from the hand-over. What no check shows counts from the last visit that ended.
    """
    zone, taken = zone_of(site), _taken(site)
    handed_over, last_visit = _visits(site)
    found = []
    for task in tasks(system):
        proofs = proved_on(system, task)
        last = _shown(proofs, taken, zone)
        base = last or _day(handed_over if proofs else last_visit, zone)
        found.append(Planned(task, last, months_after(base, task.months)))
    return found


def _taken(site: Site) -> dict[Owed, datetime]:
    """Return when each check was taken last on each subject, by the tag that it has today."""
    rows = Measurement.objects.current().on_standing().filter(visit__site=site).order_by("taken_at")
    names = ("check_key", "component__tag", "run__tag", "subject", "taken_at")
    return {(key, node or run or tag): at for key, node, run, tag, at in rows.values_list(*names)}


def _visits(site: Site) -> tuple[datetime, datetime]:
    """Return when the last start-up ended, and when the last visit did; this moment where none has."""
    rows = site.visits.exclude(ended_at=None).order_by("ended_at").values_list("kind", "ended_at")
    ended = [(kind, at) for kind, at in rows if at is not None]
    last = ended[-1][1] if ended else timezone.now()
    return next((at for kind, at in reversed(ended) if kind == VisitKind.START_UP), last), last


def _shown(proofs: set[Owed], taken: dict[Owed, datetime], zone: tzinfo) -> date | None:
    """Return the day by which all that shows a task done had been taken; None where some of it never was."""
    if not proofs or not all(one in taken for one in proofs):
        return None
    return _day(min(taken[one] for one in proofs), zone)


def _day(moment: datetime, zone: tzinfo) -> date:
    return moment.astimezone(zone).date()


def months_after(day: date, months: int) -> date:
    """Return the same day some months on, or the last one of a shorter month."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))
