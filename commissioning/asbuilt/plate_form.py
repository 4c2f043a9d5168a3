"""The whole nameplate form of a component, a run or a site."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from commissioning.asbuilt.grid import GridItem
from commissioning.asbuilt.plate import (
    ChoiceItem,
    CountsItem,
    DayItem,
    Fault,
    Item,
    MeasureItem,
    TextItem,
)
from commissioning.asbuilt.printed_sizes import fill, suggest
from sizing.parts import FieldKind, Part

ITEMS: dict[FieldKind, type[Item]] = {
    FieldKind.MEASURE: MeasureItem,
    FieldKind.NUMBER: MeasureItem,
    FieldKind.TEXT: TextItem,
    FieldKind.DAY: DayItem,
    FieldKind.CHOICE: ChoiceItem,
    FieldKind.TABLE: GridItem,
    FieldKind.COUNTS: CountsItem,
}


@dataclass(frozen=True)
class Group:
    """Fields that stand together under one heading. Those that need the whole width come last."""

    title: str
    anchor: str
    items: list[Item]
    wide: list[Item]


class PlateForm:
    """One item for each declared field; `data` is what was sent, if anything was."""

    def __init__(
        self,
        part: type[Part],
        *,
        unit_system: str,
        stored: Mapping[str, Any] | None = None,
        data: Mapping[str, str] | None = None,
    ) -> None:
        self.part = part
        self.data = data
        there = stored or {}
        self.items: dict[str, Item] = {
            name: ITEMS[field.kind](field, there.get(name), unit_system) for name, field in part.declarations().items()
        }
        suggest(part, self.items)
        if data is not None:
            self._read(data)

    def _read(self, data: Mapping[str, str]) -> None:
        for item in self.items.values():
            item.read(data)
            if isinstance(item, GridItem) and data.get("more") == item.name:
                item.add_rows()

    @property
    def wants_more_rows(self) -> bool:
        """Whether a button asked for more rows instead of keeping."""
        return bool(self.data and self.data.get("more"))

    def is_valid(self) -> bool:
        """Check every field; faults and doubts stay on the items."""
        for item in self.items.values():
            item.error = item.doubt = ""
            item.check()
        fill(self.part, self.items)
        return not self.faults

    @property
    def faults(self) -> list[Fault]:
        return [fault for item in self.items.values() for fault in item.faults]

    def plate(self) -> dict[str, Any]:
        """Return the nameplate as it is stored: what was typed, without what is empty."""
        kept = {name: item.kept() for name, item in self.items.items()}
        return {name: value for name, value in kept.items() if value is not None}

    @property
    def groups(self) -> list[Group]:
        titles = list(dict.fromkeys(item.field.group for item in self.items.values()))
        return [self._group(title) for title in titles]

    def _group(self, title: str) -> Group:
        mine = [item for item in self.items.values() if item.field.group == title]
        is_wide = {item.name: isinstance(item, GridItem | CountsItem) for item in mine}
        anchor = f"group-{title.lower().replace(' ', '-')}"
        return Group(title, anchor, [i for i in mine if not is_wide[i.name]], [i for i in mine if is_wide[i.name]])
