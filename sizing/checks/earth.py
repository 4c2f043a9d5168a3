"""Bonds and the earth electrode, with everything off and locked."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import (
    COMMON,
    Accuracy,
    Caution,
    Check,
    Input,
    Judged,
    Kind,
    Limit,
    Repeat,
    Shape,
    Way,
)
from sizing.checks.pocket import along
from sizing.formulas.earthing import BOND_WORKING_LIMIT, SINGLE_ROD_LIMIT
from sizing.parts import EarthElectrode
from sizing.quantities import Quantity as Q

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
LOW_OHM_METER = Accuracy(of_reading=0.02, fixed=0.01, words="low-ohm meter")
EARTH_TESTER = Accuracy(of_reading=0.02, fixed=0.05, words="earth tester")
LIFTED_ELECTRODE = Caution(
    "Lift the electrode's lead only with the whole system off and locked, never with thunder about.",
    "IEEE 81 (from memory)",
)


def bond_expected(case: Case) -> Expected:
    """Return the working limit of a bond, end to end."""
    return Expected(
        Q.RESISTANCE, upper=BOND_WORKING_LIMIT, basis="1 Ω end to end: " + COMMON, bearable=BOND_WORKING_LIMIT / 5
    )


def electrode_expected(case: Case) -> Expected:
    """Return the resistance above which one electrode is not enough."""
    return Expected(
        Q.RESISTANCE,
        upper=SINGLE_ROD_LIMIT,
        basis="25 Ω for a single electrode: NEC (NFPA 70) 250.53(A)(2) (from memory)",
        bearable=SINGLE_ROD_LIMIT / 5,
    )


def electrode_measured(case: Case) -> float:
    """Return the reading with the potential probe at 62 % of the way."""
    return case.at("resistance", "62 %")


BOND_RESISTANCE = Check(
    key="bond_resistance",
    title="Bond resistance",
    kind=Kind.MEASURED,
    subject=EarthElectrode,
    group="Dead tests",
    purpose="Every metal part that a hand can touch is joined to the earth electrode, with no bad joint between.",
    ways=(
        Way(
            "low_ohm",
            "Low-ohm meter",
            (
                Input(
                    "resistance",
                    "From the part to the earth bar",
                    Q.RESISTANCE,
                    hard=(0, 1e6),
                    soft=(0, 0.5),
                    hint="leads nulled; bare metal under the clip, not paint",
                    may_be_bound=True,
                    usual=LOW_OHM_METER,
                ),
            ),
            ("low-ohm meter, at least 0.2 A", "long lead"),
        ),
    ),
    judged=(Judged("resistance", "From the part to the earth bar", Q.RESISTANCE, bond_expected),),
    repeat=Repeat(Shape.ROWS, ("array frame", "controller case", "well casing"), noun="part", least=1),
    state="dead and locked",
    method=(
        "Null the leads, or read them shorted and subtract.",
        "Clip on the earth bar, touch bare metal of each part in turn.",
        "Move the cable at each joint while reading: the number must not jump.",
    ),
    limits=(
        Limit("1 Ω or less end to end", COMMON),
        Limit("test current 0.2 A or more", "IEC 61557-4 (from memory)"),
    ),
    gate="safe_to_work",
    at_service=True,
)

ELECTRODE_RESISTANCE = Check(
    key="electrode_resistance",
    title="Earth electrode resistance",
    kind=Kind.MEASURED,
    subject=EarthElectrode,
    group="Dead tests",
    purpose="The electrode leads a fault and the charge of a storm into the ground.",
    ways=(
        Way(
            "fall_of_potential",
            "Fall of potential, two stakes",
            (
                Input(
                    "resistance",
                    "Resistance to earth",
                    Q.RESISTANCE,
                    hard=(0.05, 5000),
                    soft=(0.5, 250),
                    hint="electrode lifted; stakes in one line",
                    usual=EARTH_TESTER,
                    agree_share=0.10,
                ),
            ),
            ("earth tester", "two stakes", "long leads"),
        ),
    ),
    judged=(Judged("resistance", "Resistance to earth", Q.RESISTANCE, electrode_expected, electrode_measured),),
    pocket=along("resistance@62 %"),
    repeat=Repeat(Shape.TIMES, ("52 %", "62 %", "72 %"), noun="position of the near stake", least=3),
    state="electrode lifted from the system, everything off and locked",
    method=(
        "Lift the electrode's lead; current stake ten rod lengths away, in line.",
        "Potential stake at 62 % of that distance; then at 52 % and 72 %.",
        "The three within 10 %: the reading at 62 % counts. Else the stakes stand too near.",
        "Join the lead again before anything else.",
    ),
    cautions=(LIFTED_ELECTRODE,),
    limits=(
        Limit("25 Ω or less, else a second electrode", "NEC (NFPA 70) 250.53(A)(2) (from memory)"),
        Limit("5 to 10 Ω where electronics are to be guarded", COMMON),
    ),
    gate="safe_to_work",
    perishable="lost as soon as the bonds are made",
    at_service=True,
)

CHECKS = (ELECTRODE_RESISTANCE, BOND_RESISTANCE)
