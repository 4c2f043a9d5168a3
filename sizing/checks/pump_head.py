"""The head that a well pump works against, as steps of a working: by the well and the pipes, or by a gauge."""

import dataclasses

from sizing.checks.case import Case
from sizing.checks.pressure_zone import fillers_of
from sizing.checks.water_way import density, in_line, lost_on_the_way
from sizing.errors import MissingDataError
from sizing.formulas.levels import (
    head_by_gauge,
    lift_from_well,
    pumping_level,
    summed_head,
    surface_elevation,
    water_elevation,
)
from sizing.formulas.pumps import total_dynamic_head
from sizing.formulas.water import pressure_head
from sizing.formulas.wells import drawdown_at_flow, specific_capacity
from sizing.parts import Junction, PressureTank, StorageTank, Valve, Well
from sizing.pumping import operating_point, tank_filled_by
from sizing.system import Node, Run, State, System
from sizing.working import Working


def pump_of(case: Case) -> Node:
    """Return the pump that a check is taken on."""
    return case.system.node(case.subject.tag)


def rising_line(case: Case, pump: Node) -> tuple[Node, list[Run]]:
    """Return the tank that a pump fills and the pipes on the way, or raise MissingDataError."""
    return case.system.path_between(pump.tag, "discharge", StorageTank, "pipe")


def lifts_into_a_tank(system: System, tag: str) -> bool:
    """Whether a pump lifts to a height: not one that works against a pressure tank alone. Without either, it may."""
    try:
        system.path_between(tag, "discharge", StorageTank, "pipe")
    except MissingDataError:
        return not any(tag in {one.tag for one in fillers_of(system, tank)} for tank in system.of(PressureTank))
    return True


def wellhead(case: Case, pump: Node) -> tuple[Node, list[Run]]:
    """Return the first valve or junction behind the pump, where a gauge sits, and the pipes up to it."""
    for node, path in case.system.reached(pump.tag, "pipe", "discharge"):
        if isinstance(node.part, Valve | Junction):
            return node, path
    raise MissingDataError(pump.tag, "pipe", f"{pump.tag}: no valve or junction at the wellhead is recorded")


def outlet_elevation(case: Case, tank: Node) -> float:
    """Return where the water leaves the rising line: the inlet, or the surface if the inlet is under water."""
    inlet = tank.need("inlet_elevation")
    return max(inlet, tank_levels(case, tank).get(tank.tag, inlet))


def tank_levels(case: Case, tank: Node) -> dict[str, float]:
    """Return the surface in the tank by its tag, where its depth was measured."""
    if not case.here("tank_level"):
        return {}
    depth = case.condition("tank_level")
    return {tank.tag: surface_elevation(floor_elevation=tank.need("floor_elevation"), depth=depth)}


def capacity_now(case: Case, well: Node) -> float:
    """Return the specific capacity measured today, or that of the well test on record."""
    if case.here("specific_capacity"):
        return case.condition("specific_capacity")
    return case.w.call(
        "C_s", specific_capacity, flow=well.need("tested_yield"), drawdown=well.need("drawdown_at_yield")
    )


def level_at(case: Case, well: Node, flow: float) -> float:
    """Return the pumping level: as read in this row, or from the level at rest and the drawdown at a flow."""
    if case.here("level"):
        return case.reading("level")
    s = case.w.call("s", drawdown_at_flow, flow=flow, specific_capacity=capacity_now(case, well))
    return case.w.call("D_p", pumping_level, static_level=case.condition("static_level"), drawdown=s)


def head_by_system(case: Case, pump: Node, flow: float) -> tuple[float, float]:
    """Return the total head at a flow from well, rise and pipes, and the part of it lost on the way."""
    well = case.system.host_of(pump, Well)
    tank, runs = rising_line(case, pump)
    lift = _lift(case, well, tank, level_at(case, well, flow))
    friction, minor = lost_on_the_way(case, in_line(case.system, runs, flow))
    head = case.w.call("H", total_dynamic_head, lift=lift, friction_head=friction, minor_head=minor, outlet_head=0.0)
    return head, friction + minor


def _lift(case: Case, well: Node, tank: Node, level: float) -> float:
    return case.w.call(
        "z",
        lift_from_well,
        outlet_elevation=outlet_elevation(case, tank),
        measuring_point_height=well.need("measuring_point_height"),
        pumping_level=level,
    )


def lift_now(case: Case) -> float:
    """Return how high the water is lifted from its level in the well, as read or else at rest, to the tank."""
    pump = pump_of(case)
    level = case.reading("level") if case.here("level") else case.condition("static_level")
    return _lift(case, case.system.host_of(pump, Well), tank_filled_by(case.system, pump), level)


def head_by_pressure(case: Case, pump: Node, flow: float) -> tuple[float, float]:
    """Return the total head at a flow from the gauge at the wellhead, and the part lost in the drop pipe."""
    well = case.system.host_of(pump, Well)
    gauge, runs = wellhead(case, pump)
    read = case.w.call("h_p", pressure_head, pressure=case.reading("wellhead_pressure"), density=density(case))
    water = case.w.call(
        "z_w",
        water_elevation,
        measuring_point_height=well.need("measuring_point_height"),
        level=level_at(case, well, flow),
    )
    lost = case.w.call("h", summed_head, heads=lost_on_the_way(case, in_line(case.system, runs, flow)))
    head = case.w.call(
        "H",
        head_by_gauge,
        pressure_head=read,
        gauge_elevation=gauge.need("elevation"),
        water_elevation=water,
        friction_head=lost,
    )
    return head, lost


def total_head(case: Case, pump: Node, flow: float) -> tuple[float, float]:
    """Return the total head at a flow and the part lost on the way: by the gauge if it was read, else by the pipes."""
    if case.here("wellhead_pressure"):
        return head_by_pressure(case, pump, flow)
    return head_by_system(case, pump, flow)


def settled_flow(case: Case, pump: Node, power: float) -> float:
    """Return the flow at which pump, well and pipes balance at a power into the pump."""
    well = case.system.host_of(pump, Well)
    tank = tank_filled_by(case.system, pump)
    outlet_elevation(case, tank)  # named here if it is not recorded: without it the network has nowhere to go
    known = case.here("level")
    silent = dataclasses.replace(case, w=Working(silent=True))
    point = operating_point(
        case.system,
        pump,
        power=power,
        static_level=case.reading("level") if known else case.condition("static_level"),
        specific_capacity=float("inf") if known else capacity_now(silent, well),
        state=State(running=frozenset({pump.tag}), levels=tank_levels(case, tank)),
    )
    return point.flow
