"""The as-built record in lines, as its nameplates were typed, for the sheet."""

from typing import Any

from commissioning.nameplates import part_of
from commissioning.units import UnknownUnitError, typed_figure, unit
from sizing.formulas.fittings import LOSS_COEFFICIENTS
from sizing.parts import Field, FieldKind, Pipe

Plain = dict[str, Any]
NOT_RECORDED = "not recorded"


def summary(document: Plain) -> Plain:
    """Return components and runs of an as-built document, each with its nameplate in lines."""
    return {
        "components": [_component(one) for one in document["components"]],
        "runs": [_run(one) for one in document["runs"]],
        "loss_coefficients": loss_coefficients(),
    }


def loss_coefficients() -> str:
    """Return the loss coefficient of each fitting that a pipe counts: a working names their sum alone."""
    labels = Pipe.declarations()["fittings"].choices
    return ", ".join(f"{one.label} {LOSS_COEFFICIENTS[one.value]:g}" for one in labels)


def _component(one: Plain) -> Plain:
    made = " ".join(word for word in (one["maker"], one["model"]) if word)
    serial = f"serial {one['serial']}" if one["serial"] else ""
    return {
        "tag": one["tag"], "kind": part_of(one["kind"]).title, "name": one["name"],
        "in": f"in {one['host']}" if one["host"] else "", "made": ", ".join(w for w in (made, serial) if w),
        "lines": plate_lines(one["kind"], one["nameplate"]), "tables": plate_tables(one["kind"], one["nameplate"]),
    }  # fmt: skip


def _run(one: Plain) -> Plain:
    ends = [f"{one[end]} {one[f'{end}_port']}".strip() for end in ("start", "end")]
    return {
        "tag": one["tag"], "kind": part_of(one["kind"]).title, "name": one["name"],
        "from": ends[0], "to": ends[1], "lines": plate_lines(one["kind"], one["nameplate"]),
    }  # fmt: skip


def plate_lines(kind: str, plate: Plain) -> list[str]:
    """Return each recorded field of a nameplate in words, as typed; tables apart."""
    declared = part_of(kind).declarations()
    lines = (field_words(f, plate.get(name)) for name, f in declared.items() if f.kind is not FieldKind.TABLE)
    return [line for line in lines if line]


def field_words(field: Field, stored: Any) -> str:
    """Return one field with its label; empty where nothing was recorded."""
    value = field_value(field, stored)
    return f"{field.label} {value}" if value else ""


def field_value(field: Field, stored: Any) -> str:
    """Return the value of a field as typed, with its unit or in the words of its choice."""
    if not stored:
        return ""
    if field.kind is FieldKind.MEASURE and field.quantity is not None:
        return typed_figure(stored["typed"], field.quantity, stored["unit"]) if stored["typed"] else ""
    if field.kind is FieldKind.NUMBER:
        return str(stored["typed"])
    labels = {choice.value: choice.label for choice in field.choices}
    if field.kind is FieldKind.COUNTS:
        return ", ".join(f"{many} {labels[name]}" for name, many in stored.items() if many)
    return str(labels.get(stored, stored))


def plate_tables(kind: str, plate: Plain) -> list[Plain]:
    """Return the tables of a nameplate: heads with units, and rows as typed."""
    declared = part_of(kind).declarations()
    fields = ((f, plate.get(name)) for name, f in declared.items() if f.kind is FieldKind.TABLE)
    return [_table(field, stored) for field, stored in fields if stored and stored["rows"]]


def _table(field: Field, stored: Plain) -> Plain:
    columns = list(field.columns)
    used = [i for i in range(len(columns)) if any(row[i] for row in stored["rows"])]
    heads = [f"{columns[i].label} [{_symbol(field, i, stored)}]" for i in used]
    return {"title": field.label, "heads": heads, "rows": [[row[i] for i in used] for row in stored["rows"]]}


def _symbol(field: Field, index: int, stored: Plain) -> str:
    column = field.columns[index]
    try:
        return unit(stored["units"][column.name], column.quantity).symbol
    except (KeyError, UnknownUnitError):
        return NOT_RECORDED
