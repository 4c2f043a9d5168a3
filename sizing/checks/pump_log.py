"""What a well pump does when nobody looks: starts, dry stops, air, and how it sounds."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.pocket import Axis, Scale, along
from sizing.checks.walk_round import STARTS_BY_ITSELF
from sizing.checks.well_water import JET
from sizing.formulas.events import events_in
from sizing.parts import SubmersiblePump
from sizing.quantities import Quantity as Q

# Accuracies of ordinary instruments; common practice, no source.
COUNTED = Accuracy(words="counted, or from the controller's counter")
CLOCK = Accuracy(fixed=60.0, words="clock")
CALENDAR = Accuracy(fixed=21_600.0, words="calendar")

HOUR, DAY = 3_600.0, 86_400.0  # s
MOST_STARTS = 6.0  # an hour in clear sky; common practice, no source
MOST_TRIPS = 1.0  # a day; common practice, no source

LISTEN = Caution("A rod to the ear, never a hand on a turning or live part; hair and sleeves tied back.", COMMON)


def starts_measured(case: Case) -> float:
    """Return the starts in an hour."""
    return case.w.call("n", events_in, count=case.reading("starts"), time=case.reading("time"), period=HOUR)


def starts_expected(case: Case) -> Expected:
    """Return the most starts in an hour of clear sky."""
    return Expected(Q.COUNT, upper=MOST_STARTS, bearable=MOST_STARTS / 2, basis=f"6 an hour in clear sky: {COMMON}")


def trips_measured(case: Case) -> float:
    """Return the stops by low water in a day."""
    return case.w.call("n", events_in, count=case.reading("trips"), time=case.reading("time"), period=DAY)


def trips_expected(case: Case) -> Expected:
    """Return the most stops by low water in a day: more often the pump is too large for the well."""
    return Expected(Q.COUNT, upper=MOST_TRIPS, bearable=MOST_TRIPS / 2, basis=f"one a day: {COMMON}")


WELL_PUMP_STARTS = Check(
    key="well_pump_starts",
    title="Well pump: starts in an hour",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The pump runs on: one that keeps trying wears its bearing and never gets water up.",
    ways=(
        Way(
            "count",
            "Counter of the controller, or an hour beside it",
            (
                Input(
                    "starts", "Starts", Q.COUNT, hard=(0, 100_000), soft=(0, 500), usual=COUNTED,
                    hint="difference of the counter between two moments",
                ),
                Input("time", "Over", Q.DURATION, hard=(60, 31_536_000), soft=(1_800, 86_400), usual=CLOCK),
            ),
        ),
    ),
    judged=(Judged("starts", "Starts in an hour", Q.COUNT, starts_expected, starts_measured),),
    pocket=along("starts", "time", axes=(Axis("time", scale=Scale.RECIPROCAL),)),
    state="clear sky, tank not full",
    method=(
        "Read the counter, read it again an hour or more later; or stand by and count.",
        "Leave out the first hour after sunrise and the last before sunset.",
    ),
    normal="One start in the morning, one after each dark cloud. Every minute or two in full sun is not normal.",
    cautions=(STARTS_BY_ITSELF,),
    limits=(Limit("not more than 6 an hour in clear sky", COMMON),),
    tier="full",
    after=("rotation",),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
)  # fmt: skip

LOW_WATER_TRIPS = Check(
    key="low_water_trips",
    title="Stops by low water",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The well keeps up with the pump: its guard is there for the worst day, not for every one.",
    ways=(
        Way(
            "log",
            "Log or counter of the controller",
            (
                Input("trips", "Stops by low water", Q.COUNT, hard=(0, 100_000), soft=(0, 300), usual=COUNTED),
                Input(
                    "time", "Over", Q.DURATION, hard=(3_600, 315_360_000), soft=(86_400, 126_144_000), usual=CALENDAR
                ),
            ),
        ),
    ),
    judged=(Judged("trips", "Stops in a day", Q.COUNT, trips_expected, trips_measured),),
    pocket=along("trips", "time", axes=(Axis("time", scale=Scale.RECIPROCAL),)),
    method=(
        "Read the controller's log or counter, and since when it counts.",
        "Write down the counter itself in the note: the next visit counts from it.",
    ),
    normal="None in a wet season, a few late in a dry one.",
    limits=(Limit("not more than one a day", COMMON),),
    tier="full",
    at_service=True,
)

AIR_AT_OUTLET = Check(
    key="air_at_outlet",
    title="Air in the water",
    kind=Kind.OBSERVED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="The pump draws water alone: no level at the intake, no leak on a suction, no gas in the well.",
    state="pump has run ten minutes, outlet open to waste",
    method=(
        "Let it run ten minutes; what comes before does not count.",
        "Fill a glass under the outlet: milky water that clears from below is air.",
        "As it should be: a full, quiet stream, clear in the glass within seconds.",
        "Spits and gaps: dip the level at once.",
    ),
    normal="The first minute spits, then the stream is glassy and even.",
    cautions=(JET,),
    limits=(Limit("as it should be: no air after ten minutes", COMMON),),
    tier="full",
    after=("rotation",),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
)

WELL_PUMP_NOISE = Check(
    key="well_pump_noise",
    title="Well pump: how it sounds",
    kind=Kind.OBSERVED,
    subject=SubmersiblePump,
    group="Well pump",
    purpose="Bearing, coupling and check valve run quietly: a pump tells of its end months before.",
    state="pump running in steady sun",
    method=(
        "A wooden rod from the drop pipe or casing to your ear, or a flat hand on the pipe above ground.",
        "Listen at the start, running, and at the stop.",
        "As it should be: an even hum, one soft knock of the check valve at the stop.",
        "Note a rattle, a grind, a beat or a hammer, and where it is loudest.",
    ),
    normal="An even hum that rises with the sun; at dawn it hums a while before water comes.",
    cautions=(LISTEN, STARTS_BY_ITSELF),
    limits=(Limit("as it should be: no rattle, grind or hammer", COMMON),),
    tier="full",
    after=("rotation",),
    gate="start_well_pump",
    needs_sun=True,
    at_service=True,
)

CHECKS = (WELL_PUMP_STARTS, LOW_WATER_TRIPS, AIR_AT_OUTLET, WELL_PUMP_NOISE)
