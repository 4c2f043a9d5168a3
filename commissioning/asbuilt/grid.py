"""A table field of a nameplate as a grid of cells: rows × columns, one unit for each column.

Without scripts a button asks for more rows; with them, rows copied from a spreadsheet land in the cells.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from commissioning import units
from commissioning.asbuilt.plate import Fault, Item, UnitOption
from sizing.parts import Column, Field

BLANK_ROWS = 6
MORE_ROWS = 10
MOST_ROWS = 150  # with the other fields of the form below the server's limit of fields in one request


@dataclass
class Cell:
    """One cell as typed; `label` says row and column."""

    name: str
    label: str
    typed: str
    column: Column
    error: str = ""


@dataclass
class ColumnHead:
    """The head of a column with its unit."""

    column: Column
    name: str
    unit: str
    unit_system: str
    error: str = ""

    @property
    def unit_options(self) -> list[UnitOption]:
        offered = units.offered(self.column.quantity, self.unit_system)
        return [UnitOption(u.code, u.symbol or "as a number", u.name or u.symbol, u.code == self.unit) for u in offered]


class GridItem(Item):
    """The cells of a table field. Rows that are wholly empty are left out when it is kept."""

    template = "asbuilt/fields/_grid.html"

    def __init__(self, field: Field, stored: Any, unit_system: str) -> None:
        super().__init__(field, stored, unit_system)
        there = stored or {}
        self.heads = [
            ColumnHead(c, f"{self.name}-unit-{c.name}", self._unit(c, there.get("units", {})), unit_system)
            for c in field.columns
        ]
        typed = [[str(cell) for cell in row] for row in there.get("rows", [])]
        self.rows = self._made(typed + self._blank(BLANK_ROWS if len(typed) < MOST_ROWS else 0))

    def _usual(self, column: Column) -> str:
        return units.usual_unit(column.quantity, self.unit_system, column.hard or (0.0, 0.0)).code

    def _unit(self, column: Column, stored: Mapping[str, str]) -> str:
        return str(stored.get(column.name) or self._usual(column))

    def _blank(self, many: int) -> list[list[str]]:
        return [[""] * len(self.field.columns) for _ in range(many)]

    def _made(self, typed: list[list[str]]) -> list[list[Cell]]:
        return [
            [
                Cell(f"{self.name}-{number}-{c.name}", f"Row {number}, {c.label.lower()}", text, c)
                for c, text in zip(self.field.columns, row, strict=True)
            ]
            for number, row in enumerate(typed[:MOST_ROWS], 1)
        ]

    @property
    def row_count(self) -> int:
        return len(self.rows)

    @property
    def most_rows(self) -> int:
        return MOST_ROWS

    @property
    def may_grow(self) -> bool:
        return self.row_count < MOST_ROWS

    @property
    def faults(self) -> list[Fault]:
        heads = [Fault(h.name, h.column.label, h.error) for h in self.heads if h.error]
        return heads + [Fault(cell.name, cell.label, cell.error) for row in self.rows for cell in row if cell.error]

    def read(self, data: Mapping[str, str]) -> None:
        for head in self.heads:
            head.unit = data.get(head.name, head.unit)
        many = _row_count(data.get(f"{self.name}-rows", ""), self.row_count)
        columns = self.field.columns
        typed = [
            [data.get(f"{self.name}-{number}-{c.name}", "").strip() for c in columns] for number in range(1, many + 1)
        ]
        if f"{self.name}-rows" in data:
            self.rows = self._made(typed)

    def add_rows(self) -> None:
        """Add blank rows below."""
        self.rows = self._made([[cell.typed for cell in row] for row in self.rows] + self._blank(MORE_ROWS))

    def check(self) -> None:
        for head in self.heads:
            self._check_head(head)
        for row in self._filled():
            for cell, head in zip(row, self.heads, strict=True):
                cell.error = _cell_fault(cell, head)

    def _check_head(self, head: ColumnHead) -> None:
        try:
            units.unit(head.unit, head.column.quantity)
        except units.UnknownUnitError:
            head.error = "Choose a unit from the list."
            head.unit = self._usual(head.column)

    def _filled(self) -> list[list[Cell]]:
        return [row for row in self.rows if any(cell.typed for cell in row)]

    def kept(self) -> Any:
        rows = [[cell.typed for cell in row] for row in self._filled()]
        return {"units": {head.column.name: head.unit for head in self.heads}, "rows": rows} if rows else None


def _row_count(text: str, otherwise: int) -> int:
    """Return how many rows were sent; a count that is none means those the page had."""
    if not (text.isascii() and text.isdigit() and len(text) < 6):
        return otherwise
    return min(int(text), MOST_ROWS)


def _cell_fault(cell: Cell, head: ColumnHead) -> str:
    """Return why a cell cannot be kept; empty where it can."""
    column = cell.column
    if not cell.typed:
        return "" if column.optional else "Empty in a row that has other figures: type it, or clear the row."
    try:
        units.parse(cell.typed, head.unit, column.quantity, hard=column.hard, soft=None)
    except units.InputError as problem:
        return problem.message
    return ""
