"""Typed nameplates: the single declaration of every field of every kind of component and run.

Forms, validation, printing and the JSON Schema follow from these declarations.
"""

from sizing.parts.declare import Choice, Column, Field, FieldKind, Part, RunPart
from sizing.parts.electrical import (
    ControlLine,
    EarthElectrode,
    Isolator,
    PowerCable,
    PumpController,
    SolarArray,
)
from sizing.parts.site import SiteData
from sizing.parts.water import (
    HandPump,
    Junction,
    LevelSwitch,
    Outlet,
    Pipe,
    StorageTank,
    SubmersiblePump,
    Valve,
    Well,
)

COMPONENT_KINDS: dict[str, type[Part]] = {
    part.kind: part
    for part in (
        Well,
        SubmersiblePump,
        HandPump,
        StorageTank,
        LevelSwitch,
        Junction,
        Valve,
        Outlet,
        SolarArray,
        Isolator,
        PumpController,
        EarthElectrode,
    )
}
"""Kind of component → its nameplate class, in the order in which a person builds."""

RUN_KINDS: dict[str, type[RunPart]] = {part.kind: part for part in (Pipe, PowerCable, ControlLine)}
"""Kind of run → its nameplate class."""

__all__ = [
    "COMPONENT_KINDS",
    "RUN_KINDS",
    "Choice",
    "Column",
    "ControlLine",
    "EarthElectrode",
    "Field",
    "FieldKind",
    "HandPump",
    "Isolator",
    "Junction",
    "LevelSwitch",
    "Outlet",
    "Part",
    "Pipe",
    "PowerCable",
    "PumpController",
    "RunPart",
    "SiteData",
    "SolarArray",
    "StorageTank",
    "SubmersiblePump",
    "Valve",
    "Well",
]
