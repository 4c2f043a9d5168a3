"""Weather of the whole site, taken once for all that needs it: air in the shade, wind by its signs, and the sky."""

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
    Need,
    Needed,
    Option,
    Way,
)
from sizing.quantities import Quantity as Q
from sizing.system import SITE, System

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
AIR_THERMOMETER = Accuracy(fixed=1.5, words="air thermometer")
WIND_BY_EYE = Accuracy(fixed=1.0, words="wind judged by eye")
ANEMOMETER = Accuracy(of_reading=0.05, fixed=0.3, words="wind meter")
SKY_BY_EYE = Accuracy(words="sky judged by eye")

# Share of the clear-sky irradiance that each sky lets through; common practice, no source.
# Broken cloud is left out: there nothing but a meter helps.
SKIES = (
    Option("clear", "clear and blue", 1.0),
    Option("haze", "whitish or dusty, shadows sharp", 0.85),
    Option("thin_veil", "thin veil, shadows soft", 0.7),
    Option("bright_overcast", "covered and bright, shadows hardly seen", 0.4),
    Option("dull_overcast", "covered and dull, no shadows", 0.2),
)
# By how much that share may be off, either way: least under a blue sky; common practice, no source.
SKY_HALF_WIDTHS = ((0.95, 0.08), (0.8, 0.15), (0.55, 0.20), (0.3, 0.20), (0.0, 0.12))

# Beaufort numbers 0 to 5 of the World Meteorological Organization, middle of each class [m/s].
WINDS = (
    Option("calm", "calm, smoke goes straight up", 0.1),
    Option("light_air", "smoke drifts, leaves still", 0.9),
    Option("light_breeze", "felt on the face, leaves rustle", 2.4),
    Option("gentle_breeze", "leaves and twigs move all the time", 4.4),
    Option("moderate_breeze", "dust and loose paper rise", 6.7),
    Option("fresh_breeze", "small trees sway", 9.3),
)

STORM = Caution(
    "Thunder within half an hour, or wind that moves a module: stop, come down, stay off metal and cables.",
    "29 CFR 1926 subpart M (from memory); " + COMMON,
)


def sky_half_width(share: float) -> float:
    """Return by how much the share of a sky judged by eye may be off."""
    return next(half for least, half in SKY_HALF_WIDTHS if share >= least)


def whole_site(system: System, tag: str) -> str:
    """Return the tag of the whole site, on which the weather is taken."""
    return SITE


def condition_of(quantity: Q) -> Expected:
    """Return no limits: the weather is as it is."""
    return Expected(quantity, basis="a condition, nothing is expected of it")


def air_expected(case: Case) -> Expected:
    """Return no limits: the air is as warm as it is."""
    return condition_of(Q.TEMPERATURE)


def wind_expected(case: Case) -> Expected:
    """Return no limits: the wind blows as it blows."""
    return condition_of(Q.VELOCITY)


def sky_expected(case: Case) -> Expected:
    """Return no limits: the sky is as it is."""
    return condition_of(Q.RATIO)


AIR = Input(
    "ambient_temperature",
    "Air temperature in the shade",
    Q.TEMPERATURE,
    hard=(-60, 60),
    soft=(-30, 48),
    hint="a metre above the ground, out of the sun and of warm walls",
    usual=AIR_THERMOMETER,
)
WIND_SEEN = Input("wind", "Wind", Q.VELOCITY, hard=(0, 40), soft=(0, 12), usual=WIND_BY_EYE, options=WINDS)
WIND_READ = Input("wind", "Wind at the array", Q.VELOCITY, hard=(0, 40), soft=(0, 12), usual=ANEMOMETER)
SKY_SEEN = Input(
    "sky",
    "Sky around the sun",
    Q.RATIO,
    hard=(0, 1.3),
    hint="not under broken cloud: there only a meter helps",
    usual=SKY_BY_EYE,
    options=SKIES,
)

AMBIENT_TEMPERATURE = Check(
    key="ambient_temperature",
    title="Air temperature",
    kind=Kind.MEASURED,
    subject=None,
    group="Conditions",
    purpose="The air in the shade: with sun and wind it gives the heat of the cells where no probe is at hand.",
    ways=(Way("thermometer", "Thermometer in the shade", (AIR,), ("thermometer",)),),
    judged=(Judged("ambient_temperature", "Air in the shade", Q.TEMPERATURE, air_expected),),
    method=(
        "In the shade, a metre above the ground, air free around the bulb.",
        "Wait until it stands still: five minutes out of a warm pocket.",
    ),
    cautions=(STORM,),
    limits=(Limit("±1.5 K is what an ordinary thermometer in the shade gives", COMMON),),
    tier="full",
    is_condition=True,
    at_service=True,
)

WIND = Check(
    key="wind",
    title="Wind",
    kind=Kind.MEASURED,
    subject=None,
    group="Conditions",
    purpose="Moving air cools the modules: a breeze takes ten kelvin and more off a cell in full sun.",
    ways=(
        Way("signs", "By its signs", (WIND_SEEN,)),
        Way("meter", "Wind meter at the array", (WIND_READ,), ("wind meter",)),
    ),
    judged=(Judged("wind", "Wind", Q.VELOCITY, wind_expected),),
    method=("Look for a minute, at the array and not behind the house.", "Gusts: take the middle of them."),
    cautions=(STORM,),
    limits=(Limit("classes 0 to 5 by their signs", "Beaufort scale, World Meteorological Organization"),),
    tier="full",
    is_condition=True,
    at_service=True,
)

SKY = Check(
    key="sky",
    title="Sky",
    kind=Kind.MEASURED,
    subject=None,
    group="Conditions",
    purpose="What the sky lets through: without a meter it stands in for the sun, and says how little is known.",
    ways=(Way("eye", "Judged by eye", (SKY_SEEN,)),),
    judged=(Judged("sky", "Share of the clear sky's sun", Q.RATIO, sky_expected),),
    method=(
        "Stand with your back to the sun and look at your shadow's edge: sharp, soft, or none.",
        "Cover the sun with your hand: a white ring round it is haze or a veil.",
        "Broken cloud: wait, or fetch a meter.",
    ),
    cautions=(STORM,),
    limits=(Limit("shares of the clear sky's sun, each good to ± 8 to 20 hundredths of it", COMMON),),
    tier="full",
    is_condition=True,
    at_service=True,
)

AMBIENT_NEED = Need(
    "ambient_temperature", Needed.WEATHER, "Air in the shade", Q.TEMPERATURE, whole_site, 1_800.0, optional=True
)
WIND_NEED = Need("wind", Needed.WEATHER, "Wind", Q.VELOCITY, whole_site, 900.0, optional=True)
SKY_NEED = Need("sky", Needed.WEATHER, "Sky", Q.RATIO, whole_site, 600.0, optional=True)

CHECKS = (AMBIENT_TEMPERATURE, WIND, SKY)
