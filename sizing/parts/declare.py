"""How a nameplate field is declared, and what every nameplate can tell about itself."""

import dataclasses
from enum import StrEnum
from typing import Any, ClassVar, cast

from sizing.errors import MissingDataError
from sizing.quantities import Quantity
from sizing.records import keyword_record, record

DECLARATION = "declaration"
WARRANTY = "Warranty"
Bounds = tuple[float, float]


class FieldKind(StrEnum):
    """How a field is typed and stored."""

    MEASURE = "measure"  # a number with a unit
    NUMBER = "number"  # a count or plain ratio without a unit
    TEXT = "text"
    DAY = "day"  # 2027-04-14
    CHOICE = "choice"
    TABLE = "table"  # rows of measures
    COUNTS = "counts"  # how many of each fitting


@record
class Choice:
    """One allowed text of a choice field."""

    value: str
    label: str


@record
class Column:
    """One column of a table field, bounds in the core unit."""

    name: str
    label: str
    quantity: Quantity
    hard: Bounds
    optional: bool = False


@record
class Field:
    """The declaration of one nameplate field; bounds in the core unit of its quantity."""

    label: str
    kind: FieldKind
    quantity: Quantity | None = None
    hard: Bounds | None = None
    soft: Bounds | None = None
    help: str = ""
    choices: tuple[Choice, ...] = ()
    columns: tuple[Column, ...] = ()
    group: str = "Nameplate"
    optional: bool = False
    """It may well stay empty: another field says the same, or there is nothing to record."""
    name: str = ""
    whole: bool = False
    """A number of things: fractions are refused."""


def _declared(declaration: Field) -> Any:
    return dataclasses.field(default=None, metadata={DECLARATION: declaration})


def measure(
    label: str,
    quantity: Quantity,
    *,
    hard: Bounds,
    soft: Bounds | None = None,
    help: str = "",
    group: str = "Nameplate",
    optional: bool = False,
) -> Any:
    """Declare a number with a unit. Beyond `hard` is impossible, beyond `soft` is asked back."""
    return _declared(Field(label, FieldKind.MEASURE, quantity, hard, soft, help, group=group, optional=optional))


def number(
    label: str,
    *,
    hard: Bounds,
    soft: Bounds | None = None,
    help: str = "",
    group: str = "Nameplate",
    optional: bool = False,
    whole: bool = False,
) -> Any:
    """Declare a plain number: a ratio, or with `whole` a number of things."""
    declaration = Field(label, FieldKind.NUMBER, Quantity.COUNT, hard, soft, help, group=group, optional=optional)
    return _declared(dataclasses.replace(declaration, whole=whole))


def text(label: str, *, help: str = "", group: str = "Nameplate", optional: bool = False) -> Any:
    """Declare a line of text."""
    return _declared(Field(label, FieldKind.TEXT, help=help, group=group, optional=optional))


def day(label: str, *, help: str = "", group: str = "Nameplate", optional: bool = False) -> Any:
    """Declare a day of the calendar."""
    return _declared(Field(label, FieldKind.DAY, help=help, group=group, optional=optional))


def choice(
    label: str, *choices: tuple[str, str], help: str = "", group: str = "Nameplate", optional: bool = False
) -> Any:
    """Declare a text chosen from a fixed list of (value, label)."""
    made = tuple(Choice(value, words) for value, words in choices)
    return _declared(Field(label, FieldKind.CHOICE, choices=made, help=help, group=group, optional=optional))


def table(label: str, *columns: Column, help: str = "", group: str = "Performance", optional: bool = False) -> Any:
    """Declare rows of measures, such as a pump's performance table."""
    return _declared(Field(label, FieldKind.TABLE, columns=columns, help=help, group=group, optional=optional))


def counts(label: str, *choices: tuple[str, str], help: str = "", group: str = "Fittings") -> Any:
    """Declare how many there are of each named thing. It may stay empty: where there is none, nothing is counted."""
    made = tuple(Choice(value, words) for value, words in choices)
    return _declared(Field(label, FieldKind.COUNTS, choices=made, help=help, group=group, optional=True))


Row = tuple[float | None, ...]


@keyword_record
class Part:
    """A nameplate in core units. A field that nobody has recorded is None."""

    kind: ClassVar[str]
    title: ClassVar[str]
    tag_prefix: ClassVar[str]
    ports: ClassVar[tuple[str, ...]] = ()
    hosts: ClassVar[tuple[str, ...]] = ()
    is_bought: ClassVar[bool] = True
    """Whether it came with papers of its own: a day on which it was fitted, and a warranty."""

    installed_on: str | None = day("Installed on", group=WARRANTY, optional=True)
    warranty: float | None = number(
        "Warranty, in months from that day", hard=(1, 600), soft=(6, 300), whole=True, group=WARRANTY, optional=True
    )

    @classmethod
    def declarations(cls) -> dict[str, Field]:
        """Return field name → declaration, in the order in which a person reads a nameplate; its papers come last."""
        found = {
            field.name: dataclasses.replace(cast(Field, field.metadata[DECLARATION]), name=field.name)
            for field in dataclasses.fields(cls)
            if DECLARATION in field.metadata
        }
        papers = {name: found.pop(name) for name in ("installed_on", "warranty")}
        return {**found, **papers} if cls.is_bought else found

    def need(self, owner: str, field: str) -> float:
        """Return a number of the nameplate, or raise MissingDataError naming tag and field."""
        value = getattr(self, field)
        if value is None:
            raise MissingDataError(owner, field, f"{owner}: {self.declarations()[field].label.lower()} is not recorded")
        return float(value)

    def need_text(self, owner: str, field: str) -> str:
        """Return a text of the nameplate, or raise MissingDataError naming tag and field."""
        value = getattr(self, field)
        if not value:
            raise MissingDataError(owner, field, f"{owner}: {self.declarations()[field].label.lower()} is not recorded")
        return str(value)

    def need_table(self, owner: str, field: str) -> tuple[Row, ...]:
        """Return the rows of a table, or raise MissingDataError naming tag and field."""
        rows: tuple[Row, ...] | None = getattr(self, field)
        if not rows:
            raise MissingDataError(owner, field, f"{owner}: {self.declarations()[field].label.lower()} is not recorded")
        return rows


@keyword_record
class RunPart(Part):
    """The nameplate of an edge: a pipe, a cable or a control line."""

    is_bought: ClassVar[bool] = False
