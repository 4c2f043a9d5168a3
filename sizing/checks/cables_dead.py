"""Cables and terminals, dead: the splice before it goes down, each run there and back, torque, surge arresters."""

from sizing.cables import loop_at
from sizing.checks.battery_case import DC_CLAMP, KILOAMPERES
from sizing.checks.battery_use import MILLIVOLTS
from sizing.checks.case import Case, Expected, Term
from sizing.checks.dead import (
    LOOP_TOLERANCE,
    MOTOR_TEST_VOLTAGE,
    TEST_VOLTAGE,
    TESTER_VOLTAGE,
    insulation_input,
    refuse_weaker_test,
)
from sizing.checks.declare import COMMON, Caution, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.earth import LOW_OHM_METER
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale, along
from sizing.checks.walk_round import LIVE_IN_LIGHT, STARTS_BY_ITSELF
from sizing.checks.weather import AIR_THERMOMETER, AMBIENT_NEED
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.formulas.voltage_drop import joint_resistance
from sizing.parts import PowerCable, SubmersiblePump, SurgeProtector
from sizing.quantities import Quantity as Q
from sizing.system import System
from sizing.working import Working

SPLICE_MINIMUM = 20e6  # Ω, an older handbook's figure for a new motor on the bench, here with cable and splice
SHORTEST_LOOP = 5e-3  # Ω: at 5 A a multimeter tells 25 mV to 3 %; less it cannot tell; common practice, no source
AIR, AIR_HALF_WIDTH = 20.0, 15.0  # °C, K, of a cable whose temperature nobody took; common practice, no source

SHORTED_FAR_END = Caution(
    "The far end is joined: both ends off, tagged, proved dead first, and the link comes off before anything else.",
    COMMON,
)
ARRESTER = Caution(
    "An arrester is live on both poles in any light. Look, do not touch; change its module only with the array open.",
    "IEC 60364-7-712 (from memory)",
)


def splice_expected(case: Case) -> Expected:
    """Return the least insulation of motor, splice and cable together, the splice under water in a bucket."""
    refuse_weaker_test(case, MOTOR_TEST_VOLTAGE)
    basis = "new motor with cable and splice, before it goes down: submersible-motor application handbooks, older book"
    return Expected(Q.INSULATION, lower=SPLICE_MINIMUM, basis=basis)


def has_wires(system: System, tag: str) -> bool:
    """Whether a system has cables, and so terminals."""
    return any(isinstance(run.part, PowerCable) for run in system.runs.values())


def is_read_alone(system: System, tag: str) -> bool:
    """Whether a cable is read by itself: not one to a motor, read with its winding, nor one too short to be told.

    A cable whose length or size nobody has recorded stays: it is then named as what is missing.
    """
    run = system.runs.get(tag)
    if run is None or "motor" in (run.start.port, run.end.port):
        return False
    try:
        return loop_at(run, AIR, Working(silent=True)) >= SHORTEST_LOOP
    except (MissingDataError, OutOfRangeError):
        return True


def loop_measured(case: Case) -> float:
    """Return the resistance of both conductors: read, or from the volts that a known current takes."""
    if case.here("resistance"):
        return case.reading("resistance")
    return case.w.call("R read", joint_resistance, drop=case.reading("drop"), current=case.reading("current"))


def cable_expected(case: Case) -> Expected:
    """Return the resistance there and back of the cable at the temperature read, or of the air."""
    run = case.system.runs.get(case.subject.tag)
    if run is None:
        raise MissingDataError(case.subject.tag, "length", f"{case.subject.tag}: the cable is not in the record")
    terms: tuple[Term, ...] = ()
    if case.has("temperature"):
        temperature = case.reading("temperature")
    elif case.has("ambient_temperature"):
        temperature = case.condition("ambient_temperature")
    else:
        temperature = AIR
        warmer = loop_at(run, AIR + AIR_HALF_WIDTH, Working(silent=True)) - loop_at(run, AIR, Working(silent=True))
        terms = (Term("temperature of the cable 20 ± 15 °C", standard_from_half_width(warmer)),)
    nominal = loop_at(run, temperature, case.w)
    return Expected(
        Q.RESISTANCE,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=LOOP_TOLERANCE),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=LOOP_TOLERANCE),
        basis="size and length of the record at temperature ± 10 %: " + COMMON,
        terms=terms,
    )


SPLICE_INSULATION = Check(
    key="splice_insulation",
    title="Splice, under water in a bucket",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Dead tests",
    purpose="The splice is tight before it hangs where nobody sees it: most drop-cable faults begin there.",
    ways=(
        Way(
            "bucket",
            "Insulation tester, splice in a bucket",
            (insulation_input("insulation", "Leads to the water"), TEST_VOLTAGE),
            ("insulation tester", "bucket of water with salt"),
        ),
    ),
    judged=(Judged("insulation", "Leads to the water", Q.INSULATION, splice_expected),),
    state="splice cold and set, motor and cable joined, nothing lowered yet",
    method=(
        "Splice an hour in a bucket of water with a pinch of salt; cable ends dry and apart.",
        "All leads together against the water, 500 V, read after 60 seconds.",
        "As it should be: the tester's end of scale. A reading that creeps down: cut it out and make it again.",
        "Discharge, prove zero, dry the ends.",
    ),
    cautions=(TESTER_VOLTAGE,),
    limits=(
        Limit("20 MΩ or more with motor and cable", "submersible-motor application handbooks, older book"),
        Limit("the splice an hour under water", COMMON),
    ),
    perishable="lost as soon as the pump hangs in the well",
    before_cover=True,
    at_start_up=False,
    pocket=along("test_voltage"),
)

CABLE_TEMPERATURE = Input(
    "temperature",
    "Temperature of the cable",
    Q.TEMPERATURE,
    hard=(-60, 120),
    soft=(-10, 70),
    hint="where most of it lies; leave empty for the air's",
    optional=True,
    usual=AIR_THERMOMETER,
)

CABLE_LOOP_RESISTANCE = Check(
    key="cable_loop_resistance",
    title="Cable, there and back",
    kind=Kind.MEASURED,
    subject=PowerCable,
    group="Dead tests",
    purpose="The cable is the size and length of the record, with no broken strand and no bad joint on the way.",
    ways=(
        Way(
            "low_ohm",
            "Low-ohm meter, far end joined",
            (
                Input(
                    "resistance",
                    "Both conductors in series",
                    Q.RESISTANCE,
                    hard=(0.0005, 1e5),
                    soft=(0.002, 20),
                    hint="leads nulled; far end joined by a short thick link",
                    may_be_bound=True,
                    usual=LOW_OHM_METER,
                ),
                CABLE_TEMPERATURE,
            ),
            ("low-ohm meter", "link"),
        ),
        Way(
            "current",
            "A current through it, and the volts it takes",
            (
                Input(
                    "drop",
                    "Volts across the near end",
                    Q.VOLTAGE,
                    hard=(0, 50),
                    soft=(0.005, 5),
                    hint="probes on the two conductors, inside of the clips that bring the current",
                    usual=MILLIVOLTS,
                ),
                Input(
                    "current",
                    "Current through the loop",
                    Q.CURRENT,
                    hard=(0.1, 200),
                    soft=(3, 30),
                    hint="steady, a few amperes: a fused 12 V battery through a lamp",
                    usual=DC_CLAMP,
                ),
                CABLE_TEMPERATURE,
            ),
            ("multimeter", "DC clamp meter", "fused 12 V battery and lamp", "link"),
        ),
    ),
    judged=(Judged("resistance", "Both conductors in series", Q.RESISTANCE, cable_expected, loop_measured),),
    needs=(AMBIENT_NEED,),
    state="dead and locked, both ends off, far end joined",
    method=(
        "Both ends off; join the two conductors at the far end, null the leads.",
        "Read; move the cable at each joint: the number must not jump.",
        "Below 0.2 Ω a low-ohm meter is too coarse: send a few amperes through it instead, and read volts and amperes.",
        "High: thinner or longer than recorded, or a joint. Low: not the cable you think. Take the link off.",
    ),
    cautions=(SHORTED_FAR_END, LIVE_IN_LIGHT, KILOAMPERES),
    limits=(
        Limit("size and length of the record at temperature ± 10 %", COMMON),
        Limit("conductor resistance at 20 °C", "IEC 60228:2004; ASTM B258, NBS Handbook 100 for AWG"),
    ),
    after=("proved_dead",),
    gate="safe_to_work",
    tier="full",
    applies=is_read_alone,
    pocket=Pocket(
        (
            Plan(("temperature",), given=("temperature",)),
            Plan(("ambient_temperature",), given=("ambient_temperature",), without=("temperature",)),
            Plan(without=("temperature", "ambient_temperature")),
        ),
        axes=(Axis("current", scale=Scale.RECIPROCAL),),
        figures=(Figure("resistance", ("drop", "current"), loop_measured, stands_in=True),),
        simply={"resistance": "resistance"},
    ),
    revision=2,
)

TERMINAL_TORQUE = Check(
    key="terminal_torque",
    title="Terminals, by torque",
    kind=Kind.OBSERVED,
    subject=None,
    group="Dead tests",
    purpose="Every terminal is as tight as its maker asks: a loose one burns, a crushed one breaks.",
    method=(
        "Torque screwdriver or wrench set to the figure printed beside the terminal or in its sheet.",
        "Every terminal once: battery posts, fuses, combiner, isolator, controllers, earth bar. Mark each with paint.",
        "Fine-stranded wire has ferrules; aluminium only where the terminal is marked for it.",
        "As it should be: each clicks without turning further by a quarter.",
    ),
    cautions=(LIVE_IN_LIGHT, STARTS_BY_ITSELF),
    limits=(Limit("the torque printed by the maker of each terminal", "NEC (NFPA 70, 2020) 110.14(D) (from memory)"),),
    after=("proved_dead",),
    gate="safe_to_work",
    tier="full",
    applies=has_wires,
)

SURGE_PROTECTOR_STATE = Check(
    key="surge_protector_state",
    title="Surge protector",
    kind=Kind.OBSERVED,
    subject=SurgeProtector,
    group="Dead tests",
    purpose="It stands between the next storm and the electronics: spent, it looks just the same from a step away.",
    method=(
        "Window in the good colour, or contact as its sheet says; no soot, no bulge, no smell.",
        "Leads short and straight, half a metre both together at most; earth lead tight on the bar.",
        "Its continuous voltage not below the array's highest: read it off the print.",
        "None to be seen: write down the date it was fitted, and change it after a near strike.",
    ),
    cautions=(ARRESTER,),
    limits=(
        Limit("shows good, leads of 0.5 m at most", "IEC 60364-5-53, clause 534 (from memory)"),
        Limit("continuous voltage not below the array's highest", "IEC 61643-32 (from memory)"),
    ),
    after=("proved_dead",),
    gate="safe_to_work",
    at_service=True,
)

CHECKS = (SPLICE_INSULATION, CABLE_LOOP_RESISTANCE, TERMINAL_TORQUE, SURGE_PROTECTOR_STATE)
