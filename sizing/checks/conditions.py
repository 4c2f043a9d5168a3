"""The conditions of the moment: sun, heat and water level, by which the other numbers are judged."""

import dataclasses

from sizing.checks.case import Case, Expected, Term
from sizing.checks.declare import (
    COMMON,
    Accuracy,
    Caution,
    Check,
    Input,
    Judged,
    Kind,
    Limit,
    Option,
    Way,
)
from sizing.checks.needs import IRRADIANCE as IRRADIANCE_NEED
from sizing.errors import MissingDataError
from sizing.formulas.cell_temperature import SANDIA_MOUNTS, cell_temperature_from_module, sandia_module_temperature
from sizing.formulas.clear_sky import TYPICAL_LINKE_TURBIDITY, irradiance_through_cloud
from sizing.formulas.irradiance import TYPICAL_ALBEDO, clear_sky_plane_irradiance
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import SolarArray, StorageTank
from sizing.quantities import Quantity as Q

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
SUN_METER = Accuracy(of_reading=0.05, words="sun meter")
THERMOMETER = Accuracy(fixed=2.0, words="contact thermometer")
AIR_THERMOMETER = Accuracy(fixed=1.5, words="air thermometer")
SKY_BY_EYE = Accuracy(fixed=0.26, words="sky judged by eye")
WIND_BY_EYE = Accuracy(fixed=1.0, words="wind judged by eye")
TAPE = Accuracy(fixed=0.02, words="tape")

# Share of the clear-sky irradiance that each sky lets through; common practice, no source.
# Broken cloud is left out: there nothing but a meter helps.
SKIES = (
    Option("clear", "clear and blue", 1.0),
    Option("haze", "whitish or dusty, shadows sharp", 0.85),
    Option("thin_veil", "thin veil, shadows soft", 0.7),
    Option("bright_overcast", "covered and bright, shadows hardly seen", 0.4),
    Option("dull_overcast", "covered and dull, no shadows", 0.2),
)

# Beaufort numbers 0 to 5 of the World Meteorological Organization, middle of each class [m/s].
WINDS = (
    Option("calm", "calm, smoke goes straight up", 0.1),
    Option("light_air", "smoke drifts, leaves still", 0.9),
    Option("light_breeze", "felt on the face, leaves rustle", 2.4),
    Option("gentle_breeze", "leaves and twigs move all the time", 4.4),
    Option("moderate_breeze", "dust and loose paper rise", 6.7),
    Option("fresh_breeze", "small trees sway", 9.3),
)

MOUNTS = {"open_rack": "glass/polymer, open rack", "close_roof": "glass/glass, close to the roof"}
MODEL_HALF_WIDTH = 5.0  # K, Sandia report SAND2004-3535: expected accuracy of the module temperature
CELL_ABOVE_BACK_HALF_WIDTH = 1.0  # K; common practice, no source

IN_THE_SUN = Caution(
    "Array terminals are live whenever there is light. Hat, water, shade: heat takes people before it takes pumps.",
    "IEC 62446-1; " + COMMON,
)
ON_A_TANK = Caution(
    "Read from outside, on a secured ladder. Never climb into a tank: the air in it can kill before you notice.",
    "29 CFR 1910.146 (permit-required confined spaces)",
)


def irradiance_measured(case: Case) -> float:
    """Return the irradiance in the array's plane, from the meter or from the sky."""
    if case.way != "sky":
        return case.reading("irradiance")
    share = case.reading("sky")
    if case.moment is None:
        raise MissingDataError("condition", "moment", "the time of the estimate is not known")
    site = case.system.subject("site")
    clear = case.w.call(
        "G_clear",
        clear_sky_plane_irradiance,
        unix_time=case.moment,
        latitude=site.need("latitude"),
        longitude=site.need("longitude"),
        altitude=site.need("altitude"),
        tilt=case.subject.need("tilt"),
        azimuth=case.subject.need("azimuth"),
        linke_turbidity=TYPICAL_LINKE_TURBIDITY,
        albedo=TYPICAL_ALBEDO,
    )
    return case.w.call("G", irradiance_through_cloud, clear_sky=clear, clear_sky_index=share)


def irradiance_expected(case: Case) -> Expected:
    """Return no limits: the sun is as it is."""
    return Expected(Q.IRRADIANCE, basis="a condition, nothing is expected of it")


def cell_temperature_measured(case: Case) -> float:
    """Return the temperature of the cells, from a probe at the back or from air, wind and sun."""
    mount = SANDIA_MOUNTS[MOUNTS[case.subject.need_text("mounting")]]
    irradiance = case.reading("irradiance")
    if case.way == "ambient":
        back = case.w.call(
            "T_m",
            sandia_module_temperature,
            ambient_temperature=case.reading("ambient_temperature"),
            irradiance=irradiance,
            wind_speed=case.reading("wind"),
            a=mount.a,
            b=mount.b,
        )
    else:
        back = case.reading("back_temperature")
    return case.w.call(
        "T_c",
        cell_temperature_from_module,
        module_temperature=back,
        irradiance=irradiance,
        cell_above_module=mount.cell_above_module,
    )


def cell_temperature_expected(case: Case) -> Expected:
    """Return no limits, and what the way of finding the temperature leaves in doubt."""
    half_width = MODEL_HALF_WIDTH if case.way == "ambient" else CELL_ABOVE_BACK_HALF_WIDTH
    words = "module temperature model ± 5 K" if case.way == "ambient" else "cell above its back ± 1 K"
    return Expected(
        Q.TEMPERATURE,
        basis="a condition, nothing is expected of it",
        terms=(Term(words, standard_from_half_width(half_width), shared=case.way == "ambient"),),
    )


def tank_level_expected(case: Case) -> Expected:
    """Return no limits: the tank is as full as it is."""
    return Expected(Q.LENGTH, basis="a condition, nothing is expected of it")


IRRADIANCE = Check(
    key="irradiance",
    title="Irradiance",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Conditions",
    purpose="The sun in the array's own plane: currents, powers and flows are judged by it.",
    ways=(
        Way(
            "meter",
            "Sun meter in the array's plane",
            (
                Input(
                    "irradiance",
                    "Irradiance",
                    Q.IRRADIANCE,
                    hard=(0, 1400),
                    soft=(200, 1100),
                    hint="sensor clean, flat against the module frame",
                    usual=SUN_METER,
                ),
            ),
            ("sun meter",),
        ),
        Way(
            "sky",
            "No meter: judged by the sky",
            (
                Input(
                    "sky",
                    "Sky around the sun",
                    Q.RATIO,
                    hard=(0, 1.3),
                    hint="not under broken cloud; currents cannot be judged by it",
                    usual=SKY_BY_EYE,
                    options=SKIES,
                ),
            ),
        ),
    ),
    judged=(
        Judged("irradiance", "Irradiance in the array's plane", Q.IRRADIANCE, irradiance_expected, irradiance_measured),
    ),
    state="no shade on the array, glass clean",
    method=(
        "Hold the sensor in the array's plane, not flat on the ground.",
        "Read, take the reading that needs the sun, read again.",
        "More than 5 % apart: the sun was not steady, take all three again.",
    ),
    cautions=(IN_THE_SUN,),
    limits=(
        Limit("before and after within 5 %", "steady sun: following the method of IEC 62446-1; figure " + COMMON),
        Limit("400 W/m² or more to judge a current", COMMON),
    ),
    needs_sun=True,
    is_condition=True,
    at_service=True,
)

SUN_BESIDE = dataclasses.replace(IRRADIANCE_NEED, bracket=None, optional=True)
"""Irradiance measured shortly before stands in where it is not read beside the temperature."""

IRRADIANCE_BESIDE = Input(
    "irradiance",
    "Irradiance meanwhile",
    Q.IRRADIANCE,
    hard=(0, 1400),
    soft=(200, 1100),
    hint="leave empty if you have just measured it",
    optional=True,
    usual=SUN_METER,
)

MODULE_TEMPERATURE = Check(
    key="module_temperature",
    title="Module temperature",
    kind=Kind.MEASURED,
    subject=SolarArray,
    group="Conditions",
    purpose="The heat of the cells: every 10 K takes some 3 % off a module's voltage.",
    ways=(
        Way(
            "contact",
            "Probe on the back of a module",
            (
                Input(
                    "back_temperature",
                    "Temperature at the back",
                    Q.TEMPERATURE,
                    hard=(-60, 120),
                    soft=(-20, 85),
                    hint="behind a cell near the middle, under tape",
                    usual=THERMOMETER,
                ),
                IRRADIANCE_BESIDE,
            ),
            ("contact thermometer", "tape"),
        ),
        Way(
            "ambient",
            "From air, wind and sun",
            (
                Input(
                    "ambient_temperature",
                    "Air temperature in the shade",
                    Q.TEMPERATURE,
                    hard=(-60, 60),
                    soft=(-30, 48),
                    usual=AIR_THERMOMETER,
                ),
                Input("wind", "Wind", Q.VELOCITY, hard=(0, 40), soft=(0, 12), usual=WIND_BY_EYE, options=WINDS),
                IRRADIANCE_BESIDE,
            ),
            ("thermometer",),
        ),
    ),
    judged=(
        Judged("temperature", "Cell temperature", Q.TEMPERATURE, cell_temperature_expected, cell_temperature_measured),
    ),
    needs=(SUN_BESIDE,),
    method=(
        "Tape the probe behind a cell, near the middle of a module.",
        "Wait until it stands still, then read.",
        "No probe: air in the shade, and the wind by its signs.",
    ),
    cautions=(IN_THE_SUN,),
    limits=(
        Limit("the cell is up to 3 K above the back", "Sandia report SAND2004-3535 (2004), table 1"),
        Limit("air, wind and sun give it to ± 5 K", "Sandia report SAND2004-3535 (2004)"),
    ),
    needs_sun=True,
    is_condition=True,
    at_service=True,
)

TANK_LEVEL = Check(
    key="tank_level",
    title="Water level in the tank",
    kind=Kind.MEASURED,
    subject=StorageTank,
    group="Conditions",
    purpose="The height from which the taps are fed.",
    ways=(
        Way(
            "tape",
            "Tape or gauge glass",
            (
                Input(
                    "level",
                    "Water surface above the tank floor",
                    Q.LENGTH,
                    hard=(0, 30),
                    soft=(0.05, 8),
                    hint="rim to water taken off rim to floor will do",
                    usual=TAPE,
                ),
            ),
            ("tape",),
        ),
    ),
    judged=(Judged("level", "Water surface above the tank floor", Q.LENGTH, tank_level_expected),),
    method=("Read from the hatch or the gauge glass.", "Count from the floor inside, not from the ground outside."),
    cautions=(ON_A_TANK,),
    is_condition=True,
    at_service=True,
)

CHECKS = (IRRADIANCE, MODULE_TEMPERATURE, TANK_LEVEL)
