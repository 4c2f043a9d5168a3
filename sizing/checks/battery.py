"""The battery at rest: its blocks, its heat, its poles, and the room for its gas."""

from sizing.checks.acid import CHECKS as ACID_CHECKS
from sizing.checks.battery_case import (
    HOUR,
    HYDROGEN,
    KILOAMPERES,
    LEAD_ACID,
    SAME_VOLTMETER,
    THERMOMETER,
    VOLTMETER,
    WATCH,
    of_block,
    rest_of,
)
from sizing.checks.battery_charge import CHECKS as CHARGE_CHECKS
from sizing.checks.battery_charge import HOURS_AT_REST, REST_NEED
from sizing.checks.battery_load import CHECKS as LOAD_CHECKS
from sizing.checks.battery_use import CHECKS as USE_CHECKS
from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import (
    COMMON,
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
from sizing.checks.pocket import Axis, Plan, Pocket, Reduction
from sizing.design.charging import frees_gas, ventilation
from sizing.design.declare import Ask, Scene
from sizing.errors import OutOfRangeError
from sizing.formulas.battery import greatest_difference
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import BatteryBank
from sizing.quantities import Quantity as Q
from sizing.system import System

LEAST_REST = 4 * HOUR  # several hours; common practice, no source
GOOD_REST = 8 * HOUR  # battery-industry table: 8 hours, better 24
NOT_YET_RESTED = 0.01  # V of a cell that has rested 4 to 8 hours; common practice, no source
LEAD_APART = 0.2 / 6  # V of a cell: 0.2 V for a 12 V block at rest; common practice, no source
LITHIUM_APART = 0.1 / 4  # V of a cell: 0.1 V for a 12.8 V block at rest; common practice, no source


def has_several_blocks(system: System, tag: str) -> bool:
    """Whether blocks can be compared: more than one, or nobody has recorded how many."""
    part = system.node(tag).part
    series, parallel = getattr(part, "series", None), getattr(part, "parallel", None)
    return series is None or parallel is None or series * parallel > 1


def rested_for(case: Case) -> float:
    """Return for how long the battery has rested: read with its voltage, or measured before."""
    return (
        case.reading("rest") if case.has("rest") or not case.has("hours_at_rest") else case.condition("hours_at_rest")
    )


def rest_voltage_measured(case: Case) -> float:
    """Return a block's voltage, refused where it is not at rest."""
    rest, voltage = rested_for(case), case.reading("voltage")
    if rest < LEAST_REST:
        raise OutOfRangeError("rest", f"{rest / HOUR:.1f} h", "4 hours or more without charge and load")
    most = of_block(case, "V most", rest_of(case)[2])
    if voltage > most:
        words = f"at or below {most:.2f} V: above it the block is being charged or has not rested, and nothing is wrong"
        raise OutOfRangeError("voltage", f"{voltage:.2f} V", words)
    return voltage


def rest_voltage_expected(case: Case) -> Expected:
    """Return the voltage of a full block at rest, and as the limit that of a half full one."""
    half, full, _ = rest_of(case)
    is_lead = case.subject.need_text("chemistry") in LEAD_ACID
    nominal = of_block(case, "V full", full)
    few = (case.has("rest") or case.has("hours_at_rest")) and rested_for(case) < GOOD_REST
    doubt = of_block(case, "ΔV rest", NOT_YET_RESTED) if few and is_lead else 0.0
    words = "half charged, rested" if is_lead else "a fifth charged, rested: lithium voltage says little more"
    return Expected(
        Q.VOLTAGE,
        nominal,
        lower=of_block(case, "lower", half),
        basis=f"{words}; table of voltage and charge by chemistry, higher is no fault",
        terms=(Term("rest of less than 8 hours", standard_from_half_width(doubt)),) if doubt else (),
    )


def spread_measured(case: Case) -> float:
    """Return how far the blocks lie apart at rest."""
    return case.w.call("ΔV", greatest_difference, values=case.every("battery_rest_voltage"))


def spread_expected(case: Case) -> Expected:
    """Return how far blocks of one bank may lie apart at rest."""
    is_lead = case.subject.need_text("chemistry") in LEAD_ACID
    upper = of_block(case, "upper", LEAD_APART if is_lead else LITHIUM_APART)
    words = "0.2 V for each 12 V block" if is_lead else "0.1 V for each 12.8 V block"
    return Expected(Q.VOLTAGE, nominal=0.0, upper=upper, basis=f"{words}: {COMMON}")


def temperature_expected(case: Case) -> Expected:
    """Return no limits: the battery is as warm as it is."""
    return Expected(Q.TEMPERATURE, basis="a condition, nothing is expected of it")


def opening_measured(case: Case) -> float:
    """Return the vent opening on record."""
    return ventilation(Ask(Scene(case.system), case.subject.tag)).value


def opening_expected(case: Case) -> Expected:
    """Return the opening that the gas of a boost charge asks for."""
    found = ventilation(Ask(Scene(case.system), case.subject.tag, "", case.w))
    return Expected(Q.AREA, lower=found.lower, basis=found.basis, bearable=found.lower)


BATTERY_TEMPERATURE = Check(
    key="battery_temperature",
    title="Battery temperature",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Conditions",
    purpose="The heat of the cells: it moves every charging voltage, and below its lowest nothing may charge.",
    ways=(
        Way(
            "probe",
            "Probe on a block",
            (
                Input(
                    "temperature",
                    "Temperature of a block",
                    Q.TEMPERATURE,
                    hard=(-40, 90),
                    soft=(-10, 50),
                    hint="on the side of a block in the middle, under tape",
                    usual=THERMOMETER,
                ),
            ),
            ("contact thermometer", "tape"),
        ),
    ),
    judged=(Judged("temperature", "Temperature of the battery", Q.TEMPERATURE, temperature_expected),),
    method=("Tape the probe to the side of a block in the middle.", "Wait until it stands still, then read."),
    cautions=(KILOAMPERES,),
    is_condition=True,
    at_service=True,
)

BATTERY_POLARITY = Check(
    key="battery_polarity",
    title="Battery: polarity, by two people",
    kind=Kind.OBSERVED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="A battery joined the wrong way round destroys every controller and can burn the cable.",
    state="battery fuse out or breaker open",
    method=(
        "Count: blocks in series add volts, the capacity stays that of one; strings in parallel add capacity.",
        "Red lead on the plus end of the cable: the meter shows plus, and the sum of the blocks.",
        "A second person does the same and says it aloud, before the fuse goes in.",
    ),
    cautions=(KILOAMPERES,),
    limits=(
        Limit("two people have seen plus on plus, and the sum of the blocks in series", COMMON),
        Limit("two 12 V blocks in series are 24 V at the capacity of one", COMMON),
    ),
)

BATTERY_REST_VOLTAGE = Check(
    key="battery_rest_voltage",
    title="Battery at rest, block by block",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="Each block holds its charge before anything charges or loads it: one weak block drags down the rest.",
    ways=(
        Way(
            "meter",
            "Multimeter at the posts",
            (
                Input(
                    "voltage",
                    "Voltage of the block",
                    Q.VOLTAGE,
                    hard=(0, 150),
                    soft=(1.9, 56),
                    hint="on the posts, not on the lugs",
                    usual=VOLTMETER,
                ),
                Input(
                    "rest",
                    "At rest for",
                    Q.DURATION,
                    hard=(0, 3.2e7),
                    soft=(LEAST_REST, 1e6),
                    hint="since the last charge or load; leave empty if you have just measured it",
                    repeats=False,
                    optional=True,
                    usual=WATCH,
                ),
            ),
            ("multimeter",),
        ),
    ),
    judged=(Judged("voltage", "Voltage at rest", Q.VOLTAGE, rest_voltage_expected, rest_voltage_measured),),
    pocket=Pocket(
        (Plan(("voltage", "rest"), given=("rest",)), Plan(("voltage", "hours_at_rest"), without=("rest",))),
        axes=(
            Axis("rest", kinks=(LEAST_REST, GOOD_REST)),
            Axis("hours_at_rest", (0, 1e6), kinks=(LEAST_REST, GOOD_REST)),
        ),
    ),
    repeat=each("series*parallel", "block"),
    needs=(REST_NEED,),
    state="no charge, no load",
    method=(
        "Open array, charger and loads; note for how long nothing has flowed.",
        "Read each block on its posts, plus on plus.",
        "More than a rested block can show: it is being charged, even under a grey sky. Wait; it is no fault.",
    ),
    cautions=(KILOAMPERES, HYDROGEN),
    limits=(
        Limit("lead-acid: not below half charged, 12.24 V for a flooded 12 V block", "battery-industry table, 26.7 °C"),
        Limit("lithium: not below 3.20 V for each cell", "public table, a day of rest"),
        Limit("4 hours of rest or more; while it charges nothing is judged", COMMON),
    ),
    perishable="the first charge or load takes the voltage at rest away",
    at_service=True,
)

BLOCK_SPREAD = Check(
    key="block_spread",
    title="Battery: blocks against each other",
    kind=Kind.DERIVED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="Blocks of one age and kind that lie apart at rest will lie farther apart on charge.",
    judged=(Judged("spread", "Highest less lowest block", Q.VOLTAGE, spread_expected, spread_measured),),
    pocket=Pocket(reduced={"spread": (Reduction.DIFFERENCE, "battery_rest_voltage")}),
    needs=(
        Need(
            "battery_rest_voltage",
            Needed.EARLIER,
            "Blocks at rest",
            Q.VOLTAGE,
            finding="voltage",
            every_repeat=True,
            apart=SAME_VOLTMETER,
        ),
    ),
    limits=(Limit("not above 0.2 V for each 12 V block; lithium 0.1 V for each 12.8 V", COMMON),),
    at_service=True,
    applies=has_several_blocks,
    revision=2,
)

VENT_OPENING = Check(
    key="vent_opening",
    title="Battery: opening for its gas",
    kind=Kind.DERIVED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="The gas of a boost charge leaves before it can explode.",
    judged=(Judged("opening", "Opening, each of inlet and outlet", Q.AREA, opening_expected, opening_measured),),
    limits=(
        Limit("28 cm² for each m³/h of air, at the inlet and again at the outlet", "IEC 62485-2:2010, 7.3"),
        Limit("air: 0.05 × cells × gas-forming current × capacity", "IEC 62485-2:2010, 7.2"),
    ),
    cautions=(HYDROGEN,),
    applies=frees_gas,
)

CHECKS = (
    BATTERY_TEMPERATURE,
    HOURS_AT_REST,
    BATTERY_POLARITY,
    BATTERY_REST_VOLTAGE,
    BLOCK_SPREAD,
    *ACID_CHECKS,
    VENT_OPENING,
    *CHARGE_CHECKS,
    *LOAD_CHECKS,
    *USE_CHECKS,
)
