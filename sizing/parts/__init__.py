"""Typed nameplates: the single declaration of every field of every kind of component and run.

Forms, validation, printing and the JSON Schema follow from these declarations.
"""

from sizing.parts.batteries import BatteryBank, ChargeController, Inverter, Load
from sizing.parts.boosters import BoosterPump, Filter, PressureSwitch, PressureTank, ReliefValve
from sizing.parts.cables import ControlLine, PowerCable
from sizing.parts.declare import Choice, Column, Field, FieldKind, Part, RunPart
from sizing.parts.meters import Meter
from sizing.parts.pipework import Junction, Outlet, Pipe, Valve
from sizing.parts.protection import EarthElectrode, OvercurrentDevice, SurgeProtector
from sizing.parts.site import SiteData
from sizing.parts.solar import Combiner, Isolator, PumpController, SolarArray
from sizing.parts.storage import LevelSwitch, StorageTank
from sizing.parts.wells import HandPump, SpringOrRoof, SubmersiblePump, Well

COMPONENT_KINDS: dict[str, type[Part]] = {
    part.kind: part
    for part in (
        Well,
        SpringOrRoof,
        SubmersiblePump,
        HandPump,
        StorageTank,
        LevelSwitch,
        Filter,
        BoosterPump,
        PressureTank,
        PressureSwitch,
        ReliefValve,
        Junction,
        Valve,
        Outlet,
        SolarArray,
        Combiner,
        Isolator,
        PumpController,
        BatteryBank,
        ChargeController,
        Inverter,
        Load,
        OvercurrentDevice,
        SurgeProtector,
        EarthElectrode,
        Meter,
    )
}
"""Kind of component → its nameplate class, in the order in which a person builds."""

RUN_KINDS: dict[str, type[RunPart]] = {part.kind: part for part in (Pipe, PowerCable, ControlLine)}
"""Kind of run → its nameplate class."""

__all__ = [
    "COMPONENT_KINDS",
    "RUN_KINDS",
    "BatteryBank",
    "BoosterPump",
    "ChargeController",
    "Choice",
    "Column",
    "Combiner",
    "ControlLine",
    "EarthElectrode",
    "Field",
    "FieldKind",
    "Filter",
    "HandPump",
    "Inverter",
    "Isolator",
    "Junction",
    "LevelSwitch",
    "Load",
    "Meter",
    "Outlet",
    "OvercurrentDevice",
    "Part",
    "Pipe",
    "PowerCable",
    "PressureSwitch",
    "PressureTank",
    "PumpController",
    "ReliefValve",
    "RunPart",
    "SiteData",
    "SolarArray",
    "SpringOrRoof",
    "StorageTank",
    "SubmersiblePump",
    "SurgeProtector",
    "Valve",
    "Well",
]
