"""Conditions: irradiance by meter and by the sky, cell temperature two ways, water level."""

import math

import pandas as pd
import pvlib
import pytest

from sizing.checks import weather
from sizing.checks.case import Reading, Value
from sizing.checks.conditions import CHECKS, IRRADIANCE, MODULE_TEMPERATURE, TANK_LEVEL
from sizing.checks.weather import SKIES, WINDS
from sizing.errors import MissingDataError
from sizing.formulas.cell_temperature import SANDIA_MOUNTS
from sizing.formulas.clear_sky import irradiance_through_cloud
from sizing.judgement import assess
from sizing.system import build
from tests.sizing.formulas.refusal import assert_refused, refusals
from tests.sizing.systems import bare, component, plate, quince_ridge
from tests.sizing.working_steps import assert_all_recompute

SYSTEM = build(quince_ridge())
NOON = pd.Timestamp("2026-06-21 13:00", tz="Etc/GMT+7")
SUN = {"irradiance": Value(800.0, 20.0)}


def of(check, tag, *readings, way="", conditions=None, moment=None, system=SYSTEM):
    (finding,) = assess(
        check, system, tag, readings=readings, conditions=conditions or {}, way=way, moment=moment
    ).findings
    return finding


def clear_sky_by_pvlib(moment, tilt, azimuth, turbidity=3.0):
    """Return the clear-sky irradiance in the plane by pvlib: Ineichen with turbidity 3, Hay-Davies, albedo 0.2."""
    place = pvlib.location.Location(35.5, -106.5, altitude=1850)
    times = pd.DatetimeIndex([moment])
    sun = place.get_solarposition(times)
    pressure = pvlib.atmosphere.alt2pres(1850)
    air = pvlib.atmosphere.get_absolute_airmass(pvlib.atmosphere.get_relative_airmass(sun.apparent_zenith), pressure)
    outside = pvlib.irradiance.get_extra_radiation(times)
    sky = pvlib.clearsky.ineichen(sun.apparent_zenith, air, turbidity, 1850, outside)
    plane = pvlib.irradiance.get_total_irradiance(
        tilt,
        azimuth,
        sun.apparent_zenith,
        sun.azimuth,
        sky.dni,
        sky.ghi,
        sky.dhi,
        outside,
        albedo=0.2,
        model="haydavies",
    )
    return float(plane.poa_global.iloc[0])


def test_meter_is_taken_as_read_and_never_judged():
    finding = of(IRRADIANCE, "A1", Reading("irradiance", 812.0, u=23.0), way="meter")
    assert (finding.value, finding.spread, finding.verdict, finding.reason) == (812.0, 46.0, None, "")


@pytest.mark.parametrize("hour", [8, 10, 13, 16])
def test_sky_estimate_agrees_with_pvlib(hour):
    moment = NOON.replace(hour=hour)
    finding = of(IRRADIANCE, "A1", Reading("sky", 0.85, u=0.15), way="sky", moment=moment.timestamp())
    assert finding.value == pytest.approx(0.85 * clear_sky_by_pvlib(moment, 35, 180), rel=0.01)
    assert_all_recompute(finding.steps)


@pytest.mark.parametrize("sky", SKIES, ids=lambda sky: sky.value)
def test_sky_estimate_says_how_little_it_knows(sky):
    moment = NOON.timestamp()
    finding = of(IRRADIANCE, "A1", Reading("sky", sky.number), way="sky", moment=moment)
    clear = clear_sky_by_pvlib(NOON, 35, 180)
    # the sky's share as judged, ± 8 to 20 hundredths; the air between turbidity 2 and 5 by pvlib; both rectangular
    eye = {"clear": 0.08, "haze": 0.15, "thin_veil": 0.20, "bright_overcast": 0.20, "dull_overcast": 0.12}[sky.value]
    clean, dusty = (clear_sky_by_pvlib(NOON, 35, 180, turbidity) for turbidity in (2.0, 5.0))
    air = sky.number * (clean - dusty) / 2
    assert finding.spread == pytest.approx(2 * math.hypot(eye * clear, air) / 3**0.5, rel=0.02)
    assert {t.name for t in finding.terms} == {"sky judged by eye", "turbidity of clear air, 2 to 5"}


def test_a_blue_sky_is_known_to_a_seventh_and_a_grey_one_hardly():
    at = {"way": "sky", "moment": NOON.timestamp()}
    blue, grey = (of(IRRADIANCE, "A1", Reading("sky", share), **at) for share in (1.0, 0.2))
    assert blue.spread / blue.value < 0.15
    assert grey.spread / grey.value > 0.6


def test_sky_taken_for_the_site_stands_in():
    found = of(IRRADIANCE, "A1", way="sky", moment=NOON.timestamp(), conditions={"sky": Value(0.7)})
    assert found.value == pytest.approx(0.7 * clear_sky_by_pvlib(NOON, 35, 180), rel=0.01)


def two_arrays(**other):
    document = quince_ridge()
    plates = {**plate(document, "A1"), **other}
    document["components"].append(component("A2", "solar_array", **plates))
    return build(document)


def test_another_array_in_the_same_plane_is_a_meter():
    # by hand: 4.9 A / (5.85 A · (1 + 0.0005 · (50 − 25))) · 1000 = 827.3 W/m²
    readings = (Reading("current", 4.9, u=0.06), Reading("back_temperature", 50.0, u=1.2))
    finding = of(IRRADIANCE, "A1", *readings, way="other_array", system=two_arrays())
    assert finding.value == pytest.approx(827.26, abs=0.01)
    assert_all_recompute(finding.steps)
    # 0.06 A of 4.9 A, and the meter array's own 3 % as a half width
    assert finding.spread == pytest.approx(2 * 827.26 * math.hypot(0.06 / 4.9, 0.03 / 3**0.5), rel=0.01)


def test_another_array_in_another_plane_is_carried_over_by_the_clear_sky():
    moment = NOON.replace(hour=9)
    system = two_arrays(tilt=15.0, azimuth=120.0)
    finding = of(IRRADIANCE, "A1", Reading("current", 4.9), way="other_array", moment=moment.timestamp(), system=system)
    here, there = clear_sky_by_pvlib(moment, 15, 120), clear_sky_by_pvlib(moment, 35, 180)
    assert finding.value == pytest.approx(4.9 / (5.85 * 1.01) * 1000 * there / here, rel=0.01)  # cells at 45 °C
    assert "from one plane to the other" in {t.name for t in finding.terms}
    assert_all_recompute(finding.steps)


def test_without_another_array_it_says_so():
    finding = of(IRRADIANCE, "A1", Reading("current", 4.9), way="other_array")
    assert "no other array" in finding.missing[0].words


def test_air_and_wind_taken_for_the_site_stand_in():
    conditions = {**SUN, "ambient_temperature": Value(30.0), "wind": Value(2.0)}
    taken = of(MODULE_TEMPERATURE, "A1", conditions=conditions, way="ambient")
    read = of(
        MODULE_TEMPERATURE, "A1", Reading("ambient_temperature", 30.0), Reading("wind", 2.0), conditions=SUN,
        way="ambient",
    )  # fmt: skip
    assert taken.value == read.value


@pytest.mark.parametrize("check", weather.CHECKS, ids=lambda check: check.key)
def test_weather_is_kept_as_read_and_never_judged(check):
    (name,) = {i.name for way in check.ways for i in way.inputs}
    finding = of(check, "site", Reading(name, 0.7, u=0.1))
    assert (finding.value, finding.verdict) == (0.7, None)
    assert finding.spread == pytest.approx(0.2)


def test_sky_needs_the_time():
    finding = of(IRRADIANCE, "A1", Reading("sky", 1.0), way="sky")
    assert [m.field for m in finding.missing] == ["moment"]


def test_sky_estimate_moves_with_place_and_plane():
    here = of(IRRADIANCE, "A1", Reading("sky", 1.0), way="sky", moment=NOON.timestamp()).value
    for tag, field, value in [
        ("site", "latitude", 10.0),
        ("site", "longitude", -90.0),
        ("site", "altitude", 0.0),
        ("A1", "tilt", 80.0),
        ("A1", "azimuth", 90.0),
    ]:
        document = quince_ridge()
        plate(document, tag)[field] = value
        moved = of(IRRADIANCE, "A1", Reading("sky", 1.0), way="sky", moment=NOON.timestamp(), system=build(document))
        assert abs(moved.value - here) > 1, field


def test_skies_fall_from_clear_to_dull():
    shares = [sky.number for sky in SKIES]
    assert shares[0] == 1.0
    assert shares == sorted(shares, reverse=True)


def test_probe_reads_below_the_cell():
    """By hand: 44 °C + 3 K · 800 / 1000 = 46.4 °C, Sandia report SAND2004-3535, equation 12 and Table 1."""
    finding = of(MODULE_TEMPERATURE, "A1", Reading("back_temperature", 44.0), conditions=SUN, way="contact")
    assert finding.value == pytest.approx(46.4)
    assert_all_recompute(finding.steps)


@pytest.mark.parametrize(
    ("mounting", "pvlib_name"),
    [("open_rack", "open_rack_glass_polymer"), ("close_roof", "close_mount_glass_glass")],
)
@pytest.mark.parametrize("wind", [option.number for option in WINDS])
def test_cell_from_air_and_wind_agrees_with_pvlib(mounting, pvlib_name, wind):
    document = quince_ridge()
    plate(document, "A1")["mounting"] = mounting
    readings = (Reading("ambient_temperature", 30.0), Reading("wind", wind), Reading("irradiance", 900.0))
    finding = of(MODULE_TEMPERATURE, "A1", *readings, way="ambient", system=build(document))
    numbers = pvlib.temperature.TEMPERATURE_MODEL_PARAMETERS["sapm"][pvlib_name]
    assert finding.value == pytest.approx(pvlib.temperature.sapm_cell(900.0, 30.0, wind, **numbers), abs=1e-6)
    assert_all_recompute(finding.steps)


def test_model_leaves_more_in_doubt_than_a_probe():
    probe = of(MODULE_TEMPERATURE, "A1", Reading("back_temperature", 44.0, u=1.15), conditions=SUN, way="contact")
    air = of(
        MODULE_TEMPERATURE,
        "A1",
        Reading("ambient_temperature", 25.0, u=0.87),
        Reading("wind", 2.4, u=0.58),
        conditions=SUN,
        way="ambient",
    )
    assert air.spread > 2 * probe.spread
    assert air.leading.name == "module temperature model ± 5 K"


def test_irradiance_read_beside_goes_before_one_measured_earlier():
    both = of(
        MODULE_TEMPERATURE,
        "A1",
        Reading("back_temperature", 44.0),
        Reading("irradiance", 1000.0),
        conditions=SUN,
        way="contact",
    )
    assert both.value == pytest.approx(47.0)  # by hand: 44 + 3


def test_cell_temperature_needs_the_sun():
    missing = {"irradiance": MissingDataError("condition", "irradiance", "irradiance is older than 5 minutes")}
    finding = of(MODULE_TEMPERATURE, "A1", Reading("back_temperature", 44.0), conditions=missing, way="contact")
    assert finding.value is None
    assert finding.missing


def test_cell_temperature_moves_with_the_sun():
    cool = of(MODULE_TEMPERATURE, "A1", Reading("back_temperature", 44.0), conditions=SUN, way="contact")
    warm = of(
        MODULE_TEMPERATURE,
        "A1",
        Reading("back_temperature", 44.0),
        conditions={"irradiance": Value(900)},
        way="contact",
    )
    assert warm.value > cool.value


def test_every_mounting_has_a_sandia_row():
    assert SYSTEM.node("A1").part.declarations()["mounting"].choices
    for choice in SYSTEM.node("A1").part.declarations()["mounting"].choices:
        document = quince_ridge()
        plate(document, "A1")["mounting"] = choice.value
        finding = of(
            MODULE_TEMPERATURE, "A1", Reading("back_temperature", 44.0), conditions=SUN, system=build(document)
        )
        assert finding.value is not None
    assert "glass/polymer, open rack" in SANDIA_MOUNTS


def test_tank_level_is_taken_as_read():
    finding = of(TANK_LEVEL, "T1", Reading("level", 1.62, u=0.0115))
    assert (finding.value, finding.verdict) == (1.62, None)
    assert finding.spread == pytest.approx(0.023)


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.key)
def test_empty_nameplates_raise_nothing_and_judge_nothing(check):
    system = build(bare(quince_ridge()))
    for tag in check.subjects(system):
        for way in check.ways:
            readings = tuple(Reading(i.name, (i.hard[0] + i.hard[1]) / 2, u=0.1) for i in way.inputs)
            assessment = assess(check, system, tag, readings=readings, way=way.key, moment=NOON.timestamp())
            assert assessment.verdict is None
            assert all(f.expected is None or f.expected.nominal is None for f in assessment.findings)


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (
            irradiance_through_cloud,
            {"clear_sky": 900.0, "clear_sky_index": 0.85},
            {"clear_sky": [-1, float("inf")], "clear_sky_index": [-0.01, 1.31]},
        )
    ),
)
def test_cloud_formula_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)


def test_clear_sky_index_is_a_share():
    """By its definition, and pvlib's clearness index taken against the clear sky turns it back."""
    through = irradiance_through_cloud(clear_sky=950.0, clear_sky_index=0.7)
    assert through == pytest.approx(665.0)
    assert pvlib.irradiance.clearsky_index(through, 950.0) == pytest.approx(0.7)
