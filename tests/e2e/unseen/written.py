"""What stands on the paper from which a record is typed in: short words that the hands turn into fields."""

from dataclasses import dataclass, field
from typing import Any

Plate = dict[str, Any]
"""Field → "12.5 m" (figure and unit code), a choice, a text, counts by name, or a table."""


@dataclass(frozen=True)
class Table:
    """A table copied from a data sheet: the unit of each column, and the rows."""

    units: dict[str, str]
    rows: str


@dataclass(frozen=True)
class Part:
    """One component: of the layout already (`is_there`), or to be added. `like` names one to fill it in from."""

    kind: str
    tag: str
    name: str = ""
    host: str = ""
    plate: Plate = field(default_factory=dict)
    is_there: bool = False
    like: str = ""


@dataclass(frozen=True)
class Line:
    """One run between two ends, each a tag or `tag.port`."""

    kind: str
    tag: str
    start: str = ""
    end: str = ""
    name: str = ""
    plate: Plate = field(default_factory=dict)
    is_there: bool = False
    like: str = ""


@dataclass(frozen=True)
class Unseen:
    """A system: what it is begun from, its place, and all that is typed."""

    key: str
    site: str
    units: str
    layout: str
    place: Plate
    parts: tuple[Part, ...]
    lines: tuple[Line, ...]
    gone: tuple[str, ...] = ()
    """Tags of the layout that this system has not."""
    with_hand_pump: bool = False


SUN = "1\t4.1\n2\t4.7\n3\t5.3\n4\t5.6\n5\t5.8\n6\t6.0\n7\t6.0\n8\t5.9\n9\t5.6\n10\t5.0\n11\t4.3\n12\t3.9"


def pipe(nominal: str, length: str, joints: str, cover: str = "", *, rating: str = "", **fittings: int) -> Plate:
    """Return what is typed of a pipe: the tables know bore and material of its printed size, and mostly its rating.

    `cover` is the ground over it, or "inside" for one that never freezes.
    """
    plate: Plate = {"nominal": nominal, "length": length, "joints": joints}
    if rating:
        plate["pressure_rating"] = rating
    if cover == "inside":
        plate["lies"] = cover
    elif cover:
        plate["cover"] = cover
    return {**plate, "fittings": {name: str(many) for name, many in fittings.items()}} if fittings else plate


def cable(size: str, length: str, rating: str = "90 degC", **more: str) -> Plate:
    return {"size": size, "material": "copper", "insulation_rating": rating, "length": length, **more}
