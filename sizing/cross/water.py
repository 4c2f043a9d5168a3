"""Relations between readings of water: levels, volumes, heights and the pressures that stand on them."""

from collections.abc import Iterator
from itertools import combinations, pairwise

from sizing.checks.case import Case, Reading
from sizing.checks.pressure_zone import zone
from sizing.checks.storage import BALANCE_SHARE, rise_expected, rise_measured
from sizing.cross.measured import Measured, Taken
from sizing.cross.relation import Relation, Values
from sizing.errors import MissingDataError
from sizing.formulas.levels import pressure_from_surface, surface_elevation
from sizing.formulas.water import static_head_pressure
from sizing.parts import LevelSwitch, Outlet, StorageTank, Well
from sizing.quantities import Quantity as Q
from sizing.system import Node, System
from sizing.working import Working

DENSITY = 1000.0  # kg/m³; the few tenths of a percent by temperature lie far below every gauge
GAUGES_APART = 5_000.0  # Pa; what two gauges of ordinary class differ by; common practice, no source
AN_HOUR = 3600.0


def fill_balance(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield, for each tank that was filled, the water it gained over flow times time."""
    for tank in system.of(StorageTank):
        row = tuple(taken.readings("fill_balance", tank.tag))
        if row:
            yield _balance_of(system, tank, row)


def _balance_of(system: System, tank: Node, row: tuple[Measured, ...]) -> Relation:
    def balance(values: Values) -> float:
        read = tuple(Reading(m.name, v, m.repeat) for m, v in zip(row, values, strict=True))
        case = Case(system, tank, read, w=Working(silent=True))
        return rise_measured(case) / (rise_expected(case).nominal or 0.0)

    return Relation(
        "fill_balance", "What a tank gains is flow times time, within 10 %", row, balance, Q.RATIO,
        1 - BALANCE_SHARE, 1 + BALANCE_SHARE, 1.0,
        other_cause="if the readings are right, water was drawn, leaks away, or the tank's size is recorded wrong",
    )  # fmt: skip


def levels_in_order(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield each step of the ladder in a well: static < pumping ≤ probe < intake < bottom, where one was measured."""
    for well in system.of(Well):
        for above, below in pairwise(_ladder(system, taken, well)):
            measured = tuple(m for m in (above, below) if isinstance(m.measured, Measured))
            if measured:
                yield _step(above, below)


class Rung:
    """One level of the ladder: measured, or as the record says."""

    def __init__(self, words: str, measured: Measured | None, recorded: float | None) -> None:
        self.words = words if measured else f"{words} on record"
        self.measured = measured
        self.depth = measured.value if measured else recorded


def _ladder(system: System, taken: Taken, well: Node) -> list[Rung]:
    pumping = taken.result("pumping_level", well.tag, "level")
    rungs = [
        Rung("level at rest", taken.result("static_level", well.tag, "level"), None),
        Rung("pumping level", pumping, None),
        Rung("low-water probe", None, _probe_depth(system, well)),
        Rung("pump intake", None, getattr(well.part, "pump_setting", None)),
        Rung("bottom", taken.result("well_depth_measured", well.tag), getattr(well.part, "depth", None)),
    ]
    return [rung for rung in rungs if rung.depth is not None]


def _probe_depth(system: System, well: Node) -> float | None:
    """Return the depth of the low-water probe below the measuring point; None where it is not recorded."""
    height = getattr(well.part, "measuring_point_height", None)
    for switch in system.hosted_on(well.tag, LevelSwitch):
        at = getattr(switch.part, "set_elevation", None)
        if getattr(switch.part, "purpose", "") == "guards_low_water" and None not in (height, at):
            return float(height) - float(at)  # type: ignore[arg-type]  # neither is None here
    return None


def _step(above: Rung, below: Rung) -> Relation:
    first, second = above.measured, below.measured

    def balance(values: Values) -> float:
        rest = list(values)
        top = rest.pop(0) if first else above.depth
        bottom = rest.pop(0) if second else below.depth
        return float(bottom or 0.0) - float(top or 0.0)

    return Relation(
        "levels_in_order", f"In a well the {above.words} stands above the {below.words}",
        tuple(m for m in (first, second) if m), balance, Q.LENGTH, 0.0, None,
        other_cause="measured from the ground one time and from the mark the other, or the record is wrong",
    )  # fmt: skip


def pressures_by_height(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield, for each two points of one line read at rest, their difference in pressure against that in height."""
    read = []
    for tag in taken.subjects("pressure_at_rest"):
        one = taken.result("pressure_at_rest", tag)
        elevation = getattr(system.nodes[tag].part, "elevation", None) if tag in system.nodes else None
        if one is not None and elevation is not None:
            read.append((one, float(elevation)))
    for (first, low), (second, high) in combinations(read, 2):
        if second.subject in {node.tag for node in zone(system, first.subject)}:
            yield pressure_by_height(first, low, second, high)


def pressure_by_height(first: Measured, first_elevation: float, second: Measured, second_elevation: float) -> Relation:
    """Return the relation of two pressures at rest: they differ by the water that stands between the two points."""
    rise = second_elevation - first_elevation

    def balance(values: Values) -> float:
        stands = static_head_pressure(height=abs(rise), density=DENSITY)
        return values[0] - values[1] - (stands if rise >= 0 else -stands)

    return Relation(
        "pressures_by_height", "At rest two pressures differ by the height between them", (first, second), balance,
        Q.PRESSURE_DIFFERENCE, -GAUGES_APART, GAUGES_APART, 0.0,
        other_cause="a gauge does not read 0 in open air, a valve between is shut, or a height is recorded wrong",
    )  # fmt: skip


def delivery_not_above_rest(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield, for each outlet fed by gravity, its pressure under flow against that of the tank's water at rest."""
    for outlet in system.of(Outlet):
        pressure = taken.result("delivery_flow", outlet.tag, "delivery_pressure")
        tank = _tank_above(system, outlet)
        if pressure is not None and tank is not None:
            yield from _not_above(outlet, tank, pressure, taken)


def _tank_above(system: System, outlet: Node) -> Node | None:
    """Return the tank whose outlet feeds a tap without a pump between."""
    try:
        tank, runs = system.path_between(outlet.tag, None, StorageTank, "pipe")
    except MissingDataError:
        return None
    return tank if runs[-1].near(tank.tag).port == "outlet" else None


def _not_above(outlet: Node, tank: Node, pressure: Measured, taken: Taken) -> Iterator[Relation]:
    level = taken.near("tank_level", tank.tag, pressure.at, AN_HOUR)
    brim = getattr(tank.part, "overflow_elevation", None)
    if level is None and brim is None:
        return

    def balance(values: Values) -> float:
        surface = (
            surface_elevation(floor_elevation=tank.need("floor_elevation"), depth=values[1])
            if level
            else float(brim or 0.0)
        )
        at_rest = pressure_from_surface(
            surface_elevation=surface, elevation=outlet.need("elevation"), head_lost=0.0, density=DENSITY
        )
        return values[0] - at_rest

    yield Relation(
        "delivery_not_above_rest", "A tap that flows shows no more pressure than the tank's water at rest",
        (pressure, level) if level else (pressure,), balance, Q.PRESSURE_DIFFERENCE, None, GAUGES_APART, None,
        other_cause="a gauge that does not read 0 in open air, or a height recorded wrong",
    )  # fmt: skip
