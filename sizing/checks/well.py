"""The well itself: level at rest, level while pumping, and what the well gives for each metre."""

from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way, times
from sizing.formulas.limits import limit_at_offset
from sizing.parts import Well
from sizing.quantities import Quantity as Q

TAPE = Accuracy(of_reading=0.0005, fixed=0.01, words="dip meter")
LOG_TOLERANCE = 3.0  # m; common practice, no source: levels move with the season
WELL_HEAD = Caution(
    "Keep the cap over the hole while you work: nothing may fall in. Wipe the tape with chlorine first.",
    COMMON,
)


def static_level_expected(case: Case) -> Expected:
    """Return what the level at rest should be: near the driller's log, whatever the season allows."""
    logged = case.subject.need("static_level")
    lower = case.w.call("lower", limit_at_offset, nominal=logged, offset=-LOG_TOLERANCE)
    upper = case.w.call("upper", limit_at_offset, nominal=logged, offset=LOG_TOLERANCE)
    return Expected(Q.DEPTH, logged, lower, upper, basis="driller's log ± 3 m: " + COMMON)


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
                Input("level", "Depth to water", Q.DEPTH, hard=(-5, 1000), soft=(0, 250), hint="from the mark on the casing; two readings 15 to 30 minutes apart", usual=TAPE, agree_fixed=0.03),
            ),
            ("dip meter", "watch"),
        ),
    ),
    judged=(Judged("level", "Depth to water", Q.DEPTH, static_level_expected),),
    repeat=times(2),
    state="pump and hand pump at rest since at least an hour",
    method=(
        "Nobody pumps, the hand pump rests too.",
        "Lower the probe to the first tone, pinch the tape at the mark, read.",
        "Read again 15 to 30 minutes later: within 3 cm, or wait and repeat.",
    ),
    cautions=(WELL_HEAD,),
    limits=(Limit("within 3 m of the driller's log", COMMON),),
    perishable="lost with the first pumping",
    at_service=True,
)

CHECKS = (STATIC_LEVEL,)
