"""What drives a well pump and what feeds that: a controller on an array, an inverter or a controller on a battery."""

from sizing.cables import loops_at
from sizing.checks.case import Case
from sizing.checks.water_way import water_temperature
from sizing.errors import MissingDataError
from sizing.parts import BatteryBank, ChargeController, Inverter, PumpController, SolarArray
from sizing.system import Node, Run, System

TWO_WIRES = {"dc_brushed", "ac_single_phase"}
DRIVES = PumpController | Inverter
SOURCES = PumpController | Inverter | BatteryBank | ChargeController


def controller_of(case: Case, pump: Node) -> tuple[Node, list[Run]]:
    """Return what drives a pump and the cables between: a controller, an inverter, else the battery itself."""
    return drive_of(case.system, pump.tag)


def drive_of(system: System, tag: str) -> tuple[Node, list[Run]]:
    """Return what drives the pump of that tag and the cables between, or raise MissingDataError."""
    for node, path in system.reached(tag, "cable", "motor"):
        if isinstance(node.part, SOURCES):
            return node, path
    raise MissingDataError(tag, "cable", f"{tag}: no cable leads from it to a controller, an inverter or a battery")


def is_on_battery(case: Case, drive: Node) -> bool:
    """Whether a battery feeds a drive, so that the sun of the moment does not count."""
    if not isinstance(drive.part, PumpController):
        return True
    fed_by = [node for node, _ in case.system.reached(drive.tag, "cable", "array")]
    return any(isinstance(node.part, BatteryBank) for node in fed_by)


def array_of(case: Case, controller: Node) -> Node:
    """Return the array that feeds a controller, or raise MissingDataError."""
    return case.system.path_between(controller.tag, "array", SolarArray, "cable")[0]


def loop_resistance(case: Case, cables: list[Run]) -> float:
    """Return the resistance there and back of cables behind one another, as cold as the well's water."""
    return loops_at(cables, water_temperature(case.system), case.w, "R_loop")


def wires_of(pump: Node) -> int:
    """Return how many wires carry a motor's current."""
    return 2 if pump.need_text("motor") in TWO_WIRES else 3
