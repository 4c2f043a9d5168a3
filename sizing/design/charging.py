"""Safety: charging. Current and temperature that the battery stands, and the air that takes its gas away."""

from sizing.checks.declare import COMMON, Limit
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.voltages import SEALED, coldest, hottest
from sizing.design.wiring import nominal_voltage
from sizing.errors import MissingDataError
from sizing.formulas.charging import LITHIUM_COLDEST_CHARGE
from sizing.formulas.circuits import greatest_charge_current, summed_current
from sizing.formulas.hydrogen import GAS_CURRENT, vent_opening, ventilation_flow
from sizing.formulas.overcurrent import maximum_array_current
from sizing.formulas.solar_pumping import array_power
from sizing.parts import BatteryBank, ChargeController, SolarArray
from sizing.quantities import Quantity as Q
from sizing.system import Node, System

LITHIUM = "lithium iron phosphate"
SWITCHING = "switching"
GAS_OF: dict[str, str] = {
    "flooded": "flooded, antimony below 3 %",
    **dict.fromkeys(SEALED, "valve-regulated"),
}
"""Chemistry → row of the standard's table of gas-forming currents."""


def chargers_of(system: System, tag: str) -> list[Node]:
    """Return the charge controllers that charge a battery."""
    return [node for node, _ in system.reached(tag, "cable") if isinstance(node.part, ChargeController)]


def arrays_of(system: System, charger: Node) -> list[Node]:
    """Return the arrays on a charge controller, or raise MissingDataError."""
    found = [node for node, _ in system.reached(charger.tag, "cable", "array") if isinstance(node.part, SolarArray)]
    if not found:
        raise MissingDataError(charger.tag, "cable", f"{charger.tag}: no cable leads from it to a solar array")
    return found


def charge_current(ask: Ask) -> Outcome:
    """Return the most that all controllers together push into a battery against what it may be charged with."""
    limit = ask.node.need("maximum_charge_current")
    chargers = chargers_of(ask.system, ask.tag)
    if not chargers:
        raise MissingDataError(ask.tag, "cable", f"{ask.tag}: no charge controller is recorded on it")
    each = [_from(ask, charger) for charger in chargers]
    value = each[0] if len(each) == 1 else ask.w.call("I", summed_current, currents=tuple(each))
    return Outcome(Q.CURRENT, value, upper=limit, basis="greatest charge current of the bank")


def _from(ask: Ask, charger: Node) -> float:
    arrays = arrays_of(ask.system, charger)
    if charger.need_text("principle") == SWITCHING:
        return _array_maximum(ask, arrays)
    power = sum(_rated_power(ask, array) for array in arrays)
    return ask.w.call(
        f"I {charger.tag}",
        greatest_charge_current,
        array_power=power,
        efficiency=charger.need("efficiency"),
        battery_voltage=nominal_voltage(ask, ask.node),
        controller_limit=charger.need("rated_current"),
    )


def _rated_power(ask: Ask, array: Node) -> float:
    return ask.w.call(
        f"P {array.tag}",
        array_power,
        module_power=array.need("module_power"),
        modules_in_series=array.need("series"),
        strings=array.need("parallel"),
    )


def _array_maximum(ask: Ask, arrays: list[Node]) -> float:
    each = [
        ask.w.call(
            f"I_max {array.tag}",
            maximum_array_current,
            short_circuit_current=array.need("module_short_circuit_current"),
            strings=array.need("parallel"),
        )
        for array in arrays
    ]
    return each[0] if len(each) == 1 else ask.w.call("I_max", summed_current, currents=tuple(each))


def switching_current(ask: Ask) -> Outcome:
    """Return the array's greatest current against a controller that passes it on as it is."""
    value = _array_maximum(ask, arrays_of(ask.system, ask.node))
    return Outcome(Q.CURRENT, value, upper=ask.node.need("rated_current"), basis="rated charge current")


def switches(system: System, tag: str) -> bool:
    """Whether a charge controller only switches; one of unknown kind is asked for it."""
    return getattr(system.node(tag).part, "principle", None) in (SWITCHING, None)


def charge_cold(ask: Ask) -> Outcome:
    """Return the coldest that the battery gets against the lowest temperature at which it may be charged."""
    limit = ask.node.need("lowest_charge_temperature")
    basis = "lowest temperature for charging, nameplate"
    if ask.node.need_text("chemistry") == LITHIUM and limit < LITHIUM_COLDEST_CHARGE:
        basis = "lowest temperature for charging, nameplate: below 0 °C only with a heater or a slow charge of its own"
    return Outcome(Q.TEMPERATURE, coldest(ask, ask.node), lower=limit, basis=f"{basis}; {_place(ask, 'coldest_place')}")


def charge_heat(ask: Ask) -> Outcome:
    """Return the hottest that the battery gets against the highest temperature at which it may be charged."""
    limit = ask.node.need("highest_charge_temperature")
    basis = f"highest temperature for charging, nameplate; {_place(ask, 'hottest_place')}"
    return Outcome(Q.TEMPERATURE, hottest(ask, ask.node), upper=limit, basis=basis)


def _place(ask: Ask, field: str) -> str:
    recorded = getattr(ask.node.part, field, None)
    return "as recorded of its place" if recorded is not None else "its place is not recorded: as the air outside"


def frees_gas(system: System, tag: str) -> bool:
    """Whether a battery frees hydrogen into a closed place; one of unknown kind or place is asked for it."""
    part = system.node(tag).part
    return getattr(part, "chemistry", None) != LITHIUM and getattr(part, "enclosure", None) != "open"


def ventilation(ask: Ask) -> Outcome:
    """Return the vent opening against what the gas of a boost charge asks for."""
    battery = ask.node
    chemistry = battery.need_text("chemistry")
    if battery.need_text("enclosure") == "sealed_box":
        opening, basis = 0.0, "a box without openings; "
    else:
        opening, basis = battery.need("vent_area"), ""
    if chemistry not in GAS_OF:
        raise MissingDataError(ask.tag, "chemistry", f"{ask.tag}: no gas-forming current is known for {chemistry}")
    _, boost = GAS_CURRENT[GAS_OF[chemistry]]
    air = ask.w.call(
        "Q",
        ventilation_flow,
        cells=battery.need("cells_per_block") * battery.need("series") * battery.need("parallel"),
        gas_current=boost,
        capacity=battery.need("block_capacity"),
        note="boost charge",
    )
    needed = ask.w.call("A", vent_opening, flow=air)
    return Outcome(Q.AREA, opening, lower=needed, basis=f"{basis}each of inlet and outlet, IEC 62485-2:2010, 7.3")


RULES = (
    Rule(
        key="charge_current",
        title="Charge current",
        sort=Sort.SAFETY,
        subjects=(BatteryBank,),
        purpose="Charged too fast a battery heats, gasses and wears out; lithium can burn.",
        limits=(Limit("not above the greatest charge current of the bank", "nameplate of the battery"),),
        evaluate=charge_current,
    ),
    Rule(
        key="charger_current",
        title="Charge controller that switches, current",
        sort=Sort.SAFETY,
        subjects=(ChargeController,),
        purpose="It passes the array's current on as it is: above its rating it burns.",
        limits=(Limit("1.25 × I_sc of all strings, not above the rated current", "NEC (NFPA 70, 2020) 690.8(A)(1)"),),
        evaluate=switching_current,
        applies=switches,
    ),
    Rule(
        key="charge_cold",
        title="Charging in the cold",
        sort=Sort.SAFETY,
        subjects=(BatteryBank,),
        purpose="A lithium cell charged below its minimum plates metal inside, and can short later without warning.",
        limits=(Limit("not below the lowest temperature for charging", "nameplate; IEC 62619 (from memory)"),),
        evaluate=charge_cold,
    ),
    Rule(
        key="charge_heat",
        title="Charging in the heat",
        sort=Sort.SAFETY,
        subjects=(BatteryBank,),
        purpose="A hot battery on charge runs away, and loses half its life for each 10 °C.",
        limits=(Limit("not above the highest temperature for charging", f"nameplate; life: {COMMON}"),),
        evaluate=charge_heat,
    ),
    Rule(
        key="vent_opening",
        title="Ventilation of the battery",
        sort=Sort.SAFETY,
        subjects=(BatteryBank,),
        purpose="Four parts of hydrogen in a hundred of air explode at a spark.",
        limits=(
            Limit("28 cm² for each m³/h of air, at the inlet and again at the outlet", "IEC 62485-2:2010, 7.3"),
            Limit("air: 0.05 × cells × gas-forming current × capacity", "IEC 62485-2:2010, 7.2"),
        ),
        evaluate=ventilation,
        applies=frees_gas,
    ),
)
