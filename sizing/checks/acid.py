"""The acid of flooded cells: its gravity, cell by cell and against each other."""

from sizing.checks.battery_case import ACID, HYDROGEN, HYDROMETER, THERMOMETER, is_flooded
from sizing.checks.case import Case, Expected
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
from sizing.checks.pocket import Pocket, Reduction, along
from sizing.errors import MissingDataError
from sizing.formulas.battery import greatest_difference
from sizing.formulas.state_of_charge import gravity_at_reference
from sizing.parts import BatteryBank
from sizing.quantities import Quantity as Q

GRAVITY_APART = 0.025  # US Army TM 9-6140-200-14, 4-7
LEAST_GRAVITY, MOST_GRAVITY = 1.215, 1.300  # after charge; common practice, no source


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
    pocket=along("gravity", "temperature"),
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
    pocket=Pocket(reduced={"spread": (Reduction.DIFFERENCE, "specific_gravity")}),
    needs=(Need("specific_gravity", Needed.EARLIER, "Cells", Q.COUNT, finding="gravity", every_repeat=True),),
    limits=(Limit("not above 0.025 between any two cells of a charged battery", "US Army TM 9-6140-200-14, 4-7"),),
    tier="full",
    at_service=True,
    applies=is_flooded,
)

CHECKS = (SPECIFIC_GRAVITY, SPECIFIC_GRAVITY_SPREAD)
