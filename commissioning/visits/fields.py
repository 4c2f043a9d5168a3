"""A measurement's form as a template prints it: steps, lines to write on, unit switches, instruments."""

from dataclasses import dataclass

from commissioning import units
from commissioning.visits.entry import right_token
from commissioning.visits.measurement_form import MeasurementForm
from commissioning.visits.shapes import Cell, Step
from sizing.checks.declare import Input

MANY = 2
"""From more inputs than this on, unit switches and instruments are folded away: they are chosen once."""


@dataclass(frozen=True)
class Option:
    """One choice of a radio group or a list."""

    value: str
    label: str
    is_chosen: bool


@dataclass(frozen=True)
class CellShown:
    """One line to write on."""

    name: str
    id: str
    label: str
    hint: str
    value: str
    errors: tuple[str, ...]
    inputmode: str
    unit_name: str
    unit: str
    units: tuple[Option, ...]
    signs: tuple[Option, ...]
    options: tuple[Option, ...]
    instrument_name: str
    instruments: tuple[Option, ...]
    describedby: str
    has_switch: bool
    folds: str
    """Words over unit switch and instrument where they are folded away, because there are many of them."""


@dataclass(frozen=True)
class StepShown:
    """What is read together, under its heading."""

    heading: str
    cells: tuple[CellShown, ...]
    minute: str
    is_single: bool


def steps_shown(form: MeasurementForm) -> list[StepShown]:
    """Return the steps of a form. Unit switch and instrument stand at the first line of an input only."""
    seen: set[str] = set()
    names = {cell.input.name for step in form.steps for cell in step.cells if not cell.input.options}
    is_long = len(names) > MANY
    return [_step(form, step, seen, is_long) for step in form.steps]


def _step(form: MeasurementForm, step: Step, seen: set[str], is_long: bool) -> StepShown:
    cells = []
    for cell in step.cells:
        cells.append(_cell(form, cell, is_first=cell.input.name not in seen, is_long=is_long))
        seen.add(cell.input.name)
    minute = "" if step.minute is None else f"{step.minute:g}"
    return StepShown(step.heading, tuple(cells), minute, len(form.steps) == 1 and len(cells) == 1)


def _cell(form: MeasurementForm, cell: Cell, *, is_first: bool, is_long: bool) -> CellShown:
    one, bound = cell.input, form[cell.name]
    errors = tuple(str(e) for e in bound.errors)
    hint = hint_of(one)
    is_word = bool(one.options)
    offered = () if is_word else _units(form, one)
    instruments = _instruments(form, one) if is_first and not is_word else ()
    chosen = [o.label for group in (offered, instruments) for o in group if o.is_chosen]
    described = [f"hint-{cell.name}"] * bool(hint) + [f"error-{cell.name}"] * bool(errors)
    return CellShown(
        name=cell.name,
        id=f"id-{cell.name}",
        label=one.label,
        hint=hint if is_first else "",
        value=str(bound.value() or ""),
        errors=errors,
        inputmode=inputmode_of(one),
        unit_name=f"unit-{one.name}",
        unit=next((u.label for u in offered if u.is_chosen), ""),
        units=offered if is_first and len(offered) > 1 else (),
        signs=_signs(form, cell),
        options=_options(form, cell),
        instrument_name=f"instrument-{one.name}",
        instruments=instruments,
        describedby=" ".join(described),
        has_switch=len(offered) > 1,
        folds=", ".join(chosen) if is_long and instruments else "",
    )


def hint_of(one: Input) -> str:
    """Return the hint under a label: gauge or absolute, what the check says, whether it may stay empty."""
    optional = "may stay empty" if one.optional and "empty" not in one.hint else ""
    return " · ".join(part for part in (units.hint(one.quantity), one.hint, optional) if part)


def inputmode_of(one: Input) -> str:
    """Return the keypad: with digits and point, or a whole one where a minus may be needed, which some keypads lack."""
    usual = one.soft or one.hard
    return "text" if usual[0] < 0 else "decimal"


def _chosen(form: MeasurementForm, name: str) -> str:
    return str(form[name].value() or "")


def _units(form: MeasurementForm, one: Input) -> tuple[Option, ...]:
    name = f"unit-{one.name}"
    chosen = _chosen(form, name) or str(form.fields[name].initial)
    return tuple(Option(code, str(label), code == chosen) for code, label in form.fields[name].choices)  # type: ignore[attr-defined]


def _signs(form: MeasurementForm, cell: Cell) -> tuple[Option, ...]:
    name = f"sign-{cell.name}"
    if name not in form.fields:
        return ()
    chosen = _chosen(form, name)
    return tuple(Option(v, str(label), v == chosen) for v, label in form.fields[name].choices)  # type: ignore[attr-defined]


def _options(form: MeasurementForm, cell: Cell) -> tuple[Option, ...]:
    chosen = _chosen(form, cell.name)
    return tuple(Option(o.value, o.label, o.value == chosen) for o in cell.input.options)


def _instruments(form: MeasurementForm, one: Input) -> tuple[Option, ...]:
    name = f"instrument-{one.name}"
    chosen = _chosen(form, name)
    return tuple(Option(v, str(label), v == chosen) for v, label in form.fields[name].choices)  # type: ignore[attr-defined]


@dataclass(frozen=True)
class AskBack:
    """What is asked back before a form is kept: each doubt with its cure, and the words for keeping all as typed."""

    doubts: tuple[tuple[str, str, str, str], ...]
    """Shown, words, value of the curing button, its label."""
    right: str
    keep_label: str


def ask_back(form: MeasurementForm) -> AskBack | None:
    """Return what a form asks back; None where nothing is in doubt."""
    if not form.doubts:
        return None
    doubts = tuple(
        (d.shown, d.words.replace(f"{d.shown}? ", ""), d.cure, f"{d.cure_label} instead" if d.cure else "")
        for d in form.doubts
    )
    keep = f"{form.doubts[0].shown} is right, keep it" if len(form.doubts) == 1 else "They are right, keep them"
    return AskBack(doubts, right_token(form.doubts), keep)
