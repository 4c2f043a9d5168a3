"""The well itself: level at rest, level while pumping, what the well gives for each metre, and its first water."""

from sizing.checks.case import Case, Expected
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
    times,
)
from sizing.checks.needs import STATIC_LEVEL as STATIC_LEVEL_NEED
from sizing.checks.needs import pump_in
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale, along
from sizing.checks.water_conditions import SINCE_PUMPING_NEED
from sizing.checks.well_water import CHECKS as WATER_CHECKS
from sizing.checks.well_water import JET
from sizing.errors import MissingDataError
from sizing.formulas.levels import pumping_level
from sizing.formulas.limits import limit_at_offset, lower_limit
from sizing.formulas.wells import drawdown, drawdown_at_flow, specific_capacity, submergence
from sizing.parts import Well
from sizing.quantities import Quantity as Q

# Accuracies of ordinary instruments; common practice, no source.
TAPE = Accuracy(of_reading=0.0005, fixed=0.01, words="dip meter")
WEIGHTED_TAPE = Accuracy(of_reading=0.001, fixed=0.05, words="weighted tape")
FLOW_METER = Accuracy(of_reading=0.03, words="flow meter, or bucket and watch")
WATCH = Accuracy(fixed=15.0, words="watch")

LOG_TOLERANCE = 3.0  # m; common practice, no source: levels move with the season
LEAST_REST = 3_600.0  # s; common practice, no source
DEPTH_TOLERANCE = 2.0  # m; common practice, no source: more is silt, or another well's log
CAPACITY_SHARE_LOST = 0.25  # from memory: a well is usually cleaned when it has lost about a quarter

WELL_HEAD = Caution(
    "Keep the cap over the hole while you work: nothing may fall in. Wipe the tape with chlorine first.",
    COMMON,
)
CAPACITY_LIMIT = Limit(
    "not less than three quarters of the well test's",
    "a well is usually cleaned when it has lost about a quarter (from memory)",
)


def static_level_expected(case: Case) -> Expected:
    """Return what the level at rest should be: near the driller's log, whatever the season allows."""
    logged = case.subject.need("static_level")
    if case.has("hours_since_pumping") and case.condition("hours_since_pumping") < LEAST_REST:
        words = "the well has rested for less than an hour: the level still rises. Wait and read again"
        raise MissingDataError("condition", "hours_since_pumping", words)
    lower = case.w.call("lower", limit_at_offset, nominal=logged, offset=-LOG_TOLERANCE)
    upper = case.w.call("upper", limit_at_offset, nominal=logged, offset=LOG_TOLERANCE)
    return Expected(Q.DEPTH, logged, lower, upper, basis="driller's log ± 3 m: " + COMMON)


def well_depth_expected(case: Case) -> Expected:
    """Return what the tape should find: the depth on the log."""
    logged = case.subject.need("depth")
    lower = case.w.call("lower", limit_at_offset, nominal=logged, offset=-DEPTH_TOLERANCE)
    upper = case.w.call("upper", limit_at_offset, nominal=logged, offset=DEPTH_TOLERANCE)
    return Expected(Q.DEPTH, logged, lower, upper, basis="driller's log ± 2 m: " + COMMON)


def tested_capacity(case: Case) -> float:
    """Return the specific capacity of the well test on record, as a step."""
    return case.w.call(
        "C_s test",
        specific_capacity,
        flow=case.subject.need("tested_yield"),
        drawdown=case.subject.need("drawdown_at_yield"),
    )


def pumping_level_expected(case: Case) -> Expected:
    """Return the level at the flow pumped, by the well test; deeper is the fault, higher is none."""
    flow, static = case.reading("flow"), case.condition("static_level")
    test = tested_capacity(case)
    s = case.w.call("s", drawdown_at_flow, flow=flow, specific_capacity=test)
    nominal = case.w.call("D_p", pumping_level, static_level=static, drawdown=s)
    least = case.w.call("C_s least", lower_limit, nominal=test, tolerance=CAPACITY_SHARE_LOST)
    most = case.w.call("s most", drawdown_at_flow, flow=flow, specific_capacity=least)
    upper = case.w.call("upper", pumping_level, static_level=static, drawdown=most)
    return Expected(Q.DEPTH, nominal, None, upper, basis="well test less a quarter (from memory); one-sided")


def submergence_measured(case: Case) -> float:
    """Return the water over the pump's intake while pumping."""
    return case.w.call(
        "h_s", submergence, pump_setting=case.subject.need("pump_setting"), pumping_level=case.reading("level")
    )


def submergence_expected(case: Case) -> Expected:
    """Return the least water over the intake, from the pump's nameplate."""
    pump = case.system.node(pump_in(case.system, case.subject.tag))
    least = pump.need("minimum_submergence")
    return Expected(
        Q.LENGTH, lower=least, bearable=max(least, 0.1), basis=f"nameplate of {pump.tag}: minimum submergence"
    )


def flow_expected(case: Case) -> Expected:
    """Return the most that may be pumped: what the well was tested for."""
    tested = case.subject.need("tested_yield")
    return Expected(Q.FLOW, upper=tested, bearable=tested / 5, basis="tested yield on the driller's log: " + COMMON)


def lowered(case: Case) -> float:
    """Return the pumping level below that at rest, whatever its sign."""
    return case.condition("pumping_level") - case.condition("static_level")


def drawdown_measured(case: Case) -> float:
    """Return how far pumping has pulled the level down."""
    return case.w.call(
        "s", drawdown, pumping_level=case.condition("pumping_level"), static_level=case.condition("static_level")
    )


def drawdown_expected(case: Case) -> Expected:
    """Return the most drawdown: that at the tested yield, which no smaller flow may pass."""
    tested = case.subject.need("drawdown_at_yield")
    return Expected(
        Q.DEPTH, upper=tested, bearable=tested / 5, basis="drawdown at the tested yield, driller's log: " + COMMON
    )


def capacity_measured(case: Case) -> float:
    """Return what the well gives today for each metre of drawdown."""
    return case.w.call(
        "C_s", specific_capacity, flow=case.condition("pumping_level"), drawdown=case.condition("well_drawdown")
    )


def capacity_expected(case: Case) -> Expected:
    """Return what the well test gave; less is the fault, more is none."""
    nominal = tested_capacity(case)
    lower = case.w.call("lower", lower_limit, nominal=nominal, tolerance=CAPACITY_SHARE_LOST)
    return Expected(
        Q.SPECIFIC_CAPACITY, nominal, lower, None, basis="well test less a quarter (from memory); one-sided"
    )


STATIC_LEVEL = Check(
    key="static_level",
    title="Static level",
    kind=Kind.MEASURED,
    subject=Well,
    group="Well",
    purpose="The water table before anyone has pumped: every later level and drawdown is counted from it.",
    ways=(
        Way(
            "dip",
            "Dip meter",
            (
                Input(
                    "level",
                    "Depth to water",
                    Q.DEPTH,
                    hard=(-5, 1000),
                    soft=(0, 250),
                    hint="from the mark on the casing; two readings 15 to 30 minutes apart",
                    usual=TAPE,
                    agree_fixed=0.03,
                ),
            ),
            ("dip meter", "watch"),
        ),
    ),
    judged=(Judged("level", "Depth to water", Q.DEPTH, static_level_expected),),
    pocket=Pocket(
        (
            Plan(("hours_since_pumping",), given=("hours_since_pumping",)),
            Plan(without=("hours_since_pumping",)),
        ),
        (Axis("hours_since_pumping", (0.0, 1_209_600.0), kinks=(LEAST_REST,)),),
    ),
    needs=(SINCE_PUMPING_NEED,),
    repeat=times(2),
    state="pump and hand pump at rest since at least an hour",
    normal="A clear tone or lamp at one depth, the same within a finger's breadth when you try again.",
    method=(
        "Nobody pumps, the hand pump rests too.",
        "Lower the probe to the first tone, pinch the tape at the mark, read.",
        "Read again 15 to 30 minutes later: within 3 cm, or wait and repeat.",
    ),
    cautions=(WELL_HEAD,),
    limits=(Limit("within 3 m of the driller's log", COMMON), Limit("the two readings within 3 cm", COMMON)),
    perishable="lost with the first pumping",
    at_service=True,
)

WELL_DEPTH_MEASURED = Check(
    key="well_depth_measured",
    title="Depth of the well",
    kind=Kind.MEASURED,
    subject=Well,
    group="Well",
    purpose="The bottom is where the log says: no silt up to the pump, and the right log for this well.",
    ways=(
        Way(
            "tape",
            "Weighted tape",
            (
                Input(
                    "depth",
                    "Depth to the bottom",
                    Q.DEPTH,
                    hard=(0.5, 1000),
                    soft=(3, 400),
                    hint="from the mark on the casing",
                    usual=WEIGHTED_TAPE,
                ),
            ),
            ("weighted tape",),
        ),
    ),
    judged=(Judged("depth", "Depth to the bottom", Q.DEPTH, well_depth_expected),),
    method=(
        "Before the pump goes in, or not at all.",
        "Lower the weight until the tape goes slack, lift, feel the bottom again.",
        "Read at the mark on the casing.",
    ),
    normal="The weight lands softly and the tape goes slack; the same depth twice.",
    cautions=(WELL_HEAD,),
    limits=(Limit("within 2 m of the driller's log", COMMON),),
    tier="full",
    perishable="with the pump in the well the tape lies on its cable",
)

PUMPING_LEVEL = Check(
    key="pumping_level",
    title="Pumping level",
    kind=Kind.MEASURED,
    subject=Well,
    group="Well",
    purpose="The well gives what its test promised, and the pump stays under water.",
    ways=(
        Way(
            "dip",
            "Dip meter",
            (
                Input(
                    "level",
                    "Depth to water",
                    Q.DEPTH,
                    hard=(-5, 1000),
                    soft=(0, 250),
                    hint="from the same mark as the static level",
                    usual=TAPE,
                ),
                Input("flow", "Flow meanwhile", Q.FLOW, hard=(1e-7, 0.5), soft=(1e-5, 0.02), usual=FLOW_METER),
                Input(
                    "minutes",
                    "Pumped for",
                    Q.DURATION,
                    hard=(0, 604_800),
                    soft=(1_200, 90_000),
                    hint="30 minutes or more; the same at every visit",
                    usual=WATCH,
                ),
            ),
            ("dip meter", "flow meter or bucket", "watch"),
        ),
    ),
    judged=(
        Judged("level", "Depth to water while pumping", Q.DEPTH, pumping_level_expected),
        Judged("submergence", "Water over the intake", Q.LENGTH, submergence_expected, submergence_measured),
        Judged("flow", "Flow drawn from the well", Q.FLOW, flow_expected),
    ),
    pocket=along("flow", "static_level", "level"),
    needs=(STATIC_LEVEL_NEED,),
    state="pump running at a steady flow",
    method=(
        "Pump at a steady flow for 30 minutes, longer if you have it.",
        "Lower the probe slowly: spray from the riser can set it off early.",
        "Read the level, and within a minute the flow.",
    ),
    normal="It falls fast for some minutes, then slower and slower, and nearly stands after half an hour.",
    cautions=(WELL_HEAD, JET),
    limits=(
        Limit("drawdown not above a third more than the well test's at that flow", CAPACITY_LIMIT.source),
        Limit("minimum submergence of the pump", "its nameplate"),
        Limit("flow not above the tested yield", "driller's log; " + COMMON),
    ),
    after=("rotation", "turbidity"),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
)

PUMPING_LEVEL_NEED = Need("pumping_level", Needed.EARLIER, "Depth to water while pumping", Q.DEPTH)
PUMPED_FLOW_NEED = Need("pumping_level", Needed.EARLIER, "Flow at that level", Q.FLOW, finding="flow")
DRAWDOWN_NEED = Need("well_drawdown", Needed.EARLIER, "Drawdown at that flow", Q.DEPTH)

WELL_DRAWDOWN = Check(
    key="well_drawdown",
    title="Drawdown",
    kind=Kind.DERIVED,
    subject=Well,
    group="Well",
    purpose="How far pumping pulls the water down: never further than at the tested yield.",
    judged=(Judged("drawdown", "Drawdown", Q.DEPTH, drawdown_expected, drawdown_measured),),
    pocket=along("lowered", figures=(Figure("lowered", ("pumping_level", "static_level"), lowered, kinks=(0.0,)),)),
    needs=(PUMPING_LEVEL_NEED, STATIC_LEVEL_NEED),
    limits=(Limit("not above the drawdown at the tested yield", "driller's log; " + COMMON),),
    at_service=True,
)

SPECIFIC_CAPACITY = Check(
    key="specific_capacity",
    title="Specific capacity",
    kind=Kind.DERIVED,
    subject=Well,
    group="Well",
    purpose="What the well gives for each metre of drawdown: it tells a clogging well from a sinking water table.",
    judged=(Judged("capacity", "Specific capacity", Q.SPECIFIC_CAPACITY, capacity_expected, capacity_measured),),
    pocket=along("pumping_level", "well_drawdown", axes=(Axis("well_drawdown", (0.05, 100), scale=Scale.RECIPROCAL),)),
    needs=(PUMPED_FLOW_NEED, DRAWDOWN_NEED),
    limits=(CAPACITY_LIMIT,),
    at_service=True,
)

CHECKS = (
    STATIC_LEVEL,
    WELL_DEPTH_MEASURED,
    *WATER_CHECKS,
    PUMPING_LEVEL,
    WELL_DRAWDOWN,
    SPECIFIC_CAPACITY,
)
