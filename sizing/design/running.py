"""What flows where when the system runs as it is meant to: each pump at full power, each test set, each booster."""

import dataclasses
from collections.abc import Callable, Mapping

from sizing.boosting import booster_point
from sizing.checks.delivery import others_of
from sizing.design.declare import Scene
from sizing.design.heads import most_power
from sizing.design.reach import Origin, reach
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.formulas.handpump import swept_volume
from sizing.hydraulics import Source, solve_state
from sizing.lift import well_pump_curve
from sizing.network import Network, Solution
from sizing.parts import (
    BoosterPump,
    HandPump,
    Outlet,
    PressureSwitch,
    PressureTank,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
    Well,
)
from sizing.pumping import operating_points, rest_elevation, well_specific_capacity
from sizing.records import record
from sizing.springs import solve_within_yield
from sizing.system import Node, State, System

FULL, LOW = "tank full", "tank low"
CUT_IN = "pressure tank at cut-in"
AS_IT_IS = "as it comes"
STROKES_PER_SECOND = 40 / 60  # full strokes of a hand pump; common practice, no source
PROBLEMS = (MissingDataError, OutOfRangeError, SystemShapeError)


@record
class Ran:
    """One state that was solved, or why it could not be. `touches` are the parts that it concerns."""

    words: str
    touches: frozenset[str]
    flows: Mapping[str, float] = dataclasses.field(default_factory=dict)
    heads: Mapping[str, float] = dataclasses.field(default_factory=dict)
    network: Network | None = None
    problem: Exception | None = None


@record
class Flow:
    """The greatest flow in a pipe, and the state that makes it."""

    flow: float
    words: str


def tank_levels(system: System, level: str) -> dict[str, float]:
    """Return the surface of each tank: at its overflow, or low, at its outlet. A height not recorded is left out."""
    field = "overflow_elevation" if level == FULL else "outlet_elevation"
    found = {node.tag: getattr(node.part, field, None) for node in system.of(StorageTank)}
    return {tag: height for tag, height in found.items() if height is not None}


def switch_of(system: System, tank: Node) -> Node:
    """Return the pressure switch of a pressure tank: on it, beside it, or on the pump that fills it."""
    near = {tank.tag, *reach(system, Origin(tank.tag, ""))}
    near |= {one.tag for one in system.of(BoosterPump) if tank.tag in reach(system, Origin(one.tag, "discharge"))}
    for switch in system.of(PressureSwitch):
        if switch.tag in near or switch.host in near:
            return switch
    raise MissingDataError(tank.tag, "host", f"{tank.tag}: no pressure switch is recorded on it or beside it")


def tanks_in_reach(system: System, origin: Origin) -> list[Node]:
    """Return the pressure tanks that an origin's water reaches, itself included."""
    found = {origin.tag, *reach(system, origin)}
    return [tank for tank in system.of(PressureTank) if tank.tag in found]


def cut_ins(system: System, origin: Origin) -> dict[str, float]:
    """Return the gas pressure of the pressure tanks in reach of an origin at the moment their pump starts."""
    return {tank.tag: switch_of(system, tank).need("cut_in") for tank in tanks_in_reach(system, origin)}


def test_set(system: System, outlet: Node, flow: float | None) -> dict[str, float | None]:
    """Return what is open in an outlet's test set: it at a flow, or simply open; the others at their duty."""
    drawn: dict[str, float | None] = {one.tag: one.need("required_flow") for one in others_of(system, outlet.tag)}
    return {**drawn, outlet.tag: flow}


def outlet_state(system: System, outlet: Node, flow: float | None, level: str) -> State:
    """Return the state in which an outlet's duty is promised: pressure tanks at cut-in, filters due for changing."""
    here = Origin(outlet.tag, "")
    dirt = {tag: 1.0 for tag in reach(system, here) if tag in system.nodes and system.nodes[tag].kind == "filter"}
    return State(
        open_outlets=test_set(system, outlet, flow),
        levels=tank_levels(system, level),
        pressures=cut_ins(system, here),
        dirt=dirt,
    )


def source_of(system: System, pump: Node) -> Source:
    """Return a well pump at full power as a source, by the well test on record."""
    well = system.host_of(pump, Well)
    return Source(
        well_pump_curve(pump, power=most_power(pump)),
        rest_elevation(well, well.need("static_level")),
        well_specific_capacity(well),
        well.tag,
    )


def states(scene: Scene) -> list[Ran]:
    """Return every running state, solved once."""
    return scene.once("states", lambda: _states(scene.system))


def _states(system: System) -> list[Ran]:
    found = [_pump(system, pump) for pump in system.of(SubmersiblePump)]
    found += [_outlet(system, outlet) for outlet in system.of(Outlet)]
    found += [_booster(system, booster) for booster in system.of(BoosterPump)]
    found += [_spring(system, spring) for spring in system.of(SpringOrRoof)]
    found += [_between_tanks(system, tank) for tank in system.of(StorageTank) if fills_tanks(system, tank)]
    return found + [_by_hand(system, pump) for pump in system.of(HandPump) if system.runs_at(pump.tag, "pipe")]


def _ran(words: str, touches: set[str], solve: Callable[[], tuple[Network, Solution]]) -> Ran:
    try:
        network, solution = solve()
    except PROBLEMS as problem:
        return Ran(words, frozenset(touches), problem=problem)
    return Ran(words, frozenset(touches), solution.flows, solution.heads, network)


def _pump(system: System, pump: Node) -> Ran:
    origin = Origin(pump.tag, "discharge")

    def solve() -> tuple[Network, Solution]:
        state = State(running=frozenset({pump.tag}), pressures=cut_ins(system, origin))
        point = operating_points(system, {pump.tag: source_of(system, pump)}, state)[pump.tag]
        return point.network, point.solution

    return _ran(f"{pump.tag} at full power", {pump.tag, *reach(system, origin)}, solve)


def _outlet(system: System, outlet: Node) -> Ran:
    def solve() -> tuple[Network, Solution]:
        state = outlet_state(system, outlet, outlet.need("required_flow"), FULL)
        return solve_state(system, state, {}, outlet.tag)

    return _ran(f"test set of {outlet.tag}", {outlet.tag, *reach(system, Origin(outlet.tag, ""))}, solve)


def _booster(system: System, booster: Node) -> Ran:
    discharge = Origin(booster.tag, "discharge")

    def solve() -> tuple[Network, Solution]:
        state = State(levels=tank_levels(system, FULL), pressures=cut_ins(system, discharge))
        if not state.pressures:
            words = f"{booster.tag}: no pressure tank is recorded behind it, so no pressure that it works against"
            raise MissingDataError(booster.tag, "pipe", words)
        point = booster_point(system, booster, state)
        return point.network, point.solution

    sides = {*reach(system, discharge), *reach(system, Origin(booster.tag, "suction"))}
    return _ran(f"{booster.tag} filling at cut-in", {booster.tag, *sides}, solve)


def _spring(system: System, spring: Node) -> Ran:
    def solve() -> tuple[Network, Solution]:
        network, solution, _ = solve_within_yield(system, State(levels=tank_levels(system, LOW)), {}, spring.tag)
        return network, solution

    touches = {spring.tag, *reach(system, Origin(spring.tag, "outlet"))}
    return _ran(f"{spring.tag} running into its tank", touches, solve)


def fills_tanks(system: System, tank: Node) -> list[Node]:
    """Return the tanks into which a tank runs by gravity, with no pump between."""
    found = reach(system, Origin(tank.tag, "outlet"))
    return [one for one in system.of(StorageTank) if one.tag in found]


def _between_tanks(system: System, tank: Node) -> Ran:
    def solve() -> tuple[Network, Solution]:
        levels = {**tank_levels(system, LOW), **{tank.tag: tank.need("overflow_elevation")}}
        return solve_state(system, State(levels=levels), {}, f"{tank.tag}.outlet")

    lower = ", ".join(one.tag for one in fills_tanks(system, tank))
    return _ran(f"{tank.tag} running into {lower}", {*reach(system, Origin(tank.tag, "outlet"))}, solve)


def hand_pump_flow(pump: Node) -> float:
    """Return what a person pumps with full strokes at the usual pace."""
    return swept_volume(bore=pump.need("bore"), stroke=pump.need("stroke")) * STROKES_PER_SECOND


def _by_hand(system: System, pump: Node) -> Ran:
    origin = Origin(pump.tag, "discharge")

    def solve() -> tuple[Network, Solution]:
        state = State(
            levels=tank_levels(system, LOW), pressures=cut_ins(system, origin), inflows={pump.tag: hand_pump_flow(pump)}
        )
        return solve_state(system, state, {}, pump.tag)

    return _ran(f"{pump.tag} pumped by hand", {pump.tag, *reach(system, origin)}, solve)


def greatest_flow(scene: Scene, tag: str) -> Flow:
    """Return the greatest flow in a pipe over all running states, or raise what keeps a state from being solved."""
    mine = [ran for ran in states(scene) if tag in ran.touches]
    problem = next((ran.problem for ran in mine if ran.problem is not None), None)
    if problem is not None:
        raise problem
    carrying = [Flow(abs(ran.flows[tag]), ran.words) for ran in mine if tag in ran.flows]
    if not carrying:
        raise MissingDataError(tag, "pipe", f"{tag}: nothing in the record makes water flow in it")
    return max(carrying, key=lambda one: one.flow)
