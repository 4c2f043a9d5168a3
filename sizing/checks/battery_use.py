"""What a battery gives and loses: at night with all off, in a day, in water, and at its joints."""

from typing import Any

from sizing.checks.battery_case import ACID, DC_CLAMP, HYDROGEN, KILOAMPERES, is_flooded
from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Check, Input, Judged, Kind, Limit, Repeat, Shape, Way
from sizing.checks.pocket import Axis, Scale, along
from sizing.design.declare import Ask, Scene
from sizing.design.energy import daily_energy, users_of
from sizing.errors import MissingDataError
from sizing.formulas.circuits import bank_voltage, summed_current
from sizing.formulas.daily import daily_amount
from sizing.formulas.hydrogen import MONTH, monthly_water_of_a_cell, water_decomposed
from sizing.formulas.limits import limit_at_offset, upper_limit
from sizing.formulas.motors import direct_current
from sizing.formulas.voltage_drop import joint_resistance
from sizing.parts import BatteryBank, ChargeController, Inverter, PumpController
from sizing.quantities import Quantity as Q

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
MILLIAMPERES = Accuracy(of_reading=0.02, fixed=0.02, words="DC clamp of low range, or shunt")
MILLIVOLTS = Accuracy(of_reading=0.005, fixed=0.0005, words="multimeter on millivolts")
COUNTER = Accuracy(of_reading=0.05, words="energy counter")
MARKED_JUG = Accuracy(of_reading=0.03, fixed=2e-5, words="marked jug")
BOOK = Accuracy(of_reading=0.03, words="as the book says")

OWN_DRAW = 0.03  # A, of each controller by itself; common practice, no source
NIGHT_SLACK = 0.05  # A, an alarm lamp or a relay more than recorded; common practice, no source
USE_OVER = 0.25  # of the use on record; common practice, no source
OVERCHARGE = 0.05  # of its capacity, the most an ordinary day makes into gas; common practice, no source
JOINT = 0.5e-3  # Ω, of a bolted joint or a fuse with its clips; common practice, no source


def idle_draw_expected(case: Case) -> Expected:
    """Return what controllers and inverters take by themselves with everything off."""
    bank = case.subject
    volts = case.w.call("V", bank_voltage, block_voltage=bank.need("block_voltage"), blocks=bank.need("series"))
    each = []
    for node, _ in case.system.reached(bank.tag, "cable"):
        if isinstance(node.part, Inverter):
            idle = node.need("idle_power")
            each.append(case.w.call(f"I {node.tag}", direct_current, power=idle, voltage=volts, efficiency=1.0))
        elif isinstance(node.part, ChargeController | PumpController):
            each.append(OWN_DRAW)
    if not each:
        raise MissingDataError(bank.tag, "cable", f"{bank.tag}: nothing is recorded on it that draws by itself")
    nominal = case.w.call("I", summed_current, currents=tuple(each))
    twice = case.w.call("2 · I", upper_limit, nominal=nominal, tolerance=1.0)
    upper = case.w.call("upper", limit_at_offset, nominal=twice, offset=NIGHT_SLACK)
    basis = "twice what inverters and controllers take by themselves (each controller 0.03 A), and 0.05 A: " + COMMON
    return Expected(Q.CURRENT, nominal, upper=upper, basis=basis)


def use_measured(case: Case) -> float:
    """Return the energy of a day."""
    return case.w.call("E read", daily_amount, amount=case.reading("energy"), time=case.reading("time"))


def use_expected(case: Case) -> Expected:
    """Return what the users on record draw in a day; more is use that has grown, or a drain."""
    ask = Ask(Scene(case.system), case.subject.tag, "", case.w)
    nominal = daily_energy(ask, users_of(case.system, case.system.node(case.subject.tag)))
    upper = case.w.call("upper", upper_limit, nominal=nominal, tolerance=USE_OVER)
    basis = f"what its users on record draw in a day + 25 %; less is no fault: {COMMON}"
    return Expected(Q.ENERGY, nominal, upper=upper, basis=basis)


def water_measured(case: Case) -> float:
    """Return the water that each cell took in a month."""
    cells = case.subject.need("series") * case.subject.need("parallel") * case.subject.need("cells_per_block")
    read: dict[str, Any] = {"water": case.reading("water"), "time": case.reading("time")}
    return case.w.call("v", monthly_water_of_a_cell, cells=cells, **read)


def water_expected(case: Case) -> Expected:
    """Return the most water that a cell should lose in a month, by what an ordinary charge makes into gas."""
    if case.subject.need_text("chemistry") != "flooded":
        raise MissingDataError(case.subject.tag, "chemistry", f"{case.subject.tag}: sealed cells take no water")
    gassed = OVERCHARGE * case.subject.need("block_capacity") * MONTH / 86_400.0
    upper = case.w.call("upper", water_decomposed, charge=gassed, note="5 % of the capacity each day for 30 days")
    basis = "5 % of the capacity made into gas each day: " + COMMON
    return Expected(Q.VOLUME, upper=upper, basis=basis, bearable=upper / 2)


def joint_measured(case: Case) -> float:
    """Return the resistance of a joint, by its drop under a known current."""
    return case.w.call("R", joint_resistance, drop=case.reading("drop"), current=case.reading("current"))


def joint_expected(case: Case) -> Expected:
    """Return the most that a joint may resist."""
    return Expected(Q.RESISTANCE, upper=JOINT, basis="half a milliohm: " + COMMON, bearable=JOINT / 2)


TIME = Input(
    "time", "Over", Q.DURATION, hard=(3_600, 3.2e7), soft=(86_400, 1e7), hint="from one reading to the next", usual=BOOK
)

NIGHT_DRAW = Check(
    key="night_draw",
    title="Draw with all off, in the dark",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="Nothing unknown empties the battery night after night.",
    ways=(
        Way(
            "clamp",
            "Clamp on a post",
            (
                Input(
                    "current",
                    "Current out of the battery",
                    Q.CURRENT,
                    hard=(0, 500),
                    soft=(0, 5),
                    hint="clamp zeroed at the spot, all loads off, dark",
                    usual=MILLIAMPERES,
                ),
            ),
            ("DC clamp meter of low range",),
        ),
    ),
    judged=(Judged("current", "Current out of the battery", Q.CURRENT, idle_draw_expected),),
    state="dark, or the array off; every load off",
    method=(
        "Switch off every load by its own switch; array off or night.",
        "Zero the clamp beside the cable, then round one post lead; wait a minute.",
        "As it should be: hundredths of an ampere. More: pull fuses one by one until it falls.",
    ),
    cautions=(KILOAMPERES,),
    limits=(
        Limit("not above twice the idle draw of inverters and controllers, and 0.05 A", COMMON),
        Limit("a controller by itself draws 0.03 A", COMMON),
    ),
    tier="full",
    at_service=True,
)

LOAD_ENERGY = Check(
    key="load_energy",
    title="Energy drawn in a day",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="What is used is what the system was built for: growing use looks like an ailing battery.",
    ways=(
        Way(
            "counter",
            "Counter of controller or inverter",
            (
                Input("energy", "Energy counted", Q.ENERGY, hard=(0, 1e12), soft=(1e5, 1e10), usual=COUNTER),
                TIME,
            ),
        ),
        Way(
            "survey",
            "Asked and added up",
            (
                Input(
                    "energy",
                    "Energy of a day, added up",
                    Q.ENERGY,
                    hard=(0, 1e12),
                    soft=(1e5, 1e9),
                    hint="watts of each times its hours",
                    usual=Accuracy(of_reading=0.15, words="as told"),
                ),
                Input(
                    "time",
                    "Over",
                    Q.DURATION,
                    hard=(3_600, 3.2e7),
                    soft=(86_400, 1e7),
                    hint="one day, if so asked",
                    usual=Accuracy(words="as told"),
                ),
            ),
        ),
    ),
    judged=(Judged("energy", "Energy of a day", Q.ENERGY, use_expected, use_measured),),
    method=(
        "Read the counter twice, some days apart, and the time between.",
        "No counter: ask what runs and for how long, add it up.",
        "More than the record: look what was added, before the battery is blamed.",
    ),
    limits=(Limit("not above the use on record + 25 %", COMMON),),
    tier="full",
    at_service=True,
    pocket=along("energy", "time", axes=(Axis("time", scale=Scale.RECIPROCAL),)),
)

BATTERY_WATER_USE = Check(
    key="battery_water_use",
    title="Water that the cells take",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="The set points fit the cells: overcharged they boil their water away.",
    ways=(
        Way(
            "book",
            "From the topping-up book",
            (
                Input(
                    "water",
                    "Distilled water added, all cells",
                    Q.VOLUME,
                    hard=(0, 1),
                    soft=(1e-5, 0.05),
                    hint="since the last topping up",
                    usual=MARKED_JUG,
                ),
                TIME,
            ),
            ("marked jug",),
        ),
    ),
    judged=(Judged("water", "Water for each cell in a month", Q.VOLUME, water_expected, water_measured),),
    state="charged; plates were covered",
    method=(
        "Top up after charging, never before, with distilled water, to the mark.",
        "Count all that went in, and the time since it was last done.",
        "As it should be: all cells about alike. One that takes much more is shorted or hot.",
    ),
    cautions=(ACID, HYDROGEN),
    limits=(
        Limit("not above the water of 5 % of the capacity made into gas each day", COMMON),
        Limit("0.34 mL of water for each ampere-hour made into gas", "Faraday's law"),
    ),
    tier="full",
    at_service=True,
    applies=is_flooded,
    pocket=along("water", "time", axes=(Axis("time", scale=Scale.RECIPROCAL),)),
)

JOINT_DROP = Check(
    key="joint_drop",
    title="Joints of the battery circuit",
    kind=Kind.MEASURED,
    subject=BatteryBank,
    group="Battery and charging",
    purpose="No post, link, lug or fuse clip resists: a bad joint starves the load, misleads the charger and burns.",
    ways=(
        Way(
            "meter",
            "Multimeter across each joint, clamp on the lead",
            (
                Input(
                    "drop",
                    "Drop across the joint",
                    Q.VOLTAGE,
                    hard=(0, 10),
                    soft=(0, 0.1),
                    hint="one probe on the post, the other on the lug",
                    usual=MILLIVOLTS,
                ),
                Input("current", "Current", Q.CURRENT, hard=(0.5, 2000), soft=(5, 300), usual=DC_CLAMP),
            ),
            ("multimeter", "DC clamp meter"),
        ),
    ),
    judged=(Judged("resistance", "Resistance of the joint", Q.RESISTANCE, joint_expected, joint_measured),),
    repeat=Repeat(Shape.ROWS, ("plus post", "fuse", "minus post"), noun="joint", least=1),
    state="a known load on, or charging well: 10 A or more",
    method=(
        "Ten amperes or more flowing; note the current of each row.",
        "Probes on the two metals of the joint, not on the bolt.",
        "As it should be: a few millivolts, all alike. One that stands out: clean, remake, torque.",
    ),
    cautions=(KILOAMPERES, HYDROGEN),
    limits=(Limit("half a milliohm or less: 5 mV at 10 A", COMMON),),
    after=("battery_polarity",),
    tier="full",
    at_service=True,
    pocket=along("drop", "current", axes=(Axis("current", scale=Scale.RECIPROCAL),)),
)

CHECKS = (NIGHT_DRAW, LOAD_ENERGY, BATTERY_WATER_USE, JOINT_DROP)
