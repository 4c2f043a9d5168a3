"""What a measurement's form hands on: the entry to be stored, and what is asked back before."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from commissioning.visits.photo_field import KeptPhoto


@dataclass(frozen=True)
class Doubt:
    """A reading that is possible but not usual: what it would mean, and what was perhaps meant instead."""

    field: str
    shown: str
    words: str
    cure: str = ""
    """Value of the button that takes the cure: field, text doubted, text and unit meant."""
    cure_label: str = ""


@dataclass(frozen=True)
class ReadingEntry:
    """One reading ready to be stored, as typed."""

    input: str
    label: str
    typed: str
    unit: str
    instrument: str
    at: datetime | None = None


@dataclass(frozen=True)
class Entry:
    """A whole measurement ready to be stored."""

    id: str
    taken_at: datetime
    way: str
    answer: str
    note: str
    reason: str
    readings: tuple[ReadingEntry, ...]
    photos: tuple[KeptPhoto, ...]
    origin_note: str = ""


def cured(data: Mapping[str, Any]) -> Any:
    """Return what was sent, with the cure that was chosen put in its place, if its text still stands."""
    name, doubted, text, unit = (str(data.get("cure", "")).split("|") + [""] * 4)[:4]
    if not text or data.get(name) != doubted:
        return data
    changed = data.copy()  # type: ignore[attr-defined]  # a QueryDict, which copies itself mutable
    changed[name] = text
    if unit:
        changed[f"unit-{name.split('-')[1]}"] = unit
    return changed


def right_token(doubts: list[Doubt]) -> str:
    """Return what the button "it is right" sends: every text that is asked back, with its unit."""
    return ";".join(f"{d.field}={d.shown}" for d in doubts)
