"""The rising main: what is lost on its way to the tank, and what the well pump holds against a shut valve."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.needs import STATIC_LEVEL
from sizing.checks.pocket import along
from sizing.checks.pump_flow import FLOW_METER, GAUGE, LIVE_CONTROLLER, NO_SHUT_VALVE
from sizing.checks.pump_head import pump_of, wellhead
from sizing.checks.shut import head_without_flow
from sizing.checks.water_way import density
from sizing.checks.well_water import JET
from sizing.formulas.events import flow_lost
from sizing.formulas.levels import pressure_from_surface, water_elevation
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.shut_off import head_behind_pump
from sizing.parts import SubmersiblePump, Well
from sizing.quantities import Quantity as Q
from sizing.system import System

SHUT_OFF_SHORT = 0.15  # common practice, no source
SHUT_OFF_OVER = 0.10  # common practice, no source
LOST_SHARE = 0.05  # two meters apart by their own doubt; common practice, no source


def is_centrifugal(system: System, tag: str) -> bool:
    """Whether a pump may stand against a shut valve for a moment; one of unknown principle may not."""
    part = system.node(tag).part
    return isinstance(part, SubmersiblePump) and part.principle == "centrifugal"


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


def _flow(name: str, label: str, hint: str) -> Input:
    return Input(name, label, Q.FLOW, hard=(0, 0.5), soft=(1e-5, 0.02), hint=hint, usual=FLOW_METER)


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
        "The same meter at both ends, one after the other, halves the doubt.",
    ),
    normal="Both the same to within what the bucket can tell.",
    cautions=(JET,),
    limits=(Limit("within 5 % of the flow at the wellhead", COMMON),),
    tier="full",
    after=("rotation",),
    gate="fill_tank",
    needs_sun=True,
    at_service=True,
)

CHECKS = (WELL_PUMP_SHUTOFF_PRESSURE, RISING_MAIN_LOSS)
