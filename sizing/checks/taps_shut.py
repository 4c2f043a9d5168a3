"""With every tap shut: nothing starts, and the house side holds its pressure."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Check, Input, Judged, Kind, Limit, Way, timed
from sizing.checks.pocket import along
from sizing.checks.pressure import SWITCH_SLACK, tank
from sizing.checks.pressure_zone import switch_of
from sizing.checks.tightness import BEARABLE, FINE_GAUGE, MOST_FALL, WATER_ONLY
from sizing.errors import OutOfRangeError
from sizing.formulas.leaks import pressure_fall
from sizing.formulas.limits import limit_at_offset
from sizing.parts import PressureTank
from sizing.quantities import Quantity as Q

COUNTED = Accuracy(words="counted")
NO_START = 0.0


def no_starts(case: Case) -> Expected:
    """Return none: with every tap shut nothing draws."""
    switch_of(case.system, tank(case))
    return Expected(Q.COUNT, 0.0, upper=NO_START, basis="none in half an hour with all taps shut: " + COMMON)


def house_fall_measured(case: Case) -> float:
    """Return the fall in pressure from settled to the end."""
    return case.w.call(
        "Δp", pressure_fall, start_pressure=case.at("pressure", "settled"), end_pressure=case.at("pressure", "end")
    )


def house_fall_expected(case: Case) -> Expected:
    """Return the most that the house side may fall in half an hour; it must stand near working pressure."""
    switch = switch_of(case.system, tank(case))
    least = case.w.call("p_least", limit_at_offset, nominal=switch.need("cut_in"), offset=-SWITCH_SLACK)
    if case.readings and case.at("pressure", "settled") < least:
        words = f"{least / 1e3:.0f} kPa or more: hold it between cut-in and cut-out"
        raise OutOfRangeError("pressure", f"{case.at('pressure', 'settled') / 1e3:.0f} kPa", words)
    return Expected(Q.PRESSURE_DIFFERENCE, upper=MOST_FALL, bearable=BEARABLE, basis="7 kPa in 30 minutes: " + COMMON)


STARTS_WITH_TAPS_SHUT = Check(
    key="starts_with_taps_shut",
    title="Starts with every tap shut",
    kind=Kind.MEASURED,
    subject=PressureTank,
    group="Booster and pressure",
    purpose="Nothing leaks, and the check valve holds: the pump rests when nobody draws.",
    ways=(
        Way(
            "count",
            "Counted over half an hour",
            (Input("starts", "Starts in half an hour", Q.COUNT, hard=(0, 600), soft=(0, 3), usual=COUNTED),),
            ("watch",),
        ),
    ),
    judged=(Judged("starts", "Starts in half an hour", Q.COUNT, no_starts),),
    state="every tap shut, pump in automatic",
    method=("Shut every tap, let the pump stop.", "Count the starts over half an hour: none."),
    normal="Silence.",
    limits=(Limit("none in half an hour", COMMON),),
    gate="pressurise",
    at_service=True,
)

TIGHTNESS_HOUSE_SIDE = Check(
    key="tightness_house_side",
    title="Tightness of the house side",
    kind=Kind.MEASURED,
    subject=PressureTank,
    group="Booster and pressure",
    purpose="Pipes, taps and check valve behind the pump hold their working pressure.",
    ways=(
        Way(
            "hold",
            "Shut in and watched",
            (
                Input(
                    "pressure",
                    "Pressure on the tank's gauge",
                    Q.GAUGE_PRESSURE,
                    hard=(0, 2.5e6),
                    soft=(50_000, 1e6),
                    hint="tap the gauge before each reading",
                    usual=FINE_GAUGE,
                ),
            ),
            ("fine pressure gauge", "watch"),
        ),
    ),
    judged=(Judged("fall", "Fall in half an hour", Q.PRESSURE_DIFFERENCE, house_fall_expected, house_fall_measured),),
    pocket=along("pressure@settled", "pressure@end"),
    repeat=timed(start=0.0, settled=15.0, end=45.0),
    state="pump locked off at cut-out, every tap shut, no sun on bare pipe",
    method=(
        "Let the pump reach cut-out, lock it off, shut every tap: minute 0.",
        "Read when settled at minute 15, and at minute 45.",
        "Where a valve shuts the tank off, shut it: the gas hides a small leak.",
    ),
    normal="The needle drops by a hair at first, then stands.",
    cautions=(WATER_ONLY,),
    limits=(Limit("not above 7 kPa in 30 minutes, at cut-in or more", COMMON),),
    after=("cut_out",),
    gate="pressurise",
    at_service=True,
)

CHECKS = (STARTS_WITH_TAPS_SHUT, TIGHTNESS_HOUSE_SIDE)
