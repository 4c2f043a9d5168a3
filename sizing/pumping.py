"""Where a well pump settles: its table at a power, against the well and the pipes."""

from dataclasses import dataclass

from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.pump_curves import pump_table_flow, pump_table_highest_head, pump_table_lowest_head
from sizing.hydraulics import LiftCurve, Source, solve_state
from sizing.network import Network, Solution
from sizing.parts import StorageTank, SubmersiblePump, Well
from sizing.parts.declare import Row
from sizing.system import Node, State, System

PumpRows = tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class OperatingPoint:
    """A settled well pump: flow [m³/s], total head across the pump [m], and where the head went."""

    flow: float
    head: float
    drawdown: float
    network: Network
    solution: Solution


def pump_rows(pump: Node) -> PumpRows:
    """Return the power, head and flow of each row of a pump's table, or raise MissingDataError."""
    rows: tuple[Row, ...] = pump.part.need_table(pump.tag, "performance")
    return tuple((_full(pump, r[0]), _full(pump, r[1]), _full(pump, r[2])) for r in rows)


def _full(pump: Node, value: float | None) -> float:
    if value is None:
        raise MissingDataError(pump.tag, "performance", f"{pump.tag}: a row of the performance table has a gap")
    return value


def lift_curve(rows: PumpRows, power: float) -> LiftCurve:
    """Return the pump's head over flow at a power, with a point at every head of the table.

    Raises OutOfRangeError where the power lies outside the table.
    """
    low, high = pump_table_lowest_head(rows, power), pump_table_highest_head(rows, power)
    heads = sorted({low, high, *(h for _, h, _ in rows if low < h < high)}, reverse=True)
    points: list[tuple[float, float]] = []
    for head in heads:
        flow = pump_table_flow(rows, power, head)
        if not points or flow > points[-1][0]:
            points.append((flow, head))
    if len(points) < 2:
        raise OutOfRangeError("power", power, "such that the table has two flows at it")
    return LiftCurve(tuple(points))


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
    well = system.host_of(pump, Well)
    curve = lift_curve(pump_rows(pump), power)
    source = Source(curve, rest_elevation(well, static_level), specific_capacity)
    network, solution = solve_state(system, state, {pump.tag: source}, pump.tag)
    flow = solution.flows[f"{pump.tag}.lift"]
    head = curve.head_at(flow)
    _refuse_beyond(curve, flow, head)
    return OperatingPoint(flow, head, flow / specific_capacity, network, solution)


def _refuse_beyond(curve: LiftCurve, flow: float, head: float) -> None:
    (least, highest), (most, lowest) = curve.points[0], curve.points[-1]
    slack = 1e-9
    if flow < least - slack:
        raise OutOfRangeError("head", head, f"≤ {highest:g} m, the pump table's highest at this power")
    if flow > most + slack:
        raise OutOfRangeError("head", head, f"≥ {lowest:g} m, the pump table's lowest at this power")


def tank_filled_by(system: System, pump: Node) -> Node:
    """Return the tank that a pump fills, or raise MissingDataError."""
    return system.path_between(pump.tag, "discharge", StorageTank, "pipe")[0]


def pumps_in(system: System, well_tag: str) -> list[Node]:
    """Return the submersible pumps in a well."""
    return system.hosted_on(well_tag, SubmersiblePump)
