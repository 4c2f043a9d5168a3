"""How full the battery is: by its rest, at dawn after the night's use, and whether it may be charged at this heat."""

from sizing.checks.battery_case import (
    DC_CLAMP,
    HOUR,
    HYDROGEN,
    KILOAMPERES,
    LEAD_ACID,
    VOLTMETER,
    WATCH,
    bank_inside,
)
from sizing.checks.case import Case, Expected, Term, Value
from sizing.checks.declare import COMMON, Caution, Check, Input, Judged, Kind, Limit, Need, Needed, Way
from sizing.checks.pocket import Plan, Pocket
from sizing.formulas.battery import battery_voltage, unloaded_voltage
from sizing.formulas.state_of_charge import (
    gravity_state_of_charge,
    lead_acid_rest_voltage,
    lead_acid_state_of_charge,
    lithium_rest_voltage,
    lithium_state_of_charge,
)
from sizing.formulas.statistics import mean
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import BatteryBank
from sizing.quantities import Quantity as Q

SEALED_HIGHER = 0.025  # V of a cell at rest, AGM and gel over flooded (from memory)
FULL_CELL, EMPTY_CELL = 12.65 / 6, 11.89 / 6  # V, ends of the battery-industry table
FULL_LITHIUM, EMPTY_LITHIUM = 3.40, 3.20  # V, ends of the public table
FULL_GRAVITY, EMPTY_GRAVITY = 1.265, 1.120  # ends of the battery-industry table
LEAD_TABLES, LITHIUM_TABLES, GRAVITY_TABLES = 0.12, 0.20, 0.05  # of full; published tables lie so far apart
NIGHT_LOAD = 0.02  # V of a cell, by what still draws at dawn where its current was not read; common practice, no source

COLD_LITHIUM = Caution(
    "Lithium below its lowest charging temperature, commonly 0 °C: no charge at all. It is ruined without a sign.",
    "nameplate; IEC 62619 (from memory)",
)


def hours_expected(case: Case) -> Expected:
    """Return no limits: it has rested as long as it has."""
    return Expected(Q.DURATION, basis="a condition, nothing is expected of it")


def charge_measured(case: Case) -> float:
    """Return the state of charge: by gravity where the acid was drawn, else by the mean voltage of the blocks."""
    chemistry = case.subject.need_text("chemistry")
    if chemistry == "flooded" and _has_gravity(case):
        drawn = case.w.call("SG", mean, values=case.every("specific_gravity"))
        bounded = min(max(drawn, EMPTY_GRAVITY), FULL_GRAVITY)
        return case.w.call("SoC", gravity_state_of_charge, specific_gravity=bounded)
    block = case.w.call("V block", mean, values=case.every("battery_rest_voltage"))
    cell = block / case.subject.need("cells_per_block")
    if chemistry not in LEAD_ACID:
        bounded = min(max(cell, EMPTY_LITHIUM), FULL_LITHIUM)
        return case.w.call("SoC", lithium_state_of_charge, cell_voltage=bounded)
    like_flooded = cell - (0.0 if chemistry == "flooded" else SEALED_HIGHER)
    bounded = min(max(like_flooded, EMPTY_CELL), FULL_CELL)
    note = "" if chemistry == "flooded" else "of a sealed cell 0.025 V less: it rests so much higher"
    return case.w.call("SoC", lead_acid_state_of_charge, cell_voltage=bounded, note=note)


def _has_gravity(case: Case) -> bool:
    return any(k.startswith("specific_gravity") and isinstance(v, Value) for k, v in case.conditions.items())


def charge_expected(case: Case) -> Expected:
    """Return how full the battery should be at least: above what may be drawn of it."""
    chemistry = case.subject.need_text("chemistry")
    lower = 1 - case.subject.need("discharge_share")
    by_gravity = chemistry == "flooded" and _has_gravity(case)
    tables = GRAVITY_TABLES if by_gravity else LEAD_TABLES if chemistry in LEAD_ACID else LITHIUM_TABLES
    return Expected(
        Q.RATIO,
        1.0,
        lower,
        basis="not below what the nameplate leaves undrawn; table by chemistry",
        terms=(Term(f"tables {100 * tables:.0f} points apart", standard_from_half_width(tables), shared=True),),
    )


def dawn_measured(case: Case) -> float:
    """Return the voltage at dawn, what still draws taken out by the bank's resistance where both are known."""
    voltage = case.reading("voltage")
    if not case.has("current") or getattr(case.subject.part, "internal_resistance", None) is None:
        return voltage
    inside = bank_inside(case)
    return case.w.call("V₀", unloaded_voltage, voltage=voltage, current=case.reading("current"), resistance=inside)


def dawn_expected(case: Case) -> Expected:
    """Return the bank's voltage at dawn: full, and as the limit at the least charge that the nameplate allows."""
    chemistry, cells = case.subject.need_text("chemistry"), case.subject.need("cells_per_block")
    cells *= case.subject.need("series")
    least = 1 - case.subject.need("discharge_share")
    higher = SEALED_HIGHER if chemistry in ("agm", "gel") else 0.0
    slack = 0.0 if case.has("current") else NIGHT_LOAD * cells
    return Expected(
        Q.VOLTAGE,
        _rested(case, "V full", 1.0, cells, higher),
        _rested(case, "lower", least, cells, higher),
        basis="at rest, from full down to the share that may be drawn; table by chemistry",
        terms=(Term("what still draws at dawn", standard_from_half_width(slack)),) if slack else (),
    )


def _rested(case: Case, symbol: str, charge: float, cells: float, higher: float) -> float:
    is_lead = case.subject.need_text("chemistry") in LEAD_ACID
    formula = lead_acid_rest_voltage if is_lead else lithium_rest_voltage
    least = 0.0 if is_lead else 0.20  # the lithium table ends there
    cell = case.w.call(f"{symbol} cell", formula, state_of_charge=max(charge, least)) + higher
    return case.w.call(symbol, battery_voltage, cell_voltage=cell, cells=cells)


def charge_temperature_measured(case: Case) -> float:
    """Return the temperature of the battery as it was last measured."""
    return case.condition("battery_temperature")


def charge_temperature_expected(case: Case) -> Expected:
    """Return the temperatures between which the battery may be charged."""
    lowest, highest = case.subject.need("lowest_charge_temperature"), case.subject.need("highest_charge_temperature")
    basis = "lowest and highest temperature for charging, nameplate; lithium plates below it (IEC 62619, from memory)"
    return Expected(Q.TEMPERATURE, None, lowest, highest, basis)


TEMPERATURE_NOW = Need(
    "battery_temperature", Needed.WEATHER, "Temperature of the battery", Q.TEMPERATURE, max_age=6 * HOUR
)
BLOCKS_AT_REST = Need(
    "battery_rest_voltage", Needed.EARLIER, "Blocks at rest", Q.VOLTAGE, finding="voltage", every_repeat=True
)
CELLS_DRAWN = Need(
    "specific_gravity", Needed.EARLIER, "Cells, by hydrometer", Q.COUNT, optional=True, finding="gravity",
    every_repeat=True,
)  # fmt: skip

HOURS_AT_REST = Check(
    key="hours_at_rest",
    title="Battery at rest for",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Conditions",
    purpose="For how long nothing has flowed: only a rested battery shows its charge.",
    ways=(
        Way(
            "watch",
            "Watch",
            (
                Input(
                    "rest",
                    "At rest for",
                    Q.DURATION,
                    hard=(0, 3.2e7),
                    soft=(4 * HOUR, 1e6),
                    hint="since the last charge or load; 8 hours, better 24",
                    usual=WATCH,
                ),
            ),
            ("watch",),
        ),
    ),
    judged=(Judged("rest", "At rest for", Q.DURATION, hours_expected),),
    method=(
        "Isolate array, charger and loads; write down the hour.",
        "Read it as the time since then; a clamp on the post shows nil meanwhile.",
    ),
    cautions=(KILOAMPERES,),
    limits=(Limit("4 hours or more; 8 and better 24 for lead-acid, a day for lithium", COMMON),),
    tier="full",
    is_condition=True,
    at_service=True,
)
REST_NEED = Need("hours_at_rest", Needed.WEATHER, "At rest for", Q.DURATION, max_age=HOUR, optional=True)

CHARGE_TEMPERATURE = Check(
    key="charge_temperature",
    title="Battery: may it be charged at this heat",
    kind=Kind.DERIVED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="No cell is charged colder or hotter than it stands: lithium charged in the cold can burn weeks later.",
    judged=(
        Judged(
            "temperature",
            "Temperature of the battery",
            Q.TEMPERATURE,
            charge_temperature_expected,
            charge_temperature_measured,
        ),
    ),
    needs=(TEMPERATURE_NOW,),
    method=("As it should be: between the two figures of the nameplate, with the thermometer's doubt to spare.",),
    cautions=(COLD_LITHIUM,),
    limits=(
        Limit("not below the lowest temperature for charging", "nameplate; IEC 62619 (from memory)"),
        Limit("not above the highest temperature for charging", "nameplate"),
    ),
    at_service=True,
    pocket=Pocket((Plan(("battery_temperature",)),)),
)

STATE_OF_CHARGE = Check(
    key="state_of_charge",
    title="State of charge",
    kind=Kind.DERIVED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="The bank starts, or comes back from the year, with more in it than its nameplate lets be drawn.",
    judged=(Judged("charge", "State of charge", Q.RATIO, charge_expected, charge_measured),),
    needs=(BLOCKS_AT_REST, CELLS_DRAWN),
    limits=(
        Limit("not below one less the share that may be drawn", "nameplate of the battery"),
        Limit("lead-acid by voltage: published tables 12 points apart, by gravity 5", COMMON),
        Limit("lithium by voltage: 20 points, it says little", COMMON),
    ),
    tier="full",
    at_service=True,
    pocket=Pocket(server="all blocks, or all cells, together"),
)

DAWN_VOLTAGE = Check(
    key="dawn_voltage",
    title="Voltage at dawn",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="After a night's ordinary use the bank still holds more than may be drawn: capacity, charge and use agree.",
    ways=(
        Way(
            "meter",
            "Multimeter at the posts",
            (
                Input(
                    "voltage",
                    "Voltage at the posts",
                    Q.VOLTAGE,
                    hard=(1, 1000),
                    soft=(10, 60),
                    hint="before the sun is on the array",
                    usual=VOLTMETER,
                ),
                Input(
                    "current",
                    "What still draws",
                    Q.CURRENT,
                    hard=(0, 2000),
                    soft=(0, 100),
                    hint="clamp on a post; leave empty if it was not read",
                    optional=True,
                    usual=DC_CLAMP,
                ),
            ),
            ("multimeter", "DC clamp meter"),
        ),
    ),
    judged=(Judged("voltage", "Voltage at dawn, without load", Q.VOLTAGE, dawn_expected, dawn_measured),),
    state="dawn, before the sun is on the array, after an ordinary evening",
    method=(
        "Read the posts before sunrise, or cover the array the evening before.",
        "Clamp on a post: what still draws.",
        "As it should be: 12.4 V and more on a rested 12 V lead-acid block; below 12.1 V it is worn, or use has grown.",
    ),
    cautions=(KILOAMPERES, HYDROGEN),
    limits=(
        Limit("not below the table's voltage at the least charge that the nameplate allows", "table by chemistry"),
        Limit("12.4 V at rest is normal, below 12.1 V is not, for a 12 V lead-acid block", COMMON),
    ),
    tier="full",
    perishable="the first sun on the array takes the voltage of the night away",
    at_service=True,
    pocket=Pocket((Plan(("voltage", "current"), given=("current",)), Plan(without=("current",)))),
)

CHECKS = (CHARGE_TEMPERATURE, STATE_OF_CHARGE, DAWN_VOLTAGE)
