"""What has to be in the car before a visit: from the checks that are owed and from the nameplates of the system.

Amounts of consumables and the safety kit: common practice, no source.
"""

from collections.abc import Collection, Iterable

from sizing.checks.case import Value
from sizing.checks.declare import Check
from sizing.checks.dosing import CHLORINE_DOSE, TANK_CHLORINE_DOSE
from sizing.instruments import NOT_CARRIED, Requirement, requirements
from sizing.judgement import expect
from sizing.parts import (
    BatteryBank,
    BoosterPump,
    Filter,
    HandPump,
    LevelSwitch,
    OvercurrentDevice,
    Part,
    PressureSwitch,
    PressureTank,
    SolarArray,
    StorageTank,
    SubmersiblePump,
    SurgeProtector,
    Well,
)
from sizing.quantities import Quantity as Q
from sizing.records import record
from sizing.running.upkeep import flooded
from sizing.system import Node, System

HOUSEHOLD_BLEACH = 0.05  # available chlorine of fresh household bleach: common practice, no source
BLEACH = "Liquid bleach of 5 % (read the bottle), dated, well shut, apart from anything acid"
Ranges = dict[Q, tuple[float, float]]


@record
class Instrument:
    """One kind of instrument, what it has to read, and for how many checks it is wanted."""

    words: str
    ranges: tuple[tuple[Q, float, float], ...]
    checks: tuple[str, ...]


@record
class Goods:
    """One thing to take along, for which parts, with figures in core units."""

    words: str
    tags: tuple[str, ...] = ()
    figures: tuple[tuple[str, Q, float], ...] = ()


PRESSURES = frozenset({Q.GAUGE_PRESSURE, Q.PRESSURE_DIFFERENCE})
READS: tuple[tuple[str, frozenset[Q]], ...] = (
    ("clamp", frozenset({Q.CURRENT})),
    ("multimeter", frozenset({Q.VOLTAGE})),
    ("insulation tester", frozenset({Q.INSULATION})),
    ("low-ohm", frozenset({Q.RESISTANCE})),
    ("earth tester", frozenset({Q.RESISTANCE})),
    ("thermometer", frozenset({Q.TEMPERATURE})),
    ("sun meter", frozenset({Q.IRRADIANCE})),
    ("flow meter", frozenset({Q.FLOW})),
    ("gauge", PRESSURES),
    ("bucket", frozenset({Q.VOLUME})),
    ("dip meter", frozenset({Q.DEPTH})),
    ("tape", frozenset({Q.DEPTH, Q.LENGTH})),
)
"""A word in the name of an instrument → what it reads; of others no range is said."""


def instruments(checks: Iterable[Check]) -> list[Instrument]:
    """Return what the first way of each check is taken with; the most wanted first."""
    wanted: dict[str, tuple[Ranges, list[str]]] = {}
    for check in {one.key: one for one in checks}.values():
        for one in requirements(check.way()) if check.ways else ():
            if _is_carried(one.alternatives):
                words = _shortest(one)
                ranges, titles = wanted.setdefault(words, ({}, []))
                titles.append(check.title)
                _widen(ranges, check, _reads(words))
    found = [Instrument(words, _rows(ranges), tuple(titles)) for words, (ranges, titles) in wanted.items()]
    return sorted(found, key=lambda one: (-len(one.checks), one.words))


def _shortest(one: Requirement) -> str:
    """Return the kind of instrument where there is only one, so that "gauge" and "pressure gauge" are one line."""
    kinds = [kind for kit in one.alternatives for kind in kit]
    return kinds[0] if len(kinds) == 1 else one.words


def _reads(words: str) -> frozenset[Q]:
    return next((quantities for part, quantities in READS if part in words), frozenset())


def _is_carried(alternatives: Iterable[Collection[str]]) -> bool:
    return not any(set(kinds) <= NOT_CARRIED for kinds in alternatives)


def _widen(ranges: Ranges, check: Check, reads: frozenset[Q]) -> None:
    """Take in the range that a check calls usual, for each quantity that the instrument reads."""
    for one in check.way().inputs:
        if one.soft is None or one.options or one.quantity not in reads:
            continue
        low, high = ranges.get(one.quantity, one.soft)
        ranges[one.quantity] = (min(low, one.soft[0]), max(high, one.soft[1]))


def _rows(ranges: Ranges) -> tuple[tuple[Q, float, float], ...]:
    return tuple((quantity, low, high) for quantity, (low, high) in ranges.items())


CUTS = (("cut_in", "cut-in", Q.GAUGE_PRESSURE), ("cut_out", "cut-out", Q.GAUGE_PRESSURE))
SPARES: tuple[tuple[type[Part], str, tuple[tuple[str, str, Q], ...]], ...] = (
    (Filter, "Filter element", (("rating", "retains", Q.DIAMETER),)),
    (PressureSwitch, "Pressure switch", CUTS),
    (LevelSwitch, "Float or probe", ()),
    (PressureTank, "Core for the air valve", (("precharge", "pre-charge", Q.GAUGE_PRESSURE),)),
    (BoosterPump, "Head kit, strainer", (("rated_voltage", "rated", Q.VOLTAGE),)),
    (SurgeProtector, "Surge cartridge", (("continuous_voltage", "rated", Q.VOLTAGE),)),
    (HandPump, "Seals, leathers and rubber of the foot valve", (("bore", "bore", Q.DIAMETER),)),
)  # fmt: skip


def spares(system: System) -> list[Goods]:
    """Return one spare of what wears or blows, by its nameplate: alike ones together."""
    found = [_goods(words, node, fields) for kind, words, fields in SPARES for node in system.of(kind)]
    return together([*found, *fuses(system)])


def fuses(system: System) -> list[Goods]:
    """Return the fuses and breakers by rating, as many as there are."""
    fields = (("rated_current", "rated", Q.CURRENT), ("rated_voltage", "DC", Q.VOLTAGE))
    nodes = system.of(OvercurrentDevice)
    return together([_goods(_named(one), one, fields) for one in nodes])


def _named(node: Node) -> str:
    many = int(getattr(node.part, "number_of", None) or 1)
    form = (getattr(node.part, "form", None) or "fuse or breaker").capitalize()
    return f"{form}, {many} alike" if many > 1 else form


def _goods(words: str, node: Node, fields: Iterable[tuple[str, str, Q]]) -> Goods:
    there = ((label, quantity, getattr(node.part, name, None)) for name, label, quantity in fields)
    return Goods(words, (node.tag,), tuple((label, q, value) for label, q, value in there if value is not None))


def together(goods: Iterable[Goods]) -> list[Goods]:
    """Return goods with the same words and figures as one, for all their parts."""
    found: dict[tuple[object, ...], tuple[str, ...]] = {}
    for one in goods:
        key = (one.words, one.figures)
        found[key] = (*found.get(key, ()), *one.tags)
    return [Goods(words, tuple(dict.fromkeys(tags)), figures) for (words, figures), tags in found.items()]  # type: ignore[arg-type]


CONSUMABLES: tuple[tuple[tuple[type[Part], ...], str], ...] = (
    ((), "Thread tape and sealant, O-rings, hose and clips, rags, waste bags"),
    ((), "Labels and tags for valves and switches, indelible pens"),
    ((), "Fresh batteries for the meters"),
    ((SubmersiblePump, BoosterPump, SolarArray), "Lugs, heat-shrink, cable ties, terminal grease"),
    ((SubmersiblePump,), "Splice kit for a cable under water"),
    ((SolarArray,), "Connectors of the very make and type that is fitted, with their tool"),
)

SAFETY: tuple[tuple[tuple[type[Part], ...], str], ...] = (
    ((), "First aid, drinking water, shade, a check-in time with somebody who waits"),
    ((SolarArray, BatteryBank, SubmersiblePump, BoosterPump), "Locks and tags, insulating gloves, insulated tools"),
    ((BatteryBank,), "Goggles, face shield, apron, acid gloves, eyewash, extinguisher"),
    ((Well, SubmersiblePump), "Hard hats, clamps and rope for the pipe; barriers round the well"),
    ((StorageTank,), "Ladder with stays, fall arrest; gas tester: nobody climbs in"),
    ((PressureTank,), "Eye protection: water and gas under pressure"),
)


def for_system(system: System, rows: Iterable[tuple[tuple[type[Part], ...], str]]) -> list[Goods]:
    """Return the rows that a system has a part for, with those parts."""
    found = [(words, kinds, [node.tag for kind in kinds for node in system.of(kind)]) for kinds, words in rows]
    return [Goods(words, tuple(tags)) for words, kinds, tags in found if tags or not kinds]


def bleach(system: System) -> list[tuple[str, float]]:
    """Return the bleach [m³] for each well or tank with what hangs on it, tank full, of fresh household bleach.

    The very expectation of the check on the day, with the nameplate's level at rest; nothing for a well without one.
    """
    found = []
    for check in (CHLORINE_DOSE, TANK_CHLORINE_DOSE):
        for tag in check.subjects(system):
            given = {"bleach_strength": HOUSEHOLD_BLEACH, **_levels(system, system.node(tag))}
            conditions = {name: Value(value) for name, value in given.items() if value is not None}
            expected, _, _ = expect(check, check.judged[0], system, tag, conditions=conditions)
            if expected is not None and expected.nominal is not None:
                found.append((tag, expected.nominal))
    return found


def _levels(system: System, dosed: Node) -> dict[str, float | None]:
    """Return the level at rest, and the depth of water in the tank when it is full to the overflow."""
    depths = []
    for tank in [dosed] if isinstance(dosed.part, StorageTank) else system.of(StorageTank):
        top, floor = (getattr(tank.part, name, None) for name in ("overflow_elevation", "floor_elevation"))
        depths += [top - floor] if top is not None and floor is not None else []
    return {"static_level": getattr(dosed.part, "static_level", None), "tank_level": max(depths, default=None)}


def consumables(system: System, keys: Collection[str]) -> list[Goods]:
    """Return what is used up on the visit, the bleach only where something is disinfected."""
    goods = for_system(system, CONSUMABLES)
    if acid := flooded(system):
        goods.append(Goods("Distilled water, baking soda against acid", tuple(one.tag for one in acid)))
    if {"chlorine_dose", "tank_chlorine_dose"} & set(keys):
        known = bleach(system)
        goods += [Goods(BLEACH, (tag,), (("about", Q.VOLUME, volume),)) for tag, volume in known]
        goods += [] if known else [Goods(BLEACH + ": how much, the record does not say")]
    if {"coliform", "nitrate"} & set(keys):
        goods.append(Goods("Sample bottles of the laboratory, cool box with ice, its forms"))
    return goods


def papers(system: System, keys: Collection[str]) -> list[str]:
    """Return the papers of a visit."""
    said = ["The field sheet of this visit, printed, for a dead phone", "Handover sheet and owner's pack, if there are"]
    for field, words in (("permit", "The permit"), ("licence", "The licence"), ("driller_log", "The driller's log")):
        value = getattr(system.site, field, None)
        said.append(f"{words}: {value}" if value else f"{words}: not recorded; ask before leaving")
    if {"coliform", "nitrate"} & set(keys):
        said.append("The laboratory's booking: when it takes the sample in")
    return said
