"""Power on its way to a well pump at this moment: what the array offers, what the controller passes, what arrives."""

from sizing.cables import loops_at
from sizing.checks.case import Case
from sizing.checks.pocket import Figure
from sizing.checks.water_way import water_temperature
from sizing.errors import MissingDataError
from sizing.formulas.photovoltaic import STC_TEMPERATURE, maximum_power
from sizing.formulas.solar_pumping import (
    array_power,
    controller_input_power,
    controller_output_power,
    motor_cable_loss,
    power_after_loss,
    power_taken,
)
from sizing.parts import PumpController, SolarArray
from sizing.system import Node, Run

TWO_WIRES = {"dc_brushed", "ac_single_phase"}


def controller_of(case: Case, pump: Node) -> tuple[Node, list[Run]]:
    """Return the controller that drives a pump and the cables between them, or raise MissingDataError."""
    return case.system.path_between(pump.tag, "motor", PumpController, "cable")


def array_of(case: Case, controller: Node) -> Node:
    """Return the array that feeds a controller, or raise MissingDataError."""
    return case.system.path_between(controller.tag, "array", SolarArray, "cable")[0]


def array_power_at(case: Case, array: Node, cell_temperature: float, symbol: str) -> float:
    """Return the power of the whole array at the sun of the moment and a cell temperature, as steps."""
    module = case.w.call(
        f"{symbol} module",
        maximum_power,
        rated_power=array.need("module_power"),
        irradiance=case.reading("irradiance"),
        cell_temperature=cell_temperature,
        coefficient=array.need("power_coefficient"),
    )
    return case.w.call(
        symbol,
        array_power,
        module_power=module,
        modules_in_series=array.need("series"),
        strings=array.need("parallel"),
    )


def array_power_now(case: Case, controller: Node) -> float:
    """Return what the array offers in the sun and heat of the moment."""
    return array_power_at(case, array_of(case, controller), case.condition("module_temperature"), "P_a")


def array_power_offered(case: Case) -> float:
    """Return what the array of a pump offers in the sun and heat of the moment."""
    return array_power_now(case, controller_of(case, case.system.node(case.subject.tag))[0])


ARRAY_POWER = Figure(
    "array_power", ("irradiance", "module_temperature"), array_power_offered, at={"module_temperature": STC_TEMPERATURE}
)
"""For the phone's tables: sun and heat together."""


def array_power_cool(case: Case, controller: Node) -> float:
    """Return what the array would offer in this sun with cells at 25 °C."""
    return array_power_at(case, array_of(case, controller), STC_TEMPERATURE, "P_25")


def taken_by_controller(case: Case, pump: Node, controller: Node) -> float:
    """Return the power into the controller that the array offers now, no more than the pump's rating asks for."""
    if controller.need_text("principle") != "tracking":
        raise MissingDataError(
            controller.tag,
            "principle",
            f"{controller.tag} connects directly: what it takes from the array cannot be computed, read the power",
        )
    rated = case.w.call(
        "P_i max",
        controller_input_power,
        output_power=pump.need("rated_power"),
        efficiency=controller.need("efficiency"),
    )
    available = array_power_now(case, controller)
    return case.w.call("P_i", power_taken, available_power=available, greatest_power=rated)


def power_at_pump(case: Case, pump: Node) -> float:
    """Return the electrical power that reaches the pump, from that into the controller: read, or from the sun."""
    controller, cables = controller_of(case, pump)
    if not case.here("power") and not case.here("irradiance"):
        words = "power into the controller has not been read, nor the irradiance that could stand in for it"
        raise MissingDataError("reading", "power", words)
    power = case.reading("power") if case.here("power") else taken_by_controller(case, pump, controller)
    output = case.w.call("P_o", controller_output_power, input_power=power, efficiency=controller.need("efficiency"))
    loss = case.w.call(
        "ΔP",
        motor_cable_loss,
        power=output,
        voltage=pump.need("rated_voltage"),
        loop_resistance=loop_resistance(case, cables),
        wires=2 if pump.need_text("motor") in TWO_WIRES else 3,
    )
    return case.w.call("P", power_after_loss, power=output, loss=loss)


def loop_resistance(case: Case, cables: list[Run]) -> float:
    """Return the resistance there and back of cables behind one another, as cold as the well's water."""
    return loops_at(cables, water_temperature(case.system), case.w, "R_loop")
