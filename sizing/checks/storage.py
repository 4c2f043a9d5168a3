"""Storage: level stops with real water, the overflow, and the balance of what goes in."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.pocket import Figure, Plan, Pocket, along
from sizing.errors import MissingDataError
from sizing.formulas.levels import depth_at_elevation, depth_below_mark
from sizing.formulas.limits import limit_at_offset, lower_limit, upper_limit
from sizing.formulas.tanks import rectangular_volume, upright_cylinder_volume
from sizing.formulas.wetted import pumped_volume
from sizing.parts import BoosterPump, LevelSwitch, StorageTank, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.system import Node, System

# Accuracies of ordinary instruments; common practice, no source.
TAPE = Accuracy(fixed=0.01, words="tape")
FLOW_METER = Accuracy(of_reading=0.03, words="flow meter, or bucket and watch")
WATCH = Accuracy(fixed=5.0, words="watch")

STOP_TOLERANCE = 0.05  # m; common practice, no source
BALANCE_SHARE = 0.10  # common practice, no source

AT_THE_TANK = Caution(
    "Work from outside on a secured ladder; never climb in: the air in a tank can kill before you notice.",
    "29 CFR 1910.146 (permit-required confined spaces)",
)
STARTS_ALONE = Caution("Anything on a float can start by itself: lock off before a hand goes near.", COMMON)

DIPPED = Pocket((Plan(("depth",), way="dip"), Plan(("below_overflow",), way="lip")))


def switch_of(case: Case) -> Node:
    """Return the level switch that a check is taken on."""
    return case.system.node(case.subject.tag)


def tank_under(case: Case) -> Node:
    """Return the tank in which a level switch hangs, or raise MissingDataError."""
    return case.system.host_of(switch_of(case), StorageTank)


def depth_measured(case: Case) -> float:
    """Return the water above the floor when the pump stopped or started: dipped, or from the overflow's lip."""
    if case.here("depth"):
        return case.reading("depth")
    lip = overflow_depth(case, tank_under(case))
    return case.w.call("h", depth_below_mark, mark_depth=lip, distance=case.reading("below_overflow"))


def overflow_depth(case: Case, tank: Node) -> float:
    """Return the height of the overflow's lip above the tank's floor, as a step."""
    return case.w.call(
        "h_o",
        depth_at_elevation,
        elevation=tank.need("overflow_elevation"),
        floor_elevation=tank.need("floor_elevation"),
    )


def set_depth(case: Case) -> float:
    """Return the height of the switch's set level above the tank's floor, as a step."""
    return case.w.call(
        "h_set",
        depth_at_elevation,
        elevation=case.subject.need("set_elevation"),
        floor_elevation=tank_under(case).need("floor_elevation"),
    )


def stop_expected(case: Case) -> Expected:
    """Return where the filling should stop: at the set level, and never above the overflow."""
    nominal = set_depth(case)
    upper = case.w.call("upper", limit_at_offset, nominal=nominal, offset=STOP_TOLERANCE)
    lip = overflow_depth(case, tank_under(case))
    return Expected(
        Q.LENGTH,
        nominal,
        case.w.call("lower", limit_at_offset, nominal=nominal, offset=-STOP_TOLERANCE),
        min(upper, lip),
        basis="set level ± 5 cm, not above the overflow: " + COMMON,
    )


def restart_expected(case: Case) -> Expected:
    """Return where the filling should start again: the differential below the set level."""
    stop = set_depth(case)
    nominal = case.w.call("h", limit_at_offset, nominal=stop, offset=-case.subject.need("differential"))
    return Expected(
        Q.LENGTH,
        nominal,
        case.w.call("lower", limit_at_offset, nominal=nominal, offset=-STOP_TOLERANCE),
        case.w.call("upper", limit_at_offset, nominal=nominal, offset=STOP_TOLERANCE),
        basis="differential below the set level ± 5 cm: " + COMMON,
    )


def water_in(case: Case, tank: Node, depth: float, symbol: str) -> float:
    """Return the water in a tank at a depth, or over a change of depth, as a step."""
    if tank.need_text("shape") == "rectangular":
        length, width = tank.need("length"), tank.need("width")
        return case.w.call(symbol, rectangular_volume, length=length, width=width, depth=depth)
    return case.w.call(symbol, upright_cylinder_volume, diameter=tank.need("diameter"), depth=depth)


def risen(case: Case) -> float:
    """Return the last level above the first, whatever its sign."""
    return case.reading("end_level") - case.reading("start_level")


def rise_measured(case: Case) -> float:
    """Return the water that the tank gained, from the rise of its surface."""
    tank = case.system.node(case.subject.tag)
    rise = case.w.call(
        "h", depth_at_elevation, elevation=case.reading("end_level"), floor_elevation=case.reading("start_level")
    )
    return water_in(case, tank, rise, "V rise")


def rise_expected(case: Case) -> Expected:
    """Return the water that the pump brought meanwhile."""
    if not case.readings:
        raise MissingDataError("reading", "flow", "flow and time have not been read")
    nominal = case.w.call("V", pumped_volume, flow=case.reading("flow"), time=case.reading("time"))
    return Expected(
        Q.VOLUME,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=BALANCE_SHARE),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=BALANCE_SHARE),
        basis="flow × time ± 10 %: " + COMMON,
    )


def stops_fill(system: System, tag: str) -> bool:
    """Whether a level switch stops the filling of a tank."""
    part = system.node(tag).part
    return isinstance(part, LevelSwitch) and part.purpose == "stops_fill"


def is_pumped_full(system: System, tag: str) -> bool:
    """Whether a pump fills a tank, so that flow and time can be held against its rise; rain and springs cannot."""
    reached = system.reached(tag, "pipe", "inlet")
    return any(isinstance(node.part, SubmersiblePump | BoosterPump) for node, _ in reached)


def has_overflow(system: System, tag: str) -> bool:
    """Whether water can run over: every tank can."""
    return isinstance(system.node(tag).part, StorageTank)


DIP = Input(
    "depth",
    "Water above the tank floor",
    Q.LENGTH,
    hard=(0, 30),
    soft=(0.05, 8),
    hint="at the moment the pump stops or starts",
    usual=TAPE,
)
LIP = Input(
    "below_overflow",
    "Water below the overflow's lip",
    Q.LENGTH,
    hard=(-0.5, 30),
    soft=(0.02, 3),
    hint="negative where it stands above the lip",
    usual=TAPE,
)
LEVEL_WAYS = (
    Way("dip", "Dipped from the floor", (DIP,), ("tape",)),
    Way("lip", "From the overflow's lip", (LIP,), ("tape",)),
)

FILL_STOP_LEVEL = Check(
    key="fill_stop_level",
    title="Filling stops by itself",
    kind=Kind.MEASURED,
    subject=LevelSwitch,
    group="Storage",
    purpose="Real water stops the pump at the set level: a float that clicks by hand may still hang on its cord.",
    ways=LEVEL_WAYS,
    judged=(Judged("level", "Water above the floor at the stop", Q.LENGTH, stop_expected, depth_measured),),
    pocket=DIPPED,
    state="pump filling the tank, float free",
    method=(
        "Let the pump fill the tank; do not lift the float by hand.",
        "Wait for the stop, read the level at once.",
        "No stop at the overflow: stop the pump by its switch.",
    ),
    normal="It stops at the same level each time, well below the lip, and the overflow stays dry.",
    cautions=(AT_THE_TANK, STARTS_ALONE),
    limits=(
        Limit("within 5 cm of the set level", COMMON),
        Limit("never above the overflow", COMMON),
    ),
    gate="fill_tank",
    at_service=True,
    applies=stops_fill,
)

FILL_RESTART_LEVEL = Check(
    key="fill_restart_level",
    title="Filling starts again",
    kind=Kind.MEASURED,
    subject=LevelSwitch,
    group="Storage",
    purpose="A gap between stop and start wide enough that the pump does not flutter.",
    ways=LEVEL_WAYS,
    judged=(Judged("level", "Water above the floor at the restart", Q.LENGTH, restart_expected, depth_measured),),
    pocket=DIPPED,
    state="pump stopped by the full tank, water drawn",
    method=("Draw water from a tap.", "Wait for the start, read the level at once."),
    normal="A hand's breadth or more below the stop, and one start, without flutter.",
    cautions=(AT_THE_TANK, STARTS_ALONE),
    limits=(Limit("within 5 cm of the differential below the set level", COMMON),),
    tier="full",
    after=("fill_stop_level",),
    gate="fill_tank",
    applies=stops_fill,
)

OVERFLOW_CARRIES_FULL_FLOW = Check(
    key="overflow_carries_full_flow",
    title="The overflow carries the full flow",
    kind=Kind.OBSERVED,
    subject=StorageTank,
    group="Storage",
    purpose="When the float fails, the water goes where it does no harm, and not over the rim.",
    state="pump running in full sun, filling not stopped",
    method=(
        "Hold the float down, or bridge it, in the best sun of the day.",
        "Watch ten minutes from outside: the water rises to the lip and stays below the lid.",
        "Look where it leaves: screen whole, ground not washed out.",
        "Take the bridge out again.",
    ),
    normal="The water climbs a little up the pipe's mouth and stays there.",
    cautions=(AT_THE_TANK, STARTS_ALONE),
    limits=(Limit("as it should be: the level stays below the lid, the outfall is screened and harmless", COMMON),),
    after=("fill_stop_level",),
    gate="fill_tank",
    needs_sun=True,
    applies=has_overflow,
)

FILL_BALANCE = Check(
    key="fill_balance",
    title="What goes in stays in",
    kind=Kind.MEASURED,
    subject=StorageTank,
    group="Storage",
    purpose="Flow times time is what the tank gains: the meter is right and nothing leaks on the way.",
    ways=(
        Way(
            "rise",
            "Tape and meter",
            (
                Input(
                    "start_level", "Water above the floor, start", Q.LENGTH, hard=(0, 30), soft=(0.05, 8), usual=TAPE
                ),
                Input(
                    "end_level",
                    "Water above the floor, end",
                    Q.LENGTH,
                    hard=(0, 30),
                    soft=(0.05, 8),
                    hint="a rise of 20 cm or more",
                    usual=TAPE,
                ),
                Input("flow", "Flow meanwhile", Q.FLOW, hard=(1e-7, 0.5), soft=(1e-5, 0.02), usual=FLOW_METER),
                Input("time", "Between the two levels", Q.DURATION, hard=(60, 90_000), soft=(900, 30_000), usual=WATCH),
            ),
            ("tape", "flow meter or bucket", "watch"),
        ),
    ),
    judged=(Judged("rise", "Water gained", Q.VOLUME, rise_expected, rise_measured),),
    pocket=along(
        "risen", "flow", "time", figures=(Figure("risen", ("end_level", "start_level"), risen, kinks=(0.0,)),)
    ),
    state="pump filling the tank, all taps shut",
    method=(
        "Shut every tap.",
        "Read the level, the flow and the clock; let it rise 20 cm or more in steady sun.",
        "Read the level and the clock again.",
    ),
    normal="The level climbs evenly; what the meter counts is in the tank.",
    cautions=(AT_THE_TANK,),
    limits=(Limit("within 10 % of flow times time", COMMON),),
    tier="full",
    gate="fill_tank",
    needs_sun=True,
    applies=is_pumped_full,
)

CHECKS = (FILL_STOP_LEVEL, FILL_RESTART_LEVEL, OVERFLOW_CARRIES_FULL_FLOW, FILL_BALANCE)
