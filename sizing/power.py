"""Power on its way from the sun to a controller and a pump: volts, amperes and watts at each point.

Every sum goes through a working, so that each figure comes with its equation and its numbers. What is assumed
stands at each function. Cables are as warm as their recorded surroundings, else as `temperature` says.
"""

from itertools import pairwise
from typing import Any

from sizing.cables import cable_loop, loops
from sizing.errors import MissingDataError
from sizing.formulas.circuits import summed_current
from sizing.formulas.motors import direct_current
from sizing.formulas.photovoltaic import (
    array_current,
    maximum_power,
    open_circuit_voltage,
    short_circuit_current,
    string_voltage,
)
from sizing.formulas.solar_pumping import (
    array_power,
    controller_input_power,
    controller_output_power,
    motor_cable_loss,
    power_after_loss,
    power_taken,
)
from sizing.formulas.supply import summed_power, voltage_of_power
from sizing.formulas.voltage_drop import conductor_loss
from sizing.parts import PumpController, SolarArray
from sizing.records import record
from sizing.system import Node, Run, System
from sizing.working import Working

IDEALITY = 1.1  # diode ideality of silicon; it lies between 1.0 and 1.3
TWO_WIRES = {"dc_brushed", "ac_single_phase"}


@record
class Point:
    """Voltage, current and power at one point of the way; `words` says which."""

    tag: str
    words: str
    voltage: float
    current: float
    power: float


@record
class Chain:
    """The points of a way, from the source on."""

    points: tuple[Point, ...]

    @property
    def end(self) -> Point:
        return self.points[-1]

    def at(self, tag: str) -> Point:
        """Return the first point at a component, or raise MissingDataError."""
        for point in self.points:
            if point.tag == tag:
                return point
        raise MissingDataError(tag, "cable", f"{tag} is not on this way")


@record
class VoltsLost:
    """One line of where the volts went: between which points, and how many."""

    between: str
    volts: float


def where_the_volts_went(chain: Chain) -> tuple[VoltsLost, ...]:
    """Return the volts lost from one point to the next, as long as nothing converts them."""
    lost = []
    for near, far in pairwise(chain.points):
        if far.voltage > near.voltage:
            break
        lost.append(VoltsLost(f"{near.tag} {near.words} to {far.tag} {far.words}", near.voltage - far.voltage))
    return tuple(lost)


@record
class ArrayNow:
    """A whole array at an irradiance and cell temperature."""

    tag: str
    short_circuit_current: float
    open_circuit_voltage: float
    power: float
    maximum_power_current: float
    maximum_power_voltage: float


def array_now(array: Node, irradiance: float, cell_temperature: float, w: Working) -> ArrayNow:
    """Return what an array offers at an irradiance and cell temperature.

    Assumes like modules, clean, unshaded and free of mismatch; the current at maximum power follows the coefficient
    of the short-circuit current, and the voltage there is what the power leaves.
    """
    here: dict[str, Any] = {"irradiance": irradiance, "cell_temperature": cell_temperature}
    alpha = array.need("current_coefficient")
    series, strings = array.need("series"), array.need("parallel")
    tag = array.tag

    def of_array(symbol: str, plate: str) -> float:
        module = w.call(
            f"{symbol} module {tag}",
            short_circuit_current,
            rated_current=array.need(plate),
            coefficient=alpha,
            **here,
        )
        return w.call(f"{symbol} {tag}", array_current, string_current=module, strings=strings)

    module_voltage = w.call(
        f"V_oc module {tag}",
        open_circuit_voltage,
        rated_voltage=array.need("module_open_circuit_voltage"),
        coefficient=array.need("voltage_coefficient"),
        cells_in_series=array.need("cells_in_series"),
        ideality=IDEALITY,
        **here,
    )
    module_power = w.call(
        f"P module {tag}",
        maximum_power,
        rated_power=array.need("module_power"),
        coefficient=array.need("power_coefficient"),
        **here,
    )
    isc, imp = (
        of_array("I_sc", "module_short_circuit_current"),
        of_array("I_mp", "module_maximum_power_current"),
    )
    voc = w.call(f"V_oc {tag}", string_voltage, module_voltage=module_voltage, modules_in_series=series)
    power = w.call(f"P {tag}", array_power, module_power=module_power, modules_in_series=series, strings=strings)
    vmp = w.call(f"V_mp {tag}", voltage_of_power, power=power, current=imp)
    return ArrayNow(tag, isc, voc, power, imp, vmp)


def arrays_behind(system: System, controller: Node) -> list[tuple[Node, list[Run]]]:
    """Return the arrays that feed a controller, each with the cables on its way, or raise MissingDataError."""
    found = [
        (node, list(reversed(path)))
        for node, path in system.reached(controller.tag, "cable", "array")
        if isinstance(node.part, SolarArray)
    ]
    if not found:
        raise MissingDataError(controller.tag, "cable", f"{controller.tag}: no cable leads from a solar array to it")
    return found


def from_arrays(
    system: System, controller: Node, irradiance: dict[str, float], cell_temperature: dict[str, float], w: Working,
    *, temperature: float,
) -> Chain:  # fmt: skip
    """Return the way from the arrays to a controller that holds them at their point of maximum power.

    `irradiance` and `cell_temperature` are by array. Assumes that each array stays at its own best point, that
    isolators, fuses and joints lose nothing, and that a cable carries the sum of the arrays behind it.
    """
    ways = arrays_behind(system, controller)
    now = {
        node.tag: array_now(node, by_array(irradiance, node), by_array(cell_temperature, node), w) for node, _ in ways
    }
    points = [
        Point(one.tag, "array at maximum power", one.maximum_power_voltage, one.maximum_power_current, one.power)
        for one in now.values()
    ]
    powers = tuple(one.power for one in now.values())
    power = powers[0] if len(powers) == 1 else w.call("P_a", summed_power, powers=powers)
    for run, tags in _shared(ways):
        carried = tuple(now[tag].maximum_power_current for tag in tags)
        current = carried[0] if len(carried) == 1 else w.call(f"I {run.tag}", summed_current, currents=carried)
        loss = w.call(f"ΔP {run.tag}", conductor_loss, current=current, loop_resistance=cable_loop(run, temperature, w))
        power = w.call(f"P behind {run.tag}", power_after_loss, power=power, loss=loss)
    total = tuple(one.maximum_power_current for one in now.values())
    current = total[0] if len(total) == 1 else w.call("I_a", summed_current, currents=total)
    voltage = w.call("V_i", voltage_of_power, power=power, current=current)
    return Chain((*points, Point(controller.tag, "into the controller", voltage, current, power)))


def by_array(values: dict[str, float], node: Node) -> float:
    if node.tag not in values:
        raise MissingDataError(node.tag, "irradiance", f"{node.tag}: its sun or cell temperature has not been read")
    return values[node.tag]


def _shared(ways: list[tuple[Node, list[Run]]]) -> list[tuple[Run, list[str]]]:
    """Return each cable with the arrays whose current it carries, those nearest an array first."""
    carried: dict[str, tuple[Run, list[str]]] = {}
    for array, path in ways:
        for run in path:
            carried.setdefault(run.tag, (run, []))[1].append(array.tag)
    return list(carried.values())


def sun_to_pump(
    system: System, pump: Node, irradiance: dict[str, float], cell_temperature: dict[str, float], w: Working,
    *, temperature: float,
) -> Chain:  # fmt: skip
    """Return the way from the sun through a controller that tracks maximum power to a pump's motor.

    Assumes that the controller takes no more than the pump's rated power asks for, that its efficiency is the
    nameplate's at every power, and that the motor is at its rated voltage: at part load the voltage is lower and the
    cable loses more than this. Raises MissingDataError for a controller that connects directly.
    """
    controller, runs = system.path_between(pump.tag, "motor", PumpController, "cable")
    if controller.need_text("principle") != "tracking":
        words = f"{controller.tag} connects directly: what it takes cannot be computed, read the power"
        raise MissingDataError(controller.tag, "principle", words)
    into = from_arrays(system, controller, irradiance, cell_temperature, w, temperature=temperature)
    efficiency = controller.need("efficiency")
    asked = w.call("P_i max", controller_input_power, output_power=pump.need("rated_power"), efficiency=efficiency)
    taken = w.call("P_i", power_taken, available_power=into.end.power, greatest_power=asked)
    given = w.call("P_o", controller_output_power, input_power=taken, efficiency=efficiency)
    out = Point(
        controller.tag,
        "out of the controller",
        pump.need("rated_voltage"),
        w.call("I_o", direct_current, power=given, voltage=pump.need("rated_voltage"), efficiency=1.0),
        given,
    )
    return Chain((*into.points, out, _behind_cable(pump, runs, given, temperature, w)))


def _behind_cable(user: Node, runs: list[Run], power: float, temperature: float, w: Working) -> Point:
    """Return the point at a motor behind its cable, from the power into the cable and the motor's rated voltage."""
    loss = w.call(
        f"ΔP {user.tag}",
        motor_cable_loss,
        power=power,
        voltage=user.need("rated_voltage"),
        loop_resistance=loops(runs, temperature, w, f"R to {user.tag}"),
        wires=2 if is_two_wire(user) else 3,
    )
    arrives = w.call(f"P {user.tag}", power_after_loss, power=power, loss=loss)
    current = w.call(f"I {user.tag}", direct_current, power=arrives, voltage=user.need("rated_voltage"), efficiency=1.0)
    return Point(user.tag, "at the motor", user.need("rated_voltage"), current, arrives)


def is_two_wire(user: Node) -> bool:
    return user.need_text("motor") in TWO_WIRES
