"""Dead tests: cables and insulation, with everything off, locked and proved dead."""

from sizing.cables import loop_at
from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import (
    COMMON,
    Accuracy,
    Caution,
    Check,
    Input,
    Judged,
    Kind,
    Limit,
    Option,
    Repeat,
    Shape,
    Way,
)
from sizing.checks.drives import drive_of
from sizing.checks.dry_switches import CHECKS as DRY_CHECKS
from sizing.checks.earth import CHECKS as EARTH_CHECKS
from sizing.checks.earth import LOW_OHM_METER
from sizing.checks.pocket import Axis, Plan, Pocket, Scale
from sizing.checks.walk_round import STARTS_BY_ITSELF
from sizing.errors import MissingDataError
from sizing.formulas.conductors import (
    resistance_at_temperature,
    series_resistance,
)
from sizing.formulas.insulation import (
    array_minimum_insulation,
    array_system_voltage,
    array_test_voltage,
    motor_in_well_minimum,
    two_pole_resistance,
)
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.photovoltaic import string_voltage
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import SolarArray, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.system import SITE
from sizing.working import Working

INSULATION_TESTER = Accuracy(of_reading=0.05, fixed=0.05e6, words="insulation tester")
THERMOMETER = Accuracy(fixed=1.0, words="thermometer")

LOOP_TOLERANCE = 0.10  # printed drop-cable tables lie up to 13 % apart; common practice, no source
GROUND_HALF_WIDTH = 5.0  # K, of the ground temperature on the record; common practice, no source
METHOD = "following the method of IEC 62446-1:2016, written for systems on the grid"
EXTRA_LOW_VOLTAGE = 120.0  # V DC, IEC 60364-4-41, extra-low voltage
MOTOR_TEST_VOLTAGE = 500.0  # V DC, submersible-motor application handbooks
EXTRA_LOW_TEST_VOLTAGE = 250.0  # V DC, IEC 60364-6 Table 6A, SELV and PELV

TEST_VOLTAGES = (Option("250", "250 V", 250), Option("500", "500 V", 500), Option("1000", "1000 V", 1000))
TEST_VOLTAGE = Input("test_voltage", "Test voltage", Q.VOLTAGE, hard=(50, 1100), repeats=False, options=TEST_VOLTAGES)

TESTER_VOLTAGE = Caution(
    "Up to 1000 V on the leads, and the cable stays charged after. Nobody at the far end; discharge, then prove zero.",
    "IEC 61557-2; 29 CFR 1910.333(b) (from memory)",
)
LIVE_MODULES = Caution(
    "The modules stay live while you test: dawn, dusk or cover, insulated gloves, never bare hands on a pole.",
    "IEC 62446-1; IEC 60364-7-712 (from memory)",
)

POLE = (1e3, 1e13)  # Ω, what a tester of one pole may show


def refuse_weaker_test(case: Case, least: float) -> None:
    """Raise MissingDataError where the test was made with a lower voltage than it needs."""
    if case.has("test_voltage") and case.reading("test_voltage") < least:
        words = f"tested with {case.reading('test_voltage'):g} V; {least:g} V are needed"
        raise MissingDataError("reading", "test_voltage", words)


def loop_resistance(case: Case, temperature: float, w: Working) -> float:
    """Return winding and drop cable in series at a temperature, lead to lead at the controller's end."""
    winding = w.call(
        "R_w",
        resistance_at_temperature,
        resistance=case.subject.need("winding_resistance"),
        material="copper",
        temperature=temperature,
    )
    _, runs = drive_of(case.system, case.subject.tag)
    cables = [loop_at(run, temperature, w) for run in runs]
    return w.call("R", series_resistance, resistances=(winding, *cables))


def loop_expected(case: Case) -> Expected:
    """Return winding plus drop cable at the temperature read, or at the ground's."""
    terms: tuple[Term, ...] = ()
    if case.has("temperature"):
        temperature = case.reading("temperature")
        nominal = loop_resistance(case, temperature, case.w)
    else:
        temperature = case.system.subject(SITE).need("ground_temperature")
        nominal = loop_resistance(case, temperature, case.w)
        warmer = loop_resistance(case, temperature + GROUND_HALF_WIDTH, Working(silent=True))
        terms = (Term("temperature of the cable ± 5 K", standard_from_half_width(warmer - nominal)),)
    return Expected(
        Q.RESISTANCE,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=LOOP_TOLERANCE),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=LOOP_TOLERANCE),
        basis="nameplate winding and cable at temperature ± 10 %: " + COMMON,
        terms=terms,
    )


def pump_insulation_expected(case: Case) -> Expected:
    """Return the least insulation of motor and cable in the well, new or in service."""
    if case.has("test_voltage") and case.reading("test_voltage") < MOTOR_TEST_VOLTAGE:
        is_low = case.subject.need("rated_voltage") <= EXTRA_LOW_VOLTAGE
        refuse_weaker_test(case, EXTRA_LOW_TEST_VOLTAGE if is_low else MOTOR_TEST_VOLTAGE)
    condition = "in service" if case.way == "in_service" else "new"
    lower = case.w.call("R_min", motor_in_well_minimum, condition=condition)
    return Expected(Q.INSULATION, lower=lower, basis="submersible-motor application handbooks, in the well with cable")


def array_insulation_expected(case: Case) -> Expected:
    """Return the least insulation of the array, by 1.25 times its open-circuit voltage."""
    string = case.w.call(
        "V_oc string",
        string_voltage,
        module_voltage=case.subject.need("module_open_circuit_voltage"),
        modules_in_series=case.subject.need("series"),
    )
    system_voltage = case.w.call("V_sys", array_system_voltage, open_circuit_voltage=string)
    refuse_weaker_test(case, case.w.call("V_test", array_test_voltage, system_voltage=system_voltage))
    lower = case.w.call("R_min", array_minimum_insulation, system_voltage=system_voltage)
    return Expected(Q.INSULATION, lower=lower, basis="following the method of IEC 62446-1:2016; minimum from memory")


def array_insulation_measured(case: Case) -> float:
    """Return the insulation of both poles together, read so or put together from the two."""
    if case.way != "each_pole":
        return case.reading("insulation")
    return case.w.call(
        "R",
        two_pole_resistance,
        positive_to_earth=case.reading("positive"),
        negative_to_earth=case.reading("negative"),
    )


def insulation_input(name: str, label: str) -> Input:
    """Return the reading of an insulation tester after a minute."""
    return Input(
        name,
        label,
        Q.INSULATION,
        hard=(0, 1e13),
        soft=(2e6, 1e10),
        hint="after 60 seconds; type > 999 where the display shows no more",
        repeats=False,
        may_be_bound=True,
        usual=INSULATION_TESTER,
    )


PUMP_CABLE_LOOP = Check(
    key="pump_cable_loop_resistance",
    title="Pump cable and winding",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Dead tests",
    purpose="Motor winding, splice and drop cable are whole and the sizes are those of the record.",
    ways=(
        Way(
            "low_ohm",
            "Low-ohm meter at the controller's end",
            (
                Input(
                    "resistance",
                    "Lead to lead",
                    Q.RESISTANCE,
                    hard=(0.005, 1e6),
                    soft=(0.05, 100),
                    hint="leads nulled, cable off the controller",
                    may_be_bound=True,
                    usual=LOW_OHM_METER,
                ),
                Input(
                    "temperature",
                    "Temperature of the well water",
                    Q.TEMPERATURE,
                    hard=(-5, 60),
                    soft=(2, 35),
                    hint="leave empty for the ground temperature of the record",
                    repeats=False,
                    optional=True,
                    usual=THERMOMETER,
                ),
            ),
            ("low-ohm meter",),
        ),
    ),
    judged=(Judged("resistance", "Lead to lead", Q.RESISTANCE, loop_expected),),
    pocket=Pocket((Plan(("temperature",), given=("temperature",)), Plan(without=("temperature",)))),
    repeat=Repeat(Shape.ROWS, ("leads 1 and 2",), noun="pair", least=1),
    state="pump at rest for an hour, cable off the controller",
    method=(
        "Null the leads, then read lead to lead at the controller's end.",
        "A motor with three leads: all three pairs. They agree within 5 %.",
        "High: splice, thin cable or a broken strand. Low: short between leads.",
    ),
    cautions=(STARTS_BY_ITSELF,),
    limits=(
        Limit("winding and cable at temperature ± 10 %", COMMON),
        Limit("pairs of a three-lead motor within 5 %", COMMON),
    ),
    after=("electronics_disconnected",),
    gate="safe_to_work",
    at_service=True,
)

PUMP_CABLE_INSULATION = Check(
    key="pump_cable_insulation",
    title="Pump cable insulation",
    kind=Kind.MEASURED,
    subject=SubmersiblePump,
    group="Dead tests",
    purpose="No water has found its way into motor, splice or drop cable.",
    ways=(
        Way(
            "new",
            "New motor and cable",
            (insulation_input("insulation", "Leads to earth"), TEST_VOLTAGE),
            ("insulation tester",),
        ),
        Way(
            "in_service",
            "Motor and cable in service",
            (insulation_input("insulation", "Leads to earth"), TEST_VOLTAGE),
            ("insulation tester",),
        ),
    ),
    judged=(Judged("insulation", "Leads to earth", Q.INSULATION, pump_insulation_expected),),
    pocket=Pocket((Plan(("test_voltage",), way="new"), Plan(("test_voltage",), way="in_service"))),
    state="motor under water, cable off the controller at both conductors",
    method=(
        "Nothing but cable and motor on the leads: controller and probe lines off.",
        "All leads together against drop pipe or earth, 500 V; 250 V for a motor of 120 V DC or less.",
        "Read after 60 seconds, the same every year.",
        "Discharge the cable and prove zero before touching it.",
    ),
    cautions=(TESTER_VOLTAGE, STARTS_BY_ITSELF),
    limits=(
        Limit("new, in the well with cable: 2 MΩ or more", "submersible-motor application handbooks"),
        Limit("in service: 0.5 MΩ or more; another edition asks 1 MΩ", "submersible-motor application handbooks"),
    ),
    after=("electronics_disconnected",),
    gate="safe_to_work",
    perishable="lost as soon as the controller is connected",
    at_service=True,
)

ARRAY_INSULATION = Check(
    key="array_insulation",
    title="Array insulation",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Dead tests",
    purpose="No module, cable or connector of the array leaks to its frame.",
    ways=(
        Way(
            "joined",
            "Poles joined through a rated switch",
            (insulation_input("insulation", "Both poles to earth"), TEST_VOLTAGE),
            ("insulation tester", "rated shorting switch"),
        ),
        Way(
            "each_pole",
            "Each pole by itself",
            (
                insulation_input("positive", "Positive pole to earth"),
                insulation_input("negative", "Negative pole to earth"),
                TEST_VOLTAGE,
            ),
            ("insulation tester",),
        ),
    ),
    judged=(
        Judged("insulation", "Array to earth", Q.INSULATION, array_insulation_expected, array_insulation_measured),
    ),
    pocket=Pocket(
        (
            Plan(("test_voltage", "insulation"), way="joined"),
            Plan(("test_voltage", "positive", "negative"), way="each_pole"),
        ),
        axes=(Axis("positive", POLE, scale=Scale.RECIPROCAL), Axis("negative", POLE, scale=Scale.RECIPROCAL)),
        value_scale=Scale.RECIPROCAL,
    ),
    state="array off the controller, arresters unplugged, glass dry",
    method=(
        "In weak sun, early or late; write down whether the glass is dry.",
        "Choose the test voltage by the working: 250, 500 or 1000 V.",
        "Hold until the reading stands, up to a minute.",
        "Discharge, prove zero.",
    ),
    cautions=(TESTER_VOLTAGE, LIVE_MODULES),
    limits=(
        Limit("below 120 V: 250 V, 0.5 MΩ or more", METHOD + "; minimum from memory"),
        Limit("120 V to 500 V: 500 V, 1 MΩ or more", METHOD + "; minimum from memory"),
        Limit("above 500 V: 1000 V, 1 MΩ or more", METHOD + "; minimum from memory"),
        Limit("by 1.25 times the open-circuit voltage of a string", METHOD),
    ),
    after=("electronics_disconnected",),
    gate="safe_to_work",
    at_service=True,
)

CHECKS = (*EARTH_CHECKS, PUMP_CABLE_LOOP, PUMP_CABLE_INSULATION, ARRAY_INSULATION, *DRY_CHECKS)
