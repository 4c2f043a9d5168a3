"""The power of the array, hour by hour, and the joints that it passes."""

import dataclasses

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
    Need,
    Needed,
    Repeat,
    Shape,
    Way,
)
from sizing.checks.needs import IRRADIANCE, MODULE_TEMPERATURE
from sizing.checks.pocket import Plan, Pocket, along
from sizing.checks.sun import (
    DC_ARC,
    DC_CLAMP,
    LIVE_STRING,
    VOLTMETER,
)
from sizing.checks.sun_running import is_tracked, power_now
from sizing.checks.walk_round import METER
from sizing.errors import MissingDataError
from sizing.formulas.comparisons import rise_at_current, share_of
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.photovoltaic import STC_TEMPERATURE, maximum_power
from sizing.formulas.solar_pumping import array_power, direct_current_power
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import SolarArray
from sizing.quantities import Quantity as Q
from sizing.working import Working

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
INFRARED = Accuracy(fixed=1.0, words="thermometer, spot against spot")
DISPLAY = Accuracy(of_reading=0.02, words="controller's display")

POWER_SHORT, POWER_OVER = 0.20, 0.10  # maker's tolerance, dirt, mismatch and tracking; common practice, no source
POWER_MODEL = 0.03  # greatest departure from a single-diode model, 400 to 1000 W/m²
HOURS_APART = 0.15  # of what the array should give, from hour to hour; common practice, no source
MAJOR_RISE = 15.0  # K over like joints, ANSI/NETA MTS Table 100.18: major deficiency (from memory)
LEAST_LOAD = 0.4  # of full current, NFPA 70B: below it heat says little (from memory)

HOT_JOINT = Caution(
    "Look with an infrared thermometer from a step away; do not touch or tighten a warm joint under load.",
    "NFPA 70E 130 (from memory)",
)


def array_power_measured(case: Case) -> float:
    """Return the power that arrives from the array: from a display, or volts times amperes."""
    if case.here("power"):
        return case.reading("power")
    return case.w.call("P read", direct_current_power, voltage=case.reading("voltage"), current=case.reading("current"))


def array_power_expected(case: Case) -> Expected:
    """Return what the array should give now; much more is a slip of sun, volts or amperes."""
    nominal = power_now(case)
    module = case.w.call(
        "P_25 module",
        maximum_power,
        rated_power=case.subject.need("module_power"),
        irradiance=case.condition("irradiance"),
        cell_temperature=STC_TEMPERATURE,
        coefficient=case.subject.need("power_coefficient"),
    )
    cool = case.w.call(
        "P_25",
        array_power,
        module_power=module,
        modules_in_series=case.subject.need("series"),
        strings=case.subject.need("parallel"),
    )
    return Expected(
        Q.POWER,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=POWER_SHORT),
        case.w.call("upper", upper_limit, nominal=cool, tolerance=POWER_OVER),
        basis="array now less 20 %, or its controller's rating; never above 1.1 × array × sun: " + COMMON,
        terms=(Term("power model ± 3 %", standard_from_half_width(POWER_MODEL * nominal), shared=True),),
    )


def share_given(case: Case) -> float:
    """Return the power read over what the array should give at that hour."""
    return case.w.call("share", share_of, value=array_power_measured(case), whole=power_now(case))


def share_expected(case: Case) -> Expected:
    """Return the share that an array gives of what it should: the same limits as of its power."""
    power = array_power_expected(dataclasses.replace(case, w=Working(silent=True)))
    assert power.nominal
    assert power.lower
    assert power.upper
    basis = "of what it should give now, the limits of its power"
    lower, upper = power.lower / power.nominal, power.upper / power.nominal
    return Expected(Q.RATIO, 1.0, lower, upper, basis, (Term("power model ± 3 %", POWER_MODEL / 3**0.5, shared=True),))


def hours_apart(case: Case) -> float:
    """Return how far the worst hour falls behind the best, as a share of the best."""
    shares = case.every("array_power")
    if len(shares) < 2:
        words = "array power: two hours or more are needed, one of them early or late"
        raise MissingDataError("condition", "array_power", words)
    return 1 - case.w.call("least/best", share_of, value=min(shares), whole=max(shares))


def hours_apart_expected(case: Case) -> Expected:
    """Return how far an hour may fall behind the best one."""
    return Expected(Q.RATIO, 0.0, upper=HOURS_APART, basis="not above 15 % between any two hours: " + COMMON)


def rise_measured(case: Case) -> float:
    """Return a joint's rise over its like, carried to the array's full current."""
    full = case.subject.need("module_maximum_power_current") * case.subject.need("parallel")
    current = case.reading("current")
    if current < LEAST_LOAD * full:
        words = f"needs {LEAST_LOAD * full:.1f} A or more, four tenths of full current; it was {current:.1f} A"
        raise MissingDataError("reading", "current", words)
    return case.w.call("ΔT", rise_at_current, rise=case.reading("rise"), current=current, full_current=full)


def rise_expected(case: Case) -> Expected:
    """Return the most that a joint may be warmer than its like."""
    basis = "over like joints at like current; ANSI/NETA MTS Table 100.18, major deficiency above 15 K (from memory)"
    return Expected(Q.TEMPERATURE_DIFFERENCE, 0.0, upper=MAJOR_RISE, basis=basis)


ARRAY_POWER = Check(
    key="array_power",
    title="Power of the array, by the hour",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="The whole array gives what the sun of the moment offers, at noon as early and late in the day.",
    ways=(
        Way(
            "meters",
            "Multimeter and clamp at the controller",
            (
                Input("voltage", "Voltage from the array", Q.VOLTAGE, hard=(0, 2000), soft=(10, 1000), usual=VOLTMETER),
                Input("current", "Current from the array", Q.CURRENT, hard=(0, 500), soft=(0.3, 120), usual=DC_CLAMP),
            ),
            ("multimeter", "DC clamp meter"),
        ),
        Way(
            "display",
            "Controller's display",
            (Input("power", "Power", Q.POWER, hard=(0, 200_000), soft=(20, 30_000), usual=DISPLAY),),
        ),
    ),
    judged=(
        Judged("power", "Power from the array", Q.POWER, array_power_expected, array_power_measured),
        Judged("share", "Share of what it should give", Q.RATIO, share_expected, share_given),
    ),
    repeat=Repeat(Shape.ROWS, ("row 1", "row 2"), noun="row", least=1),
    needs=(IRRADIANCE, MODULE_TEMPERATURE),
    state="array at work, the controller taking all that it gives, steady sun",
    method=(
        "Pump running with an open outlet, or battery in bulk: something must be able to take the power.",
        "Volts and amperes within seconds of each other, the sun before and after.",
        "A second row at another hour shows shade that a noon reading hides.",
    ),
    cautions=(LIVE_STRING, METER),
    limits=(
        Limit("not less than 80 % of what the array should give now, where all is taken", COMMON),
        Limit("not above 1.1 × array at standard conditions × sun / 1000 W/m²", COMMON),
        Limit("400 W/m² or more", COMMON),
    ),
    after=("string_polarity", "open_circuit_voltage"),
    gate="close_strings",
    tier="full",
    needs_sun=True,
    at_service=True,
    applies=is_tracked,
    pocket=Pocket(
        (
            Plan(("voltage", "current", "irradiance", "module_temperature"), way="meters"),
            Plan(("power", "irradiance", "module_temperature"), way="display"),
        ),
        server="power, sun and heat of every hour together",
    ),
)

LOSS_TIED_TO_HOUR = Check(
    key="loss_tied_to_hour",
    title="Loss at certain hours",
    kind=Kind.DERIVED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="Shade, a moved frame or a hot controller takes its share at its own hour; dirt takes it all day.",
    judged=(Judged("apart", "Worst hour behind the best", Q.RATIO, hours_apart_expected, hours_apart),),
    needs=(
        Need("array_power", Needed.EARLIER, "Share given, hour by hour", Q.RATIO, finding="share", every_repeat=True),
    ),
    limits=(
        Limit("not above 15 % between any two hours, each against its own sun", COMMON),
        Limit("like sun in both rows: else a rating or a bad joint looks like shade", COMMON),
    ),
    tier="full",
    at_service=True,
    applies=is_tracked,
    pocket=Pocket(server="it rests on several hours"),
)

JOINT_TEMPERATURE_RISE = Check(
    key="joint_temperature_rise",
    title="Joints of the array, how warm",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="No connector, fuse clip or terminal resists: what is warm today burns in a few years.",
    ways=(
        Way(
            "infrared",
            "Infrared thermometer or camera",
            (
                Input(
                    "rise",
                    "Warmer than its like",
                    Q.TEMPERATURE_DIFFERENCE,
                    hard=(0, 200),
                    soft=(0, 40),
                    hint="the joint less a like one beside it, both in shade, same current",
                    usual=INFRARED,
                ),
                Input(
                    "current",
                    "Current of the array meanwhile",
                    Q.CURRENT,
                    hard=(0.1, 500),
                    soft=(1, 120),
                    repeats=False,
                    usual=DC_CLAMP,
                ),
            ),
            ("infrared thermometer", "DC clamp meter"),
        ),
    ),
    judged=(
        Judged("rise", "Warmer than its like, at full current", Q.TEMPERATURE_DIFFERENCE, rise_expected, rise_measured),
    ),
    repeat=Repeat(Shape.ROWS, ("connectors", "combiner", "isolator"), noun="place", least=1),
    state="array at work for ten minutes or more, near noon",
    method=(
        "Open the lids, shade the joints, wait ten minutes at steady current.",
        "Read each joint and its like beside it, from the same distance; bare metal deceives, read insulation.",
        "As it should be: all alike. Write down the warmest of each place.",
    ),
    cautions=(HOT_JOINT, LIVE_STRING, DC_ARC),
    limits=(
        Limit("not above 15 K over like joints, carried to full current", "ANSI/NETA MTS Table 100.18 (from memory)"),
        Limit("four tenths of full current or more", "NFPA 70B, infrared inspection (from memory)"),
    ),
    after=("string_polarity",),
    gate="close_strings",
    tier="full",
    needs_sun=True,
    at_service=True,
    pocket=along("rise", "current"),
)

CHECKS = (ARRAY_POWER, LOSS_TIED_TO_HOUR, JOINT_TEMPERATURE_RISE)
