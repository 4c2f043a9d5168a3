"""Sun and battery together at a booster: what is left for the battery to give while the sun is full."""

from sizing.checks.battery_case import of_block, rest_of
from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Check, Judged, Kind, Limit, Need, Needed
from sizing.checks.pocket import along
from sizing.errors import MissingDataError
from sizing.formulas.cell_temperature import noct_cell_temperature
from sizing.formulas.charging import net_battery_current
from sizing.formulas.circuits import bank_voltage
from sizing.formulas.comparisons import share_of
from sizing.formulas.photovoltaic import STC_IRRADIANCE
from sizing.parts import BatteryBank, BoosterPump, ChargeController
from sizing.power import arrays_behind
from sizing.quantities import Quantity as Q
from sizing.stored_power import asked_by, battery_to_user, sun_to_battery
from sizing.system import Node, System

WARM_DAY = 25.0  # °C, of air and battery; common practice, no source
GENTLE = 5.0  # h: a fifth of the capacity in an hour is what a battery gives without harm; common practice, no source


def battery_behind(system: System, tag: str) -> Node:
    """Return the battery that feeds a booster, directly or through an inverter, or raise MissingDataError."""
    todo, seen = [(tag, "motor")], set()
    while todo:
        at, port = todo.pop(0)
        for node, _ in system.reached(at, "cable", port or None):
            if isinstance(node.part, BatteryBank):
                return node
            if node.tag not in seen:
                seen.add(node.tag)
                todo += [(node.tag, "input")] if node.kind == "inverter" else []
                todo += [(node.tag, "battery")] if node.kind == "charge_controller" else []
    raise MissingDataError(tag, "cable", f"{tag}: no cable leads from a battery to it")


def has_sun_and_battery(system: System, tag: str) -> bool:
    """Whether a booster hangs on a battery that an array charges."""
    try:
        battery = battery_behind(system, tag)
    except MissingDataError:
        return False
    return any(isinstance(node.part, ChargeController) for node, _ in system.reached(battery.tag, "cable"))


def left_to_battery(case: Case) -> float:
    """Return the current into the battery while the booster runs as it was read, in full sun; negative out of it."""
    booster, battery = case.system.node(case.subject.tag), battery_behind(case.system, case.subject.tag)
    rest = _full_at_rest(case, battery)
    share = case.w.call("share", share_of, value=case.condition("booster_current"), whole=booster.need("rated_current"))
    asked = asked_by(booster, share * booster.need("rated_power"))
    chain = battery_to_user(case.system, asked, rest, case.w, temperature=WARM_DAY)
    drawn = next(point for point in chain.points if point.words == "at the posts").current
    charged = _from_full_sun(case, battery, rest)
    return case.w.call("I_left", net_battery_current, charge_current=charged, load_current=drawn)


def _full_at_rest(case: Case, battery: Node) -> float:
    of_battery = Case(case.system, battery, w=case.w)
    block = of_block(of_battery, "V full", rest_of(of_battery)[1])
    return case.w.call("V₀", bank_voltage, block_voltage=block, blocks=battery.need("series"))


def _from_full_sun(case: Case, battery: Node, volts: float) -> float:
    chargers = [n for n, _ in case.system.reached(battery.tag, "cable") if isinstance(n.part, ChargeController)]
    if not chargers:
        raise MissingDataError(battery.tag, "cable", f"{battery.tag}: no charge controller is recorded on it")
    arrays = [array for array, _ in arrays_behind(case.system, chargers[0])]
    heat = {
        array.tag: case.w.call(
            f"T_c {array.tag}",
            noct_cell_temperature,
            ambient_temperature=WARM_DAY,
            noct=array.need("operating_cell_temperature"),
            irradiance=STC_IRRADIANCE,
        )
        for array in arrays
    }
    sun = {array.tag: STC_IRRADIANCE for array in arrays}
    return sun_to_battery(case.system, chargers[0], sun, heat, volts, case.w, temperature=WARM_DAY).end.current


def left_expected(case: Case) -> Expected:
    """Return the most that the battery may have to add while the booster runs in full sun."""
    battery = battery_behind(case.system, case.subject.tag)
    most = battery.need("block_capacity") * battery.need("parallel") / GENTLE
    basis = f"battery adds no more than a fifth of its capacity in an hour; above zero the sun carries it: {COMMON}"
    return Expected(Q.CURRENT, lower=-most, basis=basis, bearable=most)


SUN_CARRIES_BOOSTER = Check(
    key="sun_carries_booster",
    title="Does the sun carry the booster",
    kind=Kind.DERIVED,
    subject=BoosterPump,
    group="Booster",
    purpose="By day the sun drives the booster and the battery only helps out: it lasts, and the evening is safe.",
    judged=(Judged("left", "Into the battery while it runs, in full sun", Q.CURRENT, left_expected, left_to_battery),),
    needs=(Need("booster_current", Needed.EARLIER, "Current of the motor", Q.CURRENT),),
    limits=(
        Limit("not more than a fifth of the capacity in an hour out of the battery", COMMON),
        Limit("reckoned at 1000 W/m², air and battery at 25 °C, battery full", COMMON),
    ),
    tier="full",
    applies=has_sun_and_battery,
    pocket=along("booster_current"),
)

CHECKS = (SUN_CARRIES_BOOSTER,)
