"""Power on its way to a well pump at this moment: what the array offers, what the controller passes, what arrives."""

from sizing.checks.case import Case
from sizing.checks.direct_coupled import direct_point
from sizing.checks.drives import array_of, controller_of, is_on_battery, loop_resistance, wires_of
from sizing.checks.pocket import Figure
from sizing.errors import MissingDataError
from sizing.formulas.photovoltaic import STC_TEMPERATURE, maximum_power
from sizing.formulas.solar_pumping import (
    array_power,
    controller_input_power,
    controller_output_power,
    direct_current_power,
    motor_cable_loss,
    power_after_loss,
    power_taken,
)
from sizing.formulas.supply import inverter_input_power, inverter_output_power
from sizing.parts import Inverter, PumpController
from sizing.system import Node

__all__ = [
    "ARRAY_POWER",
    "array_power_cool",
    "array_power_now",
    "controller_of",
    "greatest_input",
    "is_on_battery",
    "loop_resistance",
    "power_at_pump",
    "taken_by_controller",
]


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


def greatest_input(case: Case, pump: Node, drive: Node) -> float:
    """Return the power into a drive when its pump takes its rated power, the drive's own rating allowing."""
    output = pump.need("rated_power")
    if isinstance(drive.part, Inverter):
        return case.w.call(
            "P_i max",
            inverter_input_power,
            output_power=case.w.call(
                "P_o max", power_taken, available_power=output, greatest_power=drive.need("rated_power")
            ),
            efficiency=drive.need("efficiency"),
            idle_power=drive.need("idle_power"),
        )
    if not isinstance(drive.part, PumpController):
        return output
    return case.w.call("P_i max", controller_input_power, output_power=output, efficiency=drive.need("efficiency"))


def taken_by_controller(case: Case, pump: Node, controller: Node) -> float:
    """Return the power into the drive: what the array offers now, no more than the pump's rating asks for.

    A battery always offers that. A controller that connects directly takes what pump and array settle at.
    """
    if is_on_battery(case, controller):
        return greatest_input(case, pump, controller)
    if controller.need_text("principle") == "direct":
        point = direct_point(case, pump)
        return case.w.call("P_i", direct_current_power, voltage=point.array_voltage, current=point.current)
    available = array_power_now(case, controller)
    rated = greatest_input(case, pump, controller)
    return case.w.call("P_i", power_taken, available_power=available, greatest_power=rated)


def power_at_pump(case: Case, pump: Node) -> float:
    """Return the electrical power that reaches the pump, from that into its drive: read, or what it takes now."""
    drive, cables = controller_of(case, pump)
    read = case.here("power")
    if not read and not case.here("irradiance") and not is_on_battery(case, drive):
        words = "power into the controller has not been read, nor the irradiance that could stand in for it"
        raise MissingDataError("reading", "power", words)
    power = case.reading("power") if read else taken_by_controller(case, pump, drive)
    output = _out_of(case, drive, power)
    loss = case.w.call(
        "ΔP",
        motor_cable_loss,
        power=output,
        voltage=pump.need("rated_voltage"),
        loop_resistance=loop_resistance(case, cables),
        wires=wires_of(pump),
    )
    return case.w.call("P", power_after_loss, power=output, loss=loss)


def _out_of(case: Case, drive: Node, power: float) -> float:
    if isinstance(drive.part, Inverter):
        return case.w.call(
            "P_o",
            inverter_output_power,
            input_power=power,
            efficiency=drive.need("efficiency"),
            idle_power=drive.need("idle_power"),
        )
    if not isinstance(drive.part, PumpController):
        return power
    return case.w.call("P_o", controller_output_power, input_power=power, efficiency=drive.need("efficiency"))
