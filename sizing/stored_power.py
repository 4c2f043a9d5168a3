"""Power into a battery and out of it: charging by the sun, and what is left at a user behind sag and cable.

Every sum goes through a working. What is assumed stands at each function.
"""

from typing import Any

from sizing.cables import loops
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.battery import sagged_voltage
from sizing.formulas.charging import switching_charge_current, tracking_charge_current
from sizing.formulas.circuits import summed_current
from sizing.formulas.conductors import series_resistance
from sizing.formulas.motors import direct_current
from sizing.formulas.solar_pumping import controller_input_power, direct_current_power, motor_cable_loss
from sizing.formulas.supply import (
    array_current_at_voltage,
    bank_resistance,
    inverter_input_power,
    voltage_at_constant_power,
)
from sizing.parts import BatteryBank, ChargeController, Inverter, Load, PumpController
from sizing.power import ArrayNow, Chain, Point, array_now, arrays_behind, by_array, from_arrays, is_two_wire
from sizing.records import record
from sizing.system import Node, Run, System
from sizing.working import Working

MOST_TRIES = 60  # halvings of a voltage: more than a double needs


def sun_to_battery(
    system: System, controller: Node, irradiance: dict[str, float], cell_temperature: dict[str, float],
    battery_voltage: float, w: Working, *, temperature: float,
) -> Chain:  # fmt: skip
    """Return the way from the sun through a charge controller into a battery that takes all it gets (bulk).

    `battery_voltage` is at the posts, while charging. A tracking controller turns the arrays' best power into current
    at that voltage; a switching one joins array and battery, so that the array sits at the battery's voltage and the
    drop of its cables. Neither passes more than the controller's rating or the battery's greatest charge current.
    """
    battery, _ = system.path_between(controller.tag, "battery", BatteryBank, "cable")
    limits: dict[str, Any] = {
        "controller_limit": controller.need("rated_current"),
        "battery_limit": battery.need("maximum_charge_current"),
    }
    if controller.need_text("principle") == "tracking":
        into = from_arrays(system, controller, irradiance, cell_temperature, w, temperature=temperature)
        current = w.call(
            "I_c",
            tracking_charge_current,
            array_power=into.end.power,
            efficiency=controller.need("efficiency"),
            battery_voltage=battery_voltage,
            **limits,
        )
    else:
        into = _held_at(system, controller, irradiance, cell_temperature, battery_voltage, w, temperature)
        current = w.call("I_c", switching_charge_current, array_current=into.end.current, **limits)
    power = w.call("P_c", direct_current_power, voltage=battery_voltage, current=current)
    return Chain((*into.points, Point(battery.tag, "into the battery", battery_voltage, current, power)))


def _held_at(
    system: System, controller: Node, irradiance: dict[str, float], cell_temperature: dict[str, float],
    battery_voltage: float, w: Working, temperature: float,
) -> Chain:  # fmt: skip
    """Return the arrays held near a battery's voltage, each behind its own cables; shared cables count in full."""
    points, currents = [], []
    for array, path in arrays_behind(system, controller):
        now = array_now(array, by_array(irradiance, array), by_array(cell_temperature, array), w)
        resistance = loops(path, temperature, w, f"R {array.tag}")
        voltage = _settled(now, battery_voltage, resistance)
        current = _current(now, voltage, w)
        power = w.call(f"P held {array.tag}", direct_current_power, voltage=voltage, current=current)
        points.append(Point(array.tag, "array at the battery's voltage", voltage, current, power))
        currents.append(current)
    total = currents[0] if len(currents) == 1 else w.call("I_a", summed_current, currents=tuple(currents))
    power = w.call("P_i", direct_current_power, voltage=battery_voltage, current=total)
    return Chain((*points, Point(controller.tag, "into the controller", battery_voltage, total, power)))


def _current(now: ArrayNow, voltage: float, w: Working) -> float:
    return w.call(
        f"I at V {now.tag}",
        array_current_at_voltage,
        voltage=voltage,
        short_circuit_current=now.short_circuit_current,
        open_circuit_voltage=now.open_circuit_voltage,
        maximum_power_voltage=now.maximum_power_voltage,
        maximum_power_current=now.maximum_power_current,
        note="where array and cable balance",
    )


def _settled(now: ArrayNow, battery_voltage: float, resistance: float) -> float:
    """Return the array's voltage at which it lies above the battery by the drop of its cables, by halving."""
    low, high, silent = battery_voltage, now.open_circuit_voltage, Working(silent=True)
    if low >= high:
        raise OutOfRangeError("battery_voltage", low, f"below {high:g} V, the array's voltage without load")
    for _ in range(MOST_TRIES):
        middle = (low + high) / 2
        is_above = middle - resistance * _current(now, middle, silent) > battery_voltage
        low, high = (low, middle) if is_above else (middle, high)
    return low


@record
class Asked:
    """A user of power: what it takes at its terminals, and how many wires its cable has."""

    node: Node
    port: str
    power: float


def asked_by(user: Node, power: float | None = None) -> Asked:
    """Return what a load or pump takes: a known power, else the nameplate's."""
    if isinstance(user.part, Load):
        return Asked(user, "line", user.need("power") if power is None else power)
    return Asked(user, "motor", user.need("rated_power") if power is None else power)


def battery_to_user(system: System, asked: Asked, rest_voltage: float, w: Working, *, temperature: float) -> Chain:
    """Return the way from a battery to one user: at rest, at the posts, behind the cable, and at the user.

    The user takes its power whatever the voltage, as an electronic drive or an inverter does; a bare DC motor takes
    less as the voltage falls, so that this is the worse case. The battery sags by its nameplate's internal
    resistance, full and new, and feeds nothing else meanwhile. Between battery and user there may be a charge
    controller's load port, which loses nothing, or a pump controller or inverter, at its efficiency; a user behind
    one of those is taken to be at its rated voltage.
    """
    power, here, port, near = asked.power, asked.node, asked.port, asked.node.tag
    resistances: list[float] = []
    while True:
        feeder, runs = _feeder(system, here, port)
        if isinstance(feeder.part, Inverter | PumpController):
            sent = _before_cable(asked.node, runs, power, temperature, w) if here is asked.node else power
            power, resistances, near = _taken_in(feeder, sent, w), [], feeder.tag
            here, port = feeder, "input" if isinstance(feeder.part, Inverter) else "array"
            continue
        resistances.append(loops(runs, temperature, w, f"R to {here.tag}"))
        if isinstance(feeder.part, BatteryBank):
            break
        here, port = feeder, "battery"
    supply = _loaded_battery(feeder, near, rest_voltage, power, tuple(resistances), w)
    if near == asked.node.tag:
        return Chain(supply)
    own = _rated_voltage(asked.node)
    takes = w.call(f"I {asked.node.tag}", direct_current, power=asked.power, voltage=own, efficiency=1.0)
    return Chain((*supply, Point(asked.node.tag, "at the user", own, takes, asked.power)))


def _feeder(system: System, node: Node, port: str) -> tuple[Node, list[Run]]:
    """Return the nearest battery or converter that feeds a port, and the cables from it."""
    for found, path in system.reached(node.tag, "cable", port):
        if isinstance(found.part, BatteryBank | Inverter | PumpController | ChargeController):
            return found, list(reversed(path))
    raise MissingDataError(node.tag, "cable", f"{node.tag}: no cable leads from a battery to it")


def _before_cable(user: Node, runs: list[Run], power: float, temperature: float, w: Working) -> float:
    """Return the power into the cable from a converter to a user, for the power that the user takes."""
    wires = 2 if isinstance(user.part, Load) or is_two_wire(user) else 3
    loss = w.call(
        f"ΔP {user.tag}",
        motor_cable_loss,
        power=power,
        voltage=_rated_voltage(user),
        loop_resistance=loops(runs, temperature, w, f"R to {user.tag}"),
        wires=wires,
    )
    return power + loss


def _taken_in(feeder: Node, sent: float, w: Working) -> float:
    """Return the power that an inverter or pump controller takes in for the power that it sends on."""
    if isinstance(feeder.part, Inverter):
        return w.call(
            f"P_i {feeder.tag}",
            inverter_input_power,
            output_power=sent,
            efficiency=feeder.need("efficiency"),
            idle_power=feeder.need("idle_power"),
        )
    return w.call(f"P_i {feeder.tag}", controller_input_power, output_power=sent, efficiency=feeder.need("efficiency"))


def _loaded_battery(
    battery: Node, near: str, rest_voltage: float, power: float, resistances: tuple[float, ...], w: Working
) -> tuple[Point, ...]:
    inside = w.call(
        "R_b",
        bank_resistance,
        block_resistance=battery.need("internal_resistance"),
        series=battery.need("series"),
        parallel=battery.need("parallel"),
    )
    whole = w.call("R", series_resistance, resistances=(inside, *resistances))
    voltage = w.call("V", voltage_at_constant_power, source_voltage=rest_voltage, resistance=whole, power=power)
    current = w.call("I", direct_current, power=power, voltage=voltage, efficiency=1.0)
    posts = w.call("V_posts", sagged_voltage, rest_voltage=rest_voltage, current=current, resistance=inside)
    at_posts = w.call("P_posts", direct_current_power, voltage=posts, current=current)
    return (
        Point(battery.tag, "at rest", rest_voltage, 0.0, 0.0),
        Point(battery.tag, "at the posts", posts, current, at_posts),
        Point(near, "behind the cable", voltage, current, power),
    )


def _rated_voltage(user: Node) -> float:
    return user.need("voltage" if isinstance(user.part, Load) else "rated_voltage")
