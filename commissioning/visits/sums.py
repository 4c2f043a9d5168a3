"""Sums on the spot at the page of a check: from the record, what was measured before, and what is typed so far.

Nothing is kept and nothing is judged here; the form goes back as it was sent.
"""

from dataclasses import asdict, dataclass, replace
from typing import Any

from django.utils import timezone

from commissioning import judging, showing, units
from commissioning.progress import Line, Progress
from commissioning.visits.measurement_form import MeasurementForm
from sizing import sums
from sizing.checks.case import Reading, Value
from sizing.errors import MissingDataError
from sizing.sums import Worked


@dataclass(frozen=True)
class LineShown:
    """One result of a sum, ready to print."""

    words: str
    value: str


@dataclass(frozen=True)
class SumShown:
    """A sum with its results and the steps to them, or what it lacks."""

    title: str
    lines: tuple[LineShown, ...]
    steps: tuple[showing.StepShown, ...]
    missing: str
    is_helped_by_typing: bool


def sums_shown(
    line: Line, progress: Progress, seen: judging.Around, form: MeasurementForm | None, way: str
) -> list[SumShown]:
    """Return the sums of a check, with what is typed in a form that was sent."""
    if progress.system is None or line.owed.check not in sums.SUMS:
        return []
    now = timezone.now()
    found = judging.conditions_for(line.check, progress.system, line.owed.subject, now, seen)
    done = sums.worked(
        line.owed.check, progress.system, line.owed.subject, readings=_typed(form), conditions=_without_doubt(found),
        way=way, moment=now.timestamp(),
    )  # fmt: skip
    return [_shown(one, progress.visit.site.unit_system) for one in done]


def keep_only_what_is_wrong(form: MeasurementForm) -> None:
    """Read a form that is not finished: of a field left empty nothing is said yet."""
    for name in [name for name in form.errors if not str(form.data.get(name, "")).strip()]:
        del form.errors[name]
    form.doubts = []


def _typed(form: MeasurementForm | None) -> tuple[Reading, ...]:
    """Return what was typed and can be read, in core units, and the words that were chosen."""
    if form is None or not form.is_bound:
        return ()
    found = []
    for cell in (cell for step in form.steps for cell in step.cells):
        entry = form.entries.get(cell.name)
        if entry is not None and entry.value_core is not None:
            found.append(Reading(cell.input.name, entry.value_core, cell.label))
    return tuple(found)


def _without_doubt(found: Any) -> dict[str, Value | MissingDataError]:
    return {name: replace(one, u=0.0) if isinstance(one, Value) else one for name, one in found.items()}


def _shown(one: Worked, system: str) -> SumShown:
    lines = tuple(LineShown(each.words, _figure(each, system)) for each in one.lines)
    steps = tuple(showing.step_shown(_plain(step), one.lines[0].quantity) for step in one.steps) if one.lines else ()
    return SumShown(one.title, lines, steps, one.missing, bool(lines) or one.wants_reading)


def _figure(one: sums.Line, system: str) -> str:
    return units.figure(one.value, one.quantity, units.default_unit(one.quantity, system).code)


def _plain(step: Any) -> dict[str, Any]:
    return asdict(step)
