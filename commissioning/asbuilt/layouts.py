"""Starter layouts: which components and runs a system of a kind has, before anybody has read a nameplate.

Only what makes the layout is set (what a valve or a switch is for, which taps are tested together). Every figure
is left to be read from the thing itself.
"""

from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4


@dataclass(frozen=True)
class LaidComponent:
    tag: str
    kind: str
    name: str = ""
    host: str = ""
    plate: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class LaidRun:
    """A run between two ends, each a tag or `tag.port`."""

    tag: str
    kind: str
    start: str
    end: str
    name: str = ""
    plate: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Layout:
    key: str
    sentence: str
    components: tuple[LaidComponent, ...] = ()
    runs: tuple[LaidRun, ...] = ()


C, R = LaidComponent, LaidRun

SOLAR_WELL = Layout(
    "solar_well_gravity",
    "Solar well pump to a tank, gravity to two taps, hand pump beside it",
    (
        C("W1", "well"),
        C("PU1", "submersible_pump", host="W1"),
        C("HP1", "hand_pump", host="W1"),
        C("T1", "storage_tank"),
        C("LS1", "level_switch", "tank full", host="T1", plate={"purpose": "stops_fill"}),
        C("LS2", "level_switch", "well low", host="W1", plate={"purpose": "guards_low_water"}),
        C("V1", "valve", "at the wellhead", plate={"function": "isolation"}),
        C("V2", "valve", "at the tank outlet", plate={"function": "isolation"}),
        C("J1", "junction", "where the taps part"),
        C("O1", "outlet", "first tap", plate={"open_together": "O2"}),
        C("O2", "outlet", "second tap", plate={"open_together": "O1"}),
        C("A1", "solar_array"),
        C("S1", "isolator"),
        C("C1", "pump_controller"),
        C("EE1", "earth_electrode"),
    ),
    (
        R("P1", "pipe", "PU1.discharge", "V1", "drop pipe"),
        R("P2", "pipe", "V1", "T1.inlet", "rising main"),
        R("P3", "pipe", "T1.outlet", "V2", "tank outlet"),
        R("P4", "pipe", "V2", "J1", "gravity main"),
        R("P5", "pipe", "J1", "O1.inlet", "to the first tap"),
        R("P6", "pipe", "J1", "O2.inlet", "to the second tap"),
        R("K1", "cable", "A1.output", "S1.line", "array to isolator"),
        R("K2", "cable", "S1.load", "C1.array", "isolator to controller"),
        R("K3", "cable", "C1.motor", "PU1.motor", "pump cable"),
        R("N1", "control", "LS1.control", "C1.control", "tank full"),
        R("N2", "control", "LS2.control", "C1.control", "well low"),
    ),
)
EMPTY = Layout("empty", "Empty record")

LAYOUTS: dict[str, Layout] = {one.key: one for one in (SOLAR_WELL, EMPTY)}


def changes_of(layout: Layout) -> list[dict[str, Any]]:
    """Return what `record.changed` needs to put a whole layout, hosts before what sits in them."""
    ids = {one.tag: str(uuid4()) for one in layout.components}
    components = [
        {
            "op": "put", "sort": "component", "id": ids[one.tag], "kind": one.kind, "tag": one.tag, "name": one.name,
            "host": ids[one.host] if one.host else None, "nameplate": dict(one.plate),
        }
        for one in layout.components
    ]  # fmt: skip
    return components + [_run(one, ids) for one in layout.runs]


def _run(one: LaidRun, ids: dict[str, str]) -> dict[str, Any]:
    (start, _, start_port), (end, _, end_port) = one.start.partition("."), one.end.partition(".")
    return {
        "op": "put", "sort": "run", "id": str(uuid4()), "kind": one.kind, "tag": one.tag, "name": one.name,
        "start": ids[start], "start_port": start_port, "end": ids[end], "end_port": end_port,
        "nameplate": dict(one.plate),
    }  # fmt: skip
