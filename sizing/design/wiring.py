"""Cables seen as circuits: what stands at either side of a cable, and the current it has to carry."""

from collections.abc import Iterator

from sizing.design.declare import Ask
from sizing.errors import MissingDataError
from sizing.formulas.circuits import bank_voltage, summed_current
from sizing.formulas.motors import direct_current
from sizing.formulas.overcurrent import maximum_array_current
from sizing.formulas.photovoltaic import array_current, string_voltage
from sizing.parts import (
    BatteryBank,
    BoosterPump,
    ChargeController,
    Combiner,
    Inverter,
    Load,
    OvercurrentDevice,
    PowerCable,
    PumpController,
    SolarArray,
    SubmersiblePump,
)
from sizing.records import record
from sizing.system import End, Node, Run, System, passes_through

USERS = (SubmersiblePump, BoosterPump, Load, Inverter, PumpController)


@record
class Seat:
    """A component at the end of a walk over cables, and the port by which the walk came in."""

    node: Node
    port: str


def seats_behind(system: System, run: Run, end: End) -> list[Seat]:
    """Return what stands on one side of a cable: behind switches, combiners and fuses, up to what gives or takes."""
    return list(_walk(system, end, {run.tag}))


def _walk(system: System, end: End, seen: set[str]) -> Iterator[Seat]:
    node = system.nodes[end.tag]
    yield Seat(node, end.port)
    if not passes_through(node) or isinstance(node.part, BoosterPump):
        return
    for run in system.runs_at(node.tag, "cable"):
        if run.tag not in seen:
            seen.add(run.tag)
            yield from _walk(system, run.far(node.tag), seen)


def both_sides(system: System, run: Run) -> tuple[list[Seat], list[Seat]]:
    """Return what stands on the two sides of a cable."""
    return seats_behind(system, run, run.start), seats_behind(system, run, run.end)


def arrays_on(system: System, run: Run) -> list[Node]:
    """Return the arrays whose current a cable carries."""
    return [seat.node for side in both_sides(system, run) for seat in side if isinstance(seat.node.part, SolarArray)]


def carries_one_string(system: System, run: Run) -> bool:
    """Whether a cable, or each of several drawn as one, leads a single string from the array to its combiner."""
    kinds = {type(system.nodes[end.tag].part) for end in (run.start, run.end)}
    return kinds == {SolarArray, Combiner}


def is_source(seat: Seat) -> bool:
    """Whether power comes from here, seen from the cable."""
    part = seat.node.part
    return (
        isinstance(part, BatteryBank)
        or (isinstance(part, ChargeController) and seat.port == "load")
        or (isinstance(part, Inverter) and seat.port == "output")
        or (isinstance(part, PumpController) and seat.port == "motor")
    )


def users_on(system: System, run: Run) -> list[Node]:
    """Return what a cable feeds: the users on its side that holds no source."""
    sides = both_sides(system, run)
    fed = [side for side in sides if not any(is_source(seat) for seat in side)]
    return [seat.node for side in fed for seat in side if isinstance(seat.node.part, USERS)]


def chargers_on(system: System, run: Run) -> list[Node]:
    """Return the charge controllers whose charging current a cable carries."""
    seats = [seat for side in both_sides(system, run) for seat in side]
    if not any(isinstance(seat.node.part, BatteryBank) for seat in seats):
        return []
    return [s.node for s in seats if isinstance(s.node.part, ChargeController) and s.port == "battery"]


def battery_on(system: System, run: Run) -> Node | None:
    """Return the battery that stands on a cable with no converter between, if one does."""
    seats = [seat for side in both_sides(system, run) for seat in side]
    return next((seat.node for seat in seats if isinstance(seat.node.part, BatteryBank)), None)


def supply_of(system: System, run: Run) -> Node:
    """Return what gives a cable its voltage, or raise MissingDataError."""
    seats = [seat for side in both_sides(system, run) for seat in side]
    for seat in seats:
        if is_source(seat):
            return seat.node
    raise MissingDataError(run.tag, "cable", f"{run.tag}: no battery, inverter or controller is recorded at its source")


def nominal_voltage(ask: Ask, source: Node) -> float:
    """Return the nominal voltage of a battery, or of what a converter puts out, as a step where it is computed."""
    if isinstance(source.part, BatteryBank):
        block, series = source.need("block_voltage"), source.need("series")
        return ask.w.call(f"V {source.tag}", bank_voltage, block_voltage=block, blocks=series)
    if isinstance(source.part, SolarArray):
        return ask.w.call(
            f"V_mp {source.tag}",
            string_voltage,
            module_voltage=source.need("module_maximum_power_voltage"),
            modules_in_series=source.need("series"),
        )
    if isinstance(source.part, Inverter):
        return source.need("output_voltage")
    if isinstance(source.part, ChargeController):
        battery, _ = ask.system.path_between(source.tag, "battery", BatteryBank, "cable")
        return nominal_voltage(ask, battery)
    pump, _ = ask.system.path_between(source.tag, "motor", SubmersiblePump, "cable")
    return pump.need("rated_voltage")


def greatest_current(ask: Ask, run: Run) -> float:
    """Return the greatest steady current of a cable's circuit, before any allowance for its lasting hours."""
    arrays = arrays_on(ask.system, run)
    if arrays:
        return _summed(ask, "I_max", [_array_maximum(ask, run, one) for one in arrays])
    return _steady(ask, run, lowest=True)


def running_current(ask: Ask, run: Run) -> float:
    """Return the current of a cable's circuit at full power, as it runs."""
    arrays = arrays_on(ask.system, run)
    if arrays:
        return _summed(ask, f"I {run.tag}", [_array_running(ask, run, one) for one in arrays])
    return _steady(ask, run, lowest=False)


def _array_maximum(ask: Ask, run: Run, array: Node) -> float:
    return ask.w.call(
        f"I_max {array.tag}",
        maximum_array_current,
        short_circuit_current=array.need("module_short_circuit_current"),
        strings=_strings(ask, run, array),
    )


def _array_running(ask: Ask, run: Run, array: Node) -> float:
    current, strings = array.need("module_maximum_power_current"), _strings(ask, run, array)
    return ask.w.call(f"I_mp {array.tag}", array_current, string_current=current, strings=strings)


def _strings(ask: Ask, run: Run, array: Node) -> float:
    return 1.0 if carries_one_string(ask.system, run) else array.need("parallel")


def _steady(ask: Ask, run: Run, *, lowest: bool) -> float:
    charge = [one.need("rated_current") for one in chargers_on(ask.system, run)]
    users = [_drawn(ask, run, one, lowest) for one in users_on(ask.system, run)]
    if not charge and not users:
        raise MissingDataError(run.tag, "cable", f"{run.tag}: what it feeds is not in the record")
    return max(_summed(ask, f"I {run.tag}", one) for one in (charge, users) if one)


def _drawn(ask: Ask, run: Run, user: Node, lowest: bool) -> float:
    """Return what a user draws; an inverter draws most at its lowest input voltage."""
    if isinstance(user.part, SubmersiblePump | BoosterPump):
        return user.need("rated_current")
    if isinstance(user.part, Load):
        power, voltage = user.need("power"), user.need("voltage")
        return ask.w.call(f"I {user.tag}", direct_current, power=power, voltage=voltage, efficiency=1.0)
    power = user.need("rated_power") if isinstance(user.part, Inverter) else _pump_power(ask.system, user)
    is_low = lowest and isinstance(user.part, Inverter)
    voltage = user.need("minimum_input_voltage") if is_low else nominal_voltage(ask, supply_of(ask.system, run))
    efficiency = user.need("efficiency")
    return ask.w.call(f"I {user.tag}", direct_current, power=power, voltage=voltage, efficiency=efficiency)


def _pump_power(system: System, controller: Node) -> float:
    return system.path_between(controller.tag, "motor", SubmersiblePump, "cable")[0].need("rated_power")


def _summed(ask: Ask, symbol: str, currents: list[float]) -> float:
    return currents[0] if len(currents) == 1 else ask.w.call(symbol, summed_current, currents=tuple(currents))


def cable_of(system: System, device: Node) -> Run:
    """Return the cable whose circuit a fuse, breaker or switch belongs to, or raise MissingDataError.

    A device sits on its cable, between two cables, or in a box: then the cable towards the array counts.
    """
    host = device.host or ""
    if host in system.runs:
        return system.runs[host]
    own = system.runs_at(device.tag, "cable")
    if own:
        return own[0]
    if host in system.nodes:
        box = system.runs_at(host, "cable")
        feeding = [run for run in box if run.near(host).port in ("strings", "line")]
        if feeding or box:
            return (feeding or box)[0]
    raise MissingDataError(device.tag, "host", f"{device.tag}: the cable that it protects is not recorded")


def cables_of(system: System) -> list[Run]:
    """Return every power cable, in tag order."""
    return sorted((run for run in system.runs.values() if isinstance(run.part, PowerCable)), key=lambda run: run.tag)


def devices_on(system: System, run: Run) -> list[Node]:
    """Return the fuses and breakers that sit on a cable or at one of its ends."""
    ends = {run.start.tag, run.end.tag}
    return [d for d in system.of(OvercurrentDevice) if d.host == run.tag or d.tag in ends or d.host in ends]
