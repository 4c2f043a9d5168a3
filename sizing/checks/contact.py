"""While the chlorine works: how long it stays in, and what is left of it when it comes out."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Check, Input, Judged, Kind, Limit, Need, Needed, Way
from sizing.checks.dosing import BYPASS, CHLORINE, WHERE_IT_GOES
from sizing.checks.pocket import Axis, Plan, Pocket
from sizing.checks.water_conditions import WATER_TEMPERATURE_NEED
from sizing.checks.water_safety import STRIP
from sizing.formulas.limits import upper_limit
from sizing.parts import Well
from sizing.quantities import Quantity as Q

WATCH = Accuracy(fixed=300.0, words="clock")

LEAST_CONTACT = 86_400.0  # s: 50 mg/L for 24 h, Loudoun County code 1040.16; San Bernardino County code 13.24.350
COLD_CONTACT = 172_800.0  # s: AWWA C651, 48 h where the water is colder than 5 °C
COLD = 5.0  # °C
LEAST_RESIDUAL = 10.0  # mg/L left after 24 h: AWWA C651 field guide
MOST_DOUBT = 4 * LEAST_RESIDUAL  # a strip ± 20 % leaves 23 of 100 mg/L in doubt: still far above the least
DOSE_OVER = 0.20  # a strip against the dose by the jug; common practice, no source


def contact_expected(case: Case) -> Expected:
    """Return a day as the least time that the chlorine stays in, two where the water is cold."""
    is_cold = case.has("water_temperature") and case.condition("water_temperature") < COLD
    least = COLD_CONTACT if is_cold else LEAST_CONTACT
    basis = (
        "48 hours below 5 °C: AWWA C651, written for mains"
        if is_cold
        else "24 hours: Loudoun County code 1040.16; San Bernardino County code 13.24.350"
    )
    return Expected(Q.DURATION, lower=least, bearable=least / 4, basis=basis)


def residual_expected(case: Case) -> Expected:
    """Return ten milligrams a litre as the least that is left, and the dose as the most."""
    upper = None
    if case.has("chlorine_dose"):
        upper = case.w.call("upper", upper_limit, nominal=case.condition("chlorine_dose"), tolerance=DOSE_OVER)
    return Expected(
        Q.MASS_CONCENTRATION_MG_PER_L,
        None,
        LEAST_RESIDUAL,
        upper,
        basis="10 mg/L or more left: AWWA C651 field guide, written for mains; not above the dose + 20 %: " + COMMON,
        bearable=MOST_DOUBT,
    )


DOSE_NEED = Need("chlorine_dose", Needed.EARLIER, "Dose", Q.MASS_CONCENTRATION_MG_PER_L, finding="dose", optional=True)

CONTACT_TIME = Check(
    key="contact_time",
    title="Time that the chlorine stayed in",
    kind=Kind.MEASURED,
    subject=Well,
    group="Water safety",
    purpose="Long enough for what hides in slime and crevices.",
    ways=(
        Way(
            "clock",
            "Clock",
            (
                Input(
                    "time", "From the last tap shut to the flushing", Q.DURATION, hard=(60, 1_209_600),
                    soft=(43_200, 259_200), hint="hours", usual=WATCH,
                ),
            ),
        ),
    ),
    judged=(Judged("time", "Time in the system", Q.DURATION, contact_expected),),
    pocket=Pocket(
        (Plan(("water_temperature",), given=("water_temperature",)), Plan(without=("water_temperature",))),
        (Axis("water_temperature", (0.0, 40.0), kinks=(COLD,)),),
    ),
    needs=(WATER_TEMPERATURE_NEED,),
    state="chlorine in well, pipes and tank, every tap smelt of it, all shut, tags on",
    method=(
        "Note the hour when the last tap was shut.",
        "Nobody draws; somebody who knows stays reachable.",
        "Note the hour when the flushing begins.",
    ),
    normal="The smell at each tap is as strong as on the evening before.",
    cautions=(CHLORINE, BYPASS),
    limits=(
        Limit("not below 24 hours", "Loudoun County code 1040.16; San Bernardino County code 13.24.350"),
        Limit("not below 48 hours where the water is colder than 5 °C", "AWWA C651, written for mains"),
    ),
    tier="full",
    after=("chlorine_dose",),
)  # fmt: skip

RESIDUAL_AFTER_CONTACT = Check(
    key="residual_after_contact",
    title="Chlorine left after its time",
    kind=Kind.MEASURED,
    subject=Well,
    group="Water safety",
    purpose="Some is left: had it all been used up, it would not be known when.",
    ways=(
        Way(
            "strip",
            "High-range strip, or a diluted sample",
            (
                Input(
                    "residual", "Free chlorine", Q.MASS_CONCENTRATION_MG_PER_L, hard=(0, 2000), soft=(5, 200),
                    hint="diluted ten times with clean water: times ten", may_be_bound=True, usual=STRIP,
                ),
            ),
            ("high-range strips", "clean jug for diluting"),
        ),
    ),
    judged=(Judged("residual", "Free chlorine left", Q.MASS_CONCENTRATION_MG_PER_L, residual_expected),),
    pocket=Pocket(
        (Plan(("chlorine_dose",), given=("chlorine_dose",)), Plan(without=("chlorine_dose",))),
        (Axis("chlorine_dose", (10.0, 400.0)),),
    ),
    needs=(DOSE_NEED,),
    state="before the flushing, at the tap farthest from where it was poured",
    method=(
        "At the farthest tap, before flushing, into a clean glass.",
        "Strips that bleach white are past their range: dilute ten times and multiply.",
        "Too little left: dose again, and look for slime, iron or a dead leg.",
        "Then flush to where it does no harm, bypasses still open, until nothing is left.",
    ),
    normal="Half or more of the dose is still there in clean pipe; iron and slime eat it.",
    cautions=(CHLORINE, WHERE_IT_GOES),
    limits=(
        Limit("not below 10 mg/L", "AWWA C651 field guide, written for mains"),
        Limit("not above the dose + 20 %: more is a slip in dose or dilution", COMMON),
    ),
    tier="full",
    after=("contact_time",),
)  # fmt: skip

CHECKS = (CONTACT_TIME, RESIDUAL_AFTER_CONTACT)
