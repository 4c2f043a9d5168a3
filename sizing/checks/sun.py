"""The array in the sun, string by string, open and short, before anything is joined to it."""

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
    Way,
    each,
)
from sizing.checks.needs import IRRADIANCE, MODULE_TEMPERATURE, SUN_AND_HEAT
from sizing.checks.pocket import Pocket, Reduction, along
from sizing.checks.walk_round import HEIGHTS, METER
from sizing.errors import MissingDataError
from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.photovoltaic import (
    open_circuit_voltage,
    short_circuit_current,
    spread_from_mean,
    string_voltage,
)
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import SolarArray
from sizing.quantities import Quantity as Q
from sizing.system import System
from sizing.working import Working

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
VOLTMETER = Accuracy(of_reading=0.005, fixed=0.2, words="multimeter")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.05, words="DC clamp meter")

LEAST_SUN_FOR_VOLTAGE = 200.0  # W/m²; below it the logarithm of the light is no longer good to 0.6 %
LEAST_SUN_FOR_CURRENT = 400.0  # W/m²; common practice, no source
IDEALITY = 1.1  # silicon lies between 1.0 and 1.3
IDEALITY_HALF_WIDTH = 0.2
VOLTAGE_MODEL = 0.006  # greatest departure from a single-diode model, 200 to 850 W/m²
CURRENT_MODEL = 0.01  # the same 0.5 %, and as much for colour and angle of the light; common practice, no source

# The maker's own tolerance, commonly 3 %, is in these limits and not in the uncertainty. A sun meter of ± 5 %
# and a clamp of ± 2 % leave 7 % of a current in doubt: ± 10 % would call half of all healthy strings borderline.
VOLTAGE_TOLERANCE = 0.05
CURRENT_TOLERANCE = 0.15
STRINGS_APART = 0.05

DC_ARC = Caution(
    "A DC arc does not go out by itself: never pull a connector or a fuse under load, open the load switch first.",
    "NEC (NFPA 70) 690.33; IEC 60364-7-712 (from memory)",
)
LIVE_STRING = Caution(
    "Strings are live in any light, weak light gives nearly full voltage. Dry gloves; 50 V DC and more can kill.",
    "IEC 62446-1; IEC 60364-4-41 (from memory)",
)
RATED_SWITCH = Caution(
    "Short a string only through a switch rated for its voltage and current; open the switch before a lead comes off.",
    "IEC 62446-1 (from memory)",
)


def has_several_strings(system: System, tag: str) -> bool:
    """Whether strings can be compared: more than one, or nobody has recorded how many."""
    strings = getattr(system.node(tag).part, "parallel", None)
    return strings is None or strings > 1


def sun_of_at_least(case: Case, least: float) -> float:
    """Return the irradiance, or raise MissingDataError where it is too weak to judge by."""
    irradiance = case.condition("irradiance")
    if irradiance < least:
        words = f"needs {least:g} W/m² or more in the array's plane; it was {irradiance:.0f} W/m²"
        raise MissingDataError("condition", "irradiance", words)
    return irradiance


def module_voltage(case: Case, irradiance: float, ideality: float, w: Working) -> float:
    """Return the open-circuit voltage of one module at the conditions of the moment."""
    return w.call(
        "V_oc",
        open_circuit_voltage,
        rated_voltage=case.subject.need("module_open_circuit_voltage"),
        irradiance=irradiance,
        cell_temperature=case.condition("module_temperature"),
        coefficient=case.subject.need("voltage_coefficient"),
        cells_in_series=case.subject.need("cells_in_series"),
        ideality=ideality,
    )


def open_circuit_voltage_expected(case: Case) -> Expected:
    """Return the string's open-circuit voltage by temperature and light, ± 5 %."""
    irradiance = sun_of_at_least(case, LEAST_SUN_FOR_VOLTAGE)
    modules = case.subject.need("series")
    module = module_voltage(case, irradiance, IDEALITY, case.w)
    nominal = case.w.call("V_string", string_voltage, module_voltage=module, modules_in_series=modules)
    other = module_voltage(case, irradiance, IDEALITY + IDEALITY_HALF_WIDTH, Working(silent=True))
    weak = " (weak sun: less sure of a shaded or broken cell)" if irradiance < LEAST_SUN_FOR_CURRENT else ""
    return Expected(
        Q.VOLTAGE,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=VOLTAGE_TOLERANCE),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=VOLTAGE_TOLERANCE),
        basis="nameplate at the conditions ± 5 %, maker's tolerance included, following IEC 62446-1" + weak,
        terms=(
            Term("voltage model ± 0.6 %", standard_from_half_width(VOLTAGE_MODEL * nominal), shared=True),
            Term("diode ideality 1.1 ± 0.2", standard_from_half_width(abs(other - module) * modules), shared=True),
        ),
    )


def short_circuit_current_expected(case: Case) -> Expected:
    """Return the string's short-circuit current by light and temperature, ± 15 %."""
    irradiance = sun_of_at_least(case, LEAST_SUN_FOR_CURRENT)
    nominal = case.w.call(
        "I_sc",
        short_circuit_current,
        rated_current=case.subject.need("module_short_circuit_current"),
        irradiance=irradiance,
        cell_temperature=case.condition("module_temperature"),
        coefficient=case.subject.need("current_coefficient"),
    )
    return Expected(
        Q.CURRENT,
        nominal,
        case.w.call("lower", lower_limit, nominal=nominal, tolerance=CURRENT_TOLERANCE),
        case.w.call("upper", upper_limit, nominal=nominal, tolerance=CURRENT_TOLERANCE),
        basis="nameplate at the conditions ± 15 %, maker's tolerance included: " + COMMON,
        terms=(Term("current model ± 1 %", standard_from_half_width(CURRENT_MODEL * nominal), shared=True),),
    )


def spread_expected(case: Case) -> Expected:
    """Return how far a string may lie from the mean of all."""
    return Expected(
        Q.RATIO,
        nominal=0.0,
        upper=STRINGS_APART,
        basis="5 % from the mean of the strings, following the method of IEC 62446-1",
    )


def voltage_spread(case: Case) -> float:
    """Return the farthest string from the mean, by voltage."""
    return spread_of(case, "open_circuit_voltage", "s_V")


def current_spread(case: Case) -> float:
    """Return the farthest string from the mean, by current."""
    return spread_of(case, "short_circuit_current", "s_I")


def spread_of(case: Case, name: str, symbol: str) -> float:
    """Return the farthest repeat of another check from the mean of all its repeats."""
    values = case.every(name)
    if len(values) < 2:
        words = f"{name.replace('_', ' ')}: two or more strings are needed to compare them"
        raise MissingDataError("condition", name, words)
    return case.w.call(symbol, spread_from_mean, values=values)


STRING_POLARITY = Check(
    key="string_polarity",
    title="String polarity",
    kind=Kind.OBSERVED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="Every string's plus is plus: one reversed string feeds the others' current into a fire.",
    method=(
        "Strings apart from each other and off the controller.",
        "Meter on DC volts, red on the conductor marked plus: the sign must be plus, on every string.",
        "Mark each conductor as soon as it is proved.",
    ),
    cautions=(LIVE_STRING, METER),
    limits=(Limit("plus on every conductor marked plus", "following the method of IEC 62446-1, polarity"),),
    gate="safe_to_work",
    needs_sun=True,
)

OPEN_CIRCUIT_VOLTAGE = Check(
    key="open_circuit_voltage",
    title="Open-circuit voltage",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="Each string has all its modules, the right way round, and no dead cell group.",
    ways=(
        Way(
            "multimeter",
            "Multimeter on each string",
            (
                Input(
                    "voltage",
                    "Open-circuit voltage",
                    Q.VOLTAGE,
                    hard=(0, 1500),
                    soft=(10, 1000),
                    hint="string apart, nothing connected to it",
                    usual=VOLTMETER,
                ),
            ),
            ("multimeter, category III", "sun meter", "contact thermometer"),
        ),
    ),
    judged=(Judged("voltage", "Open-circuit voltage", Q.VOLTAGE, open_circuit_voltage_expected),),
    pocket=along("irradiance", "module_temperature", axes=SUN_AND_HEAT),
    repeat=each("parallel", "string"),
    needs=(IRRADIANCE, MODULE_TEMPERATURE),
    state="strings apart, isolator open",
    method=(
        "One string after the other, within a minute, each by itself.",
        "One module's voltage missing: count modules, look for a reversed one.",
        "A third of a module missing: a shorted bypass diode.",
    ),
    cautions=(LIVE_STRING, METER, HEIGHTS),
    limits=(
        Limit("nameplate at temperature and light ± 5 %", "following the method of IEC 62446-1; figure " + COMMON),
        Limit("200 W/m² or more", "validity of the voltage model; " + COMMON),
    ),
    after=("string_polarity",),
    gate="safe_to_work",
    needs_sun=True,
    at_service=True,
)

SHORT_CIRCUIT_CURRENT = Check(
    key="short_circuit_current",
    title="Short-circuit current",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="Each string carries its current: no shade, dirt or broken cell, and the modules are those of the record.",
    ways=(
        Way(
            "clamp",
            "Clamp round a short through a rated switch",
            (
                Input(
                    "current",
                    "Short-circuit current",
                    Q.CURRENT,
                    hard=(0, 60),
                    soft=(0.3, 25),
                    hint="clamp zeroed beside the conductor, on DC, one turn",
                    usual=DC_CLAMP,
                ),
            ),
            ("DC clamp meter", "rated shorting switch", "sun meter", "contact thermometer"),
        ),
    ),
    judged=(Judged("current", "Short-circuit current", Q.CURRENT, short_circuit_current_expected),),
    pocket=along("irradiance", "module_temperature", axes=SUN_AND_HEAT),
    repeat=each("parallel", "string"),
    needs=(IRRADIANCE, MODULE_TEMPERATURE),
    state="strings apart, glass clean, no shade, steady sun",
    method=(
        "Switch open: join the string to it. Close the switch, read the clamp, open the switch.",
        "Only then take a lead off.",
        "One string after the other, the sun read before and after.",
    ),
    cautions=(RATED_SWITCH, DC_ARC, LIVE_STRING),
    limits=(
        Limit("nameplate at light and temperature ± 15 %; string against string is closer", COMMON),
        Limit("400 W/m² or more", COMMON),
    ),
    after=("string_polarity", "open_circuit_voltage"),
    gate="safe_to_work",
    needs_sun=True,
    at_service=True,
)

STRING_SPREAD = Check(
    key="string_spread",
    title="Strings against each other",
    kind=Kind.DERIVED,
    subject=SolarArray,
    group="Array in the sun",
    purpose="Like strings in the same sun agree, whatever meter and weather do to all of them.",
    judged=(
        Judged("voltage_spread", "Voltage, farthest string from the mean", Q.RATIO, spread_expected, voltage_spread),
        Judged("current_spread", "Current, farthest string from the mean", Q.RATIO, spread_expected, current_spread),
    ),
    pocket=Pocket(
        reduced={
            "voltage_spread": (Reduction.FROM_MEAN, "open_circuit_voltage"),
            "current_spread": (Reduction.FROM_MEAN, "short_circuit_current"),
        }
    ),
    needs=(
        Need(
            "open_circuit_voltage",
            Needed.EARLIER,
            "Open-circuit voltage of each string",
            Q.VOLTAGE,
            every_repeat=True,
        ),
        Need(
            "short_circuit_current",
            Needed.EARLIER,
            "Short-circuit current of each string",
            Q.CURRENT,
            every_repeat=True,
        ),
    ),
    limits=(
        Limit(
            "each string within 5 % of the mean",
            "following the method of IEC 62446-1:2016, written for systems on the grid; "
            "against the mean is this project's reading",
        ),
    ),
    at_service=True,
    applies=has_several_strings,
)

CHECKS = (STRING_POLARITY, OPEN_CIRCUIT_VOLTAGE, SHORT_CIRCUIT_CURRENT, STRING_SPREAD)
