"""A booster between cut-in and cut-out: where it settles at a pressure, and how long it runs and rests."""

import dataclasses
from itertools import pairwise

from sizing.errors import OutOfRangeError
from sizing.formulas.atmosphere import absolute_pressure, atmospheric_pressure
from sizing.formulas.vessels import tank_drawdown
from sizing.hydraulics import Source, site_water_density, solve_state
from sizing.lift import booster_curve
from sizing.network import Network, Solution
from sizing.records import record
from sizing.system import Node, State, System

SLICES = 12  # steps of pressure from cut-in to cut-out; twice as many change a run time by less than 0.1 %


@record
class BoosterPoint:
    """A settled booster: flow [m³/s], head that it adds, heads before and behind it above the datum [m]."""

    flow: float
    head: float
    suction_head: float
    discharge_head: float
    network: Network
    solution: Solution


def booster_point(
    system: System, booster: Node, state: State, sources: dict[str, Source] | None = None
) -> BoosterPoint:
    """Return where a booster settles in a state; it runs at rated voltage.

    With a pressure tank at a known pressure in the state, that pressure is what it works against; without one,
    it is what open outlets ask for. A check valve behind it is not needed: nothing flows back through it.

    Raises MissingDataError where a field on the way is not recorded, OutOfRangeError beyond the pump's table.
    """
    state = dataclasses.replace(state, running=state.running | {booster.tag})
    network, solution = solve_state(system, state, sources or {}, f"{booster.tag}.discharge")
    curve = booster_curve(booster, site_water_density(system))
    flow = solution.flows[f"{booster.tag}.lift"]
    curve.refuse_beyond(flow)
    suction, discharge = solution.heads[f"{booster.tag}.suction"], solution.heads[f"{booster.tag}.discharge"]
    return BoosterPoint(flow, curve.head_at(flow), suction, discharge, network, solution)


def flow_into_tank(system: System, tank: Node, state: State, gauge_pressure: float) -> float:
    """Return the net flow into a pressure tank at a gas pressure, negative when it gives water [m³/s]."""
    state = dataclasses.replace(state, pressures={**state.pressures, tank.tag: gauge_pressure})
    network, solution = solve_state(system, state, {}, tank.tag)
    return sum(solution.flows[link.tag] * ((link.b == tank.tag) - (link.a == tank.tag)) for link in network.links)


def run_time(system: System, booster: Node, tank: Node, switch: Node, state: State) -> float:
    """Return how long the booster runs from cut-in to cut-out, with the outlets of the state open [s].

    The gas is compressed slowly, at constant temperature; switch and tank stand at one height. Raises
    OutOfRangeError where the pump does not reach cut-out against what is drawn.
    """
    running = dataclasses.replace(state, running=state.running | {booster.tag})
    return _time_between(system, tank, switch, running, 1.0)


def rest_time(system: System, booster: Node, tank: Node, switch: Node, state: State) -> float:
    """Return how long the tank alone feeds the outlets of the state, from cut-out to cut-in [s].

    Raises OutOfRangeError where nothing is drawn.
    """
    resting = dataclasses.replace(state, running=state.running - {booster.tag})
    return _time_between(system, tank, switch, resting, -1.0)


def _time_between(system: System, tank: Node, switch: Node, state: State, way: float) -> float:
    low, high = switch.need("cut_in"), switch.need("cut_out")
    edges = [low + (high - low) * step / SLICES for step in range(SLICES + 1)]
    time = 0.0
    for below, above in pairwise(edges):
        flow = way * flow_into_tank(system, tank, state, (below + above) / 2)
        if not flow > 0:
            words = "such that the tank fills to cut-out" if way > 0 else "such that the tank empties to cut-in"
            raise OutOfRangeError("flow", flow, words)
        time += volume_between(system, tank, below, above) / flow
    return time


def volume_between(system: System, tank: Node, lower: float, upper: float) -> float:
    """Return the water that a pressure tank takes in between two gauge pressures [m³]."""
    air = atmospheric_pressure(altitude=system.site.need("site", "altitude"))
    return tank_drawdown(
        tank_volume=tank.need("volume"),
        precharge=absolute_pressure(gauge_pressure=tank.need("precharge"), atmosphere=air),
        cut_in=absolute_pressure(gauge_pressure=lower, atmosphere=air),
        cut_out=absolute_pressure(gauge_pressure=upper, atmosphere=air),
    )
