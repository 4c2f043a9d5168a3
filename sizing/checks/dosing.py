"""Chlorine for all that is wetted: how strong the bleach is, how much water there is, how much to pour."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Need, Needed, Way
from sizing.checks.needs import STATIC_LEVEL, TANK_LEVEL, pump_in, tank_of
from sizing.checks.pocket import Axis, Figure, Plan, Pocket, Scale, Span, along
from sizing.checks.pressure_zone import fillers_of
from sizing.checks.storage import AT_THE_TANK, water_in
from sizing.errors import MissingDataError
from sizing.formulas.disinfection import available_chlorine, bleach_volume, dose_of_bleach
from sizing.formulas.wells import casing_volume
from sizing.formulas.wetted import summed_volume, water_column
from sizing.parts import HandPump, PressureTank, StorageTank, SubmersiblePump, Well
from sizing.quantities import Quantity as Q
from sizing.system import SITE, Node, Run, System

# Accuracies of ordinary instruments; common practice, no source.
LABEL = Accuracy(of_reading=0.1, words="label, bleach not older than 3 months")
JUG = Accuracy(of_reading=0.03, words="measuring jug")

DOSE_AIMED_AT = 100.0  # mg/L: MIL-HDBK-1164; published tables run from 50 to 460
LEAST_DOSE = (
    50.0  # mg/L for 24 h in a new well, tank and lines: county codes of Loudoun (1040.16), San Bernardino (13.24.350)
)
MOST_DOSE = 200.0  # mg/L: Water Wells That Last, Government of Alberta; above it metal and rubber suffer

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
    """Return every pipe from the well pump, or from the tank itself, to the taps, in tag order."""
    system, tag = case.system, case.subject.tag
    if isinstance(case.subject.part, StorageTank):
        starts = [(tag, "outlet")]
    else:
        tank = tank_filled(case)
        starts = [(pump_in(system, tag), "discharge"), *([(tank.tag, "outlet")] if tank else [])]
    found = {run.tag: run for tag, port in starts for _, path in system.reached(tag, "pipe", port) for run in path}
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
    """Return the water in the tank and behind it; of pressure tanks the whole shell, the most that they can hold."""
    tank = tank_filled(case)
    return water_of_tank(case, tank) if tank is not None else shells(case, pressed_by(case))


def water_of_tank(case: Case, tank: Node) -> float:
    """Return the water in a tank at its level, and in the pressure tanks that it feeds, as steps."""
    stored = water_in(case, tank, case.condition("tank_level"), "V tank")
    reached = (node for node, _ in case.system.reached(tank.tag, "pipe", "outlet"))
    fed = [node for node in reached if isinstance(node.part, PressureTank)]
    return case.w.call("V stored", summed_volume, volumes=(stored, shells(case, fed))) if fed else stored


def shells(case: Case, tanks: list[Node]) -> float:
    """Return the whole volume of pressure tanks, as a step."""
    volumes = tuple(one.need("volume") for one in tanks)
    return case.w.call("V shells", summed_volume, volumes=volumes, note="the whole shell of each pressure tank")


def in_the_well(system: System, tag: str) -> Span:
    """Return the levels between the top of a well and nearly its bottom."""
    return 0.0, 0.98 * system.node(tag).need("depth")


def wetted_volume(case: Case) -> float:
    """Return the water in well, pipes and tank, as steps; of a well with a hand pump alone that in its casing."""
    well = case.subject
    column = case.w.call("h", water_column, depth=well.need("depth"), level=case.condition("static_level"))
    in_well = case.w.call("V well", casing_volume, inside_diameter=well.need("casing_diameter"), water_column=column)
    if is_by_hand(case.system, well.tag):
        return in_well
    return case.w.call("V_w", summed_volume, volumes=(in_well, *water_in_pipes(case), stored_water(case)))


def wetted_by_tank(case: Case) -> float:
    """Return the water in a tank and in the pipes behind it, as steps."""
    stored = water_of_tank(case, case.system.node(case.subject.tag))
    return case.w.call("V_w", summed_volume, volumes=(*water_in_pipes(case), stored))


def water_in_pipes(case: Case) -> list[float]:
    """Return the water in each pipe that is wetted, as steps."""
    return [
        case.w.call(
            f"V {run.tag}", casing_volume, inside_diameter=run.need("inside_diameter"), water_column=run.need("length")
        )
        for run in pipes_wetted(case)
    ]


def is_by_hand(system: System, tag: str) -> bool:
    """Whether a well has a hand pump and no other."""
    return bool(system.hosted_on(tag, HandPump)) and not system.hosted_on(tag, SubmersiblePump)


def is_dosed_itself(system: System, tag: str) -> bool:
    """Whether a tank is dosed for itself, because no well that is dosed fills it."""
    return tag not in {_filled_by(system, well.tag) for well in system.of(Well)}


def _filled_by(system: System, well: str) -> str:
    try:
        return tank_of(system, well)
    except MissingDataError:
        return ""


def wetted(case: Case) -> float:
    """Return the water to be dosed: a well with all that it fills, or a tank with what hangs on it."""
    return wetted_by_tank(case) if isinstance(case.subject.part, StorageTank) else wetted_volume(case)


def bleach_expected(case: Case) -> Expected:
    """Return how much bleach to pour for the wetted volume: aimed at 100 mg/L, between 50 and 200."""
    volume, strength = wetted(case), case.condition("bleach_strength")

    def poured(symbol: str, dose: float) -> float:
        return case.w.call(symbol, bleach_volume, water_volume=volume, dose_mg_per_l=dose, strength=strength)

    return Expected(
        Q.VOLUME,
        poured("V_b", DOSE_AIMED_AT),
        poured("lower", LEAST_DOSE),
        poured("upper", MOST_DOSE),
        basis="100 mg/L (MIL-HDBK-1164), between 50 and 200 mg/L (published codes and guides)",
    )


def dose_measured(case: Case) -> float:
    """Return the dose that the bleach poured gives."""
    return case.w.call(
        "C",
        dose_of_bleach,
        bleach_volume=case.reading("bleach"),
        strength=case.condition("bleach_strength"),
        water_volume=wetted(case),
    )


def dose_expected(case: Case) -> Expected:
    """Return the dose aimed at and its bounds."""
    return Expected(
        Q.MASS_CONCENTRATION_MG_PER_L,
        DOSE_AIMED_AT,
        LEAST_DOSE,
        MOST_DOSE,
        basis="100 mg/L (MIL-HDBK-1164), between 50 and 200 mg/L (published codes and guides)",
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

BLEACH = Way(
    "bleach",
    "Liquid bleach",
    (Input("bleach", "Bleach poured", Q.VOLUME, hard=(1e-6, 0.5), soft=(1e-4, 0.05), usual=JUG),),
    ("measuring jug", "goggles, gloves"),
)
POURED = (
    Judged("bleach", "Bleach poured", Q.VOLUME, bleach_expected),
    Judged("dose", "Dose", Q.MASS_CONCENTRATION_MG_PER_L, dose_expected, dose_measured),
)
DOSE_LIMITS = (
    Limit("aimed at 100 mg/L", "MIL-HDBK-1164"),
    Limit("not below 50 mg/L for 24 hours", "Loudoun County code 1040.16; San Bernardino County code 13.24.350"),
    Limit("not above 200 mg/L", "Water Wells That Last, Government of Alberta, 8th ed. 2013"),
)
SMELLS = "Every tap smells like a swimming bath, the last one too."


def dose_tables(*axes: Axis, of: tuple[str, ...]) -> Pocket:
    """Return over what the phone's tables of a dose run: the water wetted, the bleach and its strength."""
    return along(
        "wetted",
        "bleach_strength",
        "bleach",
        axes=(Axis("bleach_strength", (0.01, 0.2), Scale.RECIPROCAL), Axis("bleach", scale=Scale.RECIPROCAL), *axes),
        value_scale=Scale.RECIPROCAL,
        figures=(Figure("wetted", of, wetted, lead="tank_level"),),
    )


CHLORINE_DOSE = Check(
    key="chlorine_dose",
    title="Chlorine for all that is wetted",
    kind=Kind.MEASURED,
    subject=Well,
    group="Water safety",
    purpose="Enough chlorine in well, pipes and tank to kill, not so much that it eats metal and rubber.",
    ways=(BLEACH,),
    judged=POURED,
    pocket=dose_tables(Axis("static_level", in_the_well), of=("static_level", "tank_level")),
    needs=(BLEACH_STRENGTH_NEED, STATIC_LEVEL, TANK_LEVEL),
    state="all pipework final, filters bypassed, tags on every tap",
    method=(
        "Mix the bleach in a bucket of water; share it between well and tank by their water, wet the casing all round.",
        "Draw at every tap until it smells of chlorine, then shut it.",
        "Leave it 24 hours; longer below 5 °C.",
        "Flush to where it does no harm, until nothing is left.",
    ),
    normal=SMELLS,
    cautions=(CHLORINE, WHERE_IT_GOES, BYPASS),
    limits=DOSE_LIMITS,
    after=("turbidity", "fill_stop_level", "tightness_whole"),
)

TANK_CHLORINE_DOSE = Check(
    key="tank_chlorine_dose",
    title="Chlorine for the tank and its pipes",
    kind=Kind.MEASURED,
    subject=StorageTank,
    group="Water safety",
    purpose="Enough chlorine in a tank that no well fills to kill, not so much that it eats metal and rubber.",
    ways=(BLEACH,),
    judged=POURED,
    pocket=dose_tables(of=("tank_level",)),
    needs=(BLEACH_STRENGTH_NEED, TANK_LEVEL),
    state="tank washed out and filled, filters bypassed, tags on every tap",
    method=(
        "From outside, through the hatch: mix the bleach in a bucket of water, pour it in while the tank fills.",
        "Draw at every tap until it smells of chlorine, then shut it.",
        "Leave it 24 hours; longer below 5 °C.",
        "Drain or flush to where it does no harm, never into the spring, until nothing is left.",
    ),
    normal=SMELLS,
    cautions=(CHLORINE, WHERE_IT_GOES, BYPASS, AT_THE_TANK),
    limits=DOSE_LIMITS,
    after=("tightness_whole", "overflow_carries_full_flow"),
    applies=is_dosed_itself,
)

CHECKS = (BLEACH_STRENGTH, CHLORINE_DOSE, TANK_CHLORINE_DOSE)
