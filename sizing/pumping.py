"""Where a well pump settles: its table at a power, against the well and the pipes."""

from collections.abc import Mapping

from sizing.hydraulics import Source, solve_state
from sizing.lift import LiftCurve, PumpRows, lift_curve, pump_rows
from sizing.network import Network, Solution
from sizing.parts import StorageTank, SubmersiblePump, Well
from sizing.records import record
from sizing.system import Node, State, System

__all__ = [
    "OperatingPoint",
    "PumpRows",
    "lift_curve",
    "operating_point",
    "operating_points",
    "pump_rows",
    "pumps_in",
    "rest_elevation",
    "source_of",
    "tank_filled_by",
    "well_specific_capacity",
]


@record
class OperatingPoint:
    """A settled well pump: flow [m³/s], total head across the pump [m], and where the head went."""

    flow: float
    head: float
    drawdown: float
    network: Network
    solution: Solution


def well_specific_capacity(well: Node) -> float:
    """Return the specific capacity of the well test on record [m²/s], or raise MissingDataError."""
    return well.need("tested_yield") / well.need("drawdown_at_yield")


def rest_elevation(well: Node, static_level: float) -> float:
    """Return the elevation of the water at rest [m], from its depth below the measuring point."""
    return well.need("measuring_point_height") - static_level


def operating_point(
    system: System, pump: Node, *, power: float, static_level: float, specific_capacity: float, state: State
) -> OperatingPoint:
    """Return where a well pump settles at a power, discharging into the network in a state.

    Raises
    ------
    MissingDataError
        If a field on the way is not recorded.
    OutOfRangeError
        If the point lies beyond the pump's table.
    """
    curve = lift_curve(pump_rows(pump), power)
    source = source_of(system, pump, curve, static_level=static_level, specific_capacity=specific_capacity)
    return operating_points(system, {pump.tag: source}, state)[pump.tag]


def source_of(system: System, pump: Node, curve: LiftCurve, *, static_level: float, specific_capacity: float) -> Source:
    """Return a pump as a source in its well, whose static level is the depth below the measuring point."""
    well = system.host_of(pump, Well)
    return Source(curve, rest_elevation(well, static_level), specific_capacity, well.tag)


def operating_points(system: System, sources: Mapping[str, Source], state: State) -> dict[str, OperatingPoint]:
    """Return where each of several well pumps settles, all running together; pumps in one well share its level.

    Raises as `operating_point` does.
    """
    found = {}
    for tag, source in sources.items():
        network, solution = solve_state(system, state, dict(sources), tag)
        flow = solution.flows[f"{tag}.lift"]
        source.curve.refuse_beyond(flow)
        found[tag] = OperatingPoint(
            flow, source.curve.head_at(flow), _drawdown(source, tag, solution), network, solution
        )
    return found


def _drawdown(source: Source, tag: str, solution: Solution) -> float:
    well = source.well or tag
    level = solution.heads.get(f"{well}.level", source.rest_elevation)
    return source.rest_elevation - level


def tank_filled_by(system: System, pump: Node) -> Node:
    """Return the tank that a pump fills, or raise MissingDataError."""
    return system.path_between(pump.tag, "discharge", StorageTank, "pipe")[0]


def pumps_in(system: System, well_tag: str) -> list[Node]:
    """Return the submersible pumps in a well."""
    return system.hosted_on(well_tag, SubmersiblePump)
