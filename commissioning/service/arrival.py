"""What a person wants to know before touching anything: how the system was left, what is open, what is due."""

import json
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from typing import Any

from commissioning import showing, snapshot
from commissioning.baseline import baseline_of
from commissioning.models import (
    Component,
    Concession,
    Defect,
    Measurement,
    Photo,
    SetAside,
    Site,
    Visit,
    VisitKind,
)
from commissioning.moments import day_words, moment_words, zone_of
from commissioning.nameplates import part_of
from commissioning.planned import EVERY, Planned, plan_of
from commissioning.said_on import said_on
from commissioning.service.due import service_due
from commissioning.told import cautions_of, words_of
from commissioning.warranty import warranties_of
from sizing.checks.catalogue import CHECKS
from sizing.errors import SystemShapeError
from sizing.running.upkeep import CONTRACTOR, OWNER

NORMAL = (
    "static_level", "pumping_level", "well_pump_flow", "well_pump_power", "wellhead_pressure", "fill_stop_level",
    "precharge", "cut_in", "cut_out", "delivery_flow", "battery_rest_voltage", "charge_voltage", "volume_per_stroke",
)  # fmt: skip
"""What tells at a glance whether a system is itself; each where it was measured."""
SET_POINTS = ("cut_in", "cut_out", "precharge", "charge_voltage", "low_voltage_disconnect", "fill_stop_level")
COUNTERS = ("overload_trips", "low_water_trips", "overflow_events", "load_energy")
NOT_TAKEN = {SetAside.PARKED: "parked", SetAside.CANNOT_BE_TAKEN: "could not be taken"}
MOST_CHANGES = 20
SOON = timedelta(days=60)
"""A task due within that time is done on this visit rather than on another drive (our own choice)."""


@dataclass(frozen=True)
class Told:
    """One line of the page: what, in which words, and when."""

    title: str
    words: str
    when: str = ""


def arrival_of(visit: Visit) -> dict[str, Any]:
    """Return what the page of an arrival prints."""
    last = last_before(visit)
    zone = zone_of(visit.site)
    taken = _taken(last) if last else []
    return {
        "visit": visit,
        "site": visit.site,
        "day": day_words(visit.started_at, zone),
        "last": last,
        "last_day": day_words(last.started_at, zone) if last else "",
        "isolated": last.left_isolated_reason if last and last.left_isolated else "",
        "left": [_answer(one, zone) for one in taken if one.check_key == "as_left"],
        "valves": valves_of(visit.site),
        "set_points": _figures(taken, SET_POINTS, visit.site),
        "counters": _figures(taken, COUNTERS, visit.site),
        "photos": list(Photo.objects.filter(visit=last)) if last else [],
        "open": open_on(visit, last, {(one.check_key, one.subject) for one in taken}),
        "due": due_on(visit),
        **tasks_on(visit),
        "warranties": warranties_on(visit),
        "changes": changes_since(visit, last) if last else [],
        "normal": normal_numbers(visit),
        **_said(visit, zone),
    }


def _said(visit: Visit, zone: tzinfo) -> dict[str, Any]:
    """Return what the owner says, by whom it was kept and when."""
    said = said_on(visit)
    by = f"{said.by}, {moment_words(said.at, zone)}" if said else ""
    return {"said": words_of(said), "said_by": by, "said_cautions": cautions_of(said)}


def last_before(visit: Visit) -> Visit | None:
    """Return the last visit before this one on which the system was looked at as a whole."""
    earlier = Visit.objects.filter(site=visit.site_id, started_at__lt=visit.started_at).exclude(pk=visit.pk)
    return earlier.exclude(kind=VisitKind.BEFORE_COVER).first()


def _taken(visit: Visit) -> list[Measurement]:
    rows = visit.measurements.current().select_related("taken_by")
    return list(rows.prefetch_related("judgements", "readings"))


def _answer(one: Measurement, zone: tzinfo) -> Told:
    return Told(one.answer, one.note, f"{one.taken_by}, {moment_words(one.taken_at, zone)}")


def valves_of(site: Site) -> list[Told]:
    """Return the valves with the position that they have by the record."""
    valves = Component.objects.standing().filter(site=site, kind="valve").order_by("tag")
    return [
        Told(f"{v.tag} {v.name}".strip(), position) for v in valves if (position := v.nameplate.get("normal_position"))
    ]


def _figures(taken: list[Measurement], keys: tuple[str, ...], site: Site) -> list[Told]:
    """Return what was measured last of certain checks, in their order."""
    found = []
    for one in sorted((m for m in taken if m.check_key in keys), key=lambda m: keys.index(m.check_key)):
        shown = showing.show(one.judgement(), site.unit_system, list(one.readings.all()))
        values = ", ".join(f"{f.repeat}: {f.value}" if f.repeat else f.value for f in shown if f.value)
        if values:
            found.append(Told(f"{CHECKS[one.check_key].title}, {one.subject}", values))
    return found


def normal_numbers(visit: Visit) -> list[Told]:
    """Return the numbers of the baseline that say whether the system is itself."""
    baseline = baseline_of(visit)
    return _figures(_taken(baseline), NORMAL, visit.site) if baseline else []


# what is open, due and changed


def open_on(visit: Visit, last: Visit | None, taken: set[tuple[str, str]]) -> list[Told]:
    """Return what is open on a site: defects, concessions, and what could not be taken last time."""
    defects = Defect.objects.filter(site=visit.site_id, put_right_at=None)
    found = [_defect(one) for one in defects.order_by("-is_unsafe", "number")]
    granted = Concession.objects.in_force().filter(visit__site=visit.site_id, at__lt=visit.started_at)
    found += [_concession(one) for one in granted]
    return found + (_not_taken(last, taken) if last else [])


def _defect(one: Defect) -> Told:
    unsafe = ", unsafe" if one.is_unsafe else ""
    return Told(f"Defect {one.number}{unsafe}", one.words, f"by {day_words(one.due)}" if one.due else "")


def _concession(one: Concession) -> Told:
    until = f"until {day_words(one.expires_on)}" if one.expires_on else "without an end"
    return Told(f"Conceded: {_named(one.check_key, one.subject)}", one.reason, until)


def _not_taken(last: Visit, taken: set[tuple[str, str]]) -> list[Told]:
    latest = {(one.check_key, one.subject): one for one in last.settings_aside.order_by("at")}
    rows = [one for key, one in latest.items() if one.how in NOT_TAKEN and key not in taken]
    return [Told(_named(one.check_key, one.subject), one.reason, NOT_TAKEN[SetAside(one.how)]) for one in rows]


def _named(check: str, subject: str) -> str:
    return f"{CHECKS[check].title if check in CHECKS else check}, {subject}"


def due_on(visit: Visit) -> list[Told]:
    """Return what is due: the inspection that the sheet advised, or a year after the last service."""
    due = service_due(visit.site)
    if due is None:
        return []
    title = "Inspection advised by the handover sheet" if due.sheet else "Service, a year after the last one"
    return [Told(title, day_words(due.on), _when(due.on, _day_of(visit)))]


def _day_of(visit: Visit) -> date:
    return visit.started_at.astimezone(zone_of(visit.site)).date()


def _when(day: date, today: date) -> str:
    late = (today - day).days
    return f"{_days(late)} ago" if late > 0 else "today" if late == 0 else f"in {_days(-late)}"


def _days(many: int) -> str:
    return f"{many} day{'' if many == 1 else 's'}"


def tasks_on(visit: Visit) -> dict[str, list[Told]]:
    """Return the upkeep of the system: what the contractor does now or soon, what later, and the owner's own."""
    try:
        system = snapshot.system_now(visit.site)
    except SystemShapeError:
        return {}
    today, plan = _day_of(visit), plan_of(visit.site, system)
    own = [one for one in plan if one.task.who == CONTRACTOR]
    return {
        "tasks": [_task(one, today) for one in own if one.due <= today + SOON],
        "tasks_later": [_task(one, today) for one in own if one.due > today + SOON],
        "tasks_owner": [_asked_of_owner(one) for one in plan if one.task.who == OWNER],
    }


def _task(one: Planned, today: date) -> Told:
    last = f"last shown done {day_words(one.last)}" if one.last else "not on record"
    return Told(one.task.words, f"{', '.join(one.task.tags)} · {last}", f"due {_when(one.due, today)}")


def warranties_on(visit: Visit) -> list[Told]:
    """Return until when parts are under warranty: who replaces one keeps the old one for the claim."""
    today = _day_of(visit)
    return [
        Told(called(one.component), one.words(today), f"fitted {one.installed_words}")
        for one in warranties_of(visit.site)
    ]


def called(one: Component) -> str:
    """Return a part as a person says it: its tag with its name, else with its kind."""
    return f"{one.tag} {one.name or part_of(one.kind).title.lower()}"


def _asked_of_owner(one: Planned) -> Told:
    return Told(one.task.words, ", ".join(one.task.tags), EVERY[one.task.months])


def changes_since(visit: Visit, last: Visit) -> list[Told]:
    """Return how the record was changed since the last visit ended, the latest first."""
    return changes_between(visit, last.ended_at or last.started_at, visit.started_at)


def changes_between(visit: Visit, since: datetime, until: datetime | None) -> list[Told]:
    """Return how the record of a visit's site was changed between two moments, the latest first."""
    events = visit.site.events.filter(kind="record.changed", recorded_at__gt=since)
    events = events.filter(recorded_at__lt=until) if until else events
    zone = zone_of(visit.site)
    rows = events.select_related("actor").order_by("-sequence")[:MOST_CHANGES]
    return [_change(json.loads(e.body), f"{e.actor}, {day_words(e.recorded_at, zone)}") for e in rows]


def _change(body: dict[str, Any], when: str) -> Told:
    tags = dict.fromkeys(one["tag"] for one in body["changes"] if one.get("tag"))
    return Told(", ".join(tags) or "As-built record", body.get("reason", ""), when)
