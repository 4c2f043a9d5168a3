"""What a tank does between visits: what it loses over night, when it runs over, how its floats stand, and frost."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.pocket import Axis, Scale, along
from sizing.checks.pump_log import CALENDAR, COUNTED
from sizing.checks.storage import AT_THE_TANK, STARTS_ALONE, WATCH, stops_fill, water_in
from sizing.formulas.events import events_in, flow_lost
from sizing.formulas.flow import bucket_flow
from sizing.parts import LevelSwitch, StorageTank
from sizing.quantities import Quantity as Q
from sizing.system import System

WEEK = 604_800.0  # s
MOST_FALL = 0.010  # m over a night: what a tape can tell; common practice, no source
MOST_OVERFLOWS = 1.0  # a week; common practice, no source
STILL_WATER = Accuracy(fixed=0.003, words="mark on the wall and a rule")

ICE = Caution("Ice on ladder and lid: not today. Drained water freezes on the path.", COMMON)


def is_stopped_by_a_switch(system: System, tag: str) -> bool:
    """Whether a tank has a switch that stops its filling, so that running over is a fault."""
    return any(stops_fill(system, one.tag) for one in system.hosted_on(tag, LevelSwitch))


def may_freeze(system: System, tag: str) -> bool:
    """Whether the record low lies below freezing; where nobody has recorded it, it may."""
    low = system.site.record_low
    return low is None or low < 0


def overnight_measured(case: Case) -> float:
    """Return what the tank loses, as a flow: what it would lose from its floor up, between both levels."""
    tank, time = case.system.node(case.subject.tag), case.reading("time")
    first, last = (
        case.w.call(f"{symbol}/t", bucket_flow, volume=water_in(case, tank, case.reading(name), symbol), time=time)
        for symbol, name in (("V₁", "start_level"), ("V₂", "end_level"))
    )
    return case.w.call("Q", flow_lost, sent=first, arrived=last)


def overnight_expected(case: Case) -> Expected:
    """Return a centimetre over the time as the most: a covered tank with every valve shut loses nothing."""
    tank = case.system.node(case.subject.tag)
    volume = water_in(case, tank, MOST_FALL, "V most")
    upper = case.w.call("upper", bucket_flow, volume=volume, time=case.reading("time"))
    return Expected(Q.FLOW, upper=upper, bearable=upper, basis=f"a fall of 1 cm over the time: {COMMON}")


def overflows_measured(case: Case) -> float:
    """Return how often the tank ran over in a week."""
    return case.w.call("n", events_in, count=case.reading("overflows"), time=case.reading("time"), period=WEEK)


def overflows_expected(case: Case) -> Expected:
    """Return one a week as the most where a switch stops the filling."""
    return Expected(Q.COUNT, upper=MOST_OVERFLOWS, bearable=MOST_OVERFLOWS / 2, basis=f"one a week: {COMMON}")


def _level(name: str, label: str) -> Input:
    return Input(name, label, Q.LENGTH, hard=(0, 30), soft=(0.05, 8), usual=STILL_WATER)


TANK_OVERNIGHT_LOSS = Check(
    key="tank_overnight_loss",
    title="What the tank loses over night",
    kind=Kind.MEASURED,
    subject=StorageTank,
    group="Storage",
    purpose="Walls, outlet fitting and drain are tight: a leak is found before the sun or the pump is blamed.",
    ways=(
        Way(
            "levels",
            "Two levels, all valves shut",
            (
                _level("start_level", "Water above the floor, evening"),
                _level("end_level", "Water above the floor, morning"),
                Input("time", "Between the two", Q.DURATION, hard=(3_600, 604_800), soft=(14_400, 90_000), usual=WATCH),
            ),
            ("tape or rule", "watch"),
        ),
    ),
    judged=(Judged("loss", "Lost", Q.FLOW, overnight_expected, overnight_measured),),
    pocket=along("start_level", "end_level", "time", axes=(Axis("time", scale=Scale.RECIPROCAL),)),
    state="inlet and outlet valves shut, four hours or more, no rain",
    method=(
        "Shut inlet and outlet, mark the level on the wall or read it at one place.",
        "Leave it four hours or more, best over night, and read at the same place.",
        "Lost: dry the outside and look at fittings, drain and floor.",
    ),
    normal="The mark stands where it stood.",
    cautions=(AT_THE_TANK,),
    limits=(Limit("not more than 1 cm over the time", COMMON),),
    tier="full",
    gate="fill_tank",
    at_service=True,
)

OVERFLOW_EVENTS = Check(
    key="overflow_events",
    title="How often the tank ran over",
    kind=Kind.MEASURED,
    subject=StorageTank,
    group="Storage",
    purpose="The switch stops the filling every day, and not only on the day somebody looked.",
    ways=(
        Way(
            "asked",
            "Owner's log, or marks at the outfall",
            (
                Input("overflows", "Times it ran over", Q.COUNT, hard=(0, 100_000), soft=(0, 400), usual=COUNTED),
                Input("time", "Over", Q.DURATION, hard=(86_400, 3.2e8), soft=(604_800, 1.3e8), usual=CALENDAR),
            ),
        ),
    ),
    judged=(Judged("overflows", "Times in a week", Q.COUNT, overflows_expected, overflows_measured),),
    pocket=along("overflows", "time", axes=(Axis("time", scale=Scale.RECIPROCAL),)),
    method=(
        "Ask the owner, look at the log; look at the outfall for washed ground and green.",
        "Write the place of the outfall and what it looks like in the note.",
    ),
    normal="Dry ground below the outfall.",
    limits=(Limit("not more than once a week where a switch stops the filling", COMMON),),
    tier="full",
    at_service=True,
    applies=is_stopped_by_a_switch,
)

LEVEL_SWITCH_STATE = Check(
    key="level_switch_state",
    title="The switch says what the water does",
    kind=Kind.OBSERVED,
    subject=LevelSwitch,
    group="Storage",
    purpose="The contact agrees with the level: a float that hangs, or a probe with scale, floods or runs dry.",
    state="water at a known level, control line off the controller",
    method=(
        "Read the true level from outside, and which way the contact must stand there.",
        "Lock off, take the control line off at the controller, meter on its two wires.",
        "As it should be: the contact stands as the level asks, without flicker when the cord is moved.",
        "Put the line back; if it disagreed, try it once more with real water.",
    ),
    normal="Nearly nothing or no end on the meter, and no number in between.",
    cautions=(STARTS_ALONE, AT_THE_TANK),
    limits=(Limit("as it should be: the contact agrees with the true level", COMMON),),
    tier="full",
    at_service=True,
)

FROST_AND_DRAIN_DOWN = Check(
    key="frost_and_drain_down",
    title="Frost, and how it is drained",
    kind=Kind.OBSERVED,
    subject=None,
    group="Storage",
    purpose="What can freeze is deep, warm or can be emptied: small pipes, gauge lines and filters go first.",
    state="valves numbered, system full",
    method=(
        "Walk from well to last tap: what lies above the frost depth, or in a room without heat?",
        "Gauge lines, the switch's tube, filter bowls, hand pump riser: lagged, warm, or with a low drain.",
        "Shut and drain one branch by its numbered valves: it runs empty, no pocket stays, and it fills again.",
        "The order of valves to drain and to fill is written where the owner finds it.",
    ),
    normal="A still, lagged one-inch pipe freezes within hours of a hard frost; a full tank takes days.",
    cautions=(ICE,),
    limits=(Limit("as it should be: all that can freeze is below frost, heated, or drains", COMMON),),
    applies=may_freeze,
)

CHECKS = (TANK_OVERNIGHT_LOSS, OVERFLOW_EVENTS, LEVEL_SWITCH_STATE, FROST_AND_DRAIN_DOWN)
