"""What a system wants in the years to come, by part: tasks with their interval and who does them; what is used up.

Intervals are common practice, no source, where none is named: dirt, hard water, heat and heavy use shorten them.
"""

from sizing.checks.catalogue import CHECKS
from sizing.parts import (
    BatteryBank,
    BoosterPump,
    ChargeController,
    EarthElectrode,
    Filter,
    HandPump,
    LevelSwitch,
    OvercurrentDevice,
    Part,
    PressureSwitch,
    PressureTank,
    PumpController,
    ReliefValve,
    SolarArray,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
    SurgeProtector,
    Valve,
    Well,
)
from sizing.quantities import Quantity as Q
from sizing.records import record
from sizing.running import water
from sizing.system import Node, System

OWNER, CONTRACTOR = "owner", "contractor"
COMMON = "common practice, no source"
MONTHLY, QUARTERLY, HALF_YEARLY, YEARLY = 1, 3, 6, 12


@record
class Task:
    """One thing to do again and again on some parts."""

    tags: tuple[str, ...]
    words: str
    months: int
    who: str
    source: str = COMMON
    proofs: tuple[str, ...] = ()
    """Keys of the checks that show it done; empty where nothing that is measured does."""


Told = tuple[type[Part], str, int, str]

TOLD: tuple[Told, ...] = (
    (Well, "Look at cap, seal and slab, always after rain and floods.", MONTHLY, OWNER),
    (Well, "Measure the level at rest; sample for bacteria.", YEARLY, CONTRACTOR),
    (SpringOrRoof, "Clear leaves and silt; see that no animal gets in.", MONTHLY, OWNER),
    (SubmersiblePump, "Flow, power and insulation against the first ones.", YEARLY, CONTRACTOR),
    (PumpController, "Dust, insects and vents, from outside.", QUARTERLY, OWNER),
    (PumpController, "Terminals tight, settings read back.", YEARLY, CONTRACTOR),
    (SolarArray, "Wash it in the cool of the day, from the ground; cut what shades it.", MONTHLY, OWNER),
    (SolarArray, "Volts and current of each string, insulation, connectors.", YEARLY, CONTRACTOR),
    (StorageTank, "Lid shut, screens whole, overflow dry.", MONTHLY, OWNER),
    (StorageTank, "Inspect inside from the opening; clean where there is silt, then disinfect.", YEARLY, CONTRACTOR),
    (LevelSwitch, "Lift and lower it: the pump stops and starts.", MONTHLY, OWNER),
    (LevelSwitch, "Test it with real water; clean probes.", YEARLY, CONTRACTOR),
    (BoosterPump, "Listen; look for drips and for runs with every tap shut.", MONTHLY, OWNER),
    (BoosterPump, "Flow and pressure against the first ones.", YEARLY, CONTRACTOR),
    (PressureTank, "Pre-charge with the water side drained.", YEARLY, CONTRACTOR),
    (PressureSwitch, "Three cycles between cut-in and cut-out; contacts.", YEARLY, CONTRACTOR),
    (ReliefValve, "Nothing drips from it, nothing stands in front of it.", MONTHLY, OWNER),
    (ReliefValve, "Lift it by hand; it shuts again.", YEARLY, CONTRACTOR),
    (ChargeController, "Its display against a meter at the posts; set points.", YEARLY, CONTRACTOR),
    (OvercurrentDevice, "Terminals tight, ratings as recorded.", YEARLY, CONTRACTOR),
    (SurgeProtector, "Look at its window after every thunderstorm.", MONTHLY, OWNER),
    (EarthElectrode, "Resistance of electrode and bonds.", YEARLY, CONTRACTOR),
    (Valve, "Turn it shut and back once, so that it does not seize.", HALF_YEARLY, OWNER),
    (HandPump, "Pump a little even when it is not needed; grease, bolts.", MONTHLY, OWNER),
    (HandPump, "Seals and strokes against the first ones.", YEARLY, CONTRACTOR),
)  # fmt: skip

PROVED_BY: dict[type[Part], tuple[str, ...]] = {
    Well: ("static_level", "coliform"),
    SubmersiblePump: ("well_pump_flow", "well_pump_power", "pump_cable_insulation"),
    SolarArray: ("open_circuit_voltage", "short_circuit_current", "array_insulation"),
    StorageTank: ("walk_round_tank",),
    LevelSwitch: ("fill_stop_level",),
    BoosterPump: ("booster_flow",),
    PressureTank: ("precharge",),
    PressureSwitch: ("cut_in", "cut_out"),
    ReliefValve: ("relief_opens",),
    ChargeController: ("charge_voltage",),
    EarthElectrode: ("electrode_resistance", "bond_resistance"),
    HandPump: ("strokes_to_water", "volume_per_stroke"),
}
"""Which checks show that the contractor's yearly task on a kind of part is done."""

OF_BATTERY: dict[str, tuple[tuple[str, int, str, str], ...]] = {
    "flooded": (
        ("Distilled water to the mark of every cell, only after charging. No flame.", MONTHLY, OWNER, ""),
        ("Specific gravity of every cell.", QUARTERLY, CONTRACTOR, "specific_gravity"),
        ("Terminals, and a test under load.", YEARLY, CONTRACTOR, "battery_sag"),
    ),
    "lithium iron phosphate": (("Alarms, log, low-temperature setting, terminals.", YEARLY, CONTRACTOR, ""),),
    "": (
        ("Look: dry, clean, nothing swollen, nothing hot.", MONTHLY, OWNER, ""),
        ("Terminals, and a test under load.", YEARLY, CONTRACTOR, "battery_sag"),
    ),
}  # fmt: skip


def tasks(system: System) -> list[Task]:
    """Return what is to be done, the most frequent first, the owner's before the contractor's."""
    found = [
        Task(_tags(system, kind), words, months, who, proofs=_proofs(kind, who)) for kind, words, months, who in TOLD
    ]
    found += _of_batteries(system) + _of_filters(system) + _of_water(system)
    return sorted((one for one in found if one.tags), key=lambda one: (one.months, one.who != OWNER))


def _proofs(kind: type[Part], who: str) -> tuple[str, ...]:
    return PROVED_BY.get(kind, ()) if who == CONTRACTOR else ()


def proved_on(system: System, task: Task) -> set[tuple[str, str]]:
    """Return the checks that show a task done, each with its subject: its own parts where it is taken on them."""
    found: set[tuple[str, str]] = set()
    for key in task.proofs:
        subjects = CHECKS[key].subjects(system)
        own = [tag for tag in subjects if tag in task.tags]
        found |= {(key, tag) for tag in own or subjects}
    return found


def _tags(system: System, kind: type[Part]) -> tuple[str, ...]:
    nodes = water.isolation_valves(system) if kind is Valve else system.of(kind)
    return tuple(node.tag for node in nodes)


def _of_batteries(system: System) -> list[Task]:
    return [
        Task((bank.tag,), words, months, who, proofs=(proof,) if proof else ())
        for bank in system.of(BatteryBank)
        for words, months, who, proof in OF_BATTERY.get(_chemistry(bank), OF_BATTERY[""])
    ]


def _chemistry(bank: Node) -> str:
    return getattr(bank.part, "chemistry", None) or ""


def _of_filters(system: System) -> list[Task]:
    words = "Look at the drop across it; change or clean the element at the drop below, and at least yearly."
    return [Task(_tags(system, Filter), words, MONTHLY, OWNER)]


def _of_water(system: System) -> list[Task]:
    outlets = tuple(one.tag for one in system.nodes.values() if getattr(one.part, "drinking", None) == "drinking")
    return [
        Task(
            outlets,
            "Sample the drinking water for bacteria, and after every opening.",
            YEARLY,
            CONTRACTOR,
            proofs=("coliform",),
        )
    ]


@record
class Supply:
    """One thing that is used up, with the figure to buy or change it by, in core units."""

    tag: str
    words: str
    said: tuple[tuple[str, Q, float], ...] = ()


def supplies(system: System) -> list[Supply]:
    """Return what is used up in this system: filter elements, fuses, battery water, seals."""
    return [
        *(Supply(one.tag, "Filter element", _figures(one, FILTER)) for one in system.of(Filter)),
        *(Supply(one.tag, "Fuse", _figures(one, FUSE)) for one in system.of(OvercurrentDevice) if _is_fuse(one)),
        *(Supply(one.tag, "Distilled water, never from the tap") for one in flooded(system)),
        *(Supply(one.tag, "Set of seals and leathers", _figures(one, SEALS)) for one in system.of(HandPump)),
    ]


Figures = tuple[tuple[str, str, Q], ...]
FILTER: Figures = (
    ("rating", "retains", Q.DIAMETER),
    ("clean_drop", "drop when clean", Q.PRESSURE_DIFFERENCE),
    ("change_out_drop", "change it at", Q.PRESSURE_DIFFERENCE),
)
FUSE: Figures = (("rated_current", "rated", Q.CURRENT), ("rated_voltage", "DC", Q.VOLTAGE))
SEALS: Figures = (("bore", "bore", Q.DIAMETER),)


def _figures(node: Node, wanted: Figures) -> tuple[tuple[str, Q, float], ...]:
    there = ((words, quantity, getattr(node.part, name, None)) for name, words, quantity in wanted)
    return tuple((words, quantity, value) for words, quantity, value in there if value is not None)


def _is_fuse(node: Node) -> bool:
    return getattr(node.part, "form", None) != "breaker"


def flooded(system: System) -> list[Node]:
    """Return the batteries whose cells want water; one whose chemistry nobody recorded counts."""
    return [one for one in system.of(BatteryBank) if _chemistry(one) in ("flooded", "")]
