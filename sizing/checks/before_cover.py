"""Before anything is covered: each line that will lie in the ground or in a wall is tested while it can be seen."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Caution, Check, Input, Judged, Kind, Limit, Way, timed
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale, along
from sizing.checks.tightness import (
    FINE_GAUGE,
    JUG,
    RIGID,
    SAME_THERMOMETER,
    STILL,
    WATCH,
    WATER_ONLY,
    fall_over_hold,
    hold_pressure_measured,
    makeup_measured,
    pressure_lost,
    warmed_by,
)
from sizing.design.declare import Ask, Scene
from sizing.design.pressures import steady_pressure
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.leaks import makeup_allowance, pressure_fall
from sizing.formulas.limits import lower_limit
from sizing.parts import Pipe, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.system import System

MOST_FALL = 14_000.0  # Pa in an hour: 7 kPa for each half hour; common practice, no source
BEARABLE = 7_000.0
EXPANSION = "expansion"
CREEP_SHARE = 0.05  # of the pressure of the test phase, polyethylene: ASTM F2164 (from memory)

TRENCH = Caution(
    "Nobody in a trench deeper than 1.5 m (5 ft) without shoring or slope; ladder from 1.2 m (4 ft), spoil 0.6 m back.",
    "29 CFR 1926.651 and 1926.652",
)
CALL_FIRST = Caution("Ask where cables, gas and other lines lie before you dig or drive a stake.", COMMON)
HELD_BACK = Caution("Bends and ends of gasketed pipe held back: under pressure the joint pulls apart.", COMMON)


def is_to_be_covered(system: System, tag: str) -> bool:
    """Whether a pipe will lie out of sight; one whose cover nobody has recorded counts as such.

    One that lies inside or in the open stays in sight. The pipe that hangs in a well is pulled with the pump.
    """
    run = system.runs.get(tag)
    if run is None or not isinstance(run.part, Pipe) or run.part.cover == 0 or run.part.lies in ("inside", "open"):
        return False
    return not any(isinstance(system.nodes[end.tag].part, SubmersiblePump) for end in (run.start, run.end))


def is_gasketed(system: System, tag: str) -> bool:
    """Whether a pipe that will be covered has gasketed joints, which are allowed some makeup water."""
    return is_to_be_covered(system, tag) and getattr(system.runs[tag].part, "joints", None) == "gasketed"


def is_allowed_none(system: System, tag: str) -> bool:
    """Whether a pipe that will be covered is allowed no leakage; unknown joints are not."""
    return is_to_be_covered(system, tag) and not is_gasketed(system, tag)


def fall_measured(case: Case) -> float:
    """Return the fall in pressure over the hour; in metal pipe without what temperature explains."""
    return fall_over_hold(case, is_rigid=case.subject.need_text("material") in RIGID)


def fall_expected(case: Case) -> Expected:
    """Return the most that the pressure may fall in the hour; polyethylene, let go, is given a share of it."""
    material = case.subject.need_text("material")
    if case.way != EXPANSION:
        return Expected(Q.PRESSURE_DIFFERENCE, upper=MOST_FALL, bearable=BEARABLE, basis="14 kPa in an hour: " + COMMON)
    if material != "pe":
        raise OutOfRangeError("way", material, "polyethylene: no other pipe goes on stretching like that")
    if not case.readings:
        raise MissingDataError("reading", "pressure", "the pressure at the start of the test phase has not been read")
    settled = case.at("pressure", "settled")
    least = case.w.call("p_least", lower_limit, nominal=settled, tolerance=CREEP_SHARE)
    upper = case.w.call("Δp most", pressure_fall, start_pressure=settled, end_pressure=least)
    return Expected(
        Q.PRESSURE_DIFFERENCE, upper=upper, bearable=upper / 2, basis="5 % of the test phase: ASTM F2164 (from memory)"
    )


def test_pressure_expected(case: Case) -> Expected:
    """Return the greatest pressure that the pipe will see as the least to test with, its rating as the most."""
    working, source = steady_pressure(Ask(Scene(case.system), case.subject.tag, w=case.w))
    return Expected(
        Q.GAUGE_PRESSURE,
        None,
        working,
        case.subject.need("pressure_rating"),
        basis=f"not below the greatest pressure in use, from {source} (IPC 312.5); not above the pipe's rating",
    )


def makeup_expected(case: Case) -> Expected:
    """Return the makeup that a gasketed pipe may take at the test pressure."""
    if not case.readings:
        raise MissingDataError("reading", "pressure", "the test pressure has not been read")
    upper = case.w.call(
        "L",
        makeup_allowance,
        length=case.subject.need("length"),
        nominal_diameter=case.subject.need("inside_diameter"),
        test_pressure_gauge=case.reading("pressure"),
    )
    return Expected(Q.FLOW, upper=upper, bearable=upper, basis="AWWA C600 and C605 allowance, gasketed joints only")


PRESSURE = Input(
    "pressure",
    "Pressure at the lowest point",
    Q.GAUGE_PRESSURE,
    hard=(0, 2.5e6),
    soft=(50_000, 1.6e6),
    hint="tap the gauge before each reading",
    usual=FINE_GAUGE,
)
SKIN = Input(
    "temperature",
    "Water temperature",
    Q.TEMPERATURE,
    hard=(0, 60),
    soft=(2, 35),
    hint="the pipe's skin under a wrapped rag will do; needed when settled and at the end",
    optional=True,
    usual=SAME_THERMOMETER,
)
HOLD_INSTRUMENTS = ("hand test pump", "fine pressure gauge", "thermometer", "watch")
PRESSURE_LIMITS = (
    Limit("test pressure not below the greatest in use", "International Plumbing Code 312.5; local codes ask for more"),
    Limit("test pressure not above the pipe's rating", "rating printed on the pipe"),
)

BURIED_LINE_TEST = Check(
    key="buried_line_test",
    title="Line tested before it is covered",
    kind=Kind.MEASURED,
    subject=Pipe,
    group="Before cover",
    purpose="A joint that weeps is found while a hand can reach it, not after the trench is filled.",
    ways=(
        Way("hold", "Shut in and watched", (PRESSURE, SKIN), HOLD_INSTRUMENTS),
        Way(EXPANSION, "Polyethylene: stretched first, then let go by 70 kPa", (PRESSURE, SKIN), HOLD_INSTRUMENTS),
    ),
    judged=(
        Judged("fall", "Fall in an hour", Q.PRESSURE_DIFFERENCE, fall_expected, fall_measured),
        Judged("test_pressure", "Test pressure", Q.GAUGE_PRESSURE, test_pressure_expected, hold_pressure_measured),
    ),
    pocket=Pocket(
        (
            Plan(("fall", "temperature@settled", "warming"), "fall", "hold"),
            Plan(("pressure@settled", "pressure@end"), "fall", EXPANSION, guards=("warming",)),
            Plan(("pressure@settled",), "test_pressure"),
        ),
        figures=(
            Figure("fall", ("pressure@settled", "pressure@end"), pressure_lost, lead="pressure@end"),
            Figure(
                "warming",
                ("temperature@settled", "temperature@end"),
                warmed_by,
                lead="temperature@end",
                kinks=(-STILL, 0.0, STILL),
            ),
        ),
    ),
    repeat=timed(start=0.0, settled=60.0, end=120.0),
    state="both ends plugged, air out, joints bare, pipe shaded and weighted between them",
    method=(
        "Fill slowly from the low end and let all air out at the high one; hold back bends and ends.",
        "Bring it to one and a half times the greatest pressure in use, never above the rating: minute 0.",
        "Polyethylene: top up for an hour, then let 70 kPa (10 psi) off. Others: let it settle for the hour.",
        "Read pressure and temperature at minute 60 and at minute 120; look at every joint with a dry hand.",
    ),
    normal="A small fall in the first minutes, then a needle that stands. A needle that keeps creeping is a joint.",
    cautions=(WATER_ONLY, TRENCH),
    limits=(
        Limit("fused, solvent-welded and threaded joints: no leakage, not above 14 kPa in an hour", COMMON),
        Limit("polyethylene: within 5 % in the hour after its expansion", "ASTM F2164 (from memory)"),
        Limit("plastic pipe: temperature within 0.5 K; metal pipe: corrected by β/κ of the water", COMMON),
        *PRESSURE_LIMITS,
    ),
    perishable="out of reach once it is covered",
    before_cover=True,
    at_start_up=False,
    applies=is_allowed_none,
)

BURIED_LINE_MAKEUP = Check(
    key="buried_line_makeup",
    title="Gasketed line tested before it is covered",
    kind=Kind.MEASURED,
    subject=Pipe,
    group="Before cover",
    purpose="Gasketed joints take no more water under pressure than the waterworks rule allows.",
    ways=(
        Way(
            "makeup",
            "Pressure kept up from a jug",
            (
                PRESSURE,
                Input("makeup", "Water added", Q.VOLUME, hard=(1e-7, 1), soft=(1e-6, 0.02), usual=JUG),
                Input("time", "Over", Q.DURATION, hard=(60, 90_000), soft=(7_200, 15_000), usual=WATCH),
            ),
            ("hand test pump", "measuring jug", "fine pressure gauge", "watch"),
        ),
    ),
    judged=(
        Judged("makeup", "Makeup water", Q.FLOW, makeup_expected, makeup_measured),
        Judged("pressure", "Test pressure", Q.GAUGE_PRESSURE, test_pressure_expected),
    ),
    pocket=along("pressure", "makeup", "time", axes=(Axis("time", scale=Scale.RECIPROCAL),)),
    state="both ends plugged and held back, air out, filled a day before, joints bare",
    method=(
        "Fill slowly, let all air out, leave it full over night.",
        "Bring it to one and a half times the greatest pressure in use, never above the rating.",
        "Keep it within 35 kPa (5 psi) for two hours or more from a measuring jug.",
        "Note what you added; look at every joint.",
    ),
    normal="A few strokes in two hours. Water standing in the bottom of the trench is no condensation.",
    cautions=(WATER_ONLY, HELD_BACK, TRENCH),
    limits=(Limit("not above S·D·√P / 148 000", "AWWA C600 and C605, testing allowance"), *PRESSURE_LIMITS),
    perishable="out of reach once it is covered",
    before_cover=True,
    at_start_up=False,
    applies=is_gasketed,
)

COVER_DEPTH = Check(
    key="cover_depth",
    title="Depth and bed of what is covered",
    kind=Kind.OBSERVED,
    subject=None,
    group="Before cover",
    purpose="Below frost, plough and wheels, on a bed without stones: what lies there is not dug up again.",
    state="trenches open",
    method=(
        "Measure the ground that will lie over every pipe and cable at its shallowest point, with a rod and a level.",
        "Not less than on the record, below the depth to which the ground freezes, deeper under a road.",
        "Bed and first cover of sand or sieved earth; warning tape and a tracer over plastic; sleeves through walls.",
        "Power cable and water pipe apart, as the code has it.",
    ),
    cautions=(TRENCH, CALL_FIRST),
    limits=(Limit("as on the record, and below the frost depth of the site", COMMON),),
    perishable="out of sight once it is covered",
    before_cover=True,
    at_start_up=False,
)

PHOTOGRAPHS = Check(
    key="photographs",
    title="Photographs before cover",
    kind=Kind.OBSERVED,
    subject=None,
    group="Before cover",
    purpose="Whoever digs in ten years finds each line where the picture shows it.",
    state="trenches open, tags on",
    method=(
        "Each joint, bend, tee, valve and splice, with its tag and a rule in the picture.",
        "Each line once from end to end, with a wall, post or tree that will still stand in ten years.",
        "Tape the distance from two such points to every buried joint and write it down.",
        "Keep the pictures with this check before a shovel moves.",
    ),
    cautions=(TRENCH,),
    limits=(Limit("as it should be: every buried joint can be found again from the pictures", COMMON),),
    perishable="out of sight once it is covered",
    before_cover=True,
    at_start_up=False,
)

CHECKS = (BURIED_LINE_TEST, BURIED_LINE_MAKEUP, COVER_DEPTH, PHOTOGRAPHS)
