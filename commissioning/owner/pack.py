"""The owner's pack of one site, ready to print: everything in it comes from the record, nothing is typed again."""

import json
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.template.loader import render_to_string
from django.utils import timezone

from commissioning import snapshot, units
from commissioning.handover.authenticity import standing_words
from commissioning.models import Component, Sheet, Site, UnitSystem
from commissioning.moments import day_words, zone_of
from commissioning.owner.numbers import current_sheet, normal_numbers
from commissioning.pdf import Paper, render_pdf
from commissioning.planned import EVERY, Planned, plan_of
from commissioning.warranty import warranty_of
from commissioning.water_now import WaterNow, water_now
from sizing.errors import SystemShapeError
from sizing.running import isolate, upkeep, wall, water, whole
from sizing.running.steps import Step, label
from sizing.running.upkeep import Supply
from sizing.system import System

Plain = dict[str, Any]
NO_SHEET = "No handover sheet stands for this site."
NOT_PROVED = "Nothing on record proves this water safe. Do not drink it unless it is boiled or comes from elsewhere."
PROVED = "It was released for drinking when the sheet was issued. Stop drinking it at any change of look or smell."
NOT_BUILT_FOR_IT = "This system was not recorded as one for drinking. Label every tap so."
BLANKS = ("Electrician", "Well driller", "Laboratory", "Health office", "Poison line", "Emergency")
ON_THE_WALL = 6  # normal numbers that fit on the page for the wall


@dataclass(frozen=True)
class Procedure:
    """One numbered list."""

    title: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class ValveLine:
    number: str
    name: str
    does: str
    position: str
    where: str


@dataclass(frozen=True)
class TaskLine:
    parts: str
    words: str
    every: str
    who: str
    due: str


@dataclass(frozen=True)
class PartLine:
    part: Component
    installed: str
    warranty: str


@dataclass(frozen=True)
class SupplyLine:
    tag: str
    words: str
    figures: str


def pack_context(site: Site) -> Plain:
    """Return all that the pack prints, or why it cannot be made."""
    sheet = current_sheet(site)
    context = {"site": site, "made_on": day_words(timezone.now(), zone_of(site)), "office": settings.OFFICE_NAME}
    context["telephone"] = settings.OFFICE_TELEPHONE
    normals = normal_numbers(sheet)
    context |= standing_of(site, sheet) | {"blanks": BLANKS, "normals": normals, "wall_normals": normals[:ON_THE_WALL]}
    try:
        return context | _of_system(site, snapshot.system_now(site))
    except SystemShapeError as problem:
        return context | {"refused": f"The record cannot be read as one system: {problem}"}


def standing_of(site: Site, sheet: Sheet | None) -> Plain:
    """Return how the current sheet stands, and whether the water is for drinking."""
    water = water_now(site, sheet)
    if sheet is None:
        words = water_words({}, water)
        return {
            "sheet": None, "verdict": NO_SHEET, "standing": "", "is_safe": False, "water_words": words, "water": water,
        }  # fmt: skip
    issue = json.loads(sheet.body)["sheet"]
    return {
        "sheet": sheet,
        "verdict": standing_words(sheet),
        "standing": issue["standing"]["words"],
        "issued_on": issue.get("issued_on", ""),
        "is_safe": is_safe(issue["standing"], water),
        "water_words": water_words(issue["standing"], water),
        "water": water,
    }


def is_safe(standing: Plain, water: WaterNow | None) -> bool:
    """Whether the water is for drinking: what the laboratory found since comes before what the sheet says."""
    if water is not None:
        return not water.is_bad
    return standing.get("is_for_drinking", True) and not standing.get("not_for_drinking", True)


def water_words(standing: Plain, water: WaterNow | None) -> str:
    """Return in words whether the water is for drinking."""
    if water is not None:
        return " ".join((water.words, *water.lines))
    if is_safe(standing, None):
        return PROVED
    lines = [line for line in standing.get("lines", []) if line]
    return " ".join([*lines, NOT_PROVED if standing.get("is_for_drinking", True) else NOT_BUILT_FOR_IT])


def _of_system(site: Site, system: System) -> Plain:
    return {
        "stop": whole.stop(system),
        "no_water": wall.no_water(system),
        "red_flags": wall.red_flags(system),
        "hand_pump": wall.hand_pump(system),
        "valves": [_valve_line(system, one.tag) for one in _valves(system)],
        "procedures": procedures(system),
        "supplies": [_supply_line(system, one, site.unit_system) for one in upkeep.supplies(system)],
        "tasks": [_task_line(system, one) for one in plan_of(site, system)],
        "parts": _parts(site),
    }


def procedures(system: System) -> list[Procedure]:
    """Return the numbered lists of the folder, for this system."""
    found = [
        Procedure("Start again after a stop", whole.restart(system)),
        Procedure("Drain the pipes", whole.drain(system)),
        Procedure("Fill again", whole.refill(system)),
        Procedure("Leave for the winter", whole.leave_for_winter(system)),
    ]
    for node in isolate.worked_on(system):
        name = f"{node.part.title} {node.tag}" + (f", {node.name}" if node.name else "")
        found.append(Procedure(f"{name}: take out of use", isolate.isolate(system, node.tag)))
        found.append(Procedure(f"{name}: put back", isolate.bring_back(system, node.tag)))
    return found


def _valves(system: System) -> list[Any]:
    return [*water.isolation_valves(system), *water.drains(system)]


def _valve_line(system: System, tag: str) -> ValveLine:
    node = system.node(tag)
    is_drain = node in water.drains(system)
    position = "shut" if water.is_normally_shut(node) else "open"
    return ValveLine(tag, node.name, "drains" if is_drain else _does(system, tag), position, _where(system, tag))


def _does(system: System, tag: str) -> str:
    """Return what stays dry behind a valve: the taps that it shuts off, or the parts that it parts."""
    taps = [one.tag for one in water.runs_out_at(system, (tag, ""), frozenset()) if one.kind == "outlet"]
    if taps:
        return "shuts off " + ", ".join(label(system, one) for one in taps)
    return "parts " + " from ".join(label(system, end) for end in _beside(system, tag))


def _beside(system: System, tag: str) -> list[str]:
    return [run.far(tag).tag for run in system.runs_at(tag, "pipe")]


def _where(system: System, tag: str) -> str:
    ends = _beside(system, tag)
    return "between " + " and ".join(label(system, one) for one in ends) if len(ends) > 1 else "at " + ", ".join(ends)


def _supply_line(system: System, one: Supply, unit_system: str) -> SupplyLine:
    said = [
        f"{words} {units.figure(value, quantity, units.default_unit(quantity, unit_system).code)}"
        for words, quantity, value in one.said
    ]
    return SupplyLine(label(system, one.tag), one.words, "; ".join(said) or "as on its nameplate")


def _task_line(system: System, one: Planned) -> TaskLine:
    parts = ", ".join(label(system, tag) for tag in one.task.tags)
    return TaskLine(parts, one.task.words, EVERY[one.task.months], one.task.who, one.due.isoformat())


def _parts(site: Site) -> list[PartLine]:
    """Return the parts of which a warranty can be claimed: those with a maker's name, a serial number or papers."""
    today = timezone.localdate(timezone=zone_of(site))
    found = [warranty_of(one) for one in site.components.standing().order_by("tag")]
    named = [one for one in found if _is_named(one.component) or one.installed]
    return [PartLine(one.component, one.installed_words, one.words(today)) for one in named]


def _is_named(one: Component) -> bool:
    return bool(one.maker or one.model or one.serial)


def pack_pdf(site: Site) -> bytes:
    """Return the pack as PDF, on the paper of the site's unit system. Raises PdfError where none can be made."""
    paper: Paper = "Letter" if site.unit_system == UnitSystem.US else "A4"
    return render_pdf(render_to_string("owner/pack_print.html", pack_context(site)), paper=paper)
