"""The battery at rest and under a load: its blocks, its acid, its heat, its poles, and the room for its gas."""

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
from sizing.design.charging import frees_gas, ventilation
from sizing.design.declare import Ask, Scene
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.battery import battery_voltage, greatest_difference, sagged_voltage
from sizing.formulas.circuits import bank_voltage
from sizing.formulas.state_of_charge import gravity_at_reference
from sizing.formulas.supply import bank_resistance
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import BatteryBank, BoosterPump, Load, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.stored_power import asked_by, battery_to_user
from sizing.system import Node, System

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
VOLTMETER = Accuracy(of_reading=0.005, fixed=0.02, words="multimeter")
SAME_VOLTMETER = Accuracy(fixed=0.03, words="the same multimeter, reading against reading")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.05, words="DC clamp meter")
HYDROMETER = Accuracy(fixed=0.004, words="hydrometer")
THERMOMETER = Accuracy(fixed=1.5, words="contact thermometer")
WATCH = Accuracy(fixed=600.0, words="watch")

LEAD_ACID = ("flooded", "agm", "gel")
HOUR = 3_600.0
LEAST_REST = 4 * HOUR  # several hours; common practice, no source
GOOD_REST = 8 * HOUR  # battery-industry table: 8 hours, better 24
NOT_YET_RESTED = 0.01  # V of a cell that has rested 4 to 8 hours; common practice, no source
SAGS = 2.0  # polarisation in the first minute about doubles the sheet's resistance; common practice, no source
LEAD_APART = 0.2 / 6  # V of a cell: 0.2 V for a 12 V block at rest; common practice, no source
LITHIUM_APART = 0.1 / 4  # V of a cell: 0.1 V for a 12.8 V block at rest; common practice, no source
GRAVITY_APART = 0.025  # US Army TM 9-6140-200-14, 4-7
LEAST_GRAVITY, MOST_GRAVITY = 1.215, 1.300  # after charge; common practice, no source

# V of a cell at rest: half charged, full, and the most that a rested cell shows. Flooded: the battery-industry table
# of 12.24 and 12.65 V at 26.7 °C. Sealed cells rest 0.025 V higher (from memory). Above the last a cell is being
# charged, or its surface charge has not gone: common practice, no source. Lithium: a public table, 20 % and full.
REST: dict[str, tuple[float, float, float]] = {
    "flooded": (12.24 / 6, 12.65 / 6, 12.9 / 6),
    "agm": (12.24 / 6 + 0.025, 12.65 / 6 + 0.025, 13.05 / 6),
    "gel": (12.24 / 6 + 0.025, 12.65 / 6 + 0.025, 13.05 / 6),
    "lithium iron phosphate": (3.20, 3.33, 3.45),
}

KILOAMPERES = Caution(
    "A spanner across the posts burns like a welder: insulated tools, no rings or watch, posts covered.",
    "29 CFR 1926.441(a); NFPA 70E article 320 (from memory)",
)
ACID = Caution(
    "Acid: face shield, gloves, apron, and water for the eyes within 25 ft (8 m) before a cap comes off.",
    "29 CFR 1926.441(a)",
)
HYDROGEN = Caution(
    "Cells on charge give off a gas that explodes at a spark: air the place first, no flame, join nothing under load.",
    "29 CFR 1926.441; IEC 62485-2",
)


def is_flooded(system: System, tag: str) -> bool:
    """Whether a hydrometer gets at the acid; a battery of unknown kind is asked for it."""
    return getattr(system.node(tag).part, "chemistry", None) in ("flooded", None)


def has_several_blocks(system: System, tag: str) -> bool:
    """Whether blocks can be compared: more than one, or nobody has recorded how many."""
    part = system.node(tag).part
    series, parallel = getattr(part, "series", None), getattr(part, "parallel", None)
    return series is None or parallel is None or series * parallel > 1


def rest_of(case: Case) -> tuple[float, float, float]:
    """Return half charged, full, and the most at rest of the subject's cell."""
    chemistry = case.subject.need_text("chemistry")
    if chemistry not in REST:
        raise MissingDataError(case.subject.tag, "chemistry", f"{case.subject.tag}: no rest voltage of {chemistry}")
    return REST[chemistry]


def of_block(case: Case, symbol: str, cell: float) -> float:
    """Return the voltage of one block from that of its cells, as a step."""
    return case.w.call(symbol, battery_voltage, cell_voltage=cell, cells=case.subject.need("cells_per_block"))


def rest_voltage_measured(case: Case) -> float:
    """Return a block's voltage, refused where it is not at rest."""
    rest, voltage = case.reading("rest"), case.reading("voltage")
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
    few = case.has("rest") and case.reading("rest") < GOOD_REST
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


def gravity_measured(case: Case) -> float:
    """Return a cell's gravity carried to 26.7 °C (80 °F)."""
    return case.w.call(
        "SG", gravity_at_reference, reading=case.reading("gravity"), temperature=case.reading("temperature")
    )


def gravity_expected(case: Case) -> Expected:
    """Return the gravity of a charged cell."""
    refuse_sealed(case)
    basis = f"1.265 full, 1.215 and more after charge, at 26.7 °C (80 °F): {COMMON}"
    return Expected(Q.COUNT, 1.265, LEAST_GRAVITY, MOST_GRAVITY, basis)


def gravity_spread_measured(case: Case) -> float:
    """Return how far the cells' gravities lie apart."""
    return case.w.call("ΔSG", greatest_difference, values=case.every("specific_gravity"))


def gravity_spread_expected(case: Case) -> Expected:
    """Return how far the cells of a charged battery may lie apart."""
    refuse_sealed(case)
    return Expected(Q.COUNT, 0.0, upper=GRAVITY_APART, basis="between any two cells, US Army TM 9-6140-200-14, 4-7")


def refuse_sealed(case: Case) -> None:
    """Raise where the battery has no acid that can be drawn, or its kind is not recorded."""
    chemistry = case.subject.need_text("chemistry")
    if chemistry != "flooded":
        raise MissingDataError(case.subject.tag, "chemistry", f"{case.subject.tag}: {chemistry} has no acid to draw")


def temperature_expected(case: Case) -> Expected:
    """Return no limits: the battery is as warm as it is."""
    return Expected(Q.TEMPERATURE, basis="a condition, nothing is expected of it")


def users_of(system: System, tag: str) -> list[Node]:
    """Return the pumps and loads that a battery feeds, the largest first as recorded."""
    kinds = (BoosterPump, SubmersiblePump, Load)
    found: dict[str, Node] = {}
    todo = [tag]
    while todo:
        for node, _ in system.reached(todo.pop(), "cable"):
            if node.tag in found:
                continue
            found[node.tag] = node
            if node.kind in ("pump_controller", "inverter", "charge_controller"):
                todo.append(node.tag)
    return [node for node in found.values() if isinstance(node.part, kinds)]


def bank_inside(case: Case) -> float:
    """Return the resistance of the bank by its sheet, as a step."""
    bank = case.subject
    return case.w.call(
        "R_b",
        bank_resistance,
        block_resistance=bank.need("internal_resistance"),
        series=bank.need("series"),
        parallel=bank.need("parallel"),
    )


def sag_expected(case: Case) -> Expected:
    """Return the voltage at the posts under the load; as the limit that of twice the sheet's resistance."""
    if not case.readings:
        return sag_in_advance(case)
    rest, current, inside = case.reading("rest_voltage"), case.reading("current"), bank_inside(case)
    nominal = case.w.call("V", sagged_voltage, rest_voltage=rest, current=current, resistance=inside)
    lower = case.w.call("lower", sagged_voltage, rest_voltage=rest, current=SAGS * current, resistance=inside)
    basis = f"voltage at rest less current × twice the sheet's resistance: {COMMON}"
    return Expected(Q.VOLTAGE, nominal, lower, basis=basis)


def sag_in_advance(case: Case) -> Expected:
    """Return the voltage at the posts under the largest user on record, from a full battery at rest."""
    users = users_of(case.system, case.subject.tag)
    if not users:
        raise MissingDataError(case.subject.tag, "cable", f"{case.subject.tag}: nothing that it feeds is recorded")
    asked = max((asked_by(user) for user in users), key=lambda one: one.power)
    full = of_block(case, "V full", rest_of(case)[1])
    rest = case.w.call("V₀", bank_voltage, block_voltage=full, blocks=case.subject.need("series"))
    chain = battery_to_user(case.system, asked, rest, case.w, temperature=25.0)
    posts = next(point for point in chain.points if point.words == "at the posts")
    twice = SAGS * posts.current
    lower = case.w.call("lower", sagged_voltage, rest_voltage=rest, current=twice, resistance=bank_inside(case))
    basis = f"{asked.node.tag} at its rated power, battery full; limit at twice the sheet's resistance: {COMMON}"
    return Expected(Q.VOLTAGE, posts.voltage, lower, basis=basis)


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
                    hint="since the last charge or load; 8 hours, better 24",
                    repeats=False,
                    usual=WATCH,
                ),
            ),
            ("multimeter",),
        ),
    ),
    judged=(Judged("voltage", "Voltage at rest", Q.VOLTAGE, rest_voltage_expected, rest_voltage_measured),),
    repeat=each("series*parallel", "block"),
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
    needs=(
        Need("battery_rest_voltage", Needed.EARLIER, "Blocks at rest", Q.VOLTAGE, finding="voltage", every_repeat=True),
    ),
    limits=(Limit("not above 0.2 V for each 12 V block; lithium 0.1 V for each 12.8 V", COMMON),),
    at_service=True,
    applies=has_several_blocks,
)

SPECIFIC_GRAVITY = Check(
    key="specific_gravity",
    title="Gravity of the acid, cell by cell",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="The acid tells the charge of each cell, which the voltage of a block hides.",
    ways=(
        Way(
            "hydrometer",
            "Hydrometer",
            (
                Input(
                    "gravity",
                    "Gravity as read",
                    Q.COUNT,
                    hard=(1.05, 1.35),
                    soft=(1.1, 1.3),
                    hint="three places: 1.265, not 1265",
                    usual=HYDROMETER,
                ),
                Input(
                    "temperature",
                    "Temperature of the acid",
                    Q.TEMPERATURE,
                    hard=(-30, 60),
                    soft=(0, 45),
                    repeats=False,
                    usual=THERMOMETER,
                ),
            ),
            ("hydrometer", "thermometer"),
        ),
    ),
    judged=(Judged("gravity", "Gravity at 26.7 °C (80 °F)", Q.COUNT, gravity_expected, gravity_measured),),
    repeat=each("series*parallel*cells_per_block", "cell"),
    state="charged and rested, no water added since",
    method=(
        "Draw and empty twice, then read at eye level, the float free.",
        "Never just after watering: the water lies on top.",
        "Wipe up, close every cap.",
    ),
    cautions=(ACID, HYDROGEN),
    limits=(
        Limit("1.215 to 1.300 after charge", COMMON),
        Limit("carried to 26.7 °C (80 °F): 0.004 more for each 10 °F above", "US Army TM 9-6140-200-14"),
    ),
    tier="full",
    at_service=True,
    applies=is_flooded,
)

SPECIFIC_GRAVITY_SPREAD = Check(
    key="specific_gravity_spread",
    title="Gravity of the acid: cells against each other",
    kind=Kind.DERIVED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="A cell that lies apart after charge is short, dry or dying.",
    judged=(
        Judged(
            "spread",
            "Highest less lowest cell",
            Q.COUNT,
            gravity_spread_expected,
            gravity_spread_measured,
        ),
    ),
    needs=(Need("specific_gravity", Needed.EARLIER, "Cells", Q.COUNT, finding="gravity", every_repeat=True),),
    limits=(Limit("not above 0.025 between any two cells of a charged battery", "US Army TM 9-6140-200-14, 4-7"),),
    tier="full",
    at_service=True,
    applies=is_flooded,
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

BATTERY_SAG = Check(
    key="battery_sag",
    title="Battery under a load, one minute",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="The bank carries its largest load: a bad block or joint shows itself within a minute.",
    ways=(
        Way(
            "meter",
            "Multimeter at the posts, clamp on a lead",
            (
                Input(
                    "rest_voltage",
                    "Posts, before the load",
                    Q.VOLTAGE,
                    hard=(1, 1000),
                    soft=(10, 60),
                    hint="array off",
                    usual=SAME_VOLTMETER,
                ),
                Input(
                    "voltage", "Posts, after a minute", Q.VOLTAGE, hard=(0, 1000), soft=(9, 60), usual=SAME_VOLTMETER
                ),
                Input("current", "Current of the load", Q.CURRENT, hard=(0.1, 2000), soft=(1, 300), usual=DC_CLAMP),
            ),
            ("multimeter", "DC clamp meter"),
        ),
    ),
    judged=(Judged("voltage", "Voltage at the posts under load", Q.VOLTAGE, sag_expected),),
    state="array off, one named load on for a minute, the largest there is",
    method=(
        "Array off, all loads off: read the posts.",
        "One load on, the largest; write down which one.",
        "After a minute read posts and current, then switch it off.",
    ),
    cautions=(KILOAMPERES,),
    limits=(Limit("not lower than current × twice the sheet's resistance takes away", COMMON),),
    after=("battery_rest_voltage", "battery_polarity"),
    at_service=True,
)

CHECKS = (
    BATTERY_TEMPERATURE,
    BATTERY_POLARITY,
    BATTERY_REST_VOLTAGE,
    BLOCK_SPREAD,
    SPECIFIC_GRAVITY,
    SPECIFIC_GRAVITY_SPREAD,
    VENT_OPENING,
    BATTERY_SAG,
)
