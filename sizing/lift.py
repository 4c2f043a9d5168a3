"""What a pump adds to the head: curves of head over flow, from the rows of its nameplate."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.pump_curves import (
    curve_head,
    one_point_curve,
    pump_table_flow,
    pump_table_highest_head,
    pump_table_lowest_head,
)
from sizing.formulas.pumps import affinity_flow
from sizing.formulas.water import pressure_head
from sizing.parts.declare import Row
from sizing.system import Node

PumpRows = tuple[tuple[float, float, float], ...]
STEEPEST = 1e-4  # a positive displacement pump gives this share more at each lower head of its table, if no more
DUTY_STEPS = 24  # straight lines by which a curve through one duty point is drawn
FLOW_SLACK = 1e-9  # m³/s


@dataclass(frozen=True)
class LiftCurve:
    """Head that a pump adds over flow: falling points of (flow [m³/s], head [m])."""

    points: tuple[tuple[float, float], ...]

    def head_at(self, flow: float) -> float:
        """Return the head at a flow by straight lines between the points, carried on beyond the last."""
        points = self.points
        below = 0
        while below < len(points) - 2 and points[below + 1][0] < flow:
            below += 1
        (q0, h0), (q1, h1) = points[below], points[below + 1]
        return h0 + (h1 - h0) * (flow - q0) / (q1 - q0)

    def refuse_beyond(self, flow: float) -> None:
        """Raise OutOfRangeError for a flow outside the points: the table says nothing there."""
        (least, highest), (most, lowest) = self.points[0], self.points[-1]
        if flow < least - FLOW_SLACK:
            raise OutOfRangeError("head", self.head_at(flow), f"≤ {highest:g} m, the pump table's highest")
        if flow > most + FLOW_SLACK:
            raise OutOfRangeError("head", self.head_at(flow), f"≥ {lowest:g} m, the pump table's lowest")


def falling(points: Iterable[tuple[float, float]], argument: str, value: float) -> LiftCurve:
    """Return the curve through points of (flow, head), the highest head first.

    A flow that does not grow as head falls, as of a positive displacement pump, is made to grow by a ten-thousandth,
    so that each flow has one head. Heads above shut-off are left out. Raises OutOfRangeError naming `argument` where
    fewer than two points are left.
    """
    made: list[tuple[float, float]] = []
    for flow, head in points:
        if made and made[-1][0] == 0 and flow == 0:
            made.pop()
        floor = made[-1][0] * (1 + STEEPEST) if made else 0.0
        made.append((max(flow, floor), head))
    if len(made) < 2:
        raise OutOfRangeError(argument, value, "such that the table has two flows at it")
    return LiftCurve(tuple(made))


def full_rows(pump: Node, field: str) -> tuple[tuple[float, float, float], ...]:
    """Return the first three columns of each row of a table, or raise MissingDataError."""
    rows: tuple[Row, ...] = pump.part.need_table(pump.tag, field)
    return tuple((_full(pump, field, r[0]), _full(pump, field, r[1]), _full(pump, field, r[2])) for r in rows)


def _full(pump: Node, field: str, value: float | None) -> float:
    if value is None:
        label = pump.part.declarations()[field].label.lower()
        raise MissingDataError(pump.tag, field, f"{pump.tag}: a row of the {label} has a gap")
    return value


def pump_rows(pump: Node) -> PumpRows:
    """Return the power, head and flow of each row of a pump's table, or raise MissingDataError."""
    return full_rows(pump, "performance")


def voltage_rows(pump: Node) -> PumpRows:
    """Return the voltage, head and flow of each row of a pump's table by voltage, or raise MissingDataError."""
    return full_rows(pump, "performance_by_voltage")


def lift_curve(rows: PumpRows, power: float) -> LiftCurve:
    """Return the pump's head over flow at a power, with a point at every head of the table.

    A table by voltage is read alike, with the voltage in the place of the power. Raises OutOfRangeError where the
    power lies outside the table.
    """
    low, high = pump_table_lowest_head(rows, power), pump_table_highest_head(rows, power)
    heads = sorted({low, high, *(h for _, h, _ in rows if low < h < high)}, reverse=True)
    return falling(((pump_table_flow(rows, power, head), head) for head in heads), "power", power)


def duty_curve(pump: Node, power: float) -> LiftCurve:
    """Return a centrifugal pump's curve at a power, from its one duty point at rated power.

    The parabola that the EPANET 2.2 User Manual supposes through one point, carried to another speed by the affinity
    laws, with power in proportion to the cube of the speed. A guess: a data sheet's table is better. Raises
    MissingDataError for a positive displacement pump, for which one point does not tell enough.
    """
    if pump.need_text("principle") != "centrifugal":
        words = f"{pump.tag}: one duty point does not tell how a positive displacement pump gives at other powers"
        raise MissingDataError(pump.tag, "performance", words)
    speed = (power / pump.need("rated_power")) ** (1 / 3)
    curve = one_point_curve(pump.need("duty_flow"), pump.need("duty_head"))
    most = affinity_flow(2 * pump.need("duty_flow"), speed)  # where the parabola has no head left
    flows = [most * step / DUTY_STEPS for step in range(DUTY_STEPS + 1)]
    heads = [curve_head(q, curve.shut_off_head, curve.coefficient, curve.exponent, speed) for q in flows]
    return LiftCurve(tuple(zip(flows, heads, strict=True)))


def well_pump_curve(pump: Node, *, power: float | None = None, voltage: float | None = None) -> LiftCurve:
    """Return a well pump's curve at a power or at a voltage, by what its nameplate holds.

    Raises MissingDataError where neither a table nor a duty point is recorded for what is known.
    """
    if voltage is not None and getattr(pump.part, "performance_by_voltage", None):
        return lift_curve(voltage_rows(pump), voltage)
    if power is None:
        raise MissingDataError(pump.tag, "performance_by_voltage", f"{pump.tag}: no table by voltage is recorded")
    if getattr(pump.part, "performance", None) is None and getattr(pump.part, "duty_flow", None) is not None:
        return duty_curve(pump, power)
    return lift_curve(pump_rows(pump), power)


def booster_curve(booster: Node, density: float) -> LiftCurve:
    """Return a booster's head over flow at rated voltage, from its table and its shut-off pressure."""
    rows = booster.part.need_table(booster.tag, "performance")
    points = [(_full(booster, "performance", row[1]), _full(booster, "performance", row[0])) for row in rows]
    shut_off = getattr(booster.part, "shut_off_pressure", None)
    if shut_off is not None and all(flow > 0 for flow, _ in points):
        points.append((0.0, shut_off))
    ordered = sorted(points, key=lambda point: (-point[1], point[0]))
    falls = all(left[0] <= right[0] for left, right in pairwise(ordered))
    if not falls:
        raise OutOfRangeError("performance", booster.tag, "such that flow falls, or stays, as pressure rises")
    return falling(
        ((flow, pressure_head(pressure=rise, density=density)) for flow, rise in ordered), "performance", len(points)
    )
