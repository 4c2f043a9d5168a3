"""Water that may be drunk: no chlorine left at the sampling, and the laboratory's word."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.pocket import Pocket
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.parts import Outlet
from sizing.quantities import Quantity as Q
from sizing.system import System

# Accuracy of an ordinary instrument; common practice, no source.
STRIP = Accuracy(of_reading=0.2, fixed=0.04, words="comparator or strip")

NO_CHLORINE = 0.1  # mg/L, first mark of a comparator

TAGS_STAY = Caution("Tags stay on the taps until the result is here. Give people other water meanwhile.", COMMON)


def is_drinking(system: System, tag: str) -> bool:
    """Whether an outlet is for drinking; one whose use nobody has recorded counts as such."""
    part = system.node(tag).part
    return isinstance(part, Outlet) and part.drinking != "other"


def residual_expected(case: Case) -> Expected:
    """Return no chlorine at all: it would kill in the bottle what the laboratory looks for."""
    return Expected(
        Q.MASS_CONCENTRATION_MG_PER_L,
        upper=NO_CHLORINE,
        bearable=NO_CHLORINE,
        basis="nil, the first mark of a comparator: " + COMMON,
    )


def colonies_found(case: Case) -> float:
    """Return the colonies counted; "< 1" means that none were found."""
    found = next((r for r in case.readings if r.input == "colonies"), None)
    if found is None:
        raise MissingDataError("reading", "colonies", "the laboratory's result is not in")
    if found.bound == "<" and found.value > 1:
        raise OutOfRangeError(
            "colonies", f"< {found.value:g}", "counted in 100 mL: this sample was too small to say none"
        )
    # A count is a whole number: the half digit of doubt that goes with a typed figure is no part of it.
    return 0.0 if found.bound == "<" else float(round(found.value))


def colonies_expected(case: Case) -> Expected:
    """Return none."""
    return Expected(
        Q.COLONIES_PER_100_ML,
        upper=0.0,
        basis="absent in 100 mL: WHO Guidelines for drinking-water quality; US EPA 40 CFR 141.63 (from memory)",
    )


RESIDUAL_AT_SAMPLING = Check(
    key="residual_at_sampling",
    title="Chlorine left at the sampling",
    kind=Kind.MEASURED,
    subject=Outlet,
    group="Water safety",
    purpose="No chlorine in the sample: it would kill in the bottle what the laboratory looks for.",
    ways=(
        Way(
            "comparator",
            "Comparator or strip",
            (
                Input(
                    "residual",
                    "Free chlorine",
                    Q.MASS_CONCENTRATION_MG_PER_L,
                    hard=(0, 500),
                    soft=(0, 0.1),
                    hint="no colour is < 0.1; reagent in date, read at the stated minute",
                    may_be_bound=True,
                    usual=STRIP,
                ),
            ),
            ("comparator or strips",),
        ),
    ),
    judged=(Judged("residual", "Free chlorine", Q.MASS_CONCENTRATION_MG_PER_L, residual_expected),),
    state="flushed, tap has run two minutes",
    method=(
        "Run the tap two minutes.",
        "Fresh reagent, read at the stated minute.",
        "Any colour: flush on, come back another day.",
    ),
    normal="The glass stays as clear as water.",
    cautions=(TAGS_STAY,),
    limits=(Limit("nil: not above 0.1 mg/L", COMMON),),
    after=("chlorine_dose", "tank_chlorine_dose"),
    applies=is_drinking,
)

SAMPLE_TAKEN = Check(
    key="sample_taken",
    title="Sample taken",
    kind=Kind.OBSERVED,
    subject=Outlet,
    group="Water safety",
    purpose="A bottle that the laboratory can trust: clean tap, cold box, in time, with its papers.",
    state="residual nil",
    method=(
        "Some days of ordinary flow after the chlorine is gone: on the first day a fault still hides.",
        "Screen off, tap flamed or wiped with alcohol, run two minutes; the bottle for germs before the others.",
        "Fill the sterile bottle to its mark; touch neither neck nor cap.",
        "Label, cold box, paper with place, hour and name; to the laboratory within 30 hours.",
    ),
    normal="Bottle sealed, label dry, box cold, on its way within the hour.",
    cautions=(TAGS_STAY,),
    limits=(
        Limit(
            "as it should be: in the laboratory's hands within its holding time, often 30 hours",
            "40 CFR 141.21(f)(3) (from memory)",
        ),
    ),
    after=("residual_at_sampling",),
    applies=is_drinking,
)

COLIFORM = Check(
    key="coliform",
    title="Coliform bacteria",
    kind=Kind.MEASURED,
    subject=Outlet,
    group="Water safety",
    purpose="Nothing from gut or surface has come in: the only proof that the water may be drunk.",
    ways=(
        Way(
            "laboratory",
            "Laboratory's report",
            (
                Input(
                    "colonies",
                    "Coliform bacteria in 100 mL",
                    Q.COLONIES_PER_100_ML,
                    hard=(0, 1e7),
                    soft=(0, 200),
                    hint="as printed; absent is 0 or < 1",
                    may_be_bound=True,
                    usual=Accuracy(words="laboratory"),
                ),
            ),
            ("laboratory report",),
        ),
    ),
    judged=(
        Judged("coliform", "Coliform bacteria in 100 mL", Q.COLONIES_PER_100_ML, colonies_expected, colonies_found),
    ),
    pocket=Pocket(server="the laboratory's result is judged where it comes in, in the office"),
    method=(
        "Type the result as the laboratory printed it, with its < sign.",
        "Photograph the report.",
        "Absent: the tags come off, the owner gets a copy. Not absent: they stay; chlorinate again, find where.",
    ),
    cautions=(TAGS_STAY,),
    limits=(
        Limit("absent in 100 mL", "WHO Guidelines for drinking-water quality; US EPA 40 CFR 141.63 (from memory)"),
    ),
    after=("sample_taken",),
    at_service=True,
    from_laboratory=True,
    applies=is_drinking,
)

CHECKS = (RESIDUAL_AT_SAMPLING, SAMPLE_TAKEN, COLIFORM)
