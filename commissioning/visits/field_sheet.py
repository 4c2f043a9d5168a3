"""The field sheet: the order of checks of a visit on paper, with windows and blank spaces, for a dead phone.

What is written on it is typed in afterwards, each with the time at which it was read.
"""

from dataclasses import dataclass

from django.template.loader import render_to_string

from commissioning import units
from commissioning.models import UnitSystem, Visit
from commissioning.pdf import Paper, render_pdf
from commissioning.progress import Line, Progress
from commissioning.visits.times import day, zone_of
from sizing.checks.declare import Check, Input, Judged, Kind
from sizing.errors import MissingDataError
from sizing.holds import HOLDS
from sizing.judgement import expect
from sizing.quantities import Quantity
from sizing.system import System

MOST_BLANKS = 24
MOST_OTHERS = 3  # blank rows for repeats that only the site tells how many they are
BEYOND = "computed when it is typed in"


@dataclass(frozen=True)
class Blank:
    label: str
    unit: str


@dataclass(frozen=True)
class Window:
    """What one value should be, as far as the record alone says."""

    label: str
    words: str


@dataclass(frozen=True)
class Item:
    """One check on the paper."""

    number: int
    title: str
    subject: str
    hold: str
    state: str
    method: tuple[str, ...]
    cautions: tuple[str, ...]
    instruments: str
    windows: tuple[Window, ...]
    blanks: tuple[Blank, ...]
    is_observed: bool


def render_field_sheet(progress: Progress) -> bytes:
    """Return the PDF of what a visit still owes, on the paper of the site's unit system."""
    paper: Paper = "Letter" if progress.visit.site.unit_system == UnitSystem.US else "A4"
    return render_pdf(render_to_string("visits/field_sheet.html", sheet_context(progress)), paper=paper)


def sheet_context(progress: Progress) -> dict[str, object]:
    visit: Visit = progress.visit
    begun = day(visit.started_at, zone_of(visit.site))
    return {
        "site": visit.site,
        "visit": visit,
        "head": f"{visit.get_kind_display().capitalize()} visit, begun {begun}",
        "items": items_of(progress),
    }


def items_of(progress: Progress) -> list[Item]:
    """Return every check that is still to be taken, in working order; what is derived is computed later."""
    if progress.system is None:
        return []
    system, unit_system = progress.system, progress.visit.site.unit_system
    wanted = [line for line in progress.lines if line.is_open and line.check.kind is not Kind.DERIVED]
    return [_item(line, system, unit_system) for line in wanted]


def _item(line: Line, system: System, unit_system: str) -> Item:
    check, tag = line.check, line.owed.subject
    return Item(
        line.owed.number,
        check.title,
        line.subject_words,
        HOLDS[check.gate].title if check.gate else "",
        check.state,
        check.method,
        tuple(one.words for one in check.cautions),
        ", ".join(check.way().instruments),
        tuple(_window(check, one, system, tag, unit_system) for one in check.judged),
        tuple(_blanks(check, system, tag, unit_system))[:MOST_BLANKS],
        check.kind is Kind.OBSERVED,
    )


def _window(check: Check, judged: Judged, system: System, tag: str, unit_system: str) -> Window:
    expected, _, _ = expect(check, judged, system, tag, conditions={})
    if expected is None:
        return Window(judged.label, BEYOND)
    code = units.default_unit(judged.quantity, unit_system).code
    limits = units.span(expected.lower, expected.upper, judged.quantity, code, symbol=True)
    nominal = units.figure(expected.nominal, judged.quantity, code) if expected.nominal is not None else ""
    return Window(judged.label, "; ".join(part for part in (nominal and f"about {nominal}", limits) if part) or BEYOND)


def _blanks(check: Check, system: System, tag: str, unit_system: str) -> list[Blank]:
    """Return a blank for each reading of the first way, each repeat by its label."""
    inputs = check.way().inputs
    once = [Blank(one.label, _unit(one, unit_system)) for one in inputs if not one.repeats]
    repeated = [one for one in inputs if one.repeats]
    labels = _labels(check, system, tag)
    rows = [
        Blank(f"{one.label}{f', {label}' if label else ''}", _unit(one, unit_system))
        for label in labels
        for one in repeated
    ]
    return rows + once


def _labels(check: Check, system: System, tag: str) -> tuple[str, ...]:
    try:
        labels = check.repeat.labels_for(system, tag)
    except MissingDataError:
        labels = ()
    return labels or tuple(f"{check.repeat.noun or 'row'} {n}" for n in range(1, MOST_OTHERS + 1))


def _unit(one: Input, unit_system: str) -> str:
    if one.options or one.quantity is Quantity.COUNT:
        return ""
    return units.default_unit(one.quantity, unit_system).symbol
