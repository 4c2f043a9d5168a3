"""The hand pump: strokes until water comes, water per stroke, and that none of it can run back."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way, times
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale
from sizing.errors import OutOfRangeError
from sizing.formulas.flow import relative_spread
from sizing.formulas.handpump import swept_volume, volume_per_stroke, volumetric_efficiency
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.statistics import mean
from sizing.parts import HandPump
from sizing.quantities import Quantity as Q

# Accuracies of ordinary instruments; common practice, no source.
BUCKET = Accuracy(of_reading=0.01, words="marked bucket")
COUNTED = Accuracy(fixed=0.5, words="counting strokes")

MOST_STROKES = 5.0  # after half an hour of rest; common practice, no source
SHORT_SHARE = 0.20  # less than four fifths of the swept volume: worn seals or a leak; common practice, no source
OVER_SHARE = 0.02  # more than the swept volume is a slip; common practice, no source
REPEATS_AGREE = 0.05  # common practice, no source

PINCH = Caution("Keep fingers off the handle's fork and the rod, and children off the handle, while you count.", COMMON)


def strokes_expected(case: Case) -> Expected:
    """Return the most strokes until water comes, after half an hour of rest."""
    return Expected(
        Q.COUNT, upper=MOST_STROKES, bearable=MOST_STROKES / 2, basis="5 full strokes after 30 minutes: " + COMMON
    )


def stroke_measured(case: Case) -> float:
    """Return the water per stroke, the mean of the counted fills; refused where they do not agree."""
    labels = [r.label for r in case.readings if r.input == "volume"]
    strokes = tuple(
        case.w.call(
            f"V₁ {label}".strip(),
            volume_per_stroke,
            volume=case.at("volume", label),
            strokes=case.at("strokes", label),
        )
        for label in labels or [""]
    )
    spread = case.w.call("r", relative_spread, values=strokes)
    if spread > REPEATS_AGREE:
        raise OutOfRangeError("repeats", f"{100 * spread:.0f} % apart", "within 5 % of each other; take them again")
    return case.w.call("V₁", mean, values=strokes)


def stroke_expected(case: Case) -> Expected:
    """Return the swept volume of the cylinder; refuse readings that pass it."""
    swept = case.w.call("V_s", swept_volume, bore=case.subject.need("bore"), stroke=case.subject.need("stroke"))
    upper = case.w.call("upper", upper_limit, nominal=swept, tolerance=OVER_SHARE)
    if case.readings:
        _refuse_more_than_swept(case, swept)
    return Expected(
        Q.VOLUME,
        swept,
        case.w.call("lower", lower_limit, nominal=swept, tolerance=SHORT_SHARE),
        upper,
        basis="swept volume of the cylinder less a fifth: " + COMMON,
    )


def _refuse_more_than_swept(case: Case, swept: float) -> None:
    """Raise OutOfRangeError where more comes than the cylinder holds, readings' doubt and all."""
    slack = 0.02 + 2 * max((r.u / r.value for r in case.readings if r.value > 0), default=0.0)
    delivered = mean([v / n for v, n in zip(case.series("volume"), case.series("strokes"), strict=True)])
    share = volumetric_efficiency(delivered_volume=delivered, swept_volume=swept)
    if share > 1 + slack:
        words = "no more than the cylinder sweeps. Look again at bore, stroke, the count, and the units"
        raise OutOfRangeError("water per stroke", f"{share:.2f} × swept volume", words)


STROKES_TO_WATER = Check(
    key="strokes_to_water",
    title="Strokes to first water",
    kind=Kind.MEASURED,
    subject=HandPump,
    group="Hand pump",
    purpose="A tight foot valve and riser: the pump keeps its water while it rests.",
    ways=(
        Way(
            "count",
            "Counted",
            (
                Input(
                    "strokes",
                    "Strokes to first water",
                    Q.COUNT,
                    hard=(0, 200),
                    soft=(0, 20),
                    hint="full strokes, about 40 a minute",
                    usual=COUNTED,
                ),
            ),
        ),
    ),
    judged=(Judged("strokes", "Strokes to first water", Q.COUNT, strokes_expected),),
    state="pumped until water ran, then at rest for 30 minutes",
    method=(
        "Pump until water runs, then let it rest 30 minutes.",
        "Pump with full strokes, about 40 a minute.",
        "Count until water leaves the spout.",
    ),
    normal="Water at the second or third stroke; a pump that holds its water starts at the first.",
    cautions=(PINCH,),
    limits=(Limit("no more than 5 full strokes after 30 minutes of rest", COMMON),),
    after=("static_level",),
    at_service=True,
)

VOLUME_PER_STROKE = Check(
    key="volume_per_stroke",
    title="Water per stroke",
    kind=Kind.MEASURED,
    subject=HandPump,
    group="Hand pump",
    purpose="Sound seals and valves: nearly all the cylinder sweeps reaches the spout.",
    ways=(
        Way(
            "bucket",
            "Bucket and count",
            (
                Input(
                    "volume",
                    "Water caught",
                    Q.VOLUME,
                    hard=(1e-5, 1),
                    soft=(2e-3, 0.1),
                    hint="a mark checked by weight",
                    usual=BUCKET,
                ),
                Input(
                    "strokes",
                    "Strokes counted",
                    Q.COUNT,
                    hard=(1, 1000),
                    soft=(20, 200),
                    hint="40 full strokes",
                    usual=COUNTED,
                ),
            ),
            ("marked bucket",),
        ),
    ),
    judged=(Judged("volume_per_stroke", "Water per stroke", Q.VOLUME, stroke_expected, stroke_measured),),
    pocket=Pocket(
        (
            Plan(
                ("of_a_stroke",),
                doubtful="whether more than the cylinder holds is refused depends on the readings' doubt",
            ),
        ),
        axes=(Axis("strokes", scale=Scale.RECIPROCAL),),
        figures=(Figure("of_a_stroke", ("volume", "strokes"), stroke_measured, each_repeat=True, agree=REPEATS_AGREE),),
    ),
    repeat=times(3),
    state="running, air gone",
    method=(
        "Pump until no air comes.",
        "Count 40 full strokes into the bucket at a steady pace.",
        "Three times; within 5 %, or again.",
    ),
    normal="An even weight up and an easy return; each stroke brings the same gush.",
    cautions=(PINCH,),
    limits=(
        Limit("not less than four fifths of the swept volume", COMMON),
        Limit("not above it: 2 % more is a slip in bore, stroke or count", COMMON),
    ),
    after=("strokes_to_water",),
    at_service=True,
)

CANNOT_BACKFLOW = Check(
    key="cannot_backflow",
    title="Hand pump water cannot run back",
    kind=Kind.OBSERVED,
    subject=HandPump,
    group="Hand pump",
    purpose="What stands at the spout, or in a bucket under it, cannot get into the well or the pipes.",
    state="hand pump and well pump in place",
    method=(
        "Look for an air gap at the spout: a hose on it is not as it should be.",
        "Pump by hand with the well pump off: no water in the rising main, none back down the casing.",
        "Run the well pump: nothing leaves the spout.",
        "Pour a bucket on the slab: it runs off, not down the casing.",
    ),
    cautions=(PINCH,),
    limits=(Limit("as it should be: air gap, check valve and sealed slab", COMMON),),
)

CHECKS = (STROKES_TO_WATER, VOLUME_PER_STROKE, CANNOT_BACKFLOW)
