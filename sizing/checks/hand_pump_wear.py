"""A hand pump after half an hour of pumping, and what wears on it: force, play, leaks."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Need, Needed, Way
from sizing.checks.hand_pump import BUCKET, COUNTED, PINCH
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale
from sizing.formulas.flow import bucket_flow
from sizing.formulas.handpump import stroke_flow
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.parts import HandPump
from sizing.quantities import Quantity as Q

STOPWATCH = Accuracy(fixed=0.5, words="watch by hand")

LATE_SHORT = 0.20  # of what the first strokes gave; common practice, no source
LATE_OVER = 0.10  # more is a slip in the count; common practice, no source

TAKE_TURNS = Caution("Half an hour at the handle: take turns, in the shade, with something to drink.", COMMON)


def late_measured(case: Case) -> float:
    """Return the flow of the last three minutes."""
    return case.w.call("Q", bucket_flow, volume=case.reading("volume"), time=case.reading("time"))


def fresh_flow(case: Case) -> float:
    """Return what the same strokes gave when the pump was fresh."""
    return case.w.call(
        "Q₁",
        stroke_flow,
        volume_per_stroke=case.condition("volume_per_stroke"),
        strokes=case.reading("strokes"),
        time=case.reading("time"),
    )


def late_expected(case: Case) -> Expected:
    """Return what the fresh pump gave; less says that the well does not keep up, or air gets in."""
    nominal = fresh_flow(case)
    return Expected(
        Q.FLOW,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=LATE_SHORT),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=LATE_OVER),
        basis=f"water per stroke of the fresh pump × strokes, − 20 + 10 %: {COMMON}",
    )


HAND_PUMP_LATE_YIELD = Check(
    key="hand_pump_late_yield",
    title="Yield after half an hour of pumping",
    kind=Kind.MEASURED,
    subject=HandPump,
    group="Hand pump",
    purpose="The well keeps up with a queue: what the first bucket gave, the hundredth gives too.",
    ways=(
        Way(
            "bucket",
            "Bucket, watch and count",
            (
                Input("volume", "Water of the last minutes", Q.VOLUME, hard=(1e-5, 1), soft=(0.01, 0.1), usual=BUCKET),
                Input(
                    "time", "Over", Q.DURATION, hard=(10, 3_600), soft=(120, 300),
                    hint="the last three minutes of thirty", usual=STOPWATCH,
                ),
                Input(
                    "strokes", "Strokes in that time", Q.COUNT, hard=(1, 1000), soft=(60, 200),
                    hint="about 40 full strokes a minute", usual=COUNTED,
                ),
            ),
            ("marked bucket", "watch"),
        ),
    ),
    judged=(Judged("flow", "Flow of the last minutes", Q.FLOW, late_expected, late_measured),),
    pocket=Pocket(
        (Plan(("flow", "fresh")),),
        (Axis("time", scale=Scale.RECIPROCAL), Axis("volume_per_stroke", (5e-5, 5e-3))),
        (
            Figure("flow", ("volume", "time"), late_measured),
            Figure("fresh", ("volume_per_stroke", "strokes", "time"), fresh_flow),
        ),
    ),
    needs=(Need("volume_per_stroke", Needed.EARLIER, "Water per stroke, fresh", Q.VOLUME),),
    state="pumped for half an hour without a rest",
    method=(
        "Two people in turns, 30 minutes at a steady pace.",
        "In the last three minutes catch the water, time it and count the strokes.",
        "Less than fresh: dip the level, look for air in the stream.",
    ),
    normal="The handle feels the same at the end as at the start, the stream has no gaps.",
    cautions=(PINCH, TAKE_TURNS),
    limits=(Limit("within − 20 + 10 % of the fresh pump at the same strokes", COMMON),),
    tier="full",
    after=("volume_per_stroke",),
    at_service=True,
)  # fmt: skip

HANDLE_FORCE = Check(
    key="handle_force",
    title="Force at the handle",
    kind=Kind.OBSERVED,
    subject=HandPump,
    group="Hand pump",
    purpose="A child can pump, and the rod carries what it should: no parted rod, no tight seal, no bent riser.",
    state="water at the spout",
    method=(
        "Pump ten full strokes; feel the way down and the way back.",
        "With a balance on the handle, write newtons down in the note: the next visit compares them.",
        "As it should be: an even weight, an easy return, no grating.",
    ),
    normal="An even weight up, an easy return. Falling free: a rod has parted. Springing back: a stuck valve.",
    cautions=(PINCH,),
    limits=(Limit("as it should be: even, easy to return, a child can do it", COMMON),),
    tier="full",
    after=("strokes_to_water",),
    at_service=True,
)

HANDLE_PLAY = Check(
    key="handle_play",
    title="Play of handle and bearings",
    kind=Kind.OBSERVED,
    subject=HandPump,
    group="Hand pump",
    purpose="Tight bearings and bolts: play grows fast, and then breaks the head.",
    state="handle at rest",
    method=(
        "Move the handle end up and down and to the sides without lifting the rod.",
        "Write millimetres at the handle's end in the note; a spanner on every bolt.",
        "As it should be: a few millimetres, no bolt turns, no rust dust below a pin.",
    ),
    normal="A few millimetres, without a knock.",
    cautions=(PINCH,),
    limits=(Limit("as it should be: a few millimetres, every bolt tight", COMMON),),
    tier="full",
    at_service=True,
)

HAND_PUMP_LEAK = Check(
    key="hand_pump_leak",
    title="No leak at head and slab",
    kind=Kind.OBSERVED,
    subject=HandPump,
    group="Hand pump",
    purpose="What runs out at the gland runs down the casing one day, and takes the yard with it.",
    state="being pumped, then at rest",
    method=(
        "Pump and look at gland, flanges and the foot of the stand.",
        "Let it rest: no drip, no wet ring round the casing, no crack in the slab.",
        "The run-off carries spilt water well away.",
    ),
    normal="Dry below the spout but for the splash.",
    cautions=(PINCH,),
    limits=(Limit("as it should be: dry at head, flange and slab", COMMON),),
    tier="full",
    at_service=True,
)

CHECKS = (HAND_PUMP_LATE_YIELD, HANDLE_FORCE, HANDLE_PLAY, HAND_PUMP_LEAK)
