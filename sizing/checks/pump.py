"""The well pump: which way it turns, what it takes from the sun, and the water it gives for that."""

import dataclasses

from sizing.checks.case import Case, Expected
from sizing.checks.declare import (
    COMMON,
    Accuracy,
    Check,
    Input,
    Judged,
    Kind,
    Limit,
    Way,
)
from sizing.checks.needs import IRRADIANCE, MODULE_TEMPERATURE, STATIC_LEVEL, SUN_AND_HEAT
from sizing.checks.pocket import Axis, Plan, Pocket, along
from sizing.checks.power_now import (
    ARRAY_POWER,
    array_power_cool,
    array_power_now,
    controller_of,
    greatest_input,
    is_on_battery,
    power_at_pump,
    taken_by_controller,
)
from sizing.checks.pump_flow import CHECKS as FLOW_CHECKS
from sizing.checks.pump_flow import LIVE_CONTROLLER, POWER_READ, STOPWATCH, around_log, from_least_power
from sizing.checks.pump_head import pump_of, wellhead
from sizing.checks.well_water import JET
from sizing.errors import MissingDataError
from sizing.formulas.levels import (
    lift_from_well,
)
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.pump_curves import pump_table_flow, pump_table_lowest_head
from sizing.formulas.solar_pumping import direct_current_power
from sizing.formulas.tanks import fill_time
from sizing.formulas.wells import casing_volume
from sizing.hydraulics import inside_diameter
from sizing.parts import SubmersiblePump, Well
from sizing.pumping import pump_rows
from sizing.quantities import Quantity as Q
from sizing.system import Node, System

# Accuracies of ordinary instruments; common practice, no source.
VOLTMETER = Accuracy(of_reading=0.005, fixed=0.2, words="multimeter")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.05, words="DC clamp meter")
AC_CLAMP = Accuracy(of_reading=0.03, fixed=0.05, words="clamp meter")

LEAST_SUN = 400.0  # W/m²; common practice, no source
POWER_SHORT = 0.20  # maker's tolerance, dirt, mismatch, cables and tracking together; common practice, no source
POWER_OVER = 0.10  # power above 1.1 × array × sun is a slip; common practice, no source


def power_measured(case: Case) -> float:
    """Return the power into the controller: from its display, or volts times amperes."""
    if case.here("power"):
        return case.reading("power")
    return case.w.call("P read", direct_current_power, voltage=case.reading("voltage"), current=case.reading("current"))


def power_expected(case: Case) -> Expected:
    """Return what the drive should take now; low is the fault, more than its rating or the sun allow is a slip."""
    pump = pump_of(case)
    drive, _ = controller_of(case, pump)
    if is_on_battery(case, drive):
        return _from_battery(case, pump, drive)
    irradiance = case.condition("irradiance")
    if irradiance < LEAST_SUN:
        words = f"needs {LEAST_SUN:g} W/m² or more in the array's plane; it was {irradiance:.0f} W/m²"
        raise MissingDataError("condition", "irradiance", words)
    nominal = taken_by_controller(case, pump, drive)
    cool = case.w.call("P_sun max", upper_limit, nominal=array_power_cool(case, drive), tolerance=POWER_OVER)
    rated = greatest_input(case, pump, drive)
    most = case.w.call("P_rated max", upper_limit, nominal=rated, tolerance=POWER_OVER)
    lower = None
    if not is_flat(nominal, rated, array_power_now(case, drive)):
        lower = case.w.call("lower", lower_limit, nominal=nominal, tolerance=POWER_SHORT)
    basis = "array now less 20 %" if lower is not None else "at its rating, the array offers more: less is no fault"
    basis = f"{basis}; never above 1.1 × array × sun, nor 1.1 × rating: {COMMON}"
    return Expected(Q.POWER, nominal, lower, min(cool, most), basis)


def is_flat(nominal: float, rated: float, offered: float) -> bool:
    """Whether the drive is held at its rating although the array would offer more, all allowances off."""
    return nominal >= rated and (1 - POWER_SHORT) * offered >= rated


def _from_battery(case: Case, pump: Node, drive: Node) -> Expected:
    """Return the most that a drive on a battery takes; how much less depends on the pump's load alone."""
    nominal = greatest_input(case, pump, drive)
    upper = case.w.call("upper", upper_limit, nominal=nominal, tolerance=POWER_OVER)
    basis = f"pump's rated power through {drive.tag} + 10 %; less is no fault: {COMMON}"
    return Expected(Q.POWER, nominal, upper=upper, basis=basis)


def current_expected(case: Case) -> Expected:
    """Return the most current: that of the nameplate."""
    rated = case.subject.need("rated_current")
    return Expected(Q.CURRENT, upper=rated, bearable=rated / 5, basis="rated current on the nameplate")


def time_to_water_expected(case: Case) -> Expected:
    """Return how long an empty drop pipe takes to fill in the sun of the moment; sooner is no fault."""
    pump = pump_of(case)
    well = case.system.host_of(pump, Well)
    _, pipes = wellhead(case, pump)
    table, power = pump_rows(pump), power_at_pump(case, pump)
    static = case.condition("static_level")
    lowest = case.w.call("H_min", pump_table_lowest_head, rows=table, power=power)
    rise = case.w.call(
        "z",
        lift_from_well,
        outlet_elevation=wellhead(case, pump)[0].need("elevation"),
        measuring_point_height=well.need("measuring_point_height"),
        pumping_level=static,
    )
    flow = case.w.call("Q", pump_table_flow, rows=table, power=power, head=max(rise, lowest))
    volume = case.w.call("V", casing_volume, inside_diameter=inside_diameter(pipes[0]), water_column=max(rise, 0.0))
    nominal = case.w.call("t", fill_time, volume=volume, inflow=flow, outflow=0.0)
    upper = case.w.call("upper", upper_limit, nominal=nominal, tolerance=1.0)
    return Expected(Q.DURATION, nominal, None, upper, basis="twice the time to fill an empty drop pipe: " + COMMON)


def is_fed_by_sun(system: System, tag: str) -> bool:
    """Whether a pump hangs on a controller or an inverter, so that power can be read there."""
    return bool(system.runs_at(tag, "cable", "motor"))


ROTATION = Check(
    key="rotation",
    title="Rotation",
    kind=Kind.OBSERVED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The pump turns the right way: backwards it gives little water or unscrews itself.",
    state="first start, discharge open to waste",
    method=(
        "Start with the outlet open to waste and the valve cracked.",
        "Three wires: try both orders; the one with more water and less current is right.",
        "Two wires: check plus and minus against the nameplate before the start.",
        "As it should be: steady strong water, no knock, no trip.",
    ),
    cautions=(JET, LIVE_CONTROLLER),
    after=("static_level", "string_polarity", "open_circuit_voltage"),
    gate="start_well_pump",
    needs_sun=True,
)

TIME_TO_WATER = Check(
    key="time_to_water",
    title="Time to first water",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="A tight drop pipe and check valve: water that takes longer every year runs back at night.",
    ways=(
        Way(
            "watch",
            "Watch",
            (
                Input(
                    "time",
                    "From start to steady water",
                    Q.DURATION,
                    hard=(0, 7_200),
                    soft=(1, 900),
                    hint="from the first turn of the motor, not from the switch",
                    usual=STOPWATCH,
                ),
            ),
            ("watch",),
        ),
    ),
    judged=(Judged("time", "Time to first water", Q.DURATION, time_to_water_expected),),
    pocket=along(
        "array_power",
        "static_level",
        axes=(*SUN_AND_HEAT, Axis("static_level", around_log)),
        figures=(dataclasses.replace(ARRAY_POWER, span=from_least_power),),
    ),
    needs=(IRRADIANCE, MODULE_TEMPERATURE, STATIC_LEVEL),
    state="pump at rest before, outlet open to waste",
    method=(
        "Start the watch when the motor starts.",
        "Stop it when the water runs without air.",
        "Measure the sun meanwhile.",
    ),
    cautions=(JET,),
    limits=(Limit("not above twice the time to fill the empty drop pipe", COMMON),),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
)

WELL_PUMP_POWER = Check(
    key="well_pump_power",
    title="Power into the controller",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The controller takes from the array what the sun offers, up to the pump's rating.",
    ways=(
        Way(
            "meters",
            "Multimeter and clamp at the controller's array input",
            (
                Input("voltage", "Voltage from the array", Q.VOLTAGE, hard=(0, 2000), soft=(10, 1000), usual=VOLTMETER),
                Input(
                    "current",
                    "Current from the array",
                    Q.CURRENT,
                    hard=(0, 500),
                    soft=(0.3, 80),
                    hint="DC clamp, zeroed",
                    usual=DC_CLAMP,
                ),
            ),
            ("multimeter", "DC clamp meter"),
        ),
        Way(
            "display",
            "Controller's display",
            (Input("power", "Power", Q.POWER, hard=(0, 100_000), soft=(20, 15_000), usual=POWER_READ),),
        ),
    ),
    judged=(Judged("power", "Power into the controller", Q.POWER, power_expected, power_measured),),
    pocket=Pocket(
        (
            Plan(("irradiance", "module_temperature", "voltage", "current"), way="meters"),
            Plan(("irradiance", "module_temperature", "power"), way="display"),
        ),
        axes=SUN_AND_HEAT,
    ),
    needs=(IRRADIANCE, MODULE_TEMPERATURE, dataclasses.replace(STATIC_LEVEL, optional=True)),
    state="pump running, outlet fully open",
    method=(
        "Wait until the pump has run steadily for two minutes in steady sun.",
        "Read volts and amperes from the array within seconds of each other.",
        "Measure the sun before and after. On a battery: read at the inverter's or controller's battery terminals.",
    ),
    cautions=(LIVE_CONTROLLER,),
    limits=(
        Limit("not less than 80 % of what the array should give now, or of the pump's rating", COMMON),
        Limit("not above 1.1 × array at standard conditions × sun / 1000 W/m²", COMMON),
        Limit("not above 1.1 × what the pump's rating asks for; at the rating less is no fault", COMMON),
    ),
    after=("rotation",),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
    applies=is_fed_by_sun,
    revision=2,
)

WELL_PUMP_CURRENT = Check(
    key="well_pump_current",
    title="Motor current",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The motor is not overloaded: no sand, no wrong pump, no dying bearing.",
    ways=(
        Way(
            "clamp",
            "Clamp meter on a motor lead",
            (
                Input(
                    "current",
                    "Current",
                    Q.CURRENT,
                    hard=(0, 500),
                    soft=(0.3, 60),
                    hint="true-RMS clamp on three-phase leads, DC clamp on two",
                    usual=AC_CLAMP,
                ),
            ),
            ("clamp meter",),
        ),
    ),
    judged=(Judged("current", "Motor current", Q.CURRENT, current_expected),),
    state="pump running, outlet fully open, best sun of the day",
    method=(
        "Clamp round one motor lead.",
        "Read in the best sun, after two minutes.",
        "Three leads: note the highest.",
    ),
    cautions=(LIVE_CONTROLLER,),
    limits=(Limit("not above the rated current", "nameplate"),),
    after=("rotation",),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
)


CHECKS = (ROTATION, TIME_TO_WATER, WELL_PUMP_POWER, WELL_PUMP_CURRENT, *FLOW_CHECKS)
