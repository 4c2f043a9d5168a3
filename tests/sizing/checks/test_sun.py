"""Strings in the sun: voltage, current and one string against another."""

import math
import random

import pvlib
import pytest

from sizing.checks import conditions, sun
from sizing.checks.case import Reading, Value
from sizing.errors import MissingDataError
from sizing.formulas.photovoltaic import open_circuit_voltage, short_circuit_current
from sizing.judgement import assess, expect
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.systems import bare, plate, quince_ridge
from tests.sizing.working_steps import assert_all_recompute

SYSTEM = build(quince_ridge())
WEATHER = {"irradiance": Value(800.0, 20.0, words="irradiance"), "module_temperature": Value(50.0, 1.3)}

# Module at 800 W/m², 50 °C by hand, k·T/q = 8.617333e-5 · 323.15 = 0.0278469 V:
# 22.6 · (1 − 0.0029 · 25) + 36 · 1.1 · 0.0278469 · ln 0.8 = 20.9615 − 0.24607 = 20.71543 V; three in series
VOLTAGE_BY_HAND = 62.14629
CURRENT_BY_HAND = 5.85 * 0.8 * 1.0125  # 4.7385 A

# Single-diode numbers of a 96-cell module, from the documentation of pvlib (calcparams_desoto's inputs):
DIODE = {
    "a_ref": 2.6373,
    "I_L_ref": 5.114,
    "I_o_ref": 8.196e-10,
    "R_sh_ref": 381.68,
    "R_s": 1.065,
    "alpha_sc": 0.004539,
}


def of(check, *readings, weather=WEATHER, system=SYSTEM):
    return assess(check, system, "A1", readings=readings, conditions=weather).findings


def voltage(value, label="string 1", u=0.3):
    return Reading("voltage", value, label, u)


def current(value, label="string 1", u=0.083):
    return Reading("current", value, label, u)


def nominal(check, weather, system=SYSTEM):
    expected, _, missing = expect(check, check.judged[0], system, "A1", conditions=weather)
    return missing if expected is None else expected.nominal


def by_single_diode(irradiance, temperature):
    """Return open-circuit voltage and short-circuit current of the 96-cell module by pvlib."""
    numbers = pvlib.pvsystem.calcparams_desoto(irradiance, temperature, **DIODE, EgRef=1.121, dEgdT=-0.0002677)
    curve = pvlib.pvsystem.singlediode(*numbers)
    return float(curve["v_oc"]), float(curve["i_sc"])


def test_expected_voltage_by_hand():
    assert nominal(sun.OPEN_CIRCUIT_VOLTAGE, WEATHER) == pytest.approx(VOLTAGE_BY_HAND, abs=2e-4)


def test_expected_current_by_hand():
    assert nominal(sun.SHORT_CIRCUIT_CURRENT, WEATHER) == pytest.approx(CURRENT_BY_HAND, rel=1e-9)


@pytest.mark.parametrize(("irradiance", "temperature"), [(250, 25), (450, 32), (600, 45), (850, 52), (1050, 60)])
def test_expected_agrees_with_a_single_diode_module(irradiance, temperature):
    """The nameplate is read off the model at standard conditions, then the check must follow the model."""
    v0, i0 = by_single_diode(1000, 25)
    v1, i1 = by_single_diode(1000, 50)
    document = quince_ridge()
    plate(document, "A1").update(
        module_open_circuit_voltage=v0,
        module_short_circuit_current=i0,
        voltage_coefficient=(v1 / v0 - 1) / 25,
        current_coefficient=(i1 / i0 - 1) / 25,
        cells_in_series=96,
        series=2,
    )
    weather = {"irradiance": Value(irradiance), "module_temperature": Value(temperature)}
    v, i = by_single_diode(irradiance, temperature)
    system = build(document)
    assert nominal(sun.OPEN_CIRCUIT_VOLTAGE, weather, system) == pytest.approx(2 * v, rel=0.007)
    if irradiance >= 400:
        assert nominal(sun.SHORT_CIRCUIT_CURRENT, weather, system) == pytest.approx(i, rel=0.006)


@pytest.mark.parametrize("check", [sun.OPEN_CIRCUIT_VOLTAGE, sun.SHORT_CIRCUIT_CURRENT], ids=lambda c: c.key)
@pytest.mark.parametrize("need", ["irradiance", "module_temperature"])
def test_expected_moves_with_each_need(check, need):
    assert need in {n.name for n in check.needs}
    moved = {**WEATHER, need: Value(WEATHER[need].value * 1.05)}
    assert nominal(check, moved) != pytest.approx(nominal(check, WEATHER), rel=1e-6)


@pytest.mark.parametrize("check", [sun.OPEN_CIRCUIT_VOLTAGE, sun.SHORT_CIRCUIT_CURRENT], ids=lambda c: c.key)
@pytest.mark.parametrize("need", ["irradiance", "module_temperature"])
def test_without_a_need_nothing_is_judged(check, need):
    late = {**WEATHER, need: MissingDataError("condition", need, "too old")}
    (finding,) = of(check, voltage(62.0), current(4.7), weather=late)
    assert (finding.verdict, finding.reason) == (Verdict.UNJUDGED, "too old")


@pytest.mark.parametrize(
    ("field", "check"),
    [
        ("module_open_circuit_voltage", sun.OPEN_CIRCUIT_VOLTAGE),
        ("voltage_coefficient", sun.OPEN_CIRCUIT_VOLTAGE),
        ("cells_in_series", sun.OPEN_CIRCUIT_VOLTAGE),
        ("series", sun.OPEN_CIRCUIT_VOLTAGE),
        ("module_short_circuit_current", sun.SHORT_CIRCUIT_CURRENT),
        ("current_coefficient", sun.SHORT_CIRCUIT_CURRENT),
    ],
)
def test_each_missing_nameplate_field_is_named(field, check):
    document = quince_ridge()
    del plate(document, "A1")[field]
    missing = nominal(check, WEATHER, build(document))
    assert (missing.owner, missing.field) == ("A1", field)


@pytest.mark.parametrize(
    ("read", "verdict"),
    [
        (62.1, Verdict.WITHIN),
        (60.5, Verdict.WITHIN),
        (59.2, Verdict.BORDERLINE),
        (41.4, Verdict.OUTSIDE),  # a module missing
        (66.9, Verdict.OUTSIDE),  # more than nameplate and weather can give
    ],
)
def test_verdict_on_a_voltage(read, verdict):
    (finding,) = of(sun.OPEN_CIRCUIT_VOLTAGE, voltage(read))
    assert finding.verdict is verdict, finding
    assert_all_recompute(finding.steps)


@pytest.mark.parametrize(
    ("read", "verdict"),
    [
        (4.74, Verdict.WITHIN),
        (4.40, Verdict.WITHIN),
        (4.15, Verdict.BORDERLINE),
        (3.10, Verdict.OUTSIDE),  # a third of the string in shade
        (9.50, Verdict.OUTSIDE),  # both strings in the clamp
    ],
)
def test_verdict_on_a_current(read, verdict):
    (finding,) = of(sun.SHORT_CIRCUIT_CURRENT, current(read))
    assert finding.verdict is verdict, finding
    assert_all_recompute(finding.steps)


def test_strings_are_judged_one_by_one_and_the_gravest_counts():
    assessment = assess(
        sun.OPEN_CIRCUIT_VOLTAGE,
        SYSTEM,
        "A1",
        readings=(voltage(62.1), voltage(41.4, "string 2")),
        conditions=WEATHER,
    )
    assert [(f.repeat, f.verdict) for f in assessment.findings] == [
        ("string 1", Verdict.WITHIN),
        ("string 2", Verdict.OUTSIDE),
    ]
    assert assessment.verdict is Verdict.OUTSIDE


def test_repeats_are_the_strings_of_the_nameplate():
    assert sun.OPEN_CIRCUIT_VOLTAGE.repeat.labels_for(SYSTEM, "A1") == ("string 1", "string 2")


def test_current_is_refused_in_weak_sun_and_voltage_in_very_weak():
    weak = {**WEATHER, "irradiance": Value(320.0, 8.0)}
    (finding,) = of(sun.SHORT_CIRCUIT_CURRENT, current(1.9), weather=weak)
    assert finding.verdict is Verdict.UNJUDGED
    assert finding.reason == "needs 400 W/m² or more in the array's plane; it was 320 W/m²"
    (finding,) = of(sun.OPEN_CIRCUIT_VOLTAGE, voltage(59.3), weather=weak)
    assert finding.verdict is Verdict.WITHIN
    assert "weak sun" in finding.expected.basis
    (finding,) = of(sun.OPEN_CIRCUIT_VOLTAGE, voltage(55.0), weather={**WEATHER, "irradiance": Value(120.0, 3.0)})
    assert "needs 200 W/m² or more" in finding.reason


def test_just_above_the_least_sun_the_doubt_is_still_known():
    edge = {**WEATHER, "irradiance": Value(405.0, 12.0)}
    (finding,) = of(sun.SHORT_CIRCUIT_CURRENT, current(2.4), weather=edge)
    assert math.isfinite(finding.spread)
    assert finding.verdict is Verdict.WITHIN


def test_sky_by_eye_is_too_vague_for_a_current_and_good_enough_for_a_voltage():
    vague = {**WEATHER, "irradiance": Value(800.0, 120.0, words="sky judged by eye")}
    (finding,) = of(sun.SHORT_CIRCUIT_CURRENT, current(4.74), weather=vague)
    assert finding.verdict is Verdict.UNJUDGED
    assert finding.reason == "conditions too uncertain; most of it from sky judged by eye"
    (finding,) = of(sun.OPEN_CIRCUIT_VOLTAGE, voltage(62.1), weather=vague)
    assert finding.verdict is Verdict.WITHIN


def strings(*, volts=(), amperes=(), u=0.005):
    return {
        **{f"open_circuit_voltage/string {i}": Value(v, u * v) for i, v in enumerate(volts, 1)},
        **{f"short_circuit_current/string {i}": Value(a, u * a) for i, a in enumerate(amperes, 1)},
    }


def test_spread_against_the_mean():
    """By hand: mean 61.0, farthest 62.0, 1/61 = 1.639 %; mean 4.6, farthest 4.3, 0.3/4.6 = 6.52 %."""
    weather = strings(volts=(60.0, 61.0, 62.0), amperes=(4.3, 4.7, 4.8))
    by_volts, by_amperes = of(sun.STRING_SPREAD, weather=weather)
    assert by_volts.value == pytest.approx(1 / 61)
    assert by_amperes.value == pytest.approx(0.3 / 4.6)
    assert (by_volts.verdict, by_amperes.verdict) == (Verdict.WITHIN, Verdict.OUTSIDE)
    assert_all_recompute((*by_volts.steps, *by_amperes.steps))


def test_spread_moves_with_each_string():
    here = of(sun.STRING_SPREAD, weather=strings(volts=(60.0, 62.0), amperes=(4.6, 4.7)))
    moved = of(sun.STRING_SPREAD, weather=strings(volts=(60.5, 62.0), amperes=(4.6, 4.8)))
    assert all(a.value != b.value for a, b in zip(here, moved, strict=True))


def test_spread_of_ten_strings_keeps_their_order():
    finding = of(sun.STRING_SPREAD, weather=strings(volts=[60.0 + i / 10 for i in range(10)]))[0]
    assert finding.steps[0].arguments[0].value == tuple(60.0 + i / 10 for i in range(10))


def test_spread_needs_two_strings_and_says_what_is_missing():
    by_volts, by_amperes = of(sun.STRING_SPREAD, weather=strings(volts=(60.0,)))
    assert by_volts.reason == "open circuit voltage: two or more strings are needed to compare them"
    assert by_amperes.reason == "short circuit current has not been measured"
    gone = {"open_circuit_voltage": MissingDataError("condition", "open_circuit_voltage", "superseded")}
    assert of(sun.STRING_SPREAD, weather=gone)[0].reason == "superseded"


def test_spread_is_owed_where_strings_can_be_compared():
    assert sun.STRING_SPREAD.subjects(SYSTEM) == ["A1"]
    document = quince_ridge()
    plate(document, "A1")["parallel"] = 1
    assert sun.STRING_SPREAD.subjects(build(document)) == []


@pytest.mark.parametrize("check", sun.CHECKS, ids=lambda c: c.key)
def test_empty_nameplates_give_only_missing(check):
    system = build(bare(quince_ridge()))
    assert check.subjects(system) == ["A1"]
    for judged in check.judged:
        for finding in of(check, voltage(60.0), current(4.0), system=system):
            assert finding.verdict is Verdict.UNJUDGED
            assert finding.missing
        expected, _, missing = expect(check, judged, system, "A1", conditions=WEATHER)
        assert check is sun.STRING_SPREAD or (expected is None and missing is not None)


def _read(rng, true, usual):
    half = abs(true) * usual.of_reading + usual.fixed
    return true + rng.uniform(-half, half), half / math.sqrt(3)


def _weather_read(rng, light, heat):
    """Return the conditions as an ordinary sun meter and contact thermometer give them."""
    read, u = _read(rng, light, conditions.SUN_METER)
    light_found = Value(read, u)
    back, u = _read(rng, heat - 3 * light / 1000 + rng.uniform(-1, 1), conditions.THERMOMETER)
    found = assess(
        conditions.MODULE_TEMPERATURE,
        SYSTEM,
        "A1",
        readings=(Reading("back_temperature", back, u=u),),
        conditions={"irradiance": light_found},
        way="contact",
    ).findings[0]
    return {"irradiance": light_found, "module_temperature": Value(found.value, found.spread / 2)}


@pytest.mark.parametrize(
    ("check", "usual", "most"),
    [(sun.OPEN_CIRCUIT_VOLTAGE, sun.VOLTMETER, 0.05), (sun.SHORT_CIRCUIT_CURRENT, sun.DC_CLAMP, 0.10)],
    ids=["voltage", "current"],
)
def test_healthy_strings_are_seldom_called_anything_but_within(check, usual, most):
    """Healthy: modules within ± 3 % of the nameplate; ordinary instruments, errors anywhere in their limits."""
    rng = random.Random(62446)  # noqa: S311  # a simulation
    module = SYSTEM.node("A1").part
    rounds, other = 300, 0
    for _ in range(rounds):
        light, heat = rng.uniform(450, 1050), rng.uniform(30, 62)
        weather = _weather_read(rng, light, heat)
        if check is sun.OPEN_CIRCUIT_VOLTAGE:
            volts = [module.module_open_circuit_voltage * (1 + rng.uniform(-0.03, 0.03)) for _ in range(3)]
            ideality = rng.uniform(1.0, 1.3)
            true = sum(open_circuit_voltage(v, light, heat, module.voltage_coefficient, 36, ideality) for v in volts)
        else:
            amperes = module.module_short_circuit_current * (1 + rng.uniform(-0.03, 0.03))
            true = short_circuit_current(amperes, light, heat, module.current_coefficient) * (
                1 + rng.uniform(-0.01, 0.01)
            )
        read, u = _read(rng, true, usual)
        finding = of(check, Reading(check.judged[0].name, read, "string 1", u), weather=weather)[0]
        assert finding.verdict is not Verdict.OUTSIDE
        other += finding.verdict is not Verdict.WITHIN
    assert other / rounds <= most
