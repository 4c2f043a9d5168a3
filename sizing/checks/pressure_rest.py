"""What a pressure system does by itself: where it rests, how long it runs, what its contacts and its relief show."""

from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way, times
from sizing.checks.pocket import Axis, Figure, Scale, along
from sizing.checks.pressure import (
    EARLIER,
    FAST_GAS,
    GAUGE,
    NO_RELIEF,
    SPRAY,
    STOPWATCH,
    SWITCH_SLACK,
    TANK_AND_SWITCH,
    drawdown,
    filling_flow,
    measured_or,
    tank,
)
from sizing.checks.pressure_zone import fillers_of, switch_of
from sizing.checks.storage import STARTS_ALONE
from sizing.errors import MissingDataError
from sizing.formulas.events import contact_resistance
from sizing.formulas.limits import limit_at_offset, lower_limit, upper_limit
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.formulas.vessels import pump_run_time
from sizing.parts import BoosterPump, PressureSwitch, PressureTank, ReliefValve
from sizing.quantities import Quantity as Q
from sizing.system import System

# Accuracies of ordinary instruments; common practice, no source.
MILLIVOLTS = Accuracy(of_reading=0.005, fixed=0.0005, words="multimeter, millivolts")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.05, words="DC clamp meter")

RUN_SHORT, RUN_LONG = 0.30, 0.40  # of Boyle's law over the pump's table; common practice, no source
MOST_CONTACT = 0.010  # Ω; common practice, no source

LIVE_CONTACTS = Caution(
    "The switch is live inside: cover off while it is locked off, leads clipped on, then hands away.", COMMON
)


def is_filled_by_booster(system: System, tag: str) -> bool:
    """Whether one booster fills a pressure tank, so that its run can be computed."""
    fillers = fillers_of(system, system.node(tag))
    return len(fillers) == 1 and isinstance(fillers[0].part, BoosterPump)


def rest_expected(case: Case) -> Expected:
    """Return the cut-out, as read or as set: where the pressure stands when the pump has just stopped."""
    nominal = measured_or(case, "cut_out", switch_of(case.system, tank(case)))
    return Expected(
        Q.GAUGE_PRESSURE,
        nominal,
        case.w.call("lower", limit_at_offset, nominal=nominal, offset=-SWITCH_SLACK),
        case.w.call("upper", limit_at_offset, nominal=nominal, offset=SWITCH_SLACK),
        basis=f"cut-out as read, or of the nameplate, ± 20 kPa (3 psi): {COMMON}",
    )


def run_expected(case: Case) -> Expected:
    """Return how long the booster runs from cut-in to cut-out with all taps shut: Boyle's law over its table."""
    fillers = fillers_of(case.system, tank(case))
    if not fillers:
        raise MissingDataError(case.subject.tag, "pipe", f"{case.subject.tag}: no pump is recorded that fills it")
    flow = filling_flow(case, fillers[0])
    nominal = case.w.call("t", pump_run_time, drawdown=drawdown(case), pump_flow=flow, demand=0.0)
    return Expected(
        Q.DURATION,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=RUN_SHORT),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=RUN_LONG),
        basis=f"Boyle's law over the pump's table half way, − 30 + 40 %: {COMMON}",
        terms=(Term("gas compressed fast ± 5 %", standard_from_half_width(FAST_GAS * nominal), shared=True),),
    )


def contact_measured(case: Case) -> float:
    """Return the resistance of the closed contacts."""
    return case.w.call("R", contact_resistance, voltage=case.reading("voltage"), current=case.reading("current"))


def contact_expected(case: Case) -> Expected:
    """Return the most that a closed pair of contacts may have."""
    return Expected(
        Q.RESISTANCE, upper=MOST_CONTACT, bearable=MOST_CONTACT / 2, basis=f"10 mΩ for a closed contact: {COMMON}"
    )


PRESSURE_AT_REST = Check(
    key="pressure_at_rest",
    title="Pressure just after the stop",
    kind=Kind.MEASURED,
    subject=PressureTank,
    group="Booster and pressure",
    purpose="The check valve holds and the switch stops where it did: pressure does not sink back through the pump.",
    ways=(
        Way(
            "gauge",
            "Gauge at the tank",
            (
                Input(
                    "pressure", "Pressure a minute after the stop", Q.GAUGE_PRESSURE, hard=(0, 3e6),
                    soft=(50_000, 1e6), hint="all taps shut; tap the gauge", usual=GAUGE,
                ),
            ),
            ("pressure gauge", "watch"),
        ),
    ),
    judged=(Judged("pressure", "Pressure at rest", Q.GAUGE_PRESSURE, rest_expected),),
    pocket=along("cut_out", axes=TANK_AND_SWITCH),
    needs=tuple(need for need in EARLIER if need.name == "cut_out"),
    state="all taps shut, pump just stopped by itself",
    method=("Shut every tap, let the pump stop.", "Wait a minute, tap the gauge, read."),
    normal="The needle drops by a hair at the stop, then stands.",
    cautions=(STARTS_ALONE,),
    limits=(Limit("within 20 kPa (3 psi) of cut-out", COMMON),),
    tier="full",
    after=("cut_out",),
    gate="pressurise",
    at_service=True,
)  # fmt: skip

BOOSTER_RUN_TIME = Check(
    key="booster_run_time",
    title="Run from cut-in to cut-out, taps shut",
    kind=Kind.MEASURED,
    subject=PressureTank,
    group="Booster and pressure",
    purpose="Pump, gas and volts together: one number that grows when any of them fails.",
    ways=(
        Way(
            "watch",
            "Watch",
            (
                Input(
                    "time", "From start to stop", Q.DURATION, hard=(0.5, 36_000), soft=(10, 1_800),
                    hint="all taps shut the moment it starts", usual=STOPWATCH, agree_share=0.2,
                ),
            ),
            ("watch",),
        ),
    ),
    judged=(Judged("time", "From start to stop, mean of three", Q.DURATION, run_expected),),
    pocket=along(
        "drawdown",
        axes=TANK_AND_SWITCH,
        figures=(Figure("drawdown", ("precharge", "cut_in", "cut_out"), drawdown),),
    ),
    repeat=times(3),
    needs=EARLIER,
    state="tap opened until the pump starts, then all taps shut",
    method=(
        "Draw until the pump starts, shut the tap at once, start the watch.",
        "Stop it when the pump stops by itself. Three times.",
        "It does not stop within twice the time expected: stop it by hand.",
    ),
    normal="The same each time within a few seconds; the tone rises a little towards the stop.",
    cautions=(STARTS_ALONE, NO_RELIEF),
    limits=(Limit("within − 30 + 40 % of Boyle's law over the pump's table", COMMON),),
    tier="full",
    after=("cut_in", "cut_out"),
    gate="pressurise",
    at_service=True,
    applies=is_filled_by_booster,
)  # fmt: skip

SWITCH_CONTACT_DROP = Check(
    key="switch_contact_drop",
    title="Contacts of the pressure switch",
    kind=Kind.MEASURED,
    subject=PressureSwitch,
    group="Booster and pressure",
    purpose="Clean contacts: burnt ones take volts from the motor, heat up, and weld shut one day.",
    ways=(
        Way(
            "meter",
            "Millivolts across the closed contacts, clamp on the lead",
            (
                Input(
                    "voltage", "Volts across the contacts", Q.VOLTAGE, hard=(0, 50), soft=(0, 0.5),
                    hint="millivolts, across one closed pair, pump running", usual=MILLIVOLTS,
                ),
                Input("current", "Current of the motor", Q.CURRENT, hard=(0.05, 500), soft=(0.5, 80), usual=DC_CLAMP),
            ),
            ("multimeter", "DC clamp meter"),
        ),
    ),
    judged=(Judged("resistance", "Resistance of the contacts", Q.RESISTANCE, contact_expected, contact_measured),),
    pocket=along("voltage", "current", axes=(Axis("current", scale=Scale.RECIPROCAL),)),
    state="pump running, switch closed",
    method=(
        "Lock off, cover off, leads clipped on either side of one contact; let it run.",
        "Read millivolts and current together; then the other pair, note the higher.",
        "Lock off again before the leads come off and the cover goes on.",
    ),
    normal="A few millivolts for each ampere, bright contacts, no smell.",
    cautions=(LIVE_CONTACTS, STARTS_ALONE),
    limits=(Limit("not above 10 mΩ, that is 10 mV for each ampere", COMMON),),
    tier="full",
    gate="pressurise",
    at_service=True,
)  # fmt: skip

RELIEF_DISCHARGE = Check(
    key="relief_discharge",
    title="Nothing comes from the relief valve",
    kind=Kind.OBSERVED,
    subject=ReliefValve,
    group="Booster and pressure",
    purpose="A relief that weeps is worn, or tells of a switch that stops too late or a tank without gas.",
    state="pump stopped at cut-out",
    method=(
        "Let the pump reach cut-out and stop; dry the relief's outlet with a rag.",
        "Wait ten minutes: the rag stays dry. Look below it for stains and green.",
        "A drip: read cut-out and precharge before you blame the valve. Never plug it.",
    ),
    normal="Dry, no white crust, no worn spot in the floor.",
    cautions=(SPRAY, NO_RELIEF),
    limits=(Limit("as it should be: dry at cut-out", COMMON),),
    tier="full",
    after=("cut_out",),
    gate="pressurise",
    at_service=True,
)

PRESSURE_SWITCH_DRY = Check(
    key="pressure_switch_dry",
    title="Pressure switch, tried dry",
    kind=Kind.OBSERVED,
    subject=PressureSwitch,
    group="Dead tests",
    purpose="The switch opens and closes by pressure before a pump hangs on it.",
    state="pump locked off, water side empty, a hand pump with a gauge on the switch",
    method=(
        "Meter across the contacts, the line off the pump.",
        "Raise the pressure with a hand pump: the contacts open near cut-out.",
        "Let it down: they close near cut-in. Both ways twice.",
        "Tube and port free of sand, cover seal whole, the contacts' DC rating as on the record.",
    ),
    normal="A clean snap each way, no flutter between.",
    cautions=(LIVE_CONTACTS,),
    limits=(Limit("as it should be: opens and closes, both ways, near its set points", COMMON),),
)

CHECKS = (PRESSURE_AT_REST, BOOSTER_RUN_TIME, SWITCH_CONTACT_DROP, RELIEF_DISCHARGE, PRESSURE_SWITCH_DRY)
