"""Flow of a well pump through the day: table, well and pipes against what the power of the moment should lift."""

import dataclasses
from collections.abc import Callable

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
    Way,
    rows,
)
from sizing.checks.direct_coupled import direct_flow_expected, is_direct
from sizing.checks.needs import IRRADIANCE, MODULE_TEMPERATURE, STATIC_LEVEL, SUN_AND_HEAT, TANK_LEVEL, well_of
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale, Span, SpanOf
from sizing.checks.power_now import ARRAY_POWER, controller_of, is_on_battery, power_at_pump, taken_by_controller
from sizing.checks.pump_head import (
    level_at,
    lift_now,
    pump_of,
    settled_flow,
    total_head,
)
from sizing.checks.water_way import density
from sizing.checks.well import TAPE
from sizing.checks.well_water import JET
from sizing.errors import OutOfRangeError
from sizing.formulas.flow import bucket_flow
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.pump_acceptance import ACCEPTANCE_GRADES, SMALL_PUMP_POWER, small_pump_efficiency_tolerance
from sizing.formulas.pump_curves import pump_table_flow
from sizing.formulas.pumps import wire_to_water_efficiency
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import SubmersiblePump, Well
from sizing.pumping import PumpRows, pump_rows, well_specific_capacity
from sizing.quantities import Quantity as Q
from sizing.system import Node, System
from sizing.working import Working

# Accuracies of ordinary instruments; common practice, no source.
POWER_READ = Accuracy(of_reading=0.025, words="multimeter and DC clamp, or controller display")
FLOW_METER = Accuracy(of_reading=0.03, words="flow meter")
BUCKET = Accuracy(of_reading=0.01, words="marked bucket")
STOPWATCH = Accuracy(fixed=0.5, words="watch by hand")
# EN 837-1: class 1 is 1 % of the range; whoever picks the gauge takes one of up to twice the pressure.
GAUGE = Accuracy(of_reading=0.02, fixed=1_000.0, words="pressure gauge, class 1, of a range up to twice what it reads")
SUN_METER = Accuracy(of_reading=0.05, words="sun meter")

ARRAY_SHARE = 0.20  # flow from the sun alone: 10 % of the pump and as much of the array; common practice, no source
LEAST_EFFICIENCY, MOST_EFFICIENCY, IMPOSSIBLE_EFFICIENCY = 0.15, 0.65, 0.75  # common practice, no source
FRICTION_HALF_WIDTH = 0.15  # pipes against Darcy-Weisbach, small fittings; common practice, no source
CONTROLLER_HALF_WIDTH = 0.01  # common practice, no source

LIVE_CONTROLLER = Caution(
    "Controller terminals carry the array's voltage in any light. One hand, dry gloves, clamp round one lead.",
    "IEC 62446-1; " + COMMON,
)
NO_SHUT_VALVE = Caution(
    "Never shut the valve on a helical rotor or diaphragm pump: it bursts the pipe before it stops.",
    COMMON,
)


def flow_measured(case: Case) -> float:
    """Return the flow of a row: read from a meter, or a bucket over its time."""
    if case.here("volume") or case.here("time"):
        return case.w.call("Q read", bucket_flow, volume=case.reading("volume"), time=case.reading("time"))
    return case.reading("flow")


def flow_read(case: Case) -> float:
    """Return the flow of a row without recording it a second time."""
    return flow_measured(dataclasses.replace(case, w=Working(silent=True)))


def flow_expected(case: Case) -> Expected:
    """Return what the pump should give at the power of the row, against this well and these pipes."""
    pump = pump_of(case)
    if is_direct(case, pump):
        return direct_flow_expected(case, pump, ARRAY_SHARE)
    table = pump_rows(pump)
    power = power_at_pump(case, pump)
    by_gauge = case.here("wellhead_pressure")
    head, lost = total_head(case, pump, flow_read(case) if by_gauge else settled_flow(case, pump, power))
    nominal = case.w.call(
        "Q",
        pump_table_flow,
        rows=table,
        power=power,
        head=head,
        note="" if by_gauge else "where pump and pipes balance",
    )
    tolerance, basis = _flow_tolerance(case, pump)
    return Expected(
        Q.FLOW,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=tolerance),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=tolerance),
        basis=basis,
        terms=_model_terms(table, power, head, lost),
    )


def _flow_tolerance(case: Case, pump: Node) -> tuple[float, str]:
    if not case.here("power"):
        what = "rated power" if is_on_battery(case, controller_of(case, pump)[0]) else "the array's power now"
        return ARRAY_SHARE, f"pump table at {what}, ± 20 %: {COMMON}"
    rated = pump.need("rated_power")
    if rated <= SMALL_PUMP_POWER:
        # flow at a given power and head goes as the efficiency: it is that tolerance which bounds it, not that of flow
        short = -case.w.call("τ_η", small_pump_efficiency_tolerance, input_power=rated)
        words = "efficiency up to 10 kW, ISO 9906:2012, 4.4.2 (from memory); above the table as much"
        return short, f"pump table at the measured power ± {100 * short:.0f} %: {words}: {COMMON}"
    return ACCEPTANCE_GRADES["3B"][0], "pump table ± 9 %: ISO 9906:2012 grade 3B (from memory)"


def _model_terms(table: PumpRows, power: float, head: float, lost: float) -> tuple[Term, ...]:
    """Return what friction and the controller's efficiency leave in doubt, as flow."""
    by_head = _half_change(lambda h: pump_table_flow(table, power, h), head, FRICTION_HALF_WIDTH * lost)
    by_power = _half_change(lambda p: pump_table_flow(table, p, head), power, CONTROLLER_HALF_WIDTH * power)
    return (
        Term("pipe friction ± 15 %", standard_from_half_width(by_head), shared=True),
        Term("controller efficiency ± 1 %", standard_from_half_width(by_power), shared=True),
    )


def _half_change(flow_at: Callable[[float], float], here: float, step: float) -> float:
    """Return half the change of flow between one step down and one step up; one-sided at a table's edge."""
    found = []
    for moved in (here - step, here + step):
        try:
            found.append(flow_at(moved))
        except OutOfRangeError:
            continue
    if len(found) == 2:
        return abs(found[0] - found[1]) / 2
    return abs(found[0] - flow_at(here)) if found else 0.0


def efficiency_measured(case: Case) -> float:
    """Return the share of the power into the controller that arrives in the water."""
    pump = pump_of(case)
    flow = flow_read(case)
    head, _ = total_head(case, pump, flow)
    return case.w.call(
        "η",
        wire_to_water_efficiency,
        flow=flow,
        head=head,
        electrical_power=_power_in(case, pump),
        density=density(case),
    )


def _power_in(case: Case, pump: Node) -> float:
    if case.here("power"):
        return case.reading("power")
    return taken_by_controller(case, pump, controller_of(case, pump)[0])


def efficiency_expected(case: Case) -> Expected:
    """Return the range in which small solar pumps lie; refuse what no pump can do."""
    if case.readings:
        silent = dataclasses.replace(case, w=Working(silent=True))
        found = efficiency_measured(silent)
        if found > IMPOSSIBLE_EFFICIENCY:
            words = "at most 0.75, more no well pump gives. Look again at flow, level, pressure, power and their units"
            raise OutOfRangeError("wire to water", f"{found:.2f}", words)
    return Expected(
        Q.RATIO,
        lower=LEAST_EFFICIENCY,
        upper=MOST_EFFICIENCY,
        basis="15 to 65 % of the power into the controller: " + COMMON,
    )


CAPACITY_TODAY = Need(
    "specific_capacity", Needed.EARLIER, "Specific capacity today", Q.SPECIFIC_CAPACITY, well_of, optional=True
)
TANK_LEVEL_IF_KNOWN = dataclasses.replace(TANK_LEVEL, optional=True)
SUN_IF_KNOWN = dataclasses.replace(IRRADIANCE, optional=True)
HEAT_IF_KNOWN = dataclasses.replace(MODULE_TEMPERATURE, optional=True)


def level_worked_out(case: Case) -> float:
    """Return the level while pumping that follows from the level at rest and the flow read."""
    return level_at(case, case.system.host_of(pump_of(case), Well), flow_read(case))


def head_at_flow(case: Case) -> float:
    """Return the total head at the flow read."""
    return total_head(case, pump_of(case), flow_read(case))[0]


def power_from_sun(case: Case) -> float:
    """Return what the controller takes from the array in the sun of the moment."""
    pump = pump_of(case)
    return taken_by_controller(case, pump, controller_of(case, pump)[0])


def tested_capacity(system: System, tag: str) -> float:
    """Return the specific capacity of the well test on record."""
    return well_specific_capacity(system.node(well_of(system, tag)))


def _around_capacity(system: System, tag: str) -> Span:
    tested = tested_capacity(system, tag)
    return tested / 4, 4 * tested


def around_log(system: System, tag: str) -> Span:
    """Return the levels at rest that a well may well have, by its log."""
    logged = system.node(well_of(system, tag)).need("static_level")
    return logged / 2, 2 * logged


def around_pumping(system: System, tag: str) -> Span:
    """Return the levels while pumping that a well may well have: from half the logged one at rest to the pump."""
    well = system.node(well_of(system, tag))
    logged = well.need("static_level")
    return logged / 2, max(2 * logged, getattr(well.part, "pump_setting", None) or 0.0)


def from_least_power(system: System, tag: str) -> Span:
    """Return the powers of an array from where the pump starts: more than its rating asks for only idles."""
    return POWER(system, tag)[0], float("inf")


def _of_table(column: int, least: float, most: float) -> SpanOf:
    """Return what gives the span of a column of the pump's table, stretched."""

    def span(system: System, tag: str) -> Span:
        values = [row[column] for row in pump_rows(system.node(tag))]
        return least * min(values), most * max(values)

    return span


POWER, HEAD, PUMPED = _of_table(0, 0.98, 1.2), _of_table(1, 0.95, 1.05), _of_table(2, 0.0, 1.2)
IN_TANK = Axis("tank_level", (0.0, 8.0), default=lambda system, tag: 0.0)
"""Nobody having looked, the tank's inlet lies above the water."""
GAUGED = ("wellhead_pressure",)
UNREAD = ("wellhead_pressure", "level")
AT_REST = ("lift_at_rest", "specific_capacity")


def _power_ways(*axes: str, **when: tuple[str, ...]) -> tuple[Plan, Plan]:
    """Return a plan for power read, and one for power from the sun."""
    given, without = when.get("given", ()), when.get("without", ())
    by_sun = Plan(("array_power", *axes), "flow", given=given, without=(*without, "power"))
    return Plan(("power", *axes), "flow", given=(*given, "power"), without=without), by_sun


def _efficiency(name: str, head: str) -> Figure:
    of = ("flow", head, "power")
    return Figure(name, of, efficiency_measured, kinks=(IMPOSSIBLE_EFFICIENCY,), span=(0.0, 1.0))


THROUGH_THE_DAY = Pocket(
    plans=(
        *_power_ways("head_by_gauge", "flow", given=GAUGED),
        *_power_ways("lift", given=("level",), without=GAUGED),
        *_power_ways(*AT_REST, without=UNREAD),
        Plan(("wire_to_water_by_gauge",), "wire_to_water", given=GAUGED),
        Plan(("wire_to_water",), "wire_to_water", without=GAUGED),
    ),
    simply={"flow": "flow"},
    axes=(
        *SUN_AND_HEAT,
        IN_TANK,
        Axis("flow", PUMPED),
        Axis("power", POWER),
        Axis("time", scale=Scale.RECIPROCAL),
        Axis("static_level", around_log),
        Axis("level", around_pumping),
        Axis("specific_capacity", _around_capacity, Scale.RECIPROCAL, default=tested_capacity),
    ),
    figures=(
        Figure("flow", ("volume", "time"), flow_measured, stands_in=True),
        Figure("level", ("static_level", "specific_capacity", "flow"), level_worked_out, stands_in=True),
        dataclasses.replace(ARRAY_POWER, span=from_least_power),
        Figure("power", ("array_power",), power_from_sun, stands_in=True),
        Figure("lift", ("level", "tank_level"), lift_now, at={"tank_level": 0.0}, span=HEAD),
        Figure("lift_at_rest", ("static_level", "tank_level"), lift_now, at={"tank_level": 0.0}, span=HEAD),
        Figure("head_by_gauge", ("wellhead_pressure", "level", "flow"), head_at_flow, span=HEAD),
        Figure("head_by_system", ("level", "tank_level", "flow"), head_at_flow, at={"tank_level": 0.0}, span=HEAD),
        _efficiency("wire_to_water_by_gauge", "head_by_gauge"),
        _efficiency("wire_to_water", "head_by_system"),
    ),
)

FLOW = Input(
    "flow",
    "Flow",
    Q.FLOW,
    hard=(1e-7, 0.5),
    soft=(1e-5, 0.02),
    hint="air gone, 5 minutes after the start",
    usual=FLOW_METER,
)
BESIDE = (
    Input(
        "power",
        "Power into the controller",
        Q.POWER,
        hard=(0, 100_000),
        soft=(20, 15_000),
        hint="volts times amperes from the array; leave empty only if there is a sun meter",
        optional=True,
        usual=POWER_READ,
    ),
    Input(
        "irradiance",
        "Irradiance",
        Q.IRRADIANCE,
        hard=(0, 1400),
        soft=(100, 1100),
        hint="needed only without a power",
        optional=True,
        usual=SUN_METER,
    ),
    Input(
        "level",
        "Depth to water",
        Q.DEPTH,
        hard=(-5, 1000),
        soft=(0, 250),
        hint="while pumping, from the mark",
        optional=True,
        usual=TAPE,
    ),
    Input(
        "wellhead_pressure",
        "Pressure at the wellhead",
        Q.GAUGE_PRESSURE,
        hard=(-100_000, 2.5e6),
        soft=(0, 1.2e6),
        hint="behind the check valve, if there is a gauge",
        optional=True,
        usual=GAUGE,
    ),
)

WELL_PUMP_FLOW = Check(
    key="well_pump_flow",
    title="Flow through the day",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The pump gives what its table says for the power it gets: the line that later visits are laid beside.",
    ways=(
        Way("meter", "Flow meter", (FLOW, *BESIDE), ("flow meter", "multimeter and DC clamp", "dip meter")),
        Way(
            "bucket",
            "Bucket and watch at the tank inlet",
            (
                Input(
                    "volume",
                    "Volume caught",
                    Q.VOLUME,
                    hard=(1e-4, 10),
                    soft=(5e-3, 0.3),
                    hint="a mark checked by weight, not the pail's label",
                    usual=BUCKET,
                ),
                Input(
                    "time",
                    "Time to catch it",
                    Q.DURATION,
                    hard=(1, 7_200),
                    soft=(20, 900),
                    hint="20 seconds or more",
                    usual=STOPWATCH,
                ),
                *BESIDE,
            ),
            ("marked bucket", "watch", "multimeter and DC clamp"),
        ),
    ),
    judged=(
        Judged("flow", "Flow", Q.FLOW, flow_expected, flow_measured),
        Judged("wire_to_water", "Wire to water", Q.RATIO, efficiency_expected, efficiency_measured),
    ),
    pocket=THROUGH_THE_DAY,
    repeat=rows(3, 3),
    needs=(STATIC_LEVEL, CAPACITY_TODAY, TANK_LEVEL_IF_KNOWN, SUN_IF_KNOWN, HEAT_IF_KNOWN),
    state="pump running into the tank, outlet fully open, nothing drawn on the way",
    method=(
        "Three rows or more, from weak to full sun; shade part of the array if the day is short.",
        "Five minutes at each: steady sun, no air.",
        "Read power, flow and level within a minute.",
        "Keep the same outlet at every visit.",
    ),
    cautions=(JET, NO_SHUT_VALVE, LIVE_CONTROLLER),
    limits=(
        Limit(
            "flow at the measured power short of the pump table by no more than its efficiency may be: 7 to 17 %, "
            "the smaller the pump the more",
            "ISO 9906:2012, 4.4.2 (from memory)",
        ),
        Limit("flow above the pump table by no more than the same share", COMMON),
        Limit("flow within 20 % where the power comes from the sun alone", COMMON),
        Limit("wire to water 15 to 65 %; above 75 % is refused as impossible", COMMON),
    ),
    after=("rotation", "time_to_water"),
    gate="fill_tank",
    needs_sun=True,
    at_service=True,
    revision=2,
)

CHECKS = (WELL_PUMP_FLOW,)
