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
    Way,
)
from sizing.checks.needs import IRRADIANCE as IRRADIANCE_NEED
from sizing.checks.pocket import Axis, Plan, Pocket, Scale
from sizing.checks.weather import AIR, AMBIENT_NEED, SKY_NEED, SKY_SEEN, WIND_NEED, WIND_SEEN, sky_half_width
from sizing.checks.weather import CHECKS as WEATHER_CHECKS
from sizing.errors import MissingDataError
from sizing.formulas.cell_temperature import SANDIA_MOUNTS, cell_temperature_from_module, sandia_module_temperature
from sizing.formulas.clear_sky import TYPICAL_LINKE_TURBIDITY, irradiance_through_cloud
from sizing.formulas.irradiance import TYPICAL_ALBEDO, clear_sky_plane_irradiance
from sizing.formulas.sun_meter import irradiance_from_current, irradiance_in_other_plane
from sizing.formulas.uncertainty import standard_from_half_width
from sizing.parts import SolarArray, StorageTank
from sizing.quantities import Quantity as Q
from sizing.system import SITE, Node, Run, System
from sizing.working import Working

# Accuracies are what ordinary instruments of the kind state; common practice, no source.
SUN_METER = Accuracy(of_reading=0.05, words="sun meter")
THERMOMETER = Accuracy(fixed=2.0, words="contact thermometer")
DC_CLAMP = Accuracy(of_reading=0.02, fixed=0.05, words="DC clamp meter")
TAPE = Accuracy(fixed=0.02, words="tape")

MOUNTS = {"open_rack": "glass/polymer, open rack", "close_roof": "glass/glass, close to the roof"}
MODEL_HALF_WIDTH = 5.0  # K, Sandia report SAND2004-3535: expected accuracy of the module temperature
CELL_ABOVE_BACK_HALF_WIDTH = 1.0  # K; common practice, no source
TURBIDITIES = (2.0, 5.0)  # clean and cold, humid or dusty (from memory): between them lies the clear air of the day
METER_CURRENT = 0.03  # of another array's nameplate current, its age and its dirt; common practice, no source
METER_CELL, METER_CELL_HALF_WIDTH = 45.0, 20.0  # °C, K; where nobody felt the other array; common practice, no source

IN_THE_SUN = Caution(
    "Array terminals are live whenever there is light. Hat, water, shade: heat takes people before it takes pumps.",
    "IEC 62446-1; " + COMMON,
)
ON_A_TANK = Caution(
    "Read from outside, on a secured ladder. Never climb into a tank: the air in it can kill before you notice.",
    "29 CFR 1910.146 (permit-required confined spaces)",
)


def irradiance_measured(case: Case) -> float:
    """Return the irradiance in the array's plane: from the meter, from the sky, or from another array's current."""
    if case.way == "sky":
        clear = clear_sky_on(case, case.subject, "G_clear", case.w)
        return case.w.call("G", irradiance_through_cloud, clear_sky=clear, clear_sky_index=case.reading("sky"))
    if case.way == "other_array":
        return irradiance_by_other_array(case, case.w)
    return case.reading("irradiance")


def clear_sky_on(
    case: Case, array: Node | Run, symbol: str, w: Working, turbidity: float = TYPICAL_LINKE_TURBIDITY
) -> float:
    """Return the irradiance in an array's plane now, if the sky were clear, as a step."""
    if case.moment is None:
        raise MissingDataError("condition", "moment", "the time of the estimate is not known")
    site = case.system.subject(SITE)
    return w.call(
        symbol,
        clear_sky_plane_irradiance,
        unix_time=case.moment,
        latitude=site.need("latitude"),
        longitude=site.need("longitude"),
        altitude=site.need("altitude"),
        tilt=array.need("tilt"),
        azimuth=array.need("azimuth"),
        linke_turbidity=turbidity,
        albedo=TYPICAL_ALBEDO,
    )


def other_array(system: System, tag: str) -> Node:
    """Return the array that stands in as a meter for another, the first by tag, or raise MissingDataError."""
    others = [node for node in system.of(SolarArray) if node.tag != tag]
    if not others:
        raise MissingDataError(tag, "array", f"{tag}: no other array is in the record whose current could be the meter")
    return others[0]


def irradiance_by_other_array(case: Case, w: Working) -> float:
    """Return the irradiance from the short-circuit current of one string of another array, carried to this plane."""
    other = other_array(case.system, case.subject.tag)
    there = w.call(
        f"G {other.tag}",
        irradiance_from_current,
        current=case.reading("current"),
        rated_current=other.need("module_short_circuit_current"),
        cell_temperature=case.either("back_temperature", METER_CELL),
        coefficient=other.need("current_coefficient"),
    )
    if _in_one_plane(case.subject, other):
        return there
    return w.call(
        "G",
        irradiance_in_other_plane,
        irradiance=there,
        clear_here=clear_sky_on(case, other, f"G_clear {other.tag}", w),
        clear_there=clear_sky_on(case, case.subject, f"G_clear {case.subject.tag}", w),
    )


def _in_one_plane(one: Node | Run, other: Node) -> bool:
    return all(abs(one.need(name) - other.need(name)) < 1.0 for name in ("tilt", "azimuth"))


def irradiance_expected(case: Case) -> Expected:
    """Return no limits: the sun is as it is; and what the way of finding it leaves in doubt."""
    terms: tuple[Term, ...] = ()
    if case.way == "sky":
        terms = _doubt_of_sky(case)
    elif case.way == "other_array":
        terms = _doubt_of_other_array(case)
    return Expected(Q.IRRADIANCE, basis="a condition, nothing is expected of it", terms=terms)


def _doubt_of_sky(case: Case) -> tuple[Term, ...]:
    share, silent = case.reading("sky"), Working(silent=True)
    clear = clear_sky_on(case, case.subject, "G_clear", silent)
    clean, dusty = (clear_sky_on(case, case.subject, "G_clear", silent, air) for air in TURBIDITIES)
    return (
        Term("sky judged by eye", standard_from_half_width(sky_half_width(share) * clear)),
        Term("turbidity of clear air, 2 to 5", standard_from_half_width(share * abs(clean - dusty) / 2)),
    )


def _doubt_of_other_array(case: Case) -> tuple[Term, ...]:
    silent, other = Working(silent=True), other_array(case.system, case.subject.tag)
    sun = irradiance_by_other_array(case, silent)
    terms = [Term(f"{other.tag} as a meter ± 3 %", standard_from_half_width(METER_CURRENT * sun))]
    if not case.has("back_temperature"):
        moved = METER_CELL_HALF_WIDTH * abs(other.need("current_coefficient")) * sun
        terms.append(Term(f"heat of {other.tag} ± 20 K", standard_from_half_width(moved)))
    if not _in_one_plane(case.subject, other):
        there = irradiance_from_current(
            case.reading("current"), other.need("module_short_circuit_current"),
            case.either("back_temperature", METER_CELL), other.need("current_coefficient"),
        )  # fmt: skip
        terms.append(Term("from one plane to the other", standard_from_half_width(abs(sun - there) / 2)))
    return tuple(terms)


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
        Way("sky", "No meter: judged by the sky", (dataclasses.replace(SKY_SEEN, optional=True),)),
        Way(
            "other_array",
            "No meter: another array's current",
            (
                Input(
                    "current",
                    "Short-circuit current of one of its strings",
                    Q.CURRENT,
                    hard=(0, 60),
                    soft=(0.3, 25),
                    hint="clamp zeroed, round a short through a rated switch, glass wiped",
                    usual=DC_CLAMP,
                ),
                Input(
                    "back_temperature",
                    "Temperature at its back",
                    Q.TEMPERATURE,
                    hard=(-60, 120),
                    soft=(-20, 85),
                    hint="leave empty if it was not felt",
                    optional=True,
                    usual=THERMOMETER,
                ),
            ),
            ("DC clamp meter", "rated shorting switch"),
        ),
    ),
    judged=(
        Judged("irradiance", "Irradiance in the array's plane", Q.IRRADIANCE, irradiance_expected, irradiance_measured),
    ),
    pocket=Pocket(
        (
            Plan(("irradiance",), way="meter"),
            Plan(("sky", "of_day", "day"), way="sky"),
            Plan(("current", "of_day", "day"), way="other_array", held={"back_temperature": METER_CELL}),
        ),
        axes=(Axis("irradiance", (0, 1400)), Axis("sky", scale=Scale.CHOICE), Axis("of_day", (0, 86_400)), Axis("day")),
        bearable=50.0,
    ),
    needs=(SKY_NEED,),
    state="no shade on the array, glass clean",
    method=(
        "Hold the sensor in the array's plane, not flat on the ground.",
        "Read, take the reading that needs the sun, read again.",
        "More than 5 % apart: the sun was not steady, take all three again.",
        "No meter: another array's string, shorted and wiped, tells the sun; the sky by eye tells it within a fifth.",
    ),
    cautions=(IN_THE_SUN,),
    limits=(
        Limit("before and after within 5 %", "steady sun: following the method of IEC 62446-1; figure " + COMMON),
        Limit("400 W/m² or more to judge a current", COMMON),
        Limit("by the sky: clear air between turbidity 2 and 5, the sky's share as judged", COMMON),
        Limit("by another array: its nameplate current ± 3 %", COMMON),
    ),
    needs_sun=True,
    is_condition=True,
    at_service=True,
)

IF_TAKEN = "leave empty if you have just measured it"

SUN_BESIDE = dataclasses.replace(IRRADIANCE_NEED, bracket=None, optional=True)
"""Irradiance measured shortly before stands in where it is not read beside the temperature."""

IRRADIANCE_BESIDE = Input(
    "irradiance",
    "Irradiance meanwhile",
    Q.IRRADIANCE,
    hard=(0, 1400),
    soft=(200, 1100),
    hint=IF_TAKEN,
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
                dataclasses.replace(AIR, optional=True, hint=IF_TAKEN),
                dataclasses.replace(WIND_SEEN, optional=True, hint=IF_TAKEN),
                IRRADIANCE_BESIDE,
            ),
            ("thermometer",),
        ),
    ),
    judged=(
        Judged("temperature", "Cell temperature", Q.TEMPERATURE, cell_temperature_expected, cell_temperature_measured),
    ),
    pocket=Pocket(
        (
            Plan(("back_temperature", "irradiance"), way="contact"),
            Plan(("ambient_temperature", "wind", "irradiance"), way="ambient"),
        ),
        axes=(Axis("irradiance", (0, 1400)),),
        bearable=5.0,
    ),
    needs=(SUN_BESIDE, AMBIENT_NEED, WIND_NEED),
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

CHECKS = (*WEATHER_CHECKS, IRRADIANCE, MODULE_TEMPERATURE, TANK_LEVEL)
