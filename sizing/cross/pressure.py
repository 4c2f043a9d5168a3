"""Relations between the settings of a pressure system: the ladder of its pressures, and the water its tank gives."""

from collections.abc import Iterator
from itertools import pairwise

from sizing.cross.measured import Measured, Taken
from sizing.cross.relation import Relation, Values
from sizing.cross.water import Rung
from sizing.formulas.atmosphere import absolute_pressure
from sizing.formulas.vessels import tank_drawdown
from sizing.parts import Part, PressureSwitch, PressureTank, ReliefValve
from sizing.quantities import Quantity as Q
from sizing.system import Node, System

LEAST_OF_THEORY, MOST_OF_THEORY = 0.8, 1.3  # a bladder's own stiffness, gauges; common practice, no source


def pressures_in_order(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield each step of precharge < cut-in < cut-out < relief ≤ the tank's maximum, where one was measured."""
    for tank in system.of(PressureTank):
        switch = _beside(system, tank, PressureSwitch)
        relief = _beside(system, tank, ReliefValve)
        rungs = [
            _rung("precharge", taken, "precharge", tank),
            _rung("cut-in", taken, "cut_in", switch),
            _rung("cut-out", taken, "cut_out", switch),
            Rung("relief pressure", None, getattr(relief.part, "set_pressure", None) if relief else None),
            Rung("greatest pressure of the tank", None, getattr(tank.part, "maximum_pressure", None)),
        ]
        for low, high in pairwise(rung for rung in rungs if rung.depth is not None):
            if low.measured or high.measured:
                yield pressure_step(low, high)


def _rung(words: str, taken: Taken, check: str, node: Node | None) -> Rung:
    measured = taken.result(check, node.tag) if node else None
    return Rung(words, measured, getattr(node.part, check, None) if node else None)


def _beside(system: System, tank: Node, kind: type[Part]) -> Node | None:
    """Return the switch or valve that belongs to a tank: on it, or the nearest by pipe."""
    for node in system.of(kind):
        if node.host == tank.tag:
            return node
    return next((node for node, _ in system.reached(tank.tag, "pipe") if isinstance(node.part, kind)), None)


def pressure_step(low: Rung, high: Rung) -> Relation:
    """Return the relation of two neighbouring pressures of the ladder."""
    first, second = low.measured, high.measured

    def balance(values: Values) -> float:
        rest = list(values)
        lower = rest.pop(0) if first else low.depth
        upper = rest.pop(0) if second else high.depth
        return float(upper or 0.0) - float(lower or 0.0)

    return Relation(
        "pressures_in_order", f"The {low.words} lies below the {high.words}", tuple(m for m in (first, second) if m),
        balance, Q.PRESSURE_DIFFERENCE, 0.0, None,
        other_cause="a set point was moved after the other one was read, or two gauges disagree",
    )  # fmt: skip


def drawdown_by_precharge(system: System, taken: Taken, atmosphere: float) -> Iterator[Relation]:
    """Yield, for each pressure tank, the water it gave over what its precharge and switch promise."""
    for tank in system.of(PressureTank):
        switch = _beside(system, tank, PressureSwitch)
        given = taken.result("tank_drawdown", tank.tag)
        precharge = taken.result("precharge", tank.tag)
        volume = getattr(tank.part, "volume", None)
        if switch is None or given is None or precharge is None or volume is None:
            continue
        cut_in, cut_out = taken.result("cut_in", switch.tag), taken.result("cut_out", switch.tag)
        if cut_in is not None and cut_out is not None:
            yield drawdown_of(float(volume), given, precharge, cut_in, cut_out, atmosphere)


def drawdown_of(
    volume: float, given: Measured, precharge: Measured, cut_in: Measured, cut_out: Measured, atmosphere: float
) -> Relation:
    """Return the relation of a measured drawdown to Boyle's law, pressures read as gauge."""

    def balance(values: Values) -> float:
        absolute = [absolute_pressure(gauge_pressure=p, atmosphere=atmosphere) for p in values[1:]]
        promised = tank_drawdown(volume, precharge=absolute[0], cut_in=absolute[1], cut_out=absolute[2])
        return values[0] / promised

    return Relation(
        "drawdown_by_precharge", "A pressure tank gives the water that its precharge and switch promise",
        (given, precharge, cut_in, cut_out), balance, Q.RATIO, LEAST_OF_THEORY, MOST_OF_THEORY, 1.0,
        other_cause="the precharge was read with water in the tank, the bladder has failed, or the pump still ran",
    )  # fmt: skip
