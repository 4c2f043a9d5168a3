"""Starter layouts: which components and runs a system of a kind has, before anybody has read a nameplate.

Only what makes the layout is set (what a valve or a switch is for, which taps are tested together). Every figure
is left to be read from the thing itself.
"""

from dataclasses import replace

from commissioning.asbuilt.laying import LaidComponent as C
from commissioning.asbuilt.laying import LaidRun as R
from commissioning.asbuilt.laying import Layout, changes_of, document_of

__all__ = ["EMPTY", "LAYOUTS", "SOLAR_WELL", "Layout", "changes_of", "document_of", "with_hand_pump"]

ISOLATION = {"function": "isolation", "normal_position": "open"}
CHECK = {"function": "check", "normal_position": "open"}
DRAIN = {"function": "drain", "normal_position": "shut"}
TAPS = (
    C("O1", "outlet", "first tap", plate={"open_together": "O2"}),
    C("O2", "outlet", "second tap", plate={"open_together": "O1"}),
)
WELL = (C("W1", "well"), C("PU1", "submersible_pump", host="W1"))
WELL_LOW = C("LS2", "level_switch", "well low", host="W1", plate={"purpose": "guards_low_water"})
SOLAR_POWER = (C("A1", "solar_array"), C("S1", "isolator"), C("C1", "pump_controller"), C("EE1", "earth_electrode"))
SOLAR_CABLES = (
    R("K1", "cable", "A1.output", "S1.line", "array to isolator"),
    R("K2", "cable", "S1.load", "C1.array", "isolator to controller"),
    R("K3", "cable", "C1.motor", "PU1.motor", "pump cable"),
)
FILLED_BY_PUMP = (
    *WELL,
    C("T1", "storage_tank"),
    C("LS1", "level_switch", "tank full", host="T1", plate={"purpose": "stops_fill"}),
    WELL_LOW,
    C("V1", "valve", "at the wellhead", plate=ISOLATION),
    C("V2", "valve", "at the tank outlet", plate=ISOLATION),
)
FILLING = (
    R("P1", "pipe", "PU1.discharge", "V1", "drop pipe"),
    R("P2", "pipe", "V1", "T1.inlet", "rising main"),
    R("P3", "pipe", "T1.outlet", "V2", "tank outlet"),
)
SIGNALS = (
    R("N1", "control", "LS1.control", "C1.control", "tank full"),
    R("N2", "control", "LS2.control", "C1.control", "well low"),
)
TO_TAPS = (
    R("P5", "pipe", "J1", "O1.inlet", "to the first tap"),
    R("P6", "pipe", "J1", "O2.inlet", "to the second tap"),
)

# A booster behind the valve V2: relief valve in front of anything that shuts, then the pressure tank with its switch.
BOOSTER = (
    C("F1", "filter", "before the booster", plate={"side": "suction"}),
    C("B1", "booster_pump"),
    C("CV1", "valve", "behind the booster", plate=CHECK),
    C("J2", "junction", "at the relief valve"),
    C("RV1", "relief_valve"),
    C("PT1", "pressure_tank"),
    C("PS1", "pressure_switch", host="PT1"),
    C("V3", "valve", "behind the pressure tank", plate=ISOLATION),
    C("J1", "junction", "where the taps part"),
    *TAPS,
)
BOOSTER_PIPES = (
    R("P4", "pipe", "V2", "F1.inlet", "to the filter"),
    R("P7", "pipe", "F1.outlet", "B1.suction", "suction"),
    R("P8", "pipe", "B1.discharge", "CV1", "discharge"),
    R("P9", "pipe", "CV1", "J2", "to the relief valve's tee"),
    R("P10", "pipe", "J2", "RV1.inlet", "to the relief valve"),
    R("P11", "pipe", "J2", "PT1", "to the pressure tank"),
    R("P12", "pipe", "PT1", "V3", "behind the pressure tank"),
    R("P13", "pipe", "V3", "J1", "house main"),
    *TO_TAPS,
)


def _battery(array: str, isolator: str) -> tuple[C, ...]:
    """Return an array with its isolator, charger, battery and the fuses at the battery."""
    return (
        C(array, "solar_array", "charges the battery"),
        C(isolator, "isolator", "of the charging array"),
        C("CC1", "charge_controller"),
        C("FU1", "overcurrent_device", "between charger and battery"),
        C("BA1", "battery_bank"),
        C("FU2", "overcurrent_device", "at the battery, for what it feeds"),
    )


def _charging(array: str, isolator: str, first: int) -> tuple[R, ...]:
    """Return the cables from the array to the fuse behind the battery, numbered from `first`."""
    ends = (
        (f"{array}.output", f"{isolator}.line", "charging array to isolator"),
        (f"{isolator}.load", "CC1.array", "isolator to charger"),
        ("CC1.battery", "FU1.line", "charger to fuse"),
        ("FU1.load", "BA1.posts", "fuse to battery"),
        ("BA1.posts", "FU2.line", "battery to fuse"),
    )
    return tuple(R(f"K{n}", "cable", start, end, name) for n, (start, end, name) in enumerate(ends, first))


def _to_booster(first: int) -> tuple[R, ...]:
    return (
        R(f"K{first}", "cable", "FU2.load", "PS1.line", "fuse to pressure switch"),
        R(f"K{first + 1}", "cable", "PS1.load", "B1.motor", "pressure switch to booster"),
    )


SOLAR_WELL = Layout(
    "solar_well_gravity",
    "Solar well pump to a tank by day, gravity to two taps",
    (*FILLED_BY_PUMP, C("J1", "junction", "where the taps part"), *TAPS, *SOLAR_POWER),
    (*FILLING, R("P4", "pipe", "V2", "J1", "gravity main"), *TO_TAPS, *SOLAR_CABLES, *SIGNALS),
)
SOLAR_WELL_BOOSTER = Layout(
    "solar_well_booster",
    "Solar well pump to a tank by day, battery booster and pressure tank to two taps",
    (
        *FILLED_BY_PUMP,
        C("LS3", "level_switch", "tank low", host="T1", plate={"purpose": "stops_booster"}),
        *BOOSTER, *SOLAR_POWER, *_battery("A2", "S2"),
    ),
    (
        *FILLING, *BOOSTER_PIPES, *SOLAR_CABLES, *_charging("A2", "S2", 4), *_to_booster(9), *SIGNALS,
        R("N3", "control", "LS3.control", "PS1.control", "tank low"),
    ),
)  # fmt: skip
BATTERY_WELL = Layout(
    "battery_well_pressure",
    "Well pump on a battery and inverter, straight to a pressure tank",
    (
        *WELL, WELL_LOW,
        C("CV1", "valve", "at the wellhead", plate=CHECK),
        C("J2", "junction", "at the relief valve"),
        C("RV1", "relief_valve"),
        C("PT1", "pressure_tank"),
        C("PS1", "pressure_switch", host="PT1"),
        C("V1", "valve", "behind the pressure tank", plate=ISOLATION),
        C("J1", "junction", "where the taps part"),
        *TAPS, *_battery("A1", "S1"),
        C("IN1", "inverter"), C("EE1", "earth_electrode"),
    ),
    (
        R("P1", "pipe", "PU1.discharge", "CV1", "drop pipe"),
        R("P2", "pipe", "CV1", "J2", "to the relief valve's tee"),
        R("P3", "pipe", "J2", "RV1.inlet", "to the relief valve"),
        R("P4", "pipe", "J2", "PT1", "to the pressure tank"),
        R("P7", "pipe", "PT1", "V1", "behind the pressure tank"),
        R("P8", "pipe", "V1", "J1", "house main"),
        *TO_TAPS, *_charging("A1", "S1", 1),
        R("K6", "cable", "FU2.load", "IN1.input", "fuse to inverter"),
        R("K7", "cable", "IN1.output", "PU1.motor", "pump cable"),
        R("N1", "control", "PS1.control", "IN1.control", "pressure"),
        R("N2", "control", "LS2.control", "IN1.control", "well low"),
    ),
)  # fmt: skip
COLLECTED_BOOSTER = Layout(
    "spring_roof_booster",
    "Roof or spring to a tank, battery booster and pressure tank to two taps",
    (
        C("SR1", "spring_or_roof"),
        C("T1", "storage_tank"),
        C("LS3", "level_switch", "tank low", host="T1", plate={"purpose": "stops_booster"}),
        C("V1", "valve", "before the tank", plate=ISOLATION),
        C("V2", "valve", "at the tank outlet", plate=ISOLATION),
        *BOOSTER, *_battery("A1", "S1"), C("EE1", "earth_electrode"),
    ),
    (
        R("P1", "pipe", "SR1.outlet", "V1", "from the spring or roof"),
        R("P2", "pipe", "V1", "T1.inlet", "into the tank"),
        R("P3", "pipe", "T1.outlet", "V2", "tank outlet"),
        *BOOSTER_PIPES, *_charging("A1", "S1", 1), *_to_booster(6),
        R("N3", "control", "LS3.control", "PS1.control", "tank low"),
    ),
)  # fmt: skip
HIGH_TANK = Layout(
    "solar_well_high_tank",
    "Solar well pump to a high tank, long gravity main to two taps",
    (
        *FILLED_BY_PUMP,
        C("CV1", "valve", "at the foot of the rising main", plate=CHECK),
        C("V3", "valve", "before the taps", plate=ISOLATION),
        C("V4", "valve", "drain at the lowest point", plate=DRAIN),
        C("J2", "junction", "lowest point of the main"),
        C("J1", "junction", "where the taps part"),
        *TAPS, *SOLAR_POWER,
    ),
    (
        R("P1", "pipe", "PU1.discharge", "CV1", "drop pipe"),
        R("P2", "pipe", "V1", "T1.inlet", "rising main"),
        R("P3", "pipe", "T1.outlet", "V2", "tank outlet"),
        R("P4", "pipe", "V2", "J2", "gravity main"),
        *TO_TAPS,
        R("P7", "pipe", "CV1", "V1", "at the wellhead"),
        R("P8", "pipe", "J2", "V3", "before the taps"),
        R("P9", "pipe", "V3", "J1", "to where the taps part"),
        R("P10", "pipe", "J2", "V4", "to the drain"),
        *SOLAR_CABLES, *SIGNALS,
    ),
)  # fmt: skip
EMPTY = Layout("empty", "Empty record")

LAYOUTS: dict[str, Layout] = {
    one.key: one
    for one in (SOLAR_WELL, SOLAR_WELL_BOOSTER, BATTERY_WELL, COLLECTED_BOOSTER, HIGH_TANK, EMPTY)
}  # fmt: skip


def with_hand_pump(layout: Layout) -> Layout:
    """Return a layout with a hand pump on its well, or on a well of its own where it has none."""
    has_well = any(one.kind == "well" for one in layout.components)
    well = () if has_well else (C("W1", "well", "of the hand pump"),)
    beside = (*well, C("HP1", "hand_pump", host="W1"))
    return replace(layout, components=(*layout.components, *beside))
