"""How the well comes back after the pump has stopped."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.needs import STATIC_LEVEL
from sizing.checks.pocket import Figure, Plan, Pocket
from sizing.checks.well import PUMPING_LEVEL_NEED, TAPE, WATCH, WELL_HEAD, lowered
from sizing.errors import OutOfRangeError
from sizing.formulas.wells import recovered_level
from sizing.parts import Well
from sizing.quantities import Quantity as Q

RECOVERED = 0.9
LEVEL_SLACK = 0.02  # m, read on the tape; common practice, no source


def still_below(case: Case) -> float:
    """Return how far the level read lies below that of nine tenths, whatever it is."""
    return case.reading("level") - _target(case)


def _target(case: Case) -> float:
    return case.w.call(
        "D₉₀",
        recovered_level,
        static_level=case.condition("static_level"),
        pumping_level=case.condition("pumping_level"),
        recovered=RECOVERED,
    )


def _refuse_not_back(case: Case) -> None:
    """Raise where the level is not back yet."""
    target, level = _target(case), case.reading("level")
    if level > target + LEVEL_SLACK:
        raise OutOfRangeError("level", f"{level:.2f} m", f"{target:.2f} m or less: wait on")


def recovery_expected(case: Case) -> Expected:
    """Return as long as it was pumped, as the most until nine tenths of the drawdown are back."""
    _refuse_not_back(case)
    pumped = case.reading("pumped")
    return Expected(Q.DURATION, upper=pumped, bearable=pumped / 4, basis="as long as it was pumped: " + COMMON)


RECOVERY_TIME = Check(
    key="recovery_time",
    title="Recovery after pumping",
    kind=Kind.MEASURED,
    subject=Well,
    group="Well",
    purpose="The water comes back as fast as it went: screen and rock are open.",
    ways=(
        Way(
            "dip",
            "Dip meter and watch",
            (
                Input(
                    "time",
                    "From the stop to nine tenths back",
                    Q.DURATION,
                    hard=(1, 604_800),
                    soft=(60, 28_800),
                    hint="the working shows the level at which nine tenths are back",
                    usual=WATCH,
                ),
                Input("level", "Depth to water then", Q.DEPTH, hard=(-5, 1000), soft=(0, 250), usual=TAPE),
                Input(
                    "pumped",
                    "Pumped before for",
                    Q.DURATION,
                    hard=(60, 604_800),
                    soft=(1_200, 90_000),
                    hint="the same at every visit",
                    usual=WATCH,
                ),
            ),
            ("dip meter", "watch"),
        ),
    ),
    judged=(Judged("time", "Time to nine tenths", Q.DURATION, recovery_expected),),
    pocket=Pocket(
        (Plan(("pumped", "still_below")),),
        figures=(
            Figure("lowered", ("pumping_level", "static_level"), lowered, kinks=(0.0,)),
            Figure("still_below", ("level", "static_level", "lowered"), still_below, kinks=(LEVEL_SLACK,)),
        ),
    ),
    needs=(STATIC_LEVEL, PUMPING_LEVEL_NEED),
    state="pump just stopped and locked off, hand pump at rest",
    method=(
        "Stop the pump and start the watch; lock it off.",
        "Dip every few minutes; the level of nine tenths is in the working.",
        "Write down the minute at which it is reached, and that level.",
    ),
    normal="Fast at first, slower and slower. A level that stops far from rest tells of a season or a neighbour.",
    cautions=(WELL_HEAD,),
    limits=(Limit("not longer than it was pumped before", COMMON),),
    tier="full",
    after=("pumping_level",),
    gate="start_well_pump",
    at_service=True,
)

CHECKS = (RECOVERY_TIME,)
