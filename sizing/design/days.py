"""Function: the water of a day. What the month with least sun brings, and how long the tanks last."""

import dataclasses

from sizing.checks.declare import COMMON, Limit
from sizing.design.conductors import loop_where_it_lies
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.energy import ARRAY_FACTOR, DAY, User, daily_energy, energy_from_sun, users_of
from sizing.design.months import least_sun
from sizing.design.reach import Origin
from sizing.design.running import cut_ins, source_of
from sizing.design.wells import flow_at_full_power
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.conductors import series_resistance
from sizing.formulas.daily import (
    days_of_water,
    derated_array_power,
    energy_left,
    half_sine_irradiance,
    half_sine_peak,
    time_on_energy,
    volume_of_slices,
)
from sizing.formulas.extraterrestrial import daylight_duration
from sizing.formulas.levels import depth_at_elevation
from sizing.formulas.shut_off import flow_at_head
from sizing.formulas.solar_pumping import (
    array_power,
    controller_input_power,
    controller_output_power,
    motor_cable_loss,
    power_after_loss,
    power_taken,
)
from sizing.formulas.tanks import rectangular_volume, upright_cylinder_volume
from sizing.formulas.wetted import pumped_volume, summed_volume
from sizing.lift import LiftCurve, pump_rows, well_pump_curve
from sizing.parts import (
    BatteryBank,
    LevelSwitch,
    PumpController,
    SolarArray,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
)
from sizing.power import is_two_wire
from sizing.pumping import operating_points
from sizing.quantities import Quantity as Q
from sizing.system import Node, State, System

SLICES = 6  # from the first water of the morning to noon; the afternoon is its mirror
HALVINGS = 14  # of half a day: to a few seconds


def daily_volume(ask: Ask) -> Outcome:
    """Return the water of a day in the month with least sun, from all pumps and springs, against the demand."""
    wanted = ask.site.need("daily_demand")
    pumps, springs = ask.system.of(SubmersiblePump), ask.system.of(SpringOrRoof)
    if not pumps and not springs:
        raise MissingDataError(ask.tag, "component", "the record holds no pump and no spring that brings water")
    volumes = [_from_pump(ask, pump) for pump in pumps] + [_from_spring(ask, spring) for spring in springs]
    value = volumes[0] if len(volumes) == 1 else ask.w.call("V", summed_volume, volumes=tuple(volumes))
    when = f"; {least_sun(ask).name}, the month with least sun, 80 % of rated power: {COMMON}" if pumps else ""
    return Outcome(Q.VOLUME, value, lower=wanted, basis=f"water wanted in a day{when}")


def _from_spring(ask: Ask, spring: Node) -> float:
    if getattr(spring.part, "source", None) == "roof":
        words = f"{spring.tag}: the rain of the dry months is not in the record, so no water is counted from a roof"
        raise MissingDataError(spring.tag, "source", words)
    return ask.w.call(f"V {spring.tag}", pumped_volume, flow=spring.need("dry_season_yield"), time=DAY)


def _from_pump(ask: Ask, pump: Node) -> float:
    found = sun_driven(ask.system, pump)
    return _by_sun(ask, pump, *found) if found else _by_battery(ask, pump)


def sun_driven(system: System, pump: Node) -> tuple[Node, list[Node]] | None:
    """Return the controller of a pump and the arrays on it, or None where no array drives the pump directly."""
    for node, _ in system.reached(pump.tag, "cable", "motor"):
        if isinstance(node.part, PumpController):
            arrays = _arrays(system, node)
            return (node, arrays) if arrays else None
    return None


def _arrays(system: System, controller: Node) -> list[Node]:
    return [node for node, _ in system.reached(controller.tag, "cable", "array") if isinstance(node.part, SolarArray)]


def _by_battery(ask: Ask, pump: Node) -> float:
    """Return what a pump on a battery brings with what the other users leave of the day's energy."""
    for battery in ask.system.of(BatteryBank):
        users = users_of(ask.system, battery)
        mine = next((user for user in users if user.node.tag == pump.tag), None)
        if mine is not None:
            return _on_energy(ask, battery, mine, [user for user in users if user is not mine])
    raise MissingDataError(pump.tag, "cable", f"{pump.tag}: no cable leads to it from an array or a battery")


def _on_energy(ask: Ask, battery: Node, mine: User, others: list[User]) -> float:
    pump, brought = mine.node, energy_from_sun(ask, battery)
    drawn = daily_energy(ask, others) if others else 0.0
    left = ask.w.call("E_l", energy_left, energy=brought, drawn=drawn)
    taken = ask.w.call(
        "P_i", controller_input_power, output_power=pump.need("rated_power"), efficiency=mine.efficiency()
    )
    time = ask.w.call("t", time_on_energy, energy=left, power=taken)
    return ask.w.call(f"V {pump.tag}", pumped_volume, flow=flow_at_full_power(ask, pump), time=time)


def _by_sun(ask: Ask, pump: Node, controller: Node, arrays: list[Node]) -> float:
    """Return what a pump brings in a day of the worst month, its sun spread like half a sine, slice by slice."""
    if controller.need_text("principle") != "tracking":
        words = f"{controller.tag} connects directly: what it takes from the array cannot be computed"
        raise MissingDataError(controller.tag, "principle", words)
    month = least_sun(ask)
    daylight = ask.w.call(
        "t_day", daylight_duration, latitude=ask.site.need("latitude"), day_of_year=month.day_of_year, note=month.name
    )
    peak = ask.w.call("G₀", half_sine_peak, sun_hours=month.sun_hours, daylight=daylight)
    rated = _rated(ask, arrays)
    begins = _beginning(ask.silent(), pump, controller, rated, peak, daylight)
    length = (daylight / 2 - begins) / SLICES
    if not length > 0:
        return ask.w.call(
            f"V {pump.tag}", pumped_volume, flow=0.0, time=daylight, note="no sun lifts water to the tank"
        )
    morning = [
        _flow_in_slice(
            ask, pump, controller, rated, half_sine_at(ask, peak, begins + (one + 0.5) * length, daylight, one + 1)
        )
        for one in range(SLICES)
    ]
    flows = (*morning, *reversed(morning))
    note = "from the first water to the last, morning and afternoon alike"
    return ask.w.call(f"V {pump.tag}", volume_of_slices, flows=flows, duration=length, note=note)


def _beginning(quiet: Ask, pump: Node, controller: Node, rated: float, peak: float, daylight: float) -> float:
    """Return how long after sunrise a pump begins to give water, by halving; noon where it gives none all day."""
    early, late = 0.0, daylight / 2
    if _flow_in_slice(quiet, pump, controller, rated, half_sine_at(quiet, peak, late, daylight, 0)) <= 0:
        return late
    for _ in range(HALVINGS):
        middle = (early + late) / 2
        gives = _flow_in_slice(quiet, pump, controller, rated, half_sine_at(quiet, peak, middle, daylight, 0)) > 0
        early, late = (early, middle) if gives else (middle, late)
    return late


def half_sine_at(ask: Ask, peak: float, time: float, daylight: float, number: int) -> tuple[int, float]:
    """Return the number of a slice and the irradiance in its middle, as a step."""
    sun = ask.w.call(f"G {number}", half_sine_irradiance, peak=peak, time=time, daylight=daylight)
    return number, sun


def _rated(ask: Ask, arrays: list[Node]) -> float:
    return sum(
        ask.w.call(
            f"P {array.tag}",
            array_power,
            module_power=array.need("module_power"),
            modules_in_series=array.need("series"),
            strings=array.need("parallel"),
        )
        for array in arrays
    )


def _flow_in_slice(ask: Ask, pump: Node, controller: Node, rated: float, slice_: tuple[int, float]) -> float:
    number, sun = slice_
    offered = ask.w.call(
        f"P_a {number}", derated_array_power, rated_power=rated, irradiance=sun, array_factor=ARRAY_FACTOR
    )
    return flow_at_offered(ask, pump, controller, offered, number)


def flow_at_offered(ask: Ask, pump: Node, controller: Node, offered: float, number: int) -> float:
    """Return what a pump gives at the power that its array offers, as steps of one slice of the day."""
    power = _power_at_pump(ask, pump, controller, offered, number)
    curve = _curve(pump, power)
    if curve is None:
        return 0.0
    flow = _settled(ask, pump, curve)
    flows, heads = tuple(q for q, _ in curve.points), tuple(h for _, h in curve.points)
    return ask.w.call(
        f"Q {number}",
        flow_at_head,
        flows=flows,
        heads=heads,
        head=curve.head_at(flow) if flow > 0 else heads[0] + 1,
        note="where pump, well and pipes balance" if flow > 0 else "the head is beyond the pump at this power",
    )


def _power_at_pump(ask: Ask, pump: Node, controller: Node, offered: float, number: int) -> float:
    efficiency, quiet = controller.need("efficiency"), ask.silent()
    most = quiet.w.call("P", controller_input_power, output_power=pump.need("rated_power"), efficiency=efficiency)
    taken = ask.w.call(f"P_i {number}", power_taken, available_power=offered, greatest_power=most)
    given = ask.w.call(f"P_o {number}", controller_output_power, input_power=taken, efficiency=efficiency)
    _, path = ask.system.path_between(pump.tag, "motor", PumpController, "cable")
    loops = tuple(loop_where_it_lies(quiet, run) for run in path)
    lost = ask.w.call(
        f"ΔP {number}",
        motor_cable_loss,
        power=given,
        voltage=pump.need("rated_voltage"),
        loop_resistance=series_resistance(resistances=loops),
        wires=2 if is_two_wire(pump) else 3,
    )
    return ask.w.call(f"P {number}", power_after_loss, power=given, loss=lost)


def _curve(pump: Node, power: float) -> LiftCurve | None:
    """Return a pump's curve at a power; None below the least power of its table, where it stands still."""
    if getattr(pump.part, "performance", None) is None:
        return well_pump_curve(pump, power=power)
    powers = [row[0] for row in pump_rows(pump)]
    if power < min(powers):
        return None
    return well_pump_curve(pump, power=min(power, max(powers)))


def _settled(ask: Ask, pump: Node, curve: LiftCurve) -> float:
    """Return the flow where a pump settles; none above its highest head, that of the last point below its lowest."""
    state = State(running=frozenset({pump.tag}), pressures=cut_ins(ask.system, Origin(pump.tag, "discharge")))
    source = dataclasses.replace(source_of(ask.system, pump), curve=curve)
    try:
        return operating_points(ask.system, {pump.tag: source}, state)[pump.tag].flow
    except OutOfRangeError as problem:
        if problem.argument != "head":
            raise
        return curve.points[-1][0] if problem.requirement.startswith("≥") else 0.0


def storage_days(ask: Ask) -> Outcome:
    """Return for how many days the full tanks last with nothing coming in against the days asked for."""
    wanted, demand = ask.site.need("autonomy"), ask.site.need("daily_demand")
    each = [usable_volume(ask, tank) for tank in ask.system.of(StorageTank)]
    store = each[0] if len(each) == 1 else ask.w.call("V", summed_volume, volumes=tuple(each))
    value = ask.w.call("n", days_of_water, store=store, daily_use=demand)
    return Outcome(Q.COUNT, value, lower=wanted, basis="days without sun, of the site")


def usable_volume(ask: Ask, tank: Node) -> float:
    """Return what a tank gives from the level at which filling stops down to its outlet."""
    stops = [
        one.need("set_elevation")
        for one in ask.system.hosted_on(tank.tag, LevelSwitch)
        if getattr(one.part, "purpose", None) == "stops_fill"
    ]
    full = min([tank.need("overflow_elevation"), *stops])
    outlet = tank.need("outlet_elevation")
    depth = ask.w.call(f"h {tank.tag}", depth_at_elevation, elevation=full, floor_elevation=outlet)
    if tank.need_text("shape") == "rectangular":
        length, width = tank.need("length"), tank.need("width")
        return ask.w.call(f"V {tank.tag}", rectangular_volume, length=length, width=width, depth=depth)
    return ask.w.call(f"V {tank.tag}", upright_cylinder_volume, diameter=tank.need("diameter"), depth=depth)


def has_tanks(system: System, tag: str) -> bool:
    """Whether anything stores water."""
    return bool(system.of(StorageTank))


RULES = (
    Rule(
        key="daily_volume",
        title="Water of a day",
        sort=Sort.FUNCTION,
        subjects=(),
        purpose="In the month with least sun a day has to bring the water that a day takes.",
        limits=(
            Limit("not below the water wanted in a day", "the site: what was promised"),
            Limit("sun of the worst month spread like half a sine; 80 % of rated power", COMMON),
        ),
        evaluate=daily_volume,
    ),
    Rule(
        key="storage_days",
        title="Days that the tanks bridge",
        sort=Sort.FUNCTION,
        subjects=(),
        purpose="Grey days follow one another: the tanks carry the site through them.",
        limits=(Limit("not below the days without sun asked for; three to five is common for a house", COMMON),),
        evaluate=storage_days,
        applies=has_tanks,
    ),
)
