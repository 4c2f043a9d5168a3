"""A nameplate as a form: one item for each declared field, generated from the part's declarations.

Whatever was typed stays in the form until it is kept. Beyond the possible is refused at the field; beyond the
usual is asked back once, with the likely slip's cure first.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from commissioning import units
from commissioning.nameplates import day_text
from sizing.parts import Field, FieldKind
from sizing.quantities import Quantity

MOST_TEXT = 200
MOST_OF_A_FITTING = 999
NOT_RECORDED = "not recorded"
CURE = "cure"
NOT_WHOLE = "Type a whole number."


@dataclass(frozen=True)
class UnitOption:
    code: str
    symbol: str
    name: str
    is_chosen: bool


@dataclass(frozen=True)
class Offer:
    """One answer to a doubt: the value to send back, and its words."""

    value: str
    words: str


@dataclass(frozen=True)
class Fault:
    """One line of the list of what needs another look."""

    anchor: str
    label: str
    words: str


class Item:
    """One field of a nameplate on a page."""

    template = ""

    def __init__(self, field: Field, stored: Any, unit_system: str) -> None:
        self.field = field
        self.name = f"plate-{field.name}"
        self.stored = stored
        self.unit_system = unit_system
        self.error = ""
        self.doubt = ""
        self.offers: list[Offer] = []

    @property
    def hint(self) -> str:
        word = units.hint(self.field.quantity) if self.field.quantity else ""
        return " · ".join(part for part in (self.field.help, word if word not in self.field.help else "") if part)

    @property
    def faults(self) -> list[Fault]:
        words = self.error or self.doubt
        return [Fault(self.name, self.field.label, words)] if words else []

    @property
    def described_by(self) -> str:
        """Ids of the hint and of what is wrong, for a screen reader."""
        there = (("hint", self.hint), ("error", self.error), ("doubt", self.doubt))
        return " ".join(f"{self.name}-{what}" for what, words in there if words)

    def read(self, data: Mapping[str, str]) -> None:
        """Take what was typed; a field that was not sent stays as stored."""
        raise NotImplementedError

    def check(self) -> None:
        """Set `error` or `doubt` where what was typed cannot be kept as it is."""

    def kept(self) -> Any:
        """Return the field as it is stored; None where nothing was typed."""
        raise NotImplementedError


class MeasureItem(Item):
    """A number with a unit; also a plain number, whose only unit is none."""

    template = "asbuilt/fields/_measure.html"

    def __init__(self, field: Field, stored: Any, unit_system: str) -> None:
        super().__init__(field, stored, unit_system)
        assert field.quantity is not None
        self.quantity: Quantity = field.quantity
        self.typed = str(stored["typed"]) if stored else ""
        usual = self.usual_unit
        self.unit = str(stored.get("unit", usual)) if stored else usual
        self.confirmed = ""

    @property
    def usual_unit(self) -> str:
        usual = self.field.soft or self.field.hard
        return units.usual_unit(self.quantity, self.unit_system, usual or (0.0, 0.0)).code

    @property
    def unit_options(self) -> list[UnitOption]:
        offered = units.offered(self.quantity, self.unit_system)
        return [UnitOption(u.code, u.symbol or "as a number", u.name or u.symbol, u.code == self.unit) for u in offered]

    @property
    def only_unit(self) -> UnitOption | None:
        return self.unit_options[0] if len(self.unit_options) == 1 else None

    def read(self, data: Mapping[str, str]) -> None:
        self.typed = data.get(self.name, self.typed).strip()
        self.unit = data.get(f"{self.name}-unit", self.unit)
        self.confirmed = data.get(f"{self.name}-right", "")

    def check(self) -> None:
        if not self.typed:
            return
        try:
            entry = self.entry()
        except units.InputError as problem:
            self.error = problem.message
            return
        except units.UnknownUnitError:
            self.error = "Choose a unit from the list."
            self.unit = self.usual_unit
            return
        if self.field.whole and entry.value_core is not None and entry.value_core % 1:
            self.error = NOT_WHOLE
        elif entry.doubt:
            self.settle_or_ask(entry.doubt, entry.cure)

    def entry(self) -> units.Entry:
        return units.parse(self.typed, self.unit, self.quantity, hard=self.field.hard, soft=self.field.soft)

    @property
    def mark(self) -> str:
        """What a confirmation refers to: change the number, and it no longer counts."""
        return f"{self.typed} {self.unit}"

    def is_confirmed(self) -> bool:
        """Whether this very value was confirmed, now or when it was stored."""
        return self.confirmed == self.mark or (bool(self.stored) and self.kept() == self.stored)

    def settle_or_ask(self, doubt: str, cure: units.Cure | None = None) -> None:
        """Take the answer that was given to a doubt, or ask: once for each value, the cure first."""
        if cure and self.confirmed == f"{self.mark} {CURE}":
            self.typed, self.unit = cure.text, cure.unit
        elif not self.is_confirmed():
            self.doubt = doubt
            shown = units.typed_figure(self.typed, self.quantity, self.unit)
            self.offers = [Offer(f"{self.mark} {CURE}", f"It is {cure.label}")] if cure else []
            self.offers.append(Offer(self.mark, f"Yes, {shown} is right"))

    def kept(self) -> Any:
        if not self.typed:
            return None
        if self.field.kind is FieldKind.NUMBER:
            return {"typed": self.typed}
        return {"typed": self.typed, "unit": self.unit}


class TextItem(Item):
    """A line of text, with suggestions where there are any."""

    template = "asbuilt/fields/_text.html"

    def __init__(self, field: Field, stored: Any, unit_system: str) -> None:
        super().__init__(field, stored, unit_system)
        self.typed = str(stored or "")
        self.suggestions: tuple[str, ...] = ()

    def read(self, data: Mapping[str, str]) -> None:
        self.typed = data.get(self.name, self.typed).strip()

    def check(self) -> None:
        if len(self.typed) > MOST_TEXT:
            self.error = f"At most {MOST_TEXT} characters."
        elif not self.typed.isprintable():
            self.error = "There is an invisible character in it: type it again."

    def kept(self) -> Any:
        return self.typed or None


class DayItem(TextItem):
    """A day of the calendar that is not to come."""

    template = "asbuilt/fields/_day.html"

    def check(self) -> None:
        try:
            if self.typed and day_text(self.typed) > timezone.localdate().isoformat():
                self.error = "That day is still to come."
        except units.InputError as problem:
            self.error = problem.message


@dataclass(frozen=True)
class ChoiceOption:
    value: str
    label: str
    is_chosen: bool


class ChoiceItem(Item):
    """One text of a fixed list, or not recorded."""

    template = "asbuilt/fields/_choice.html"

    def __init__(self, field: Field, stored: Any, unit_system: str) -> None:
        super().__init__(field, stored, unit_system)
        self.chosen = str(stored or "")

    @property
    def options(self) -> list[ChoiceOption]:
        choices = [("", NOT_RECORDED), *((c.value, c.label) for c in self.field.choices)]
        return [ChoiceOption(value, label, value == self.chosen) for value, label in choices]

    def read(self, data: Mapping[str, str]) -> None:
        self.chosen = data.get(self.name, self.chosen)

    def check(self) -> None:
        if self.chosen not in {"", *(c.value for c in self.field.choices)}:
            self.error = "Choose one of the list."

    def kept(self) -> Any:
        return self.chosen or None


@dataclass
class CountRow:
    name: str
    value: str
    label: str
    typed: str
    error: str = ""


class CountsItem(Item):
    """How many of each thing on a list."""

    template = "asbuilt/fields/_counts.html"

    def __init__(self, field: Field, stored: Any, unit_system: str) -> None:
        super().__init__(field, stored, unit_system)
        there = stored or {}
        self.rows = [
            CountRow(f"{self.name}-{c.value}", c.value, c.label, str(there.get(c.value, ""))) for c in field.choices
        ]

    @property
    def faults(self) -> list[Fault]:
        return [Fault(row.name, f"{self.field.label}, {row.label}", row.error) for row in self.rows if row.error]

    def read(self, data: Mapping[str, str]) -> None:
        for row in self.rows:
            row.typed = data.get(row.name, row.typed).strip()

    def check(self) -> None:
        for row in self.rows:
            row.error = _count_fault(row.typed)

    def kept(self) -> Any:
        return {row.value: row.typed for row in self.rows if row.typed} or None


def _count_fault(typed: str) -> str:
    """Return why a text is not a count of things; empty where it is one, or nothing."""
    if not typed:
        return ""
    try:
        value = units.parse_number(typed).value
    except units.InputError as problem:
        return problem.message
    if value is None or not 0 <= value <= MOST_OF_A_FITTING or value != int(value):
        return f"Type a whole number from 0 to {MOST_OF_A_FITTING}."
    return ""
