"""What a change of the as-built record makes stale: checks that were taken before it and are owed again.

A corrected nameplate only changes what a number should be: it is judged again and nothing is repeated. A moved set
point, a part replaced or opened changes the thing that was measured: what was read before says nothing of it.
"""

import dataclasses
import math
from collections.abc import Callable, Iterator

from sizing.checks.catalogue import CHECKS
from sizing.records import record
from sizing.system import SITE, Node, Run, System

COMMON = "common practice, no source"
HOST, ENDS = "host", "ends"
"""Names of what is no nameplate field: where a component sits, and what a run is joined to."""

SAME = 1e-6  # a share: the same figure typed in another unit is no change

Reach = Callable[[System, str], set[str]]


def itself(system: System, tag: str) -> set[str]:
    """Return the component or run alone."""
    return {tag}


def beside(system: System, tag: str) -> set[str]:
    """Return a component, what it sits in or on, and all that sits there too."""
    node = system.nodes.get(tag)
    place = node.host if node is not None and node.host in system.nodes else tag
    return {tag, str(place), *(n.tag for n in system.nodes.values() if n.host in (place, tag))}


def by_water(system: System, tag: str) -> set[str]:
    """Return all that water reaches from here, over pipes and wells."""
    return _joined(system, tag, {"pipe"})


def by_power(system: System, tag: str) -> set[str]:
    """Return all that power and signals reach from here, over cables and control lines."""
    return _joined(system, tag, {"cable", "control"})


def by_leads(system: System, tag: str) -> set[str]:
    """Return what a cable, or a switch or fuse in it, joins directly, through isolators but no further."""
    node = system.nodes.get(tag)
    run = system.runs.get(tag) or (system.runs.get(node.host) if node is not None and node.host else None)
    if run is None:
        return {n.tag for n, _ in system.reached(tag, "cable")}
    found = {run.start.tag, run.end.tag}
    for end in (run.start, run.end):
        found |= {n.tag for n, _ in system.reached(end.tag, "cable", end.port or None)}
    return found


def _joined(system: System, tag: str, kinds: set[str]) -> set[str]:
    runs = [r for r in system.runs.values() if r.kind in kinds]
    seen: set[str] = {SITE}
    todo = [tag]
    while todo:
        at = todo.pop()
        if at in seen:
            continue
        seen.add(at)
        todo += _next_to(system, at, runs)
    return seen


def _next_to(system: System, at: str, runs: list[Run]) -> list[str]:
    found = [r.tag for r in runs if at in (r.start.tag, r.end.tag)]
    if at in system.runs:
        found += [system.runs[at].start.tag, system.runs[at].end.tag]
    node = system.nodes.get(at)
    found += [node.host] if node is not None and node.host in system.nodes and node.host else []
    return found + [n.tag for n in system.nodes.values() if n.host == at]


@record
class Repeat:
    """Checks that are owed again, and on what."""

    checks: tuple[str, ...]
    reach: Reach = itself


@record
class Change:
    """One kind of change and what it makes stale. Without `fields` the part was replaced by another of its kind."""

    kinds: tuple[str, ...]
    fields: tuple[str, ...]
    repeats: tuple[Repeat, ...]
    source: str = COMMON


DISINFECTED = Repeat(("residual_at_sampling", "sample_taken", "coliform"), by_water)
DOSED = Repeat(("chlorine_dose", "tank_chlorine_dose"), by_water)
BOTH_WAYS = ("level_switch_dry", "low_water_guard_dry", "low_water_stop", "booster_low_stop")
REAL_WATER = ("fill_stop_level", "fill_restart_level")
STRINGS = ("string_polarity", "open_circuit_voltage", "short_circuit_current", "operating_current", "array_insulation")
MOTOR_LEADS = ("pump_cable_insulation", "pump_cable_loop_resistance", "rotation")
LEADS = ("string_polarity", *MOTOR_LEADS, "battery_polarity")
DRIVEN = ("well_pump_power", "well_pump_current", "phase_unbalance", "well_pump_flow")
PUMPED = ("time_to_water", "well_pump_flow", "pumping_level")
TIGHT = Repeat(("tightness_whole", "tightness_house_side"), by_water)
CYCLING = ("tank_drawdown", "starts_at_fixed_draw", "starts_with_taps_shut")
CHARGING = ("charge_voltage", "display_difference", "low_voltage_disconnect")
BANK = ("battery_polarity", "block_spread", "battery_rest_voltage", "battery_sag")

CHANGES: tuple[Change, ...] = (
    Change(("level_switch",), ("set_elevation", "differential", "purpose", HOST), (Repeat(BOTH_WAYS + REAL_WATER),)),
    Change(("control",), (ENDS,), (Repeat(BOTH_WAYS + REAL_WATER, by_power),)),
    Change(("control",), (), (Repeat(BOTH_WAYS + REAL_WATER, by_power),)),
    Change(
        ("well",), ("pump_setting",),
        (Repeat((*MOTOR_LEADS, *PUMPED, "low_water_guard_dry", "low_water_stop"), beside), DOSED, DISINFECTED),
    ),
    Change(
        ("submersible_pump",), (),
        (Repeat((*PUMPED, "turbidity", "sand", "low_water_guard_dry", "low_water_stop"), beside), DOSED, DISINFECTED),
    ),
    Change(("submersible_pump",), (HOST,), (Repeat((*MOTOR_LEADS, *PUMPED), beside), DOSED, DISINFECTED)),
    Change(
        ("hand_pump",), ("setting", HOST),
        (Repeat(("strokes_to_water", "volume_per_stroke", "cannot_backflow")), DOSED, DISINFECTED),
    ),
    Change(("hand_pump",), (), (DOSED, DISINFECTED)),
    Change(
        ("pump_controller",), (),
        (Repeat((*BOTH_WAYS, *REAL_WATER, "rotation", *DRIVEN), by_power),),
    ),
    Change(("pump_controller",), ("restart_delay",), (Repeat(("low_water_guard_dry", "low_water_stop"), by_power),)),
    Change(
        ("solar_array",), ("series", "parallel"),
        (Repeat((*STRINGS, "array_power")), Repeat(("well_pump_power", "charge_current"), by_power)),
    ),
    Change(("solar_array",), (), (Repeat(("well_pump_power", "charge_current"), by_power),)),
    Change(("cable",), (ENDS,), (Repeat(LEADS, by_leads),)),
    Change(("cable",), (), (Repeat(LEADS, by_leads),)),
    Change(("overcurrent_device", "isolator", "combiner"), (), (Repeat(("string_polarity",), by_leads),)),
    Change(("overcurrent_device",), ("rated_current", HOST), (Repeat(("fuse_rating", "terminal_torque")),)),
    Change(("earth_electrode",), ("form", "length"), (Repeat(("electrode_resistance", "bond_resistance")),)),
    Change(
        ("battery_bank",), ("series", "parallel", "chemistry"),
        (Repeat((*BANK, "terminal_torque")), Repeat(("charge_voltage", "low_voltage_disconnect"), by_power)),
    ),
    Change(("battery_bank",), (), (Repeat(("charge_voltage", "charge_current", "low_voltage_disconnect"), by_power),)),
    Change(
        ("charge_controller",),
        ("absorption", "float_charge", "equalise", "compensation", "low_voltage_disconnect", "low_voltage_reconnect"),
        (Repeat(CHARGING), Repeat(("charge_voltage",), by_power)),
    ),
    Change(("charge_controller",), (), (Repeat(("charge_current", "battery_sag", "load_energy"), by_power),)),
    Change(
        ("pressure_switch",), ("cut_in", "cut_out", HOST),
        (Repeat(("cut_in", "cut_out")), Repeat(("precharge", *CYCLING, "relief_opens", "delivery_flow"), by_water)),
    ),
    Change(("pressure_switch",), (), (Repeat(("precharge", *CYCLING, "relief_opens", "delivery_flow"), by_water),)),
    Change(("pressure_tank",), ("precharge",), (Repeat(("precharge", *CYCLING)), Repeat(CYCLING, by_water))),
    Change(("pressure_tank",), (), (Repeat(CYCLING, by_water), TIGHT)),
    Change(("relief_valve",), ("set_pressure",), (Repeat(("relief_opens", "relief_discharge")),)),
    Change(("relief_valve", "booster_pump", "filter"), (), (TIGHT, Repeat(("delivery_flow",), by_water))),
    Change(("storage_tank",), (), (Repeat((*REAL_WATER, "booster_low_stop"), beside), DISINFECTED)),
    Change(("pipe", "valve"), (), (TIGHT, DISINFECTED)),
    Change(("outlet",), ("open_together",), (Repeat(("delivery_flow",)),)),
    Change(("valve",), ("normal_position",), (Repeat(("as_left",), by_water),)),
)  # fmt: skip
"""What a change of the record makes stale. Every line is common practice."""


@record
class Stale:
    """One owed check whose measurement, taken on the earlier record, no longer counts."""

    check: str
    subject: str
    reason: str


def stale_checks(before: System, after: System) -> list[Stale]:
    """Return what is owed again because the record changed from one state to another, each check once.

    Tags name the same thing in both. A part counts as replaced where it has gone and another of its kind has come.
    Derived checks are left out: they follow the readings they are computed from.
    """
    found: dict[tuple[str, str], Stale] = {}
    for change, tag, words in _changes(before, after):
        for repeat in change.repeats:
            reached = repeat.reach(before, tag) | (repeat.reach(after, tag) if _has(after, tag) else set())
            for one in _owed(after, repeat, reached):
                found.setdefault(one, Stale(*one, words))
    return list(found.values())


def _owed(system: System, repeat: Repeat, reached: set[str]) -> Iterator[tuple[str, str]]:
    for key in repeat.checks:
        for subject in CHECKS[key].subjects(system) if key in CHECKS else []:
            if subject in reached:
                yield key, subject


def _changes(before: System, after: System) -> Iterator[tuple[Change, str, str]]:
    """Yield each declared change that happened: on which tag, and in words."""
    come = {_thing(after, tag).kind for tag in _tags(after) - _tags(before)}
    for tag in sorted(_tags(before)):
        old = _thing(before, tag)
        for change in (c for c in CHANGES if old.kind in c.kinds):
            if not _has(after, tag):
                if not change.fields and old.kind in come:
                    yield change, tag, f"{_called(old)} was replaced"
            elif moved := _moved(old, _thing(after, tag), change.fields):
                yield change, tag, f"{_called(old)}: {' and '.join(moved)} changed"


def _moved(old: Node | Run, new: Node | Run, fields: tuple[str, ...]) -> list[str]:
    """Return in words which of some fields hold another value than before; a field first recorded is no change."""
    if old.kind != new.kind:
        return []
    return [_words(old, name) for name in fields if _differ(_value(old, name), _value(new, name))]


def _value(thing: Node | Run, name: str) -> object:
    if name == HOST:
        return thing.host if isinstance(thing, Node) else None
    if name == ENDS:
        return (thing.start, thing.end) if isinstance(thing, Run) else None
    return getattr(thing.part, name)


def _differ(old: object, new: object) -> bool:
    if old is None or new is None:
        return False
    if isinstance(old, float) and isinstance(new, float):
        return not math.isclose(old, new, rel_tol=SAME)
    return old != new


def _words(thing: Node | Run, name: str) -> str:
    if name in (HOST, ENDS):
        return {HOST: "where it sits", ENDS: "what it is joined to"}[name]
    label = thing.part.declarations()[name].label
    return label[:1].lower() + label[1:]


def _called(thing: Node | Run) -> str:
    return f"{thing.part.title.lower()} {thing.tag}"


def _tags(system: System) -> set[str]:
    return {*system.nodes, *system.runs}


def _has(system: System, tag: str) -> bool:
    return tag in system.nodes or tag in system.runs


def _thing(system: System, tag: str) -> Node | Run:
    return system.runs[tag] if tag in system.runs else system.nodes[tag]


def retagged(system: System, tags: dict[str, str]) -> System:
    """Return a system in which components and runs bear other tags: what is the same thing is called the same."""

    def now(tag: str) -> str:
        return tags.get(tag, tag)

    nodes = {
        now(n.tag): dataclasses.replace(n, tag=now(n.tag), host=now(n.host) if n.host else None)
        for n in system.nodes.values()
    }
    runs = {
        now(r.tag): dataclasses.replace(
            r, tag=now(r.tag), start=dataclasses.replace(r.start, tag=now(r.start.tag)),
            end=dataclasses.replace(r.end, tag=now(r.end.tag)),
        )
        for r in system.runs.values()
    }  # fmt: skip
    return System(system.site, nodes, runs)
