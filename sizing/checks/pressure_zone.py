"""What stands under one pressure tank's pressure: the tank, its switch, the pump that fills it, and the taps."""

from sizing.errors import MissingDataError
from sizing.parts import (
    BoosterPump,
    PressureSwitch,
    PressureTank,
    ReliefValve,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
    Valve,
)
from sizing.system import Node, System

ENDS = (BoosterPump, ReliefValve, SpringOrRoof, StorageTank, SubmersiblePump)


def zone(system: System, tag: str) -> list[Node]:
    """Return what pipes join to a component, nearest first, up to the pumps and tanks that end its pressure.

    A check valve ends it too: behind it stands the pump's side.
    """
    found: dict[str, Node] = {tag: system.node(tag)}
    todo = [tag]
    while todo:
        at = todo.pop(0)
        if at != tag and (isinstance(system.nodes[at].part, ENDS) or _is_check(system.nodes[at])):
            continue
        for run in system.runs_at(at, "pipe"):
            far = run.far(at).tag
            if far not in found:
                found[far] = system.node(far)
                todo.append(far)
    return list(found.values())


def _is_check(node: Node) -> bool:
    return isinstance(node.part, Valve) and node.part.function == "check"


def pressure_tank_of(system: System, tag: str) -> Node | None:
    """Return the nearest pressure tank under whose pressure a component stands, if there is one."""
    return next((node for node in zone(system, tag) if isinstance(node.part, PressureTank)), None)


def switch_of(system: System, tank: Node) -> Node:
    """Return the pressure switch of a pressure tank: in its zone, or on something there, or on its pump."""
    near = {node.tag for node in zone(system, tank.tag)}
    near |= {pump.tag for pump in fillers_of(system, tank)}
    for switch in system.of(PressureSwitch):
        if switch.tag in near or switch.host in near:
            return switch
    raise MissingDataError(tank.tag, "host", f"{tank.tag}: no pressure switch is recorded on it or beside it")


def tank_of_switch(system: System, switch: Node) -> Node:
    """Return the pressure tank of a pressure switch, or raise MissingDataError."""
    for tank in system.of(PressureTank):
        try:
            if switch_of(system, tank).tag == switch.tag:
                return tank
        except MissingDataError:
            continue
    raise MissingDataError(switch.tag, "host", f"{switch.tag}: no pressure tank is recorded that it watches")


def fillers_of(system: System, tank: Node) -> list[Node]:
    """Return the pumps whose discharge leads to a pressure tank, check valves between."""
    pumps = [node for kind in (BoosterPump, SubmersiblePump) for node in system.of(kind)]
    return [pump for pump in pumps if any(node.tag == tank.tag for node in _behind(system, pump))]


def _behind(system: System, pump: Node) -> list[Node]:
    """Return what a pump's discharge reaches, through check valves, up to tanks and other pumps."""
    found: dict[str, Node] = {}
    todo = [run.far(pump.tag).tag for run in system.runs_at(pump.tag, "pipe", "discharge")]
    while todo:
        at = todo.pop(0)
        if at in found or at == pump.tag:
            continue
        found[at] = system.node(at)
        if not isinstance(found[at].part, ENDS):
            todo += [run.far(at).tag for run in system.runs_at(at, "pipe")]
    return list(found.values())


def reliefs_of(system: System, tank: Node) -> list[Node]:
    """Return the relief valves in a pressure tank's zone."""
    return [node for node in zone(system, tank.tag) if isinstance(node.part, ReliefValve)]
