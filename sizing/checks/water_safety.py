"""Water that may be drunk: chlorine for all that is wetted, none left at the sampling, and the laboratory's word."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Need, Needed, Way
from sizing.checks.needs import STATIC_LEVEL, TANK_LEVEL, pump_in, tank_of
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale, Span, along
from sizing.checks.pressure_zone import fillers_of
from sizing.checks.storage import water_in
from sizing.errors import MissingDataError, OutOfRangeError
from sizing.formulas.disinfection import available_chlorine, bleach_volume, dose_of_bleach
from sizing.formulas.wells import casing_volume
from sizing.formulas.wetted import summed_volume, water_column
from sizing.parts import Outlet, PressureTank, Well
from sizing.quantities import Quantity as Q
from sizing.system import SITE, Node, Run, System

# Accuracies of ordinary instruments; common practice, no source.
LABEL = Accuracy(of_reading=0.1, words="label, bleach not older than 3 months")
JUG = Accuracy(of_reading=0.03, words="measuring jug")
STRIP = Accuracy(of_reading=0.2, fixed=0.04, words="comparator or strip")

DOSE_AIMED_AT = 100.0  # mg/L: MIL-HDBK-1164; published tables run from 50 to 460
LEAST_DOSE = (
    50.0  # mg/L for 24 h in a new well, tank and lines: county codes of Loudoun (1040.16), San Bernardino (13.24.350)
)
MOST_DOSE = 200.0  # mg/L: Maryland COMAR 26.04.04.24; above it metal and rubber suffer
NO_CHLORINE = 0.1  # mg/L, first mark of a comparator

CHLORINE = Caution(
    "Goggles, gloves, open air. Never with acid or another cleaner: it makes a gas that kills. "
    "Tag every tap, nobody drinks; bypass filters; keep it out of streams.",
    "AWWA C654; WHO fact sheets on disinfecting wells (from memory)",
)
WHERE_IT_GOES = Caution(
    "Chlorinated water kills fish, septic tanks and seedlings: onto bare ground, slowly, far from streams and wells, "
    "or neutralised first. Ask your authority.",
    "AWWA C655 (from memory); local discharge rules",
)
BYPASS = Caution("Softeners, carbon and membrane filters bypassed or taken out: chlorine ruins them.", COMMON)
TAGS_STAY = Caution("Tags stay on the taps until the result is here. Give people other water meanwhile.", COMMON)


def is_drinking(system: System, tag: str) -> bool:
    """Whether an outlet is for drinking; one whose use nobody has recorded counts as such."""
    part = system.node(tag).part
    return isinstance(part, Outlet) and part.drinking != "other"


def whole_site(system: System, tag: str) -> str:
    """Return the site: the need is measured once for all."""
    return SITE


def strength_measured(case: Case) -> float:
    """Return the strength of the bleach as available chlorine."""
    if case.here("available"):
        return case.reading("available")
    return case.w.call("c", available_chlorine, hypochlorite_strength=case.reading("hypochlorite"))


def strength_expected(case: Case) -> Expected:
    """Return no limits: the label says what it says."""
    return Expected(Q.RATIO, basis="a condition, nothing is expected of it")


def pipes_wetted(case: Case) -> list[Run]:
    """Return every pipe from the well pump to the taps, in tag order."""
    system = case.system
    pump, tank = pump_in(system, case.subject.tag), tank_filled(case)
    ways = [*system.reached(pump, "pipe", "discharge"), *(system.reached(tank.tag, "pipe", "outlet") if tank else [])]
    found = {run.tag: run for _, path in ways for run in path}
    return [found[key] for key in sorted(found)]


def tank_filled(case: Case) -> Node | None:
    """Return the tank that the well fills; None where its pump works against a pressure tank alone."""
    try:
        return case.system.node(tank_of(case.system, case.subject.tag))
    except MissingDataError:
        if not pressed_by(case):
            raise
        return None


def pressed_by(case: Case) -> list[Node]:
    """Return the pressure tanks that the well's pump fills."""
    pump = pump_in(case.system, case.subject.tag)
    every = case.system.of(PressureTank)
    return [one for one in every if pump in {filler.tag for filler in fillers_of(case.system, one)}]


def stored_water(case: Case) -> float:
    """Return the water in the tank at its level; of pressure tanks the whole shell, the most that they can hold."""
    tank = tank_filled(case)
    if tank is not None:
        return water_in(case, tank, case.condition("tank_level"), "V tank")
    shells = tuple(one.need("volume") for one in pressed_by(case))
    return case.w.call("V tank", summed_volume, volumes=shells, note="the whole shell of each pressure tank")


def in_the_well(system: System, tag: str) -> Span:
    """Return the levels between the top of a well and nearly its bottom."""
    return 0.0, 0.98 * system.node(tag).need("depth")


def wetted_volume(case: Case) -> float:
    """Return the water in well, pipes and tank, as steps."""
    well = case.subject
    column = case.w.call("h", water_column, depth=well.need("depth"), level=case.condition("static_level"))
    parts = [
        case.w.call("V well", casing_volume, inside_diameter=well.need("casing_diameter"), water_column=column),
        *(
            case.w.call(
                f"V {run.tag}",
                casing_volume,
                inside_diameter=run.need("inside_diameter"),
                water_column=run.need("length"),
            )
            for run in pipes_wetted(case)
        ),
        stored_water(case),
    ]
    return case.w.call("V_w", summed_volume, volumes=tuple(parts))


def bleach_expected(case: Case) -> Expected:
    """Return how much bleach to pour for the wetted volume: aimed at 100 mg/L, between 50 and 200."""
    volume, strength = wetted_volume(case), case.condition("bleach_strength")

    def poured(symbol: str, dose: float) -> float:
        return case.w.call(symbol, bleach_volume, water_volume=volume, dose_mg_per_l=dose, strength=strength)

    return Expected(
        Q.VOLUME,
        poured("V_b", DOSE_AIMED_AT),
        poured("lower", LEAST_DOSE),
        poured("upper", MOST_DOSE),
        basis="100 mg/L (MIL-HDBK-1164), between 50 and 200 mg/L (published county and state codes)",
    )


def dose_measured(case: Case) -> float:
    """Return the dose that the bleach poured gives."""
    return case.w.call(
        "C",
        dose_of_bleach,
        bleach_volume=case.reading("bleach"),
        strength=case.condition("bleach_strength"),
        water_volume=wetted_volume(case),
    )


def dose_expected(case: Case) -> Expected:
    """Return the dose aimed at and its bounds."""
    return Expected(
        Q.MASS_CONCENTRATION_MG_PER_L,
        DOSE_AIMED_AT,
        LEAST_DOSE,
        MOST_DOSE,
        basis="100 mg/L (MIL-HDBK-1164), between 50 and 200 mg/L (published county and state codes)",
    )


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


BLEACH_STRENGTH_NEED = Need("bleach_strength", Needed.EARLIER, "Strength of the bleach", Q.RATIO, whole_site)

BLEACH_STRENGTH = Check(
    key="bleach_strength",
    title="Strength of the bleach",
    kind=Kind.MEASURED,
    subject=None,
    group="Water safety",
    purpose="What the label says: a dose reckoned with another bottle's strength is wrong by half.",
    ways=(
        Way(
            "available",
            "Label in available chlorine",
            (
                Input(
                    "available",
                    "Available chlorine",
                    Q.RATIO,
                    hard=(0.001, 0.2),
                    soft=(0.02, 0.15),
                    hint="5 % is 50 g in a litre",
                    usual=LABEL,
                ),
            ),
        ),
        Way(
            "hypochlorite",
            "Label in sodium hypochlorite",
            (
                Input(
                    "hypochlorite",
                    "Sodium hypochlorite",
                    Q.RATIO,
                    hard=(0.001, 0.2),
                    soft=(0.02, 0.15),
                    hint="times 0.9525 is available chlorine",
                    usual=LABEL,
                ),
            ),
        ),
    ),
    judged=(Judged("strength", "Available chlorine", Q.RATIO, strength_expected, strength_measured),),
    pocket=Pocket((Plan(("available",), way="available"), Plan(("hypochlorite",), way="hypochlorite"))),
    method=(
        "Read the label: available chlorine, or sodium hypochlorite.",
        "Plain bleach only: no scent, no thickener.",
        "Older than three months: take a new bottle.",
    ),
    cautions=(CHLORINE,),
    is_condition=True,
)

CHLORINE_DOSE = Check(
    key="chlorine_dose",
    title="Chlorine for all that is wetted",
    kind=Kind.MEASURED,
    subject=Well,
    group="Water safety",
    purpose="Enough chlorine in well, pipes and tank to kill, not so much that it eats metal and rubber.",
    ways=(
        Way(
            "bleach",
            "Liquid bleach",
            (Input("bleach", "Bleach poured", Q.VOLUME, hard=(1e-6, 0.5), soft=(1e-4, 0.05), usual=JUG),),
            ("measuring jug", "goggles, gloves"),
        ),
    ),
    judged=(
        Judged("bleach", "Bleach poured", Q.VOLUME, bleach_expected),
        Judged("dose", "Dose", Q.MASS_CONCENTRATION_MG_PER_L, dose_expected, dose_measured),
    ),
    pocket=along(
        "wetted",
        "bleach_strength",
        "bleach",
        axes=(
            Axis("bleach_strength", (0.01, 0.2), Scale.RECIPROCAL),
            Axis("bleach", scale=Scale.RECIPROCAL),
            Axis("static_level", in_the_well),
        ),
        value_scale=Scale.RECIPROCAL,
        figures=(Figure("wetted", ("static_level", "tank_level"), wetted_volume, lead="tank_level"),),
    ),
    needs=(BLEACH_STRENGTH_NEED, STATIC_LEVEL, TANK_LEVEL),
    state="all pipework final, filters bypassed, tags on every tap",
    method=(
        "Mix the bleach in a bucket of water; share it between well and tank by their water, wet the casing all round.",
        "Draw at every tap until it smells of chlorine, then shut it.",
        "Leave it 24 hours; longer below 5 °C.",
        "Flush to where it does no harm, until nothing is left.",
    ),
    normal="Every tap smells like a swimming bath, the last one too.",
    cautions=(CHLORINE, WHERE_IT_GOES, BYPASS),
    limits=(
        Limit("aimed at 100 mg/L", "MIL-HDBK-1164"),
        Limit("not below 50 mg/L for 24 hours", "Loudoun County code 1040.16; San Bernardino County code 13.24.350"),
        Limit("not above 200 mg/L", "Maryland COMAR 26.04.04.24"),
    ),
    after=("turbidity", "fill_stop_level", "tightness_whole"),
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
    after=("chlorine_dose",),
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

CHECKS = (BLEACH_STRENGTH, CHLORINE_DOSE, RESIDUAL_AT_SAMPLING, SAMPLE_TAKEN, COLIFORM)
