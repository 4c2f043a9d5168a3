"""Safety: the highest voltages of array and battery against everything that has to stand them."""

from sizing.checks.declare import Limit
from sizing.design.declare import Ask, Outcome, Rule, Sort
from sizing.design.wiring import battery_on, cables_of
from sizing.errors import MissingDataError
from sizing.formulas.cell_temperature import noct_cell_temperature
from sizing.formulas.charging import REFERENCE_TEMPERATURE, SET_POINTS, compensated_set_point
from sizing.formulas.photovoltaic import open_circuit_voltage, string_voltage, voltage_at_record_low
from sizing.parts import (
    BatteryBank,
    ChargeController,
    Combiner,
    Inverter,
    Isolator,
    OvercurrentDevice,
    PumpController,
    SolarArray,
    SurgeProtector,
)
from sizing.quantities import Quantity as Q
from sizing.system import Node, System

VOLTAGE_FIELD: dict[str, str] = {
    Isolator.kind: "rated_voltage",
    Combiner.kind: "rated_voltage",
    OvercurrentDevice.kind: "rated_voltage",
    PumpController.kind: "maximum_voltage",
    ChargeController.kind: "maximum_voltage",
    Inverter.kind: "maximum_input_voltage",
    SurgeProtector.kind: "continuous_voltage",
}
"""Kind of component → the field that says how much voltage it stands at its input."""
FULL_SUN = 1000.0  # W/m²
IDEALITY = 1.2  # of silicon cells, 1.0 to 1.3; common practice, no source
COMPENSATION_STOPS = (0.0, 40.0)  # °C, of the battery: beyond them controllers compensate no further (from memory)
SEALED = ("agm", "gel")


def named(node: Node, field: str) -> str:
    """Return a field's label as it stands within a sentence."""
    label = node.part.declarations()[field].label
    return label[0].lower() + label[1:]


def stand_array_voltage(system: System, tag: str) -> tuple[str, ...]:
    """Return everything between an array and what it feeds that has to stand its voltage."""
    reached = [(node, path) for node, path in system.reached(tag, "cable", "output")]
    tags = {node.tag for node, _ in reached if node.kind in VOLTAGE_FIELD}
    places = {tag, *(node.tag for node, _ in reached), *(run.tag for _, path in reached for run in path)}
    hosted = [one for kind in (OvercurrentDevice, SurgeProtector) for one in system.of(kind) if one.host in places]
    tags |= {one.tag for one in hosted if not _is_behind_converter(system, one)}
    return tuple(sorted(tags))


def _is_behind_converter(system: System, node: Node) -> bool:
    """Whether a device in or on a converter sits on its far side: an arrester on alternating current does."""
    return getattr(node.part, "protects", None) == "ac"


def record_low_voltage(ask: Ask, array: Node) -> float:
    """Return an array's voltage at the record low, as a step."""
    return ask.w.call(
        "V_max",
        voltage_at_record_low,
        rated_voltage=array.need("module_open_circuit_voltage"),
        record_low=ask.site.need("record_low"),
        coefficient=array.need("voltage_coefficient"),
        modules_in_series=array.need("series"),
    )


def array_voltage(ask: Ask) -> Outcome:
    """Return the array's highest voltage against what one part on its way stands."""
    other = ask.system.node(ask.against)
    field = VOLTAGE_FIELD[other.kind]
    label = named(other, field)
    limit = other.need(field)
    return Outcome(Q.VOLTAGE, record_low_voltage(ask, ask.node), upper=limit, basis=f"{other.tag}: {label}")


def on_battery(system: System, tag: str) -> tuple[str, ...]:
    """Return what has to stand the voltage of a battery: inverters, fuses and breakers on its cables."""
    mine = [run for run in cables_of(system) if (one := battery_on(system, run)) and one.tag == tag]
    places = {run.tag for run in mine} | {end.tag for run in mine for end in (run.start, run.end)}
    nodes = [node for node in system.nodes.values() if node.kind in (Inverter.kind, OvercurrentDevice.kind)]
    return tuple(sorted(node.tag for node in nodes if node.tag in places or node.host in places))


def battery_voltage(ask: Ask) -> Outcome:
    """Return the battery's highest voltage, charged in the cold, against what one part on it stands."""
    other = ask.system.node(ask.against)
    field = VOLTAGE_FIELD[other.kind]
    limit = other.need(field)
    label = named(other, field)
    value = highest_charging_voltage(ask, ask.node)
    return Outcome(Q.VOLTAGE, value, upper=limit, basis=f"{other.tag}: {label}")


def highest_charging_voltage(ask: Ask, battery: Node) -> float:
    """Return a battery's highest voltage, charged in the cold, as a step."""
    charger = charger_of(ask.system, battery)
    highest = max(charger.need("absorption"), getattr(charger.part, "equalise", None) or 0.0)
    return ask.w.call(
        "V_max",
        compensated_set_point,
        cell_voltage=highest,
        compensation=charger.need("compensation"),
        temperature=min(max(coldest(ask, battery), COMPENSATION_STOPS[0]), COMPENSATION_STOPS[1]),
        cells=battery.need("cells_per_block") * battery.need("series"),
        note="no colder than 0 °C: controllers compensate no further",
    )


def charger_of(system: System, battery: Node) -> Node:
    """Return the charge controller of a battery, or raise MissingDataError."""
    return system.path_between(battery.tag, None, ChargeController, "cable")[0]


def coldest(ask: Ask, battery: Node) -> float:
    """Return the lowest temperature where a battery stands: recorded, or that of the air."""
    recorded: float | None = getattr(battery.part, "coldest_place", None)
    return ask.site.need("record_low") if recorded is None else recorded


def hottest(ask: Ask, battery: Node) -> float:
    """Return the highest temperature where a battery stands: recorded, or that of the air."""
    recorded: float | None = getattr(battery.part, "hottest_place", None)
    return ask.site.need("design_high") if recorded is None else recorded


def voltage_in_heat(ask: Ask) -> Outcome:
    """Return the array's working voltage in the heat against the least that starts or charges what it feeds."""
    array, other = ask.node, ask.system.node(ask.against)
    least, basis = _least_input(ask, other)
    cell = ask.w.call(
        "T_c",
        noct_cell_temperature,
        ambient_temperature=ask.site.need("design_high"),
        noct=array.need("operating_cell_temperature"),
        irradiance=FULL_SUN,
    )
    module = ask.w.call(
        "V_mp",
        open_circuit_voltage,
        rated_voltage=array.need("module_maximum_power_voltage"),
        irradiance=FULL_SUN,
        cell_temperature=cell,
        coefficient=array.need("voltage_coefficient"),
        cells_in_series=array.need("cells_in_series"),
        ideality=IDEALITY,
        note="voltage at maximum power, with its own rating",
    )
    value = ask.w.call("V", string_voltage, module_voltage=module, modules_in_series=array.need("series"))
    return Outcome(Q.VOLTAGE, value, lower=least, basis=basis)


def _least_input(ask: Ask, other: Node) -> tuple[float, str]:
    if isinstance(other.part, PumpController):
        return other.need("start_voltage"), f"{other.tag}: start voltage"
    battery, _ = ask.system.path_between(other.tag, "battery", BatteryBank, "cable")
    needed = ask.w.call(
        "V_abs",
        compensated_set_point,
        cell_voltage=other.need("absorption"),
        compensation=other.need("compensation"),
        temperature=REFERENCE_TEMPERATURE,
        cells=battery.need("cells_per_block") * battery.need("series"),
    )
    return needed, f"{other.tag}: absorption voltage of {battery.tag} at 25 °C"


def fed_by_array(system: System, tag: str) -> tuple[str, ...]:
    """Return the controllers that an array feeds."""
    found = [node.tag for node, _ in system.reached(tag, "cable", "output")]
    return tuple(sorted(t for t in found if isinstance(system.nodes[t].part, PumpController | ChargeController)))


def charges_a_battery(system: System, tag: str) -> bool:
    """Whether a battery leads to a charge controller, so that its highest voltage is known."""
    return any(isinstance(node.part, ChargeController) for node, _ in system.reached(tag, "cable"))


def set_point(ask: Ask) -> Outcome:
    """Return the absorption set point of each cell against the usual range of the battery's chemistry."""
    battery, _ = ask.system.path_between(ask.tag, "battery", BatteryBank, "cable")
    chemistry = battery.need_text("chemistry")
    if chemistry not in SET_POINTS:
        raise MissingDataError(battery.tag, "chemistry", f"{battery.tag}: no set points are known for {chemistry}")
    low, high = SET_POINTS[chemistry].absorption
    return Outcome(
        Q.VOLTAGE,
        ask.node.need("absorption"),
        lower=low,
        upper=high,
        basis=f"each cell at 25 °C, usual for {chemistry}; the battery's own sheet comes first",
    )


RULES = (
    Rule(
        key="array_voltage",
        title="Array voltage at record low",
        sort=Sort.SAFETY,
        subjects=(SolarArray,),
        purpose="Above what it stands, a controller is destroyed at the first cold sunrise and a switch burns on.",
        limits=(
            Limit("not above the rated DC voltage of anything between the array and its controller", "nameplates"),
            Limit("voltage at the lowest expected air temperature", "NEC (NFPA 70, 2020) 690.7(A)(1)"),
        ),
        evaluate=array_voltage,
        against=stand_array_voltage,
    ),
    Rule(
        key="battery_voltage",
        title="Battery voltage while charged in the cold",
        sort=Sort.SAFETY,
        subjects=(BatteryBank,),
        purpose="An inverter or fuse below the charging voltage fails on the first cold, bright morning.",
        limits=(Limit("not above the rated DC voltage of anything on the battery's cables", "nameplates"),),
        evaluate=battery_voltage,
        against=on_battery,
        applies=charges_a_battery,
    ),
    Rule(
        key="charge_set_point",
        title="Absorption set point",
        sort=Sort.SAFETY,
        subjects=(ChargeController,),
        purpose="Set too high it boils lead-acid and endangers lithium; too low it sulphates.",
        limits=(Limit("within the usual range of the chemistry", "makers' manuals, in part from memory"),),
        evaluate=set_point,
    ),
    Rule(
        key="array_voltage_in_heat",
        title="Array voltage in the heat",
        sort=Sort.FUNCTION,
        subjects=(SolarArray,),
        purpose="Too few modules in series: on the hottest days the pump does not start, the battery is never full.",
        limits=(
            Limit("not below the start voltage of the pump controller", "nameplate"),
            Limit("not below the absorption voltage of the battery", "the charge controller's set point"),
        ),
        evaluate=voltage_in_heat,
        against=fed_by_array,
    ),
)
