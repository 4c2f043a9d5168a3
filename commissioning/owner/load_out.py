"""The load-out list of a visit, ready to print: what to put into the car before the last place with a signal."""

from dataclasses import dataclass
from typing import Any

from django.template.loader import render_to_string

from commissioning import snapshot, units
from commissioning.models import Site, UnitSystem, Visit
from commissioning.pdf import Paper, render_pdf
from commissioning.progress import progress_of
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.errors import SystemShapeError
from sizing.order import BEFORE_COVER, SERVICE, START_UP, order_of_checks
from sizing.quantities import Quantity
from sizing.running import load_out
from sizing.running.load_out import Goods, Instrument
from sizing.running.steps import label
from sizing.system import System

Plain = dict[str, Any]
KINDS = {BEFORE_COVER: "before cover", START_UP: "start-up", SERVICE: "service"}
NONE_READ = "The record cannot be read as one system, so nothing can be said."


@dataclass(frozen=True)
class Line:
    """One thing to tick off."""

    words: str
    parts: str
    figures: str


@dataclass(frozen=True)
class Section:
    title: str
    lines: tuple[Line, ...]


def of_visit(visit: Visit) -> Plain:
    """Return the list for what a visit still owes."""
    progress = progress_of(visit)
    checks = [line.check for line in progress.lines if line.is_open]
    head = f"{visit.get_kind_display()} visit, what is still owed"
    return _context(visit.site, progress.system, checks, head)


def of_site(site: Site, kind: str) -> Plain:
    """Return the list for a visit of a kind that has not begun."""
    try:
        system = snapshot.system_now(site)
    except SystemShapeError:
        return _context(site, None, [], KINDS[kind])
    checks = [CHECKS[one.check] for one in order_of_checks(system, kind) if not one.optional]
    return _context(site, system, checks, f"{KINDS[kind]} visit, not begun")


def _context(site: Site, system: System | None, checks: list[Check], head: str) -> Plain:
    context = {"site": site, "head": head}
    if system is None:
        return {**context, "refused": NONE_READ, "sections": []}
    return {**context, "refused": "", "sections": sections(system, checks, site.unit_system)}


def sections(system: System, checks: list[Check], unit_system: str) -> list[Section]:
    """Return the list by what is fetched from one shelf."""
    keys = {check.key for check in checks}
    goods = (
        ("Used up", load_out.consumables(system, keys)),
        ("Spares", load_out.spares(system)),
        ("Safety", load_out.for_system(system, load_out.SAFETY)),
    )
    return [
        Section("Instruments", tuple(_instrument(one, unit_system) for one in load_out.instruments(checks))),
        *(Section(title, tuple(_goods(system, one, unit_system) for one in found)) for title, found in goods),
        Section("Papers", tuple(Line(words, "", "") for words in load_out.papers(system, keys))),
    ]


def _instrument(one: Instrument, unit_system: str) -> Line:
    figures = "; ".join(_range(quantity, low, high, unit_system) for quantity, low, high in one.ranges)
    return Line(one.words, ", ".join(one.checks), f"reads {figures}" if figures else "")


def _range(quantity: Quantity, low: float, high: float, unit_system: str) -> str:
    code = units.default_unit(quantity, unit_system).code
    return units.span(low, high, quantity, code, symbol=True)


def _goods(system: System, one: Goods, unit_system: str) -> Line:
    said = [f"{words} {_figure(value, quantity, unit_system)}" for words, quantity, value in one.figures]
    return Line(one.words, ", ".join(label(system, tag) for tag in one.tags), ", ".join(said))


def _figure(value: float, quantity: Quantity, unit_system: str) -> str:
    return units.figure(value, quantity, units.default_unit(quantity, unit_system).code)


def load_out_pdf(context: Plain) -> bytes:
    """Return the list as PDF, on the paper of the site's unit system."""
    paper: Paper = "Letter" if context["site"].unit_system == UnitSystem.US else "A4"
    return render_pdf(render_to_string("owner/load_out_print.html", context), paper=paper)
