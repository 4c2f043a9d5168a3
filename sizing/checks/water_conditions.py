"""What the water itself does on the day: how warm it is, and how long the well has been left alone."""

from sizing.checks.case import Case, Expected
from sizing.checks.declare import COMMON, Accuracy, Caution, Check, Input, Judged, Kind, Need, Needed, Way
from sizing.parts import Well
from sizing.quantities import Quantity as Q
from sizing.system import SITE, System

# Accuracies of ordinary instruments; common practice, no source.
THERMOMETER = Accuracy(fixed=0.5, words="thermometer")
ASKED = Accuracy(fixed=900.0, words="asked of the owner, or a counter")

NOTHING = "a condition, nothing is expected of it"
CLEAN_PROBE = Caution("Nothing goes into a well or tank that has not been wiped with chlorine first.", COMMON)


def whole_site(system: System, tag: str) -> str:
    """Return the site: the need is measured once for all."""
    return SITE


def temperature_expected(case: Case) -> Expected:
    """Return no limits: water is as warm as it is."""
    return Expected(Q.TEMPERATURE, basis=NOTHING)


def hours_expected(case: Case) -> Expected:
    """Return no limits: the well was left alone as long as it was."""
    return Expected(Q.DURATION, basis=NOTHING)


WATER_TEMPERATURE = Check(
    key="water_temperature",
    title="Water temperature",
    kind=Kind.MEASURED,
    subject=None,
    group="Conditions",
    purpose="Cold water is thicker, kills germs more slowly with chlorine, and boils less easily in a pump.",
    ways=(
        Way(
            "glass",
            "Thermometer in running water",
            (
                Input(
                    "temperature",
                    "Water temperature",
                    Q.TEMPERATURE,
                    hard=(-1, 60),
                    soft=(2, 35),
                    hint="in a full jug under a tap that has run for some minutes",
                    usual=THERMOMETER,
                ),
            ),
            ("thermometer",),
        ),
    ),
    judged=(Judged("temperature", "Water temperature", Q.TEMPERATURE, temperature_expected),),
    method=("Let the water run until it no longer changes.", "Fill a jug, wait a minute, read in the jug."),
    normal="Well water stays near the year's mean of the place; what stood in a tank in the sun is warmer.",
    tier="full",
    at_service=True,
    is_condition=True,
)

HOURS_SINCE_PUMPING = Check(
    key="hours_since_pumping",
    title="Since the last pumping",
    kind=Kind.MEASURED,
    subject=Well,
    group="Conditions",
    purpose="A level at rest is one only when nobody has pumped for a while, by sun or by hand.",
    ways=(
        Way(
            "asked",
            "Owner, or the controller's log",
            (
                Input(
                    "hours",
                    "Since anybody pumped",
                    Q.DURATION,
                    hard=(0, 31_536_000),
                    soft=(3_600, 1_209_600),
                    hint="the well pump, the hand pump, and a neighbour's well close by",
                    usual=ASKED,
                ),
            ),
        ),
    ),
    judged=(Judged("hours", "Since the last pumping", Q.DURATION, hours_expected),),
    method=("Ask who pumped last, and when; look at the controller's log.", "Think of the hand pump too."),
    cautions=(CLEAN_PROBE,),
    tier="full",
    at_service=True,
    is_condition=True,
)

WATER_TEMPERATURE_NEED = Need(
    "water_temperature", Needed.WEATHER, "Water temperature", Q.TEMPERATURE, whole_site, max_age=86_400.0, optional=True
)
SINCE_PUMPING_NEED = Need("hours_since_pumping", Needed.EARLIER, "Since the last pumping", Q.DURATION, optional=True)

CHECKS = (WATER_TEMPERATURE, HOURS_SINCE_PUMPING)
