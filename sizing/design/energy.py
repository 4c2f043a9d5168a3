"""Function: the energy of a day. What a battery's users draw, what the sun brings, how long the battery lasts."""

from collections.abc import Iterator

from sizing.checks.declare import COMMON, Limit
from sizing.design.boosters import filling_flow
from sizing.design.charging import LITHIUM, arrays_of, chargers_of
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.months import least_sun
from sizing.design.wells import flow_at_full_power
from sizing.design.wiring import nominal_voltage
from sizing.errors import MissingDataError
from sizing.formulas.daily import days_of_energy, energy_drawn, summed_energy, usable_energy
from sizing.formulas.solar_energy import daily_array_energy
from sizing.formulas.solar_pumping import array_power
from sizing.formulas.tanks import fill_time
from sizing.parts import (
    BatteryBank,
    BoosterPump,
    ChargeController,
    Inverter,
    Load,
    PumpController,
    SubmersiblePump,
)
from sizing.quantities import Quantity as Q
from sizing.records import record
from sizing.system import Node, System

ARRAY_FACTOR = 0.80  # left of rated power by heat, dirt and mismatch, 0.80 to 0.85; common practice, no source
KEPT = 0.85  # of the energy put into lead-acid, what comes out again; common practice, no source
KEPT_LITHIUM = 0.95  # common practice, no source
DAY = 86_400.0  # s
CONVERTERS: dict[type, str] = {Inverter: "output", ChargeController: "load", PumpController: "motor"}


@record
class User:
    """Something that a battery feeds, and the converters between."""

    node: Node
    behind: tuple[Node, ...] = ()

    def efficiency(self) -> float:
        """Return what the converters between pass on; a charge controller's load port only switches."""
        product = 1.0
        for one in self.behind:
            if not isinstance(one.part, ChargeController):
                product *= one.need("efficiency")
        return product


def users_of(system: System, battery: Node) -> list[User]:
    """Return everything that a battery feeds, directly or behind converters, each once."""
    found = {user.node.tag: user for user in _users(system, battery, None, (), {battery.tag})}
    return [found[tag] for tag in sorted(found)]


def _users(system: System, at: Node, port: str | None, behind: tuple[Node, ...], seen: set[str]) -> Iterator[User]:
    for node, _ in system.reached(at.tag, "cable", port):
        if node.tag in seen:
            continue
        seen.add(node.tag)
        if isinstance(node.part, Load | BoosterPump | SubmersiblePump | Inverter):
            yield User(node, behind)
        out = CONVERTERS.get(type(node.part))
        if out is not None:
            yield from _users(system, node, out, (*behind, node), seen)


def daily_energy(ask: Ask, users: list[User]) -> float:
    """Return what users draw from a battery in a day, as steps."""
    each = tuple(_energy_of(ask, user) for user in users)
    if not each:
        raise MissingDataError(ask.tag, "cable", f"{ask.tag}: nothing is recorded that it feeds")
    return ask.w.call("E", summed_energy, energies=each)


def _energy_of(ask: Ask, user: User) -> float:
    node = user.node
    if isinstance(node.part, Inverter):
        return ask.w.call(
            f"E {node.tag}", energy_drawn, power=node.need("idle_power"), time=DAY, efficiency=1.0, note="idle all day"
        )
    time = node.need("daily_use") if isinstance(node.part, Load) else _pumping_time(ask, node)
    power = node.need("power" if isinstance(node.part, Load) else "rated_power")
    return ask.w.call(f"E {node.tag}", energy_drawn, power=power, time=time, efficiency=user.efficiency())


def _pumping_time(ask: Ask, pump: Node) -> float:
    """Return for how long a pump runs to bring a day's water."""
    demand = ask.site.need("daily_demand")
    flow = filling_flow(ask, pump) if isinstance(pump.part, BoosterPump) else flow_at_full_power(ask, pump)
    return ask.w.call(f"t {pump.tag}", fill_time, volume=demand, inflow=flow, outflow=0.0)


def energy_from_sun(ask: Ask, battery: Node) -> float:
    """Return what the sun of the worst month brings into a battery and out of it again in a day, as steps."""
    chargers = chargers_of(ask.system, battery.tag)
    if not chargers:
        raise MissingDataError(battery.tag, "cable", f"{battery.tag}: no charge controller is recorded on it")
    month = least_sun(ask)
    kept = KEPT_LITHIUM if battery.need_text("chemistry") == LITHIUM else KEPT
    each = tuple(
        ask.w.call(
            f"E {array.tag}",
            daily_array_energy,
            rated_power=ask.w.call(
                f"P {array.tag}",
                array_power,
                module_power=array.need("module_power"),
                modules_in_series=array.need("series"),
                strings=array.need("parallel"),
            ),
            sun_hours=month.sun_hours,
            efficiency=charger.need("efficiency") * kept,
            array_factor=ARRAY_FACTOR,
            note=f"{month.name}; through controller and battery",
        )
        for charger in chargers
        for array in arrays_of(ask.system, charger)
    )
    return ask.w.call("E_sun", summed_energy, energies=each)


def energy_balance(ask: Ask) -> Outcome:
    """Return the energy of a day in the month with least sun against what the battery's users draw."""
    needed = daily_energy(ask, users_of(ask.system, ask.node))
    value = energy_from_sun(ask, ask.node)
    basis = f"what its users draw in a day; {least_sun(ask).name}, 80 % of rated power: {COMMON}"
    return Outcome(Q.ENERGY, value, lower=needed, basis=basis)


def battery_days(ask: Ask) -> Outcome:
    """Return for how many days a full battery feeds its users without sun against the days asked for."""
    battery = ask.node
    wanted = ask.site.need("autonomy")
    store = ask.w.call(
        "E_b",
        usable_energy,
        capacity=battery.need("block_capacity") * battery.need("parallel"),
        voltage=nominal_voltage(ask, battery),
        discharge_share=battery.need("discharge_share"),
    )
    drawn = daily_energy(ask, users_of(ask.system, battery))
    value = ask.w.call("n", days_of_energy, store=store, daily_use=drawn)
    return Outcome(Q.COUNT, value, lower=wanted, basis="days without sun, of the site")


RULES = (
    Rule(
        key="battery_days",
        title="Days that the battery bridges",
        sort=Sort.FUNCTION,
        subjects=(BatteryBank,),
        purpose="Too small a battery is empty on the second grey day, and dies of it.",
        limits=(
            Limit(
                "not below the days without sun asked for, to the share that may be drawn", "the site; IEEE 1013-2007"
            ),
        ),
        evaluate=battery_days,
    ),
    Rule(
        key="energy_balance",
        title="Sun against what is drawn",
        sort=Sort.FUNCTION,
        subjects=(BatteryBank,),
        purpose="In the month with least sun a day has to bring what a day takes, or the battery never fills.",
        limits=(
            Limit("a day's energy in the worst month not below a day's use", "energy balance"),
            Limit("80 % of rated power; lead-acid gives back 85 %, lithium 95 %", COMMON),
        ),
        evaluate=energy_balance,
    ),
)
