"""Before and behind a booster: the vacuum at its inlet, how fast it primes, and what it holds against shut taps."""

from sizing.checks.booster import GAUGE, SUCTION_VACUUM, booster, rise_measured
from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Need, Needed, Way
from sizing.checks.needs import MINUTE
from sizing.checks.pocket import along
from sizing.checks.pressure import NO_RELIEF
from sizing.checks.shut import head_without_flow
from sizing.checks.storage import STARTS_ALONE
from sizing.checks.water_way import density, in_line, lost_on_the_way, surface_of
from sizing.formulas.levels import pressure_from_surface, summed_head
from sizing.formulas.limits import limit_at_offset, lower_limit, upper_limit
from sizing.formulas.tanks import fill_time
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.formulas.water import static_head_pressure
from sizing.formulas.wells import casing_volume
from sizing.formulas.wetted import summed_volume
from sizing.hydraulics import inside_diameter, site_water_density
from sizing.lift import booster_curve
from sizing.parts import BoosterPump, StorageTank
from sizing.quantities import Quantity as Q
from sizing.system import Node, Run, System

# Accuracies of ordinary instruments; common practice, no source.
VACUUM_GAUGE = Accuracy(fixed=2_000.0, words="vacuum gauge")
FLOW_METER = Accuracy(of_reading=0.03, words="flow meter, or bucket and watch")
STOPWATCH = Accuracy(fixed=1.0, words="watch by hand")

VACUUM_SLACK = 10_000.0  # Pa beyond what height and clean pipes take; common practice, no source
FRICTION_HALF_WIDTH = 0.15  # pipes against Darcy-Weisbach, small fittings; common practice, no source
PRIME_TWICE, PRIME_MORE = 1.0, 10.0  # twice the pipe's air, and ten seconds; common practice, no source
SHUT_OFF_SHORT, SHUT_OFF_OVER = 0.15, 0.10  # common practice, no source

SHORT_AND_SHUT = Caution(
    "A minute at most against shut taps: the water in the pump heats. Never a piston or diaphragm pump without relief.",
    COMMON,
)


def suction_way(system: System, tag: str) -> tuple[Node, list[Run]]:
    """Return the tank that a booster draws from and the pipes on the way, or raise MissingDataError."""
    return system.path_between(tag, "suction", StorageTank, "pipe")


def suction_tank(system: System, tag: str) -> str:
    """Return the tag of the tank that a booster draws from."""
    return suction_way(system, tag)[0].tag


def may_be_shut(system: System, tag: str) -> bool:
    """Whether a booster may stand against shut taps for a moment: centrifugal, or with its own switch or bypass."""
    part = system.node(tag).part
    return isinstance(part, BoosterPump) and (part.principle == "centrifugal" or part.shut_off_pressure is not None)


def suction_expected(case: Case) -> Expected:
    """Return the gauge pressure at the inlet: the tank's surface, less height and what pipes and clean filters take."""
    pump = booster(case)
    source, runs = suction_way(case.system, pump.tag)
    surface = surface_of(case, source, case.condition("tank_level"))
    lost = case.w.call("h", summed_head, heads=lost_on_the_way(case, in_line(case.system, runs, case.reading("flow"))))
    nominal = case.w.call(
        "p",
        pressure_from_surface,
        surface_elevation=surface,
        elevation=pump.need("elevation"),
        head_lost=lost,
        density=density(case),
    )
    lower = case.w.call("lower", limit_at_offset, nominal=nominal, offset=-VACUUM_SLACK)
    friction = static_head_pressure(height=FRICTION_HALF_WIDTH * lost, density=site_water_density(case.system))
    return Expected(
        Q.GAUGE_PRESSURE,
        nominal,
        lower,
        None,
        basis=f"tank's surface less the suction line, clean, less 10 kPa: {COMMON}; less vacuum is no fault",
        terms=(Term("pipe friction ± 15 %", standard_from_half_width(friction), shared=True),),
    )


def prime_expected(case: Case) -> Expected:
    """Return how long an empty suction line takes to fill: twice its air at the greatest flow, and ten seconds."""
    pump = booster(case)
    _, runs = suction_way(case.system, pump.tag)
    parts = tuple(
        case.w.call(
            f"V {run.tag}", casing_volume, inside_diameter=inside_diameter(run), water_column=run.need("length")
        )
        for run in runs
    )
    most = max(flow for flow, _ in booster_curve(pump, site_water_density(case.system)).points)
    volume = case.w.call("V", summed_volume, volumes=parts)
    nominal = case.w.call("t", fill_time, volume=volume, inflow=most, outflow=0.0)
    twice = case.w.call("2t", upper_limit, nominal=nominal, tolerance=PRIME_TWICE)
    upper = case.w.call("upper", limit_at_offset, nominal=twice, offset=PRIME_MORE)
    return Expected(
        Q.DURATION, nominal, None, upper, basis=f"twice the suction line at the greatest flow, and 10 s: {COMMON}"
    )


def shut_off_expected(case: Case) -> Expected:
    """Return the pressure that a booster adds without flow: printed, or its table carried on to no flow."""
    pump = booster(case)
    head = head_without_flow(case, pump)
    nominal = case.w.call("Δp₀", static_head_pressure, height=head, density=density(case))
    return Expected(
        Q.PRESSURE_DIFFERENCE,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=SHUT_OFF_SHORT),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=SHUT_OFF_OVER),
        basis=f"shut-off of the nameplate, or the table carried on to no flow, − 15 + 10 %: {COMMON}",
    )


def _gauge(name: str, label: str, hint: str, usual: Accuracy = GAUGE) -> Input:
    return Input(
        name, label, Q.GAUGE_PRESSURE, hard=(-100_000, 5e6), soft=(-60_000, 1.2e6), hint=hint, usual=usual
    )  # fmt: skip


SUCTION_LEVEL = Need(
    "tank_level",
    Needed.WEATHER,
    "Water surface in the tank it draws from",
    Q.LENGTH,
    suction_tank,
    max_age=60 * MINUTE,
)

BOOSTER_SUCTION_VACUUM = Check(
    key="booster_suction_vacuum",
    title="Booster: pressure at its inlet",
    kind=Kind.MEASURED,
    subject=BoosterPump,
    group="Booster and pressure",
    purpose="Strainer, valve and suction pipe are free: what the pump must pull for, it cannot push.",
    ways=(
        Way(
            "gauge",
            "Vacuum gauge at the inlet, flow known",
            (
                _gauge("pressure", "Pressure before the booster", "negative for a vacuum; kPa, not inHg", VACUUM_GAUGE),
                Input("flow", "Flow", Q.FLOW, hard=(1e-7, 0.5), soft=(1e-5, 0.01), usual=FLOW_METER),
            ),
            ("vacuum gauge", "flow meter, or bucket and watch"),
        ),
    ),
    judged=(Judged("pressure", "Pressure before the booster", Q.GAUGE_PRESSURE, suction_expected),),
    pocket=along("tank_level", "flow"),
    needs=(SUCTION_LEVEL,),
    state="booster running on at the flow of every visit",
    method=(
        "Gauge on a tee at the inlet, at the pump's own height; its zero read open to air.",
        "Set a tap to the flow of the last visit; read gauge and flow together.",
        "Look at a clear hose, or foam on the joints: bubbles are air drawn in.",
    ),
    normal="A steady needle, a little below zero with a tank beside the pump, above it with one overhead.",
    cautions=(SUCTION_VACUUM, STARTS_ALONE),
    limits=(Limit("not more than 10 kPa below what height and a clean suction line leave", COMMON),),
    tier="full",
    gate="pressurise",
    at_service=True,
)

BOOSTER_PRIME_TIME = Check(
    key="booster_prime_time",
    title="Booster: time to prime",
    kind=Kind.MEASURED,
    subject=BoosterPump,
    group="Booster and pressure",
    purpose="No air leaks in on the suction side, and the foot valve holds the water up.",
    ways=(
        Way(
            "watch",
            "Watch",
            (
                Input(
                    "time",
                    "From start to steady pressure",
                    Q.DURATION,
                    hard=(0, 3_600),
                    soft=(0.5, 120),
                    hint="after the suction line was opened and filled again",
                    usual=STOPWATCH,
                ),
            ),
            ("watch",),
        ),
    ),
    judged=(Judged("time", "Time to prime", Q.DURATION, prime_expected),),
    state="suction line opened and filled again, a tap open",
    method=(
        "Lock off, open the strainer or union, close it, fill the line as its maker says.",
        "Open a tap, start pump and watch together.",
        "Stop the watch at steady pressure without spitting; give up after twice the limit.",
    ),
    normal="A gulp, a few spits, then solid water.",
    cautions=(SUCTION_VACUUM, STARTS_ALONE),
    limits=(Limit("twice the time in which it moves the suction line's air, and ten seconds", COMMON),),
    tier="full",
    gate="pressurise",
    at_service=True,
)

BOOSTER_SHUTOFF_PRESSURE = Check(
    key="booster_shutoff_pressure",
    title="Booster against shut taps",
    kind=Kind.MEASURED,
    subject=BoosterPump,
    group="Booster and pressure",
    purpose="Impeller, diaphragm or valves are whole: wear shows here before a tap runs slow.",
    ways=(
        Way(
            "gauges",
            "Gauges on both sides, the valve behind shut",
            (
                _gauge("discharge", "Pressure behind the booster", "once it stands, or where it stops itself"),
                _gauge("suction", "Pressure before the booster", "negative for a vacuum"),
            ),
            ("pressure gauges", "watch"),
        ),
    ),
    judged=(Judged("rise", "Pressure added without flow", Q.PRESSURE_DIFFERENCE, shut_off_expected, rise_measured),),
    pocket=along("discharge", "suction"),
    state="valve between pump and pressure tank shut, relief in place, for less than a minute",
    method=(
        "Only with a relief valve, or a switch of the pump's own, between pump and shut valve.",
        "Shut the valve behind the pump, start by hand, a thumb on the switch.",
        "Read both gauges once they stand: within a minute; stop, open the valve again.",
    ),
    normal="The needle climbs at once and stands; the motor runs lighter, or stalls where it is made to.",
    cautions=(NO_RELIEF, SHORT_AND_SHUT),
    limits=(Limit("within − 15 + 10 % of the shut-off of its nameplate or table", COMMON),),
    tier="full",
    gate="pressurise",
    at_service=True,
    applies=may_be_shut,
)

CHECKS = (BOOSTER_SUCTION_VACUUM, BOOSTER_PRIME_TIME, BOOSTER_SHUTOFF_PRESSURE)
