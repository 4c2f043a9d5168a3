"""The well's first water: clear, without sand, and with what is dissolved in it."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Limit, Way
from sizing.checks.pocket import Plan, Pocket
from sizing.formulas.water_chemistry import conductivity_at_25
from sizing.parts import Well
from sizing.quantities import Quantity as Q

# Accuracies of ordinary instruments; common practice, no source.
TURBIDITY_METER = Accuracy(of_reading=0.1, fixed=0.3, words="turbidity meter or tube")
SAND_CONE = Accuracy(fixed=0.05, words="settling cone")
CONDUCTIVITY_METER = Accuracy(of_reading=0.02, fixed=5e-4, words="conductivity meter, standard solution read today")
THERMOMETER = Accuracy(fixed=0.5, words="thermometer")

MOST_TURBIDITY = 5.0  # NTU
MOST_SAND = 0.1  # mL/L, first mark of a settling cone
# Directive (EU) 2020/2184, annex I part C: 2500 µS/cm at 20 °C (from memory); carried to 25 °C in the check.
MOST_CONDUCTIVITY_AT_20 = 0.25  # S/m
AT_20 = 20.0  # °C

JET = Caution(
    "Tie the hose and lead the water away from slab and cables. The pump can start by itself: keep hands off.",
    COMMON,
)


def turbidity_expected(case: Case) -> Expected:
    """Return the most cloudiness with which water may go into a tank."""
    return Expected(
        Q.TURBIDITY_NTU,
        upper=MOST_TURBIDITY,
        bearable=MOST_TURBIDITY / 2,
        basis="5 NTU: WHO Guidelines for drinking-water quality (from memory)",
    )


def sand_expected(case: Case) -> Expected:
    """Return the most sand with which water may go into a tank: none that a cone can show."""
    return Expected(
        Q.SETTLED_SAND_ML_PER_L,
        upper=MOST_SAND,
        bearable=MOST_SAND,
        basis="the first mark of a settling cone: " + COMMON,
    )


def conductivity_measured(case: Case) -> float:
    """Return the conductivity at 25 °C: as a compensating meter shows it, or carried there."""
    if case.here("compensated"):
        return case.reading("compensated")
    return case.w.call(
        "κ₂₅",
        conductivity_at_25,
        conductivity=case.reading("conductivity"),
        temperature=case.reading("temperature"),
    )


def conductivity_expected(case: Case) -> Expected:
    """Return the most that drinking water may conduct, carried to 25 °C."""
    most = case.w.call("upper", conductivity_at_25, conductivity=MOST_CONDUCTIVITY_AT_20, temperature=AT_20)
    return Expected(
        Q.CONDUCTIVITY,
        upper=most,
        bearable=most / 5,
        basis="2500 µS/cm at 20 °C: Directive (EU) 2020/2184, annex I part C (from memory)",
    )


TURBIDITY = Check(
    key="turbidity",
    title="Turbidity",
    kind=Kind.MEASURED,
    subject=Well,
    group="Well",
    purpose="Clear water: mud that enters a tank stays there, and hides germs from chlorine.",
    ways=(
        Way(
            "meter",
            "Turbidity meter or tube",
            (
                Input(
                    "turbidity",
                    "Turbidity",
                    Q.TURBIDITY_NTU,
                    hard=(0, 4000),
                    soft=(0, 5),
                    hint="a tube that stays clear to the bottom gives a bound, such as < 5",
                    may_be_bound=True,
                    usual=TURBIDITY_METER,
                ),
            ),
            ("turbidity meter or tube", "clean jar"),
        ),
    ),
    judged=(Judged("turbidity", "Turbidity", Q.TURBIDITY_NTU, turbidity_expected),),
    state="pump running to waste for at least 15 minutes",
    method=(
        "Pump to waste until the water looks clear, at least 15 minutes.",
        "Let the sample stand until its bubbles are gone: they read as mud.",
        "Wipe the glass, read.",
    ),
    normal="Milky or brown for the first minutes, then clear enough to read print through a full jar.",
    cautions=(JET,),
    limits=(Limit("not above 5 NTU", "WHO Guidelines for drinking-water quality (from memory)"),),
    after=("rotation",),
    gate="start_well_pump",
    at_service=True,
)

SAND = Check(
    key="sand",
    title="Sand",
    kind=Kind.MEASURED,
    subject=Well,
    group="Well",
    purpose="No sand: it wears the pump, fills the tank and tells of a torn screen.",
    ways=(
        Way(
            "cone",
            "Settling cone or tall glass",
            (
                Input(
                    "sand",
                    "Sand settled",
                    Q.SETTLED_SAND_ML_PER_L,
                    hard=(0, 1000),
                    soft=(0, 1),
                    hint="nothing to be seen is < 0.1",
                    may_be_bound=True,
                    usual=SAND_CONE,
                ),
            ),
            ("settling cone", "watch"),
        ),
    ),
    judged=(Judged("sand", "Sand settled", Q.SETTLED_SAND_ML_PER_L, sand_expected),),
    state="pump running to waste for at least 15 minutes",
    method=("Fill the cone with a litre straight from the hose.", "Wait 15 minutes.", "Read the sand at the tip."),
    normal="A few grains in the first minutes, none after a quarter of an hour.",
    cautions=(JET,),
    limits=(Limit("no more than the first mark of the cone, 0.1 mL/L, after 15 minutes", COMMON),),
    after=("rotation",),
    gate="start_well_pump",
    at_service=True,
)


CONDUCTIVITY = Check(
    key="conductivity",
    title="Conductivity",
    kind=Kind.MEASURED,
    subject=Well,
    group="Well",
    purpose="How much salt the water carries: a rise over the years tells of the sea or of brine below.",
    ways=(
        Way(
            "compensated",
            "Meter that shows 25 °C",
            (
                Input(
                    "compensated",
                    "Conductivity at 25 °C",
                    Q.CONDUCTIVITY,
                    hard=(1e-5, 20),
                    soft=(0.002, 0.3),
                    hint="µS/cm, not mS/cm; 1000 µS/cm are 1 mS/cm",
                    usual=CONDUCTIVITY_METER,
                ),
            ),
            ("conductivity meter",),
        ),
        Way(
            "plain",
            "Meter without compensation",
            (
                Input(
                    "conductivity",
                    "Conductivity as shown",
                    Q.CONDUCTIVITY,
                    hard=(1e-5, 20),
                    soft=(0.002, 0.3),
                    hint="µS/cm, not mS/cm",
                    usual=CONDUCTIVITY_METER,
                ),
                Input("temperature", "Water temperature", Q.TEMPERATURE, hard=(0, 45), soft=(2, 35), usual=THERMOMETER),
            ),
            ("conductivity meter", "thermometer"),
        ),
    ),
    judged=(
        Judged("conductivity", "Conductivity at 25 °C", Q.CONDUCTIVITY, conductivity_expected, conductivity_measured),
    ),
    pocket=Pocket((Plan(("compensated",), way="compensated"), Plan(("conductivity", "temperature"), way="plain"))),
    state="pumped until the reading no longer moves",
    method=(
        "Read the standard solution first: the meter shows its printed value, or is adjusted.",
        "Rinse the probe three times with the water; no bubbles on it.",
        "Pump on until three readings, five minutes apart, lie within a tenth.",
    ),
    normal="A few hundred µS/cm in most fresh water, and the same from year to year within a tenth.",
    cautions=(JET,),
    limits=(
        Limit("not above 2500 µS/cm at 20 °C, 2764 at 25 °C", "Directive (EU) 2020/2184, annex I part C (from memory)"),
    ),
    tier="full",
    after=("rotation",),
    gate="start_well_pump",
    at_service=True,
)

CHECKS = (TURBIDITY, SAND, CONDUCTIVITY)
