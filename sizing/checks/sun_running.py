"""The array at work: each string's current, and the voltage at which it is held."""

from typing import Any

from sizing.cables import loops
from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import (
    COMMON,
    Check,
    Input,
    Judged,
    Kind,
    Limit,
    Way,
    each,
)
from sizing.checks.needs import IRRADIANCE, MODULE_TEMPERATURE
from sizing.checks.pocket import Plan, Pocket
from sizing.checks.sun import (
    CURRENT_MODEL,
    CURRENT_TOLERANCE,
    DC_ARC,
    DC_CLAMP,
    LEAST_SUN_FOR_CURRENT,
    LIVE_STRING,
    STRINGS_APART,
    VOLTMETER,
    sun_of_at_least,
)
from sizing.checks.walk_round import METER
from sizing.errors import MissingDataError
from sizing.formulas.battery import battery_voltage
from sizing.formulas.comparisons import share_from_mean, share_of
from sizing.formulas.limits import limit_at_offset, lower_limit, upper_limit
from sizing.formulas.photovoltaic import short_circuit_current
from sizing.formulas.solar_pumping import controller_input_power, direct_current_power, power_taken
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import BatteryBank, ChargeController, PumpController, SolarArray, SubmersiblePump
from sizing.power import array_now
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, System
from sizing.working import Working

VOLTAGE_SHORT, VOLTAGE_OVER = 0.10, 0.05  # common practice, no source
VOLTAGE_MODEL = 0.04  # of the voltage at maximum power, greatest departure from a single-diode model
BATTERY_DROP = 1.0  # V between array and posts in a controller that only switches; common practice, no source


def feeds(case: Case) -> tuple[Node, list[Run]]:
    """Return the controller that an array feeds and the cables to it, or raise MissingDataError."""
    for node, path in case.system.reached(case.subject.tag, "cable", "output"):
        if isinstance(node.part, PumpController | ChargeController):
            return node, path
    words = f"{case.subject.tag}: no cable leads from it to a controller"
    raise MissingDataError(case.subject.tag, "cable", words)


def greatest_input(case: Case, w: Working) -> float:
    """Return the most power that the controller of an array takes: by the pump's rating or its own current."""
    controller, _ = feeds(case)
    efficiency = controller.need("efficiency")
    if isinstance(controller.part, PumpController):
        pump, _ = case.system.path_between(controller.tag, "motor", SubmersiblePump, "cable")
        return w.call("P_i max", controller_input_power, output_power=pump.need("rated_power"), efficiency=efficiency)
    battery, _ = case.system.path_between(controller.tag, "battery", BatteryBank, "cable")
    posts = w.call(
        "V_abs",
        battery_voltage,
        cell_voltage=controller.need("absorption"),
        cells=battery.need("cells_per_block") * battery.need("series"),
    )
    most = w.call("P_o max", direct_current_power, voltage=posts, current=controller.need("rated_current"))
    return w.call("P_i max", controller_input_power, output_power=most, efficiency=efficiency)


def power_offered(case: Case) -> float:
    """Return what the array offers in the sun and heat of the moment."""
    irradiance, cells = sun_of_at_least(case, LEAST_SUN_FOR_CURRENT), case.condition("module_temperature")
    return array_now(case.system.node(case.subject.tag), irradiance, cells, case.w).power


def power_now(case: Case) -> float:
    """Return the power that the array should give: what the sun offers, no more than its controller takes."""
    offered = power_offered(case)
    return case.w.call("P", power_taken, available_power=offered, greatest_power=greatest_input(case, case.w))


def is_tracked(system: System, tag: str) -> bool:
    """Whether an array is held at its best point; one whose controller is of unknown kind is asked for it."""
    return not any(
        getattr(node.part, "principle", None) in ("switching", "direct")
        for node, _ in system.reached(tag, "cable", "output")
    )


def operating_current_expected(case: Case) -> Expected:
    """Return a string's current at work: from what its controller takes less 15 % up to the short circuit's."""
    irradiance = sun_of_at_least(case, LEAST_SUN_FOR_CURRENT)
    sun: dict[str, Any] = {"irradiance": irradiance, "cell_temperature": case.condition("module_temperature")}
    sun["coefficient"] = case.subject.need("current_coefficient")
    plate = {n: case.subject.need(f"module_{n}_current") for n in ("short_circuit", "maximum_power")}
    best = case.w.call("I_mp", short_circuit_current, rated_current=plate["maximum_power"], **sun)
    short = case.w.call("I_sc", short_circuit_current, rated_current=plate["short_circuit"], **sun)
    nominal = best * _share_taken(case) if is_tracked(case.system, case.subject.tag) else best
    return Expected(
        Q.CURRENT,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=CURRENT_TOLERANCE),
        case.w.call("upper", upper_limit, nominal=short, tolerance=CURRENT_TOLERANCE),
        basis="from the current at maximum power, or at the controller's rating, less 15 % to the short circuit's: "
        + COMMON,
        terms=(Term("current model ± 1 %", standard_from_half_width(CURRENT_MODEL * nominal), shared=True),),
    )


def _share_taken(case: Case) -> float:
    """Return the share of the array's power that its controller can take."""
    offered = power_offered(case)
    return case.w.call("taken", share_of, value=min(offered, greatest_input(case, case.w)), whole=offered)


def against_mean(case: Case) -> float:
    """Return how far this string lies from the mean of all that were read, over that mean."""
    return case.w.call("s", share_from_mean, value=case.reading("current"), values=case.series("current"))


def against_mean_expected(case: Case) -> Expected:
    """Return how far a string may lie from the mean of all."""
    basis = "5 % either way from the mean of the strings, following the method of IEC 62446-1"
    return Expected(Q.RATIO, 0.0, -STRINGS_APART, STRINGS_APART, basis)


def operating_voltage_expected(case: Case) -> Expected:
    """Return the voltage at the controller: by what holds the array, its own best point or the battery."""
    controller, cables = feeds(case)
    principle = controller.need_text("principle")
    if principle == "tracking":
        return _tracked_voltage(case, cables)
    if principle == "switching":
        return _battery_voltage(case)
    words = f"{controller.tag} connects directly: the pump sets the voltage, judged by its power and flow"
    raise MissingDataError(controller.tag, "principle", words)


def _tracked_voltage(case: Case, cables: list[Run]) -> Expected:
    irradiance = sun_of_at_least(case, LEAST_SUN_FOR_CURRENT)
    now = array_now(case.system.node(case.subject.tag), irradiance, case.condition("module_temperature"), case.w)
    air = case.system.subject("site").need("design_high")
    drop = loops(cables, air, case.w, "R_cable") * now.maximum_power_current
    nominal = case.w.call("V_i", limit_at_offset, nominal=now.maximum_power_voltage, offset=-drop)
    return Expected(
        Q.VOLTAGE,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=VOLTAGE_SHORT),
        case.w.call("upper", upper_limit, nominal=now.open_circuit_voltage, tolerance=VOLTAGE_OVER),
        basis="from the voltage at maximum power less 10 % to the open circuit's, where it is held back: " + COMMON,
        terms=(Term("voltage model ± 4 %", standard_from_half_width(VOLTAGE_MODEL * nominal), shared=True),),
    )


def _battery_voltage(case: Case) -> Expected:
    posts = case.reading("posts")
    upper = case.w.call("upper", limit_at_offset, nominal=posts, offset=BATTERY_DROP)
    basis = "a controller that switches holds the array at the battery's voltage, in bulk, less than 1 V apart: "
    return Expected(Q.VOLTAGE, posts, posts, upper, basis=basis + COMMON)


CURRENT = Input(
    "current",
    "Current of the string",
    Q.CURRENT,
    hard=(0, 60),
    soft=(0.3, 25),
    hint="clamp zeroed beside the conductor, on DC, one turn",
    usual=DC_CLAMP,
)
OPERATING_CURRENT = Check(
    key="operating_current",
    title="Current of each string at work",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="Each string carries its share while the array works: the other way where nothing can be shorted safely.",
    ways=(Way("clamp", "Clamp on each string", (CURRENT,), ("DC clamp meter", "sun meter")),),
    judged=(
        Judged("current", "Current of the string", Q.CURRENT, operating_current_expected),
        Judged("against_mean", "Against the mean of the strings", Q.RATIO, against_mean_expected, against_mean),
    ),
    repeat=each("parallel", "string"),
    needs=(IRRADIANCE, MODULE_TEMPERATURE),
    state="array at work, steady sun, glass clean, no shade",
    method=(
        "Pump running with an open outlet, or battery in bulk: nothing may hold the current back.",
        "Clamp round one lead of each string, one after the other within a minute.",
        "As it should be: all alike within a twentieth. One at nil: its fuse or connector.",
    ),
    cautions=(DC_ARC, LIVE_STRING),
    limits=(
        Limit(
            "from the current at maximum power, or at the controller's rating, less 15 % to the short circuit's + 15 %",
            COMMON,
        ),
        Limit(
            "each string within 5 % of the mean",
            "following the method of IEC 62446-1:2016, written for systems on the grid",
        ),
        Limit("400 W/m² or more", COMMON),
    ),
    after=("string_polarity", "open_circuit_voltage"),
    gate="close_strings",
    tier="full",
    needs_sun=True,
    at_service=True,
    pocket=Pocket(
        (Plan(("irradiance", "module_temperature"), judged="current"),),
        server="each string is held against the mean of all that were read",
    ),
)

ARRAY_OPERATING_VOLTAGE = Check(
    key="array_operating_voltage",
    title="Voltage of the array at work",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="The controller holds the array at its best point: no module out, no bad joint, no tracking gone astray.",
    ways=(
        Way(
            "meter",
            "Multimeter at the controller's array input",
            (
                Input(
                    "voltage",
                    "Voltage from the array",
                    Q.VOLTAGE,
                    hard=(0, 2000),
                    soft=(10, 1000),
                    usual=VOLTMETER,
                ),
                Input(
                    "posts",
                    "Battery, at its posts",
                    Q.VOLTAGE,
                    hard=(1, 1000),
                    soft=(10, 64),
                    hint="only for a controller that switches (PWM)",
                    optional=True,
                    usual=VOLTMETER,
                ),
            ),
            ("multimeter",),
        ),
    ),
    judged=(Judged("voltage", "Voltage from the array", Q.VOLTAGE, operating_voltage_expected),),
    needs=(IRRADIANCE, MODULE_TEMPERATURE),
    state="array at work, steady sun",
    method=(
        "Read at the controller's array terminals, two minutes after it has settled.",
        "A controller that switches: battery in bulk, and read its posts as well.",
        "As it should be: it hardly moves. Near the open circuit: held back, or nothing takes the power.",
    ),
    cautions=(LIVE_STRING, METER),
    limits=(
        Limit("tracking: from the voltage at maximum power less 10 % to the open circuit's + 5 %", COMMON),
        Limit("switching: the battery's voltage, less than 1 V above it", COMMON),
        Limit("400 W/m² or more", COMMON),
    ),
    after=("string_polarity", "open_circuit_voltage"),
    gate="close_strings",
    tier="full",
    needs_sun=True,
    at_service=True,
    pocket=Pocket(
        (
            Plan(("irradiance", "module_temperature"), without=("posts",)),
            Plan(("irradiance", "module_temperature", "posts"), given=("posts",)),
        )
    ),
)

CHECKS = (OPERATING_CURRENT, ARRAY_OPERATING_VOLTAGE)
