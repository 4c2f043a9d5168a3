"""Charging: the voltage that a controller holds, the current that it gives, and the fuses that guard the battery."""

from sizing.checks.battery_case import HYDROGEN, KILOAMPERES
from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import (
    COMMON,
    Accuracy,
    Caution,
    Check,
    Input,
    Judged,
    Kind,
    Limit,
    Need,
    Needed,
    Option,
    Way,
)
from sizing.checks.needs import IRRADIANCE, MODULE_TEMPERATURE, SUN_AND_HEAT, array_feeding
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale, along
from sizing.design.declare import Ask, Outcome, Scene
from sizing.design.fuses import fuse_rating, interrupting_rating
from sizing.design.voltages import highest_charging_voltage, record_low_voltage
from sizing.design.wiring import arrays_on, battery_on, cable_of
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.battery import battery_voltage
from sizing.formulas.charging import compensated_set_point, tracking_charge_current
from sizing.formulas.limits import limit_at_offset, lower_limit, upper_limit
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import BatteryBank, ChargeController, OvercurrentDevice
from sizing.power import Chain, arrays_behind
from sizing.quantities import Quantity as Q
from sizing.stored_power import sun_to_battery
from sizing.system import Node, System

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
VOLTMETER = Accuracy(of_reading=0.005, fixed=0.02, words="multimeter")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.1, words="DC clamp meter")
PRINT = Accuracy(words="read off the print")

BULK, ABSORPTION, FLOAT, EQUALISE = 0.0, 1.0, 2.0, 3.0
STAGES = (
    Option("bulk", "bulk: all that the sun gives, voltage still rising", BULK),
    Option("absorption", "absorption: voltage held, current falling", ABSORPTION),
    Option("float", "float: full, voltage held lower", FLOAT),
    Option("equalise", "equalising", EQUALISE),
)
SET_POINT = {ABSORPTION: "absorption", FLOAT: "float_charge", EQUALISE: "equalise"}
OFF_SET_POINT = 0.2 / 6  # V of a cell: 0.2 V for a 12 V block; common practice, no source
LEAST_SUN = 400.0  # W/m²; common practice, no source
CURRENT_SHORT = 0.20  # dirt, heat and the maker's tolerance included; common practice, no source
UNBOUNDED = 1e6  # A
ABOVE_RATING = 0.05  # common practice, no source
WARM = 25.0  # °C, of the cables in the phone's tables: in the field they move the current by less than a hundredth
MODEL_HALF_WIDTH = 0.03  # controller's efficiency and module power at part load; common practice, no source

COLD_LITHIUM = Caution(
    "Lithium below its lowest charging temperature, commonly 0 °C: no charge at all. It is ruined without a sign.",
    "nameplate; IEC 62619 (from memory)",
)
FIRST_BATTERY = Caution(
    "Battery on the controller first, array last; off in the other order. Without a battery the array's volts pass.",
    COMMON,
)


def battery_of(system: System, tag: str) -> Node:
    """Return the battery that a charge controller charges, or raise MissingDataError."""
    return system.path_between(tag, "battery", BatteryBank, "cable")[0]


def battery_tag(system: System, tag: str) -> str:
    """Return the tag of the battery that a charge controller charges."""
    return battery_of(system, tag).tag


def array_tag(system: System, tag: str) -> str:
    """Return the tag of an array whose sun counts for a charge controller."""
    return array_feeding(system, tag)


def stage_read(case: Case) -> float:
    """Return the stage that was read."""
    return case.reading("stage")


def whole_cells(case: Case) -> tuple[float, Node]:
    """Return the cells in series of the battery, and the battery."""
    battery = battery_of(case.system, case.subject.tag)
    return battery.need("cells_per_block") * battery.need("series"), battery


def set_point(case: Case, field: str, symbol: str) -> float:
    """Return a set point at the posts for the battery's temperature, as a step."""
    cells, _ = whole_cells(case)
    return case.w.call(
        symbol,
        compensated_set_point,
        cell_voltage=case.subject.need(field),
        compensation=case.subject.need("compensation"),
        temperature=case.condition("battery_temperature"),
        cells=cells,
    )


def charge_voltage_expected(case: Case) -> Expected:
    """Return the set point of the stage by the battery's heat; in bulk only the absorption set point is above it."""
    stage = stage_read(case) if case.readings else ABSORPTION
    _refuse_cold_lithium(case)
    nominal = set_point(case, SET_POINT.get(stage, "absorption"), "V set")
    cells, _ = whole_cells(case)
    slack = case.w.call("ΔV", battery_voltage, cell_voltage=OFF_SET_POINT, cells=cells)
    upper = case.w.call("upper", limit_at_offset, nominal=nominal, offset=slack)
    if stage == BULK:
        basis = f"in bulk any voltage up to absorption + 0.2 V for each 12 V: {COMMON}"
        return Expected(Q.VOLTAGE, upper=upper, bearable=2 * slack, basis=basis)
    lower = case.w.call("lower", limit_at_offset, nominal=nominal, offset=-slack)
    basis = f"set point of the nameplate at the battery's temperature ± 0.2 V for each 12 V: {COMMON}"
    return Expected(Q.VOLTAGE, nominal, lower, upper, basis)


def _refuse_cold_lithium(case: Case) -> None:
    """Raise where a lithium battery is colder than it may be charged."""
    _, battery = whole_cells(case)
    if battery.need_text("chemistry") != "lithium iron phosphate":
        return
    temperature, least = case.condition("battery_temperature"), battery.need("lowest_charge_temperature")
    if temperature < least:
        raise OutOfRangeError("battery_temperature", f"{temperature:.0f} °C", f"≥ {least:.0f} °C: stop charging now")


def not_too_cold(case: Case) -> float:
    """Return the battery's temperature, or raise where it may not be charged."""
    _refuse_cold_lithium(case)
    return case.condition("battery_temperature")


def charge_current_expected(case: Case) -> Expected:
    """Return what the sun gives into the battery; in bulk not less by a fifth, never above what both bear."""
    _, battery = whole_cells(case)
    _refuse_cold_lithium(case)
    irradiance = case.condition("irradiance")
    stage = stage_read(case) if case.readings else BULK
    if stage == BULK and irradiance < LEAST_SUN:
        words = f"needs {LEAST_SUN:g} W/m² or more in the array's plane; it was {irradiance:.0f} W/m²"
        raise MissingDataError("condition", "irradiance", words)
    bearable = min(battery.need("maximum_charge_current"), case.subject.need("rated_current"))
    most = case.w.call("upper", upper_limit, nominal=bearable, tolerance=ABOVE_RATING)
    if stage != BULK:
        basis = "greatest charge current of battery or controller + 5 %; when full it takes what it needs"
        return Expected(Q.CURRENT, upper=most, bearable=most / 4, basis=basis)
    nominal = _current_now(case, battery, irradiance)
    return Expected(
        Q.CURRENT,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=CURRENT_SHORT),
        most,
        basis=f"least of sun, controller and battery, less 20 %: {COMMON}",
        terms=(Term("charging model ± 3 %", standard_from_half_width(MODEL_HALF_WIDTH * nominal), shared=True),),
    )


def _current_now(case: Case, battery: Node, irradiance: float) -> float:
    """Return the current into the battery; all arrays of a controller count with the sun that was measured."""
    volts = case.reading("voltage") if case.readings else set_point(case, "absorption", "V abs")
    return _chain(case, irradiance, volts, case.condition("battery_temperature")).end.current


def _chain(case: Case, irradiance: float, volts: float, around: float) -> Chain:
    tags = [array.tag for array, _ in arrays_behind(case.system, case.system.node(case.subject.tag))]
    return sun_to_battery(
        case.system,
        case.system.node(case.subject.tag),
        dict.fromkeys(tags, irradiance),
        dict.fromkeys(tags, case.condition("module_temperature")),
        volts,
        case.w,
        temperature=around,
    )


def offered_current(case: Case) -> float:
    """Return the current that the sun offers at the posts before any rating bounds it: an axis of the phone's table."""
    volts = case.reading("voltage")
    into = _chain(case, case.condition("irradiance"), volts, WARM).points[-2]
    if case.subject.need_text("principle") != "tracking":
        return into.current
    return tracking_charge_current(
        array_power=into.power,
        efficiency=case.subject.need("efficiency"),
        battery_voltage=volts,
        controller_limit=UNBOUNDED,
        battery_limit=UNBOUNDED,
    )


def fuse_expected(case: Case) -> Expected:
    """Return the least and the highest rating for the circuit, by the rules of the design check."""
    return _by_rule(fuse_rating(_ask(case)))


def breaking_expected(case: Case) -> Expected:
    """Return the fault current that the fuse must be able to interrupt."""
    found = interrupting_rating(_ask(case))
    return _by_rule(found)


def fuse_voltage_expected(case: Case) -> Expected:
    """Return the highest voltage of the circuit, which the fuse must be able to part: array in the cold, or battery."""
    ask = _ask(case)
    run = cable_of(ask.system, ask.node)
    battery = battery_on(ask.system, run)
    found = [record_low_voltage(ask, array) for array in arrays_on(ask.system, run)]
    found += [highest_charging_voltage(ask, battery)] if battery is not None else []
    if not found:
        raise MissingDataError(run.tag, "cable", f"{run.tag}: neither array nor battery is recorded on it")
    lower = max(found)
    basis = f"highest voltage of the circuit of {run.tag}: array at record low, battery while charged"
    return Expected(Q.VOLTAGE, lower=lower, basis=basis, bearable=lower)


def _ask(case: Case) -> Ask:
    return Ask(Scene(case.system), case.subject.tag, "", case.w)


def _by_rule(found: Outcome) -> Expected:
    return Expected(found.quantity, None, found.lower, found.upper, found.basis, bearable=found.lower)


BATTERY_TEMPERATURE = Need(
    "battery_temperature", Needed.WEATHER, "Temperature of the battery", Q.TEMPERATURE, battery_tag, max_age=3_600.0
)
STAGE = Input(
    "stage",
    "Stage of charge",
    Q.COUNT,
    hard=(0, 3),
    hint="as the controller shows it; a grey day is bulk",
    usual=Accuracy(words="shown by the controller"),
    options=STAGES,
)
POSTS = Input(
    "voltage",
    "Voltage at the posts",
    Q.VOLTAGE,
    hard=(1, 1000),
    soft=(10, 64),
    hint="at the battery, not off a display",
    usual=VOLTMETER,
)

FUSE_RATING = Check(
    key="fuse_rating",
    title="Fuse or breaker, as fitted",
    kind=Kind.MEASURED,
    subject=OvercurrentDevice,
    group="Battery and charging",
    purpose="It lets the circuit's current pass, blows before the cable burns, and can break the battery's short.",
    ways=(
        Way(
            "print",
            "Read off what is fitted",
            (
                Input("rating", "Rated current", Q.CURRENT, hard=(0.1, 5000), soft=(1, 400), usual=PRINT),
                Input(
                    "breaking",
                    "Interrupting rating, DC",
                    Q.CURRENT,
                    hard=(10, 1e6),
                    soft=(500, 200_000),
                    hint="direct current, at the circuit's voltage",
                    usual=PRINT,
                ),
                Input(
                    "voltage",
                    "Rated DC voltage",
                    Q.VOLTAGE,
                    hard=(1, 3000),
                    soft=(24, 1500),
                    hint="for direct current: 250 V AC is often 32 V DC",
                    usual=PRINT,
                ),
            ),
        ),
    ),
    judged=(
        Judged("rating", "Rated current", Q.CURRENT, fuse_expected),
        Judged("breaking", "Interrupting rating", Q.CURRENT, breaking_expected),
        Judged("voltage", "Rated DC voltage", Q.VOLTAGE, fuse_voltage_expected),
    ),
    method=("Read the print on the fuse or breaker itself, not the drawing.", "DC figures only: AC does not count."),
    cautions=(KILOAMPERES,),
    limits=(
        Limit(
            "array: 1.25 × 1.25 × I_sc or more; IEC: 1.5 to 2.4 × I_sc",
            "NEC (NFPA 70, 2020) 690.9; IEC 62548 (from memory)",
        ),
        Limit(
            "not above the cable's corrected ampacity, nor the module's series fuse maximum",
            "NEC 240.4, 110.3(B) (from memory)",
        ),
        Limit("interrupting rating not below the battery's short-circuit current", "NEC 110.9 (from memory)"),
        Limit("rated for DC at the circuit's highest voltage, in the cold", "NEC (NFPA 70, 2020) 690.7, 690.9(B)"),
    ),
    revision=2,
)

CHARGE_CURRENT = Check(
    key="charge_current",
    revision=2,
    title="Charge current",
    kind=Kind.MEASURED,
    subject=ChargeController,
    group="Battery and charging",
    purpose="What the sun offers arrives in the battery, and never more than it bears.",
    ways=(
        Way(
            "clamp",
            "Clamp on the battery lead",
            (
                Input(
                    "current",
                    "Current into the battery",
                    Q.CURRENT,
                    hard=(-500, 1000),
                    soft=(0.2, 150),
                    hint="between controller and battery; clamp zeroed",
                    usual=DC_CLAMP,
                ),
                POSTS,
                STAGE,
            ),
            ("DC clamp meter", "multimeter"),
        ),
    ),
    judged=(Judged("current", "Current into the battery", Q.CURRENT, charge_current_expected),),
    pocket=Pocket(
        (
            Plan(
                ("stage", "irradiance", "offered_current"),
                held={"battery_temperature": WARM},
                guards=("not_too_cold",),
            ),
        ),
        axes=(*SUN_AND_HEAT, Axis("voltage", scale=Scale.RECIPROCAL)),
        figures=(
            Figure("not_too_cold", ("battery_temperature",), not_too_cold),
            Figure("offered_current", ("irradiance", "module_temperature", "voltage"), offered_current, lead="voltage"),
        ),
    ),
    needs=(IRRADIANCE, MODULE_TEMPERATURE, BATTERY_TEMPERATURE),
    state="steady sun, loads off",
    method=(
        "Loads off; zero the clamp, put it round one battery lead of the controller.",
        "Read current and posts together, in steady sun.",
        "Note the stage: after bulk a small current is a full battery, no fault.",
    ),
    cautions=(HYDROGEN, COLD_LITHIUM),
    limits=(
        Limit("in bulk: not below sun, controller and battery (the least of them) less 20 %", COMMON),
        Limit("never above the greatest charge current of battery or controller + 5 %", "nameplates; 5 %: " + COMMON),
        Limit("400 W/m² or more to judge a small current", COMMON),
    ),
    gate="connect_charging",
    needs_sun=True,
    at_service=True,
)

CHARGE_VOLTAGE = Check(
    key="charge_voltage",
    title="Charge voltage",
    kind=Kind.MEASURED,
    subject=ChargeController,
    group="Battery and charging",
    purpose="The battery is filled to the voltage it wants today, by its heat: neither starved nor boiled.",
    ways=(Way("posts", "Multimeter at the posts", (POSTS, STAGE), ("multimeter",)),),
    judged=(Judged("voltage", "Voltage at the posts", Q.VOLTAGE, charge_voltage_expected),),
    pocket=along("stage", "battery_temperature"),
    needs=(BATTERY_TEMPERATURE,),
    state="charging",
    method=(
        "Read the stage off the controller, the voltage off the posts.",
        "26.4 V on a 24 V bank under a grey sky is a bank that charges: bulk, and no fault.",
    ),
    cautions=(HYDROGEN, COLD_LITHIUM, FIRST_BATTERY),
    limits=(
        Limit("absorption, float, equalise: set point at the battery's temperature ± 0.2 V for each 12 V", COMMON),
        Limit("bulk: anything up to that", COMMON),
    ),
    gate="connect_charging",
    needs_sun=True,
    at_service=True,
)

CHECKS = (FUSE_RATING, CHARGE_CURRENT, CHARGE_VOLTAGE)
