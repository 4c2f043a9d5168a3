"""The rising main: its pressure at the wellhead, what is lost on the way, and the pump against a shut valve."""

import dataclasses

from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import COMMON, Accuracy, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.needs import STATIC_LEVEL
from sizing.checks.pocket import Axis, along
from sizing.checks.pump_flow import (
    FLOW,
    FLOW_METER,
    FRICTION_HALF_WIDTH,
    GAUGE,
    IN_TANK,
    LIVE_CONTROLLER,
    NO_SHUT_VALVE,
    PUMPED,
    TANK_LEVEL_IF_KNOWN,
)
from sizing.checks.pump_head import lifts_into_a_tank, outlet_elevation, pump_of, rising_line, wellhead
from sizing.checks.shut import head_without_flow
from sizing.checks.water_way import density, in_line, lost_on_the_way
from sizing.checks.well_water import JET
from sizing.formulas.events import flow_lost
from sizing.formulas.levels import pressure_from_surface, rise_between, water_elevation
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.pumps import total_dynamic_head
from sizing.formulas.shut_off import head_behind_pump
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.formulas.water import static_head_pressure
from sizing.parts import SubmersiblePump, Well
from sizing.quantities import Quantity as Q
from sizing.system import System

SHUT_OFF_SHORT = 0.15  # common practice, no source
SHUT_OFF_OVER = 0.10  # common practice, no source
PRESSURE_SHARE = 0.20  # common practice, no source
SAME_METER = Accuracy(of_reading=0.01, words="the same flow meter, reading against reading")
LOST_SHARE = 0.05  # two meters apart by their own doubt; common practice, no source


def is_centrifugal(system: System, tag: str) -> bool:
    """Whether a pump may stand against a shut valve for a moment; one of unknown principle may not."""
    part = system.node(tag).part
    return isinstance(part, SubmersiblePump) and part.principle == "centrifugal"


def wellhead_pressure_expected(case: Case) -> Expected:
    """Return the pressure that lifts the measured flow from the gauge to the tank."""
    pump = pump_of(case)
    gauge, up_to_gauge = wellhead(case, pump)
    tank, runs = rising_line(case, pump)
    above = in_line(case.system, runs, case.reading("flow"))[len(in_line(case.system, up_to_gauge, 0.0)) :]
    rise = case.w.call(
        "z", rise_between, lower_elevation=gauge.need("elevation"), upper_elevation=outlet_elevation(case, tank)
    )
    friction, minor = lost_on_the_way(case, above)
    head = case.w.call("H", total_dynamic_head, lift=rise, friction_head=friction, minor_head=minor, outlet_head=0.0)
    nominal = case.w.call("p", static_head_pressure, height=head, density=density(case))
    lost = static_head_pressure(height=FRICTION_HALF_WIDTH * (friction + minor), density=1000.0)
    return Expected(
        Q.GAUGE_PRESSURE,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=PRESSURE_SHARE),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=PRESSURE_SHARE),
        basis="height and friction ± 20 %: " + COMMON,
        terms=(Term("pipe friction ± 15 %", standard_from_half_width(lost), shared=True),),
    )


def shut_off_expected(case: Case) -> Expected:
    """Return the pressure at the wellhead without flow: the pump's greatest head over the water at rest."""
    pump = pump_of(case)
    well = case.system.host_of(pump, Well)
    gauge, _ = wellhead(case, pump)
    water = case.w.call(
        "z_w",
        water_elevation,
        measuring_point_height=well.need("measuring_point_height"),
        level=case.condition("static_level"),
    )
    added = head_without_flow(case, pump)
    surface = case.w.call("H", head_behind_pump, head_before=water, pump_head=added)
    nominal = case.w.call(
        "p",
        pressure_from_surface,
        surface_elevation=surface,
        elevation=gauge.need("elevation"),
        head_lost=0.0,
        density=density(case),
    )
    return Expected(
        Q.GAUGE_PRESSURE,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=SHUT_OFF_SHORT),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=SHUT_OFF_OVER),
        basis=f"the pump's table carried on to no flow, over the level at rest, − 15 + 10 %: {COMMON}",
    )


def lost_measured(case: Case) -> float:
    """Return the flow that leaves the wellhead and does not reach the tank."""
    return case.w.call("Q_l", flow_lost, sent=case.reading("sent"), arrived=case.reading("arrived"))


def lost_expected(case: Case) -> Expected:
    """Return nothing lost, and the share of the flow that two meters leave in doubt."""
    sent = case.reading("sent")
    least = case.w.call("Q least", lower_limit, nominal=sent, tolerance=LOST_SHARE)
    most = case.w.call("upper", flow_lost, sent=sent, arrived=least)
    return Expected(Q.FLOW, 0.0, -most, most, basis=f"what leaves the wellhead reaches the tank, within 5 %: {COMMON}")


def _flow(name: str, label: str, hint: str, usual: Accuracy = FLOW_METER) -> Input:
    return Input(name, label, Q.FLOW, hard=(0, 0.5), soft=(1e-5, 0.02), hint=hint, usual=usual)


WELLHEAD_PRESSURE = Check(
    key="wellhead_pressure",
    title="Pressure at the wellhead",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The rising main is as free as its size promises: no shut valve, no stone, no wrong pipe.",
    ways=(
        Way(
            "gauge",
            "Gauge behind the check valve",
            (
                Input("pressure", "Pressure", Q.GAUGE_PRESSURE, hard=(-100_000, 2.5e6), soft=(0, 1.2e6), usual=GAUGE),
                dataclasses.replace(FLOW, label="Flow meanwhile"),
            ),
            ("pressure gauge", "flow meter or bucket"),
        ),
    ),
    judged=(Judged("pressure", "Pressure at the wellhead", Q.GAUGE_PRESSURE, wellhead_pressure_expected),),
    pocket=along("flow", "tank_level", axes=(Axis("flow", PUMPED), IN_TANK)),
    needs=(TANK_LEVEL_IF_KNOWN,),
    state="pump running into the tank, nothing drawn on the way",
    method=("Tap the gauge: open to air it must read 0.", "Read pressure and flow together in steady sun."),
    cautions=(NO_SHUT_VALVE,),
    limits=(Limit("within 20 % of height and friction at the measured flow", COMMON),),
    tier="full",
    after=("rotation",),
    gate="fill_tank",
    needs_sun=True,
    at_service=True,
    applies=lifts_into_a_tank,
)


WELL_PUMP_SHUTOFF_PRESSURE = Check(
    key="well_pump_shutoff_pressure",
    title="Well pump against a shut valve",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="Impellers and drop pipe are whole: wear and leaks in the well show here, a clogged intake does not.",
    ways=(
        Way(
            "gauge",
            "Gauge at the wellhead, valve behind it shut",
            (
                Input(
                    "pressure",
                    "Pressure without flow",
                    Q.GAUGE_PRESSURE,
                    hard=(-100_000, 5e6),
                    soft=(20_000, 2e6),
                    hint="once it stands still, well within a minute",
                    usual=GAUGE,
                ),
            ),
            ("pressure gauge", "watch"),
        ),
    ),
    judged=(Judged("pressure", "Pressure without flow", Q.GAUGE_PRESSURE, shut_off_expected),),
    pocket=along("static_level"),
    needs=(STATIC_LEVEL,),
    state="full sun, pump at its greatest speed, wellhead valve shut for less than a minute",
    method=(
        "Only a centrifugal pump, and only if every part up to the valve is rated for what the working shows.",
        "Gauge before the valve; in full sun shut it slowly, watch the needle.",
        "Read once it stands, open again at once: no longer than a minute.",
    ),
    normal="The needle climbs and stands, the motor runs lighter. One that sinks while it is shut is a leak.",
    cautions=(NO_SHUT_VALVE, LIVE_CONTROLLER),
    limits=(Limit("within − 15 + 10 % of the pump's table carried on to no flow", COMMON),),
    tier="full",
    after=("rotation", "well_pump_flow"),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
    applies=is_centrifugal,
)

RISING_MAIN_LOSS = Check(
    key="rising_main_loss",
    title="Lost on the way to the tank",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="All that leaves the wellhead reaches the tank: no leak in the ground between them.",
    ways=(
        Way(
            "one_meter",
            "One meter, at both ends in turn",
            (
                _flow("sent", "Flow at the wellhead", "the mean of before and after", SAME_METER),
                _flow("arrived", "Flow into the tank", "the same meter, within the same ten minutes", SAME_METER),
            ),
            ("flow meter",),
        ),
        Way(
            "both",
            "Flow at the wellhead and at the tank",
            (
                _flow("sent", "Flow at the wellhead", "meter, or a clamp-on meter on the pipe"),
                _flow("arrived", "Flow into the tank", "bucket at the inlet, within the same ten minutes"),
            ),
            ("flow meter", "marked bucket", "watch"),
        ),
    ),
    judged=(Judged("lost", "Lost on the way", Q.FLOW, lost_expected, lost_measured),),
    pocket=along("sent", "arrived"),
    state="pump running into the tank in steady sun, nothing drawn on the way",
    method=(
        "Wait until flow and sun are steady.",
        "Read the wellhead, catch a bucket at the tank's inlet, read the wellhead again: all in ten minutes.",
        "One meter carried from end to end is wrong by the same at both: two meters can hardly tell 5 %.",
    ),
    normal="Both the same to within what the bucket can tell.",
    cautions=(JET,),
    limits=(Limit("within 5 % of the flow at the wellhead", COMMON),),
    tier="full",
    after=("rotation",),
    gate="fill_tank",
    needs_sun=True,
    at_service=True,
    revision=2,
)

CHECKS = (WELLHEAD_PRESSURE, WELL_PUMP_SHUTOFF_PRESSURE, RISING_MAIN_LOSS)
