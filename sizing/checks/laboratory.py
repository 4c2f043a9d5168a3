"""The laboratory's panel: what no eye, nose or field kit can tell, each against the limit of the site's code family.

What the panel holds follows from where the water comes from: minerals for water out of the ground, metals of roofing
for water off a roof.
"""

from collections.abc import Callable, Mapping
from typing import Any

from sizing.checks.case import Case, Expected
from sizing.checks.declare import Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.pocket import Plan, Pocket
from sizing.checks.water_safety import TAGS_STAY
from sizing.formulas.water_chemistry import nitrate_of_nitrogen
from sizing.parts import SpringOrRoof, Well
from sizing.quantities import CORE_UNIT
from sizing.quantities import Quantity as Q
from sizing.records import record
from sizing.system import System

MG = Q.MASS_CONCENTRATION_MG_PER_L
REPORT = Accuracy(of_reading=0.1, words="laboratory report")
PH_METER = Accuracy(fixed=0.1, words="pH meter, buffers read today")
READ_IT_ALL = Caution(
    "Boiling makes nitrate, arsenic and fluoride worse, not better. Infants get other water until the result is good.",
    "WHO Guidelines for drinking-water quality (from memory)",
)

EPA = "US EPA 40 CFR 141.62 (from memory)"
EPA_SECONDARY = "US EPA 40 CFR 143.3, for taste and looks (from memory)"
EPA_ACTION = "US EPA 40 CFR 141.80, action level (from memory)"
WHO = "WHO Guidelines for drinking-water quality, fourth edition (from memory)"
WHO_TASTE = "WHO Guidelines for drinking-water quality, for taste and looks (from memory)"


FOR_TASTE = (EPA_SECONDARY, WHO_TASTE)


def is_of_health(basis: str) -> bool:
    """Whether a limit is there for health. One whose origin is not known is: nobody drinks on a guess."""
    return basis not in FOR_TASTE


@record
class Band:
    """From where to where a value may lie, and who says so."""

    lower: float | None
    upper: float | None
    source: str

    def words(self, unit: str) -> str:
        if self.lower is None:
            return f"not above {self.upper:.3g} {unit}".strip()
        return f"{self.lower:g} to {self.upper:g} {unit}".strip()


Bands = Mapping[str, Band]
"""Code family of the site → the limits that count there."""

NITRATE_OF_10_N = nitrate_of_nitrogen(10.0)  # mg/L, the limit that 40 CFR 141.62 prints as 10 mg/L of nitrogen

NITRATE_LIMITS = {"US": Band(None, NITRATE_OF_10_N, EPA + ", 10 mg/L as nitrogen"), "IEC": Band(None, 50.0, WHO)}
ARSENIC_LIMITS = {"US": Band(None, 0.010, EPA), "IEC": Band(None, 0.010, WHO)}
FLUORIDE_LIMITS = {"US": Band(None, 4.0, EPA), "IEC": Band(None, 1.5, WHO)}
IRON_LIMITS = {"US": Band(None, 0.3, EPA_SECONDARY), "IEC": Band(None, 0.3, WHO_TASTE)}
MANGANESE_LIMITS = {"US": Band(None, 0.05, EPA_SECONDARY), "IEC": Band(None, 0.08, WHO)}
LEAD_LIMITS = {"US": Band(None, 0.015, EPA_ACTION), "IEC": Band(None, 0.010, WHO)}
ACIDITY_LIMITS = {"US": Band(6.5, 8.5, EPA_SECONDARY), "IEC": Band(6.5, 8.5, WHO_TASTE)}


def limits_of(bands: Bands) -> Callable[[Case], Expected]:
    """Return the function that says what a value should be by the site's code family, or what is not recorded."""

    def expected(case: Case) -> Expected:
        band = bands[case.subject.need_text("code_family")]
        upper = band.upper
        return Expected(quantity_of(bands), None, band.lower, upper, basis=band.source, bearable=(upper or 1.0) / 2)

    return expected


def quantity_of(bands: Bands) -> Q:
    """Return what a set of limits is in."""
    return Q.PH if bands is ACIDITY_LIMITS else MG


def in_words(bands: Bands) -> tuple[Limit, ...]:
    """Return the limits of each code family, for the catalogue and the page."""
    unit = CORE_UNIT[quantity_of(bands)].replace("1", "")
    return tuple(Limit(f"code family {family}: {band.words(unit)}", band.source) for family, band in bands.items())


def out_of_the_ground(system: System, tag: str) -> bool:
    """Whether any of the site's water comes out of the ground."""
    springs = [node for node in system.of(SpringOrRoof) if getattr(node.part, "source", None) != "roof"]
    return bool(system.of(Well) or springs)


def nitrate_measured(case: Case) -> float:
    """Return nitrate, whichever way the laboratory printed it."""
    if case.here("nitrogen"):
        return case.w.call("c", nitrate_of_nitrogen, nitrogen=case.reading("nitrogen"))
    return case.reading("nitrate")


def _milligrams(name: str, label: str, hard: float, usual: float, hint: str = "") -> Input:
    return Input(name, label, MG, hard=(0, hard), soft=(0, usual), hint=hint, may_be_bound=True, usual=REPORT)


AS_PRINTED = "as printed, with its < sign; µg/L ÷ 1000"
METHOD = (
    "Ask the laboratory for its bottle, its acid and its hold time before you draw.",
    "Run the tap until it is cold and steady, fill as the label says.",
    "Type the result as printed, with its < sign, in the unit of the field.",
    "Photograph the report.",
)
REPORT_ONLY = ("laboratory report",)


def in_panel(key: str, title: str, purpose: str, reading: Input, bands: Bands, **more: Any) -> Check:
    """Return the check of one thing that the laboratory reports; `more` overrides what is usual."""
    quantity = quantity_of(bands)
    usual: dict[str, Any] = {
        "ways": (Way("report", "Laboratory's report", (reading,), REPORT_ONLY),),
        "judged": (Judged(reading.name, title, quantity, limits_of(bands)),),
    }
    return Check(
        key=key,
        title=title,
        kind=Kind.MEASURED,
        subject=None,
        group="Water safety",
        purpose=purpose,
        method=METHOD,
        cautions=(TAGS_STAY, READ_IT_ALL),
        limits=in_words(bands),
        tier="full",
        after=("sample_taken",),
        at_service=True,
        from_laboratory=True,
        **{**usual, **more},
    )


NITRATE = in_panel(
    "nitrate",
    "Nitrate",
    "No dung, sewage or fertiliser gets in: nitrate takes the breath from infants.",
    _milligrams("nitrate", "Nitrate", 5_000, 50),
    NITRATE_LIMITS,
    ways=(
        Way("nitrate", "Printed as nitrate", (_milligrams("nitrate", "Nitrate", 5_000, 50),), REPORT_ONLY),
        Way(
            "nitrogen",
            "Printed as nitrogen (NO₃-N)",
            (_milligrams("nitrogen", "Nitrate nitrogen", 1_000, 11, "times 4.43 is nitrate"),),
            REPORT_ONLY,
        ),
    ),
    judged=(Judged("nitrate", "Nitrate", MG, limits_of(NITRATE_LIMITS), nitrate_measured),),
    pocket=Pocket((Plan(way="nitrate"), Plan(("nitrogen",), way="nitrogen"))),
    applies=out_of_the_ground,
)
ARSENIC = in_panel(
    "arsenic",
    "Arsenic",
    "The rock gives off no poison that nobody can taste.",
    _milligrams("arsenic", "Arsenic", 10, 0.01, AS_PRINTED),
    ARSENIC_LIMITS,
    applies=out_of_the_ground,
)
FLUORIDE = in_panel(
    "fluoride",
    "Fluoride",
    "Enough for teeth is little; more stains them, and much more cripples.",
    _milligrams("fluoride", "Fluoride", 100, 1.5),
    FLUORIDE_LIMITS,
    applies=out_of_the_ground,
)
IRON = in_panel(
    "iron",
    "Iron",
    "Clear tea and white laundry; iron also feeds slime that shelters germs from chlorine.",
    _milligrams("iron", "Iron", 500, 0.3),
    IRON_LIMITS,
    applies=out_of_the_ground,
)
MANGANESE = in_panel(
    "manganese",
    "Manganese",
    "No black slime, and no harm to infants.",
    _milligrams("manganese", "Manganese", 100, 0.08),
    MANGANESE_LIMITS,
    applies=out_of_the_ground,
)
LEAD = in_panel(
    "lead",
    "Lead",
    "Solder, brass and roof flashings give none off; first water of the morning tells.",
    _milligrams("lead", "Lead", 10, 0.01, AS_PRINTED),
    LEAD_LIMITS,
)
PH = in_panel(
    "ph",
    "pH",
    "Neither so sour that it eats pipes, nor so hard that it chokes them; chlorine works best between.",
    Input("ph", "pH", Q.PH, hard=(0, 14), soft=(6, 9), hint="within the hour, or in the laboratory", usual=PH_METER),
    ACIDITY_LIMITS,
)

CHECKS = (NITRATE, ARSENIC, FLUORIDE, IRON, MANGANESE, LEAD, PH)
