"""What the checks of a battery share: cautions, instruments, voltages at rest, and who draws on it."""

from sizing.checks.case import Case
from sizing.checks.declare import (
    Accuracy,
    Caution,
)
from sizing.checks.walk_round import BATTERY_GAS, BATTERY_SHORT
from sizing.errors import MissingDataError
from sizing.formulas.battery import battery_voltage
from sizing.formulas.supply import bank_resistance
from sizing.parts import BoosterPump, Load, SubmersiblePump
from sizing.system import Node, System

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
VOLTMETER = Accuracy(of_reading=0.005, fixed=0.02, words="multimeter")
SAME_VOLTMETER = Accuracy(fixed=0.03, words="the same multimeter, reading against reading")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.05, words="DC clamp meter")
HYDROMETER = Accuracy(fixed=0.004, words="hydrometer")
THERMOMETER = Accuracy(fixed=1.5, words="contact thermometer")
WATCH = Accuracy(fixed=600.0, words="watch")

LEAD_ACID = ("flooded", "agm", "gel")
HOUR = 3_600.0
# V of a cell at rest: half charged, full, and the most that a rested cell shows. Flooded: the battery-industry table
# of 12.24 and 12.65 V at 26.7 °C. Sealed cells rest 0.025 V higher (from memory). Above the last a cell is being
# charged, or its surface charge has not gone: common practice, no source. Lithium: a public table, 20 % and full.
REST: dict[str, tuple[float, float, float]] = {
    "flooded": (12.24 / 6, 12.65 / 6, 12.9 / 6),
    "agm": (12.24 / 6 + 0.025, 12.65 / 6 + 0.025, 13.05 / 6),
    "gel": (12.24 / 6 + 0.025, 12.65 / 6 + 0.025, 13.05 / 6),
    "lithium iron phosphate": (3.20, 3.33, 3.45),
}

KILOAMPERES = BATTERY_SHORT
ACID = Caution(
    "Acid: face shield, gloves, apron, and water for the eyes within 25 ft (8 m) before a cap comes off.",
    "29 CFR 1926.441(a)",
)
HYDROGEN = BATTERY_GAS


def is_flooded(system: System, tag: str) -> bool:
    """Whether a hydrometer gets at the acid; a battery of unknown kind is asked for it."""
    return getattr(system.node(tag).part, "chemistry", None) in ("flooded", None)


def rest_of(case: Case) -> tuple[float, float, float]:
    """Return half charged, full, and the most at rest of the subject's cell."""
    chemistry = case.subject.need_text("chemistry")
    if chemistry not in REST:
        raise MissingDataError(case.subject.tag, "chemistry", f"{case.subject.tag}: no rest voltage of {chemistry}")
    return REST[chemistry]


def of_block(case: Case, symbol: str, cell: float) -> float:
    """Return the voltage of one block from that of its cells, as a step."""
    return case.w.call(symbol, battery_voltage, cell_voltage=cell, cells=case.subject.need("cells_per_block"))


def users_of(system: System, tag: str) -> list[Node]:
    """Return the pumps and loads that a battery feeds, the largest first as recorded."""
    kinds = (BoosterPump, SubmersiblePump, Load)
    found: dict[str, Node] = {}
    todo = [tag]
    while todo:
        for node, _ in system.reached(todo.pop(), "cable"):
            if node.tag in found:
                continue
            found[node.tag] = node
            if node.kind in ("pump_controller", "inverter", "charge_controller"):
                todo.append(node.tag)
    return [node for node in found.values() if isinstance(node.part, kinds)]


def bank_inside(case: Case) -> float:
    """Return the resistance of the bank by its sheet, as a step."""
    bank = case.subject
    return case.w.call(
        "R_b",
        bank_resistance,
        block_resistance=bank.need("internal_resistance"),
        series=bank.need("series"),
        parallel=bank.need("parallel"),
    )
