"""Nameplates as typed, and what the core makes of them.

A stored nameplate maps field → what was typed:

- measure: {"typed": "60", "unit": "m"}; number: {"typed": "2"}
- text, choice: the text itself; day: "2027-04-14"
- table: {"units": {column: unit code}, "rows": [["100", "10", "20.5", ""], …]}
- counts: {"elbow_90": "3", …}
"""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from commissioning import units
from sizing.errors import OutOfRangeError
from sizing.parts import COMPONENT_KINDS, RUN_KINDS, Field, FieldKind, Part, SiteData
from sizing.quantities import Quantity

SCHEMA = 1
"""Number of the stored form; a change of it comes with an upgrader that runs on read."""


NO_DAY = "Give the day as 2027-04-14."
FIRST_YEAR = 1900


class NameplateError(ValueError):
    """A stored or imported nameplate is not what its declaration asks for; `field` names where."""

    def __init__(self, field: str, words: str) -> None:
        super().__init__(f"{field}: {words}")
        self.field = field
        self.words = words


def part_of(kind: str) -> type[Part]:
    """Return the nameplate class of a kind of component, of run, or of the site."""
    if kind == SiteData.kind:
        return SiteData
    found = COMPONENT_KINDS.get(kind) or RUN_KINDS.get(kind)
    if found is None:
        raise NameplateError("kind", f"unknown kind {kind}")
    return found


def core_values(part: type[Part], plate: Mapping[str, Any]) -> dict[str, Any]:
    """Return field → value in core units for `sizing.system.build`; raise NameplateError at the field."""
    declared = part.declarations()
    values: dict[str, Any] = {}
    for name, stored in plate.items():
        if name not in declared:
            raise NameplateError(name, "there is no such field")
        value = core_value(declared[name], stored)
        if value is not None:
            values[name] = value
    return values


def core_value(field: Field, stored: Any) -> Any:
    """Return one field in core units; None where nothing was typed."""
    if stored in (None, "", {}, []):
        return None
    try:
        return _READERS[field.kind](field, stored)
    except units.InputError as error:
        raise NameplateError(field.name, str(error)) from error
    except (KeyError, TypeError, AttributeError, units.UnknownUnitError, OutOfRangeError) as error:
        raise NameplateError(field.name, "this is not the form of such a field") from error


def _measure(field: Field, stored: Mapping[str, str]) -> float | None:
    if not stored["typed"]:
        return None
    assert field.quantity is not None
    entry = units.parse(stored["typed"], stored["unit"], field.quantity, hard=field.hard, soft=None)
    return entry.value_core


def _number(field: Field, stored: Mapping[str, str]) -> float | None:
    if not stored["typed"]:
        return None
    value = counted(stored["typed"])
    low, high = field.hard or (float("-inf"), float("inf"))
    if not low <= value <= high:
        raise NameplateError(field.name, f"must lie between {low:g} and {high:g}")
    if field.whole and value % 1:
        raise NameplateError(field.name, "must be a whole number")
    return value


def _text(field: Field, stored: str) -> str:
    if not isinstance(stored, str):
        raise TypeError
    return stored


def _day(field: Field, stored: str) -> str:
    if not isinstance(stored, str):
        raise TypeError
    return day_text(stored)


def day_text(text: str) -> str:
    """Return a day of the calendar as it is stored; raises InputError."""
    try:
        found = date.fromisoformat(text)
    except ValueError:
        raise units.InputError(NO_DAY) from None
    if found.isoformat() != text or found.year < FIRST_YEAR:
        raise units.InputError(NO_DAY)
    return text


def _choice(field: Field, stored: str) -> str:
    if stored not in {c.value for c in field.choices}:
        raise NameplateError(field.name, "is not one of the choices")
    return stored


def _table(field: Field, stored: Mapping[str, Any]) -> list[list[float | None]] | None:
    rows: list[list[float | None]] = []
    for typed in stored["rows"]:
        row: list[float | None] = []
        for column, cell in zip(field.columns, typed, strict=True):
            row.append(_cell(field, column.quantity, column.hard, cell, stored["units"][column.name]))
        rows.append(row)
    return rows or None


def _cell(field: Field, quantity: Quantity, hard: tuple[float, float], cell: str, unit: str) -> float | None:
    return units.parse(cell, unit, quantity, hard=hard, soft=None).value_core if cell else None


def _counts(field: Field, stored: Mapping[str, str]) -> dict[str, float]:
    known = {c.value for c in field.choices}
    if not set(stored) <= known:
        raise NameplateError(field.name, "names something that is not on the list")
    return {name: counted(many) for name, many in stored.items() if many}


def counted(text: str) -> float:
    """Return a plain number as typed; raises InputError."""
    value = units.parse_number(text).value
    if value is None:
        raise units.InputError("Type a number.")
    return value


_READERS: dict[FieldKind, Callable[[Field, Any], Any]] = {
    FieldKind.MEASURE: _measure,
    FieldKind.NUMBER: _number,
    FieldKind.TEXT: _text,
    FieldKind.DAY: _day,
    FieldKind.CHOICE: _choice,
    FieldKind.TABLE: _table,
    FieldKind.COUNTS: _counts,
}


def missing_fields(part: type[Part], plate: Mapping[str, Any]) -> list[Field]:
    """Return the declared fields in which nothing is recorded."""
    there = core_values(part, plate)
    return [field for name, field in part.declarations().items() if name not in there]
