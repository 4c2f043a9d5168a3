"""Every check of array, battery and cables beside the must set keeps the rules, and gives what a hand computes."""

import dataclasses
import math

import pandas as pd
import pvlib
import pytest

from sizing.checks import (
    array_hours,
    battery_charge,
    battery_use,
    cables_dead,
    charging_day,
    sun_and_booster,
    sun_running,
)
from sizing.checks.case import Expected, Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Kind
from sizing.judgement import Finding, assess, expect
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, readings
from tests.sizing.checks.measured_power import NOON, POWER_GOOD, SUN, SYSTEM_OF, clinic, judged
from tests.sizing.more_systems import heron_farm
from tests.sizing.systems import bare, component, plate, quince_ridge
from tests.sizing.working_steps import assert_all_recompute

MODULES = (array_hours, battery_charge, battery_use, cables_dead, charging_day, sun_and_booster, sun_running)
MINE: list[Check] = [check for module in MODULES for check in module.CHECKS]
EVERY = pytest.mark.parametrize("taken", POWER_GOOD, ids=lambda one: one.id)
# Limits that no nameplate sets: a printed table, a common practice.
FIXED = {"loss_tied_to_hour", "splice_insulation", "joint_drop"}


def good(check: str, way: str = "") -> Taken:
    return next(one for one in POWER_GOOD if one.check == check and way in ("", one.way))


def first(taken: Taken, document: dict | None = None, **conditions: object) -> Finding:
    return judged(taken, document, **conditions).findings[0]


def limits(taken: Taken, document: dict | None = None, **conditions: object) -> Expected:
    found = first(taken, document, **conditions).expected
    assert found is not None
    return found


def with_plate(document: dict, tag: str, **fields: object) -> dict:
    plate(document, tag).update(fields)
    return document


@EVERY
def test_a_sound_measurement_is_within(taken: Taken) -> None:
    assert {(f.name, f.verdict) for f in judged(taken).findings} == {
        (j.name, Verdict.WITHIN) for j in CHECKS[taken.check].judged
    }


@EVERY
def test_every_printed_step_gives_its_result_again(taken: Taken) -> None:
    steps = [step for one in judged(taken).findings for step in one.steps]
    if steps:
        assert_all_recompute(steps)


@EVERY
def test_the_expected_value_lies_inside_its_limits(taken: Taken) -> None:
    for one in judged(taken).findings:
        e = one.expected
        assert e is not None
        for limit, sign in ((e.lower, 1), (e.upper, -1)):
            assert limit is None or e.nominal is None or sign * (e.nominal - limit) >= 0


@EVERY
def test_an_empty_nameplate_gives_only_what_is_missing(taken: Taken) -> None:
    if taken.check in FIXED:
        return
    system = build(bare(SYSTEM_OF[taken.check]()))
    found = assess(
        CHECKS[taken.check], system, taken.subject, readings=readings(taken.typed), conditions=taken.conditions,
        way=taken.way, moment=NOON,
    )  # fmt: skip
    assert found.verdict is Verdict.UNJUDGED
    assert any(one.missing for one in found.findings)


NEEDS = [(taken, name) for taken in POWER_GOOD for name in taken.conditions]


@pytest.mark.parametrize(("taken", "need"), NEEDS, ids=lambda one: one if isinstance(one, str) else one.id)
def test_each_need_moves_what_is_said(taken: Taken, need: str) -> None:
    before = taken.conditions[need]
    shifted = before.value + (0.04 if "rest_voltage" in need else 0.05 * before.value)
    after = dataclasses.replace(before, value=shifted)
    here, there = judged(taken), judged(taken, **{need: after})
    assert [(f.value, f.expected) for f in here.findings] != [(f.value, f.expected) for f in there.findings]


@EVERY
def test_without_what_it_needs_the_reason_names_it(taken: Taken) -> None:
    needs = [n for n in CHECKS[taken.check].needs if not n.optional]
    found = judged(dataclasses.replace(taken, conditions={}))
    assert not needs or found.verdict is Verdict.UNJUDGED
    said = " ".join(one.reason for one in found.findings)
    assert not needs or any(n.name.replace("_", " ") in said for n in needs)


@pytest.mark.parametrize("check", MINE, ids=lambda one: one.key)
def test_a_declaration_tells_a_technician_what_to_do(check: Check) -> None:
    assert check.purpose.endswith(".")
    assert check.kind is Kind.OBSERVED or check.judged
    assert check.kind is Kind.DERIVED or 1 <= len(check.method) <= 4
    assert check.limits
    assert all(limit.words and limit.source for limit in check.limits)
    assert all(one.words and one.source for one in check.cautions)
    for one in (i for way in check.ways for i in way.inputs):
        assert one.hard[0] < one.hard[1]
        assert one.soft is None or one.hard[0] <= one.soft[0] < one.soft[1] <= one.hard[1], one.name
        assert one.usual.words or one.options


def test_the_measurements_here_cover_every_measured_and_derived_check() -> None:
    assert {c.key for c in MINE if c.kind is not Kind.OBSERVED} == {one.check for one in POWER_GOOD} - {
        "tank_chlorine_dose"
    }


def test_needs_name_checks_of_the_catalogue_and_values_they_judge() -> None:
    for need in (n for check in MINE for n in check.needs):
        names = {"", *(j.name for j in CHECKS[need.name].judged)}
        assert need.finding in names
        quantity = next(j.quantity for j in CHECKS[need.name].judged if need.finding in ("", j.name))
        assert quantity is need.quantity


# ---- the array at work ---------------------------------------------------------------------


def test_current_of_a_string_by_hand() -> None:
    # I_mp 5.38 A · 0.9 · (1 + 0.0005 · 25) = 4.9025 A, less 15 %: 4.167 A; I_sc 5.85 A alike, more 15 %: 6.130 A
    e = limits(good("operating_current"))
    assert (e.nominal, e.lower, e.upper) == pytest.approx((4.90253, 4.16715, 6.13043), rel=1e-5)


def test_a_string_at_nil_is_outside_by_itself_and_against_the_others() -> None:
    typed = {**good("operating_current").typed, "current@string 2": (0.0, 0.06)}
    found = judged(dataclasses.replace(good("operating_current"), typed=typed))
    verdicts = {(f.name, f.repeat): f.verdict for f in found.findings}
    assert verdicts["current", "string 2"] is Verdict.OUTSIDE
    assert verdicts["against_mean", "string 2"] is Verdict.OUTSIDE


def test_a_pump_at_its_rating_lets_the_strings_carry_less() -> None:
    # four strings offer 980.1 W, the pump asks for 600 / 0.96 = 625 W: 4.9025 A · 625 / 980.1 = 3.1263 A
    document = with_plate(quince_ridge(), "A1", parallel=4)
    e = limits(good("operating_current"), document)
    assert e.nominal == pytest.approx(4.902525 * 625 / 980.1, rel=1e-5)


def test_voltage_at_work_by_hand() -> None:
    # V_mp: 490.05 W / 9.80505 A = 49.979 V; less 9.80505 A through 2 · 10 m of 6 mm² at 36 °C, 65.47 mΩ
    e = limits(good("array_operating_voltage"))
    assert e.nominal == pytest.approx(490.05 / 9.80505 - 9.80505 * 0.0616 * (1 + 0.00393 * 16), abs=2e-3)


def test_a_controller_that_switches_holds_the_array_at_the_battery() -> None:
    document = with_plate(clinic(), "CC1", principle="switching")
    taken = Taken("array_operating_voltage", "A1", {"voltage": (27.4, 0.02), "posts": (27.0, 0.02)}, SUN)
    found = first(taken, document)
    assert found.expected is not None
    assert (found.expected.lower, found.expected.upper) == (27.0, 28.0)
    assert found.verdict is Verdict.WITHIN
    assert first(changed(taken, voltage=(40.0, 0.02)), document).verdict is Verdict.OUTSIDE


def test_power_by_hand_and_weak_sun_is_not_judged() -> None:
    # 600 W · 0.9 · (1 − 0.0037 · 25) = 490.05 W, less 20 %; 600 W · 0.9 · 1.1 = 594 W
    e = limits(good("array_power", "meters"))
    assert (e.nominal, e.lower, e.upper) == pytest.approx((490.05, 392.04, 594.0))
    weak = first(good("array_power", "meters"), irradiance=Value(350.0, 10.0))
    assert weak.verdict is Verdict.UNJUDGED
    assert "400 W/m²" in weak.reason


def test_an_hour_in_shade_is_tied_to_its_hour() -> None:
    # 0.62 of what it should at 9 h, 0.95 at noon: 1 − 0.62 / 0.95 = 0.347
    shaded = {"array_power/row 1": Value(0.62, 0.02), "array_power/row 2": Value(0.95, 0.02)}
    found = first(Taken("loss_tied_to_hour", "A1", {}, shaded))
    assert found.value == pytest.approx(1 - 0.62 / 0.95)
    assert found.verdict is Verdict.OUTSIDE
    one = first(Taken("loss_tied_to_hour", "A1", {}, {"array_power/row 1": Value(0.9, 0.02)}))
    assert "two hours" in one.reason


def test_a_warm_joint_is_carried_to_full_current() -> None:
    # 5 K at 6 A; two strings of 5.38 A are 10.76 A: 5 · (10.76 / 6)² = 16.08 K
    found = first(Taken("joint_temperature_rise", "A1", {"rise@isolator": (5.0, 0.2), "current": (6.0, 0.05)}))
    assert found.value == pytest.approx(5 * (10.76 / 6) ** 2)
    assert found.verdict is not Verdict.WITHIN
    assert "A or more" in first(Taken("joint_temperature_rise", "A1", {"rise@isolator": 5.0, "current": 3.0})).reason


# ---- the battery ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("chemistry", "block", "charge"),
    # battery-industry table: 12.45 V 75 %; sealed 0.15 V higher for 12 V (from memory); 13.2 V lithium 50 %
    [("flooded", 12.45, 0.75), ("agm", 12.60, 0.75), ("flooded", 12.80, 1.0), ("flooded", 11.5, 0.0)],
)
def test_state_of_charge_by_table(chemistry: str, block: float, charge: float) -> None:
    both = {f"battery_rest_voltage/block {i}": Value(block, 0.01) for i in (1, 2)}
    document = with_plate(clinic(), "BA1", chemistry=chemistry)
    assert first(Taken("state_of_charge", "BA1", {}, both), document).value == pytest.approx(charge, abs=1e-6)


def test_gravity_goes_before_voltage_and_is_surer() -> None:
    drawn = {f"specific_gravity/cell {i}": Value(1.190, 0.002) for i in range(1, 13)}
    by_volts = first(good("state_of_charge"))
    by_acid = judged(good("state_of_charge"), None, **drawn).findings[0]
    assert by_acid.value == pytest.approx(0.5)  # 1.190 is half charged
    assert by_acid.spread is not None
    assert by_volts.spread is not None
    assert by_acid.spread < by_volts.spread


def test_dawn_takes_the_load_out_and_holds_it_to_what_may_be_drawn() -> None:
    # two blocks of 5 mΩ: 24.9 V + 2.5 A · 10 mΩ = 24.925 V; half charged 2 · 12.24 = 24.48 V, full 25.30 V
    found = first(good("dawn_voltage"))
    assert found.value == pytest.approx(24.925)
    assert found.expected is not None
    assert (found.expected.nominal, found.expected.lower) == pytest.approx((25.30, 24.48))
    assert first(changed(good("dawn_voltage"), voltage=(24.0, 0.08))).verdict is Verdict.OUTSIDE
    deeper = with_plate(clinic(), "BA1", discharge_share=0.75)  # 12.06 V at a quarter
    assert limits(good("dawn_voltage"), deeper).lower == pytest.approx(24.12)


@pytest.mark.parametrize(
    ("temperature", "verdict"),
    [(18.0, Verdict.WITHIN), (0.5, Verdict.BORDERLINE), (-4.0, Verdict.OUTSIDE), (52.0, Verdict.OUTSIDE)],
)
def test_lithium_is_not_charged_in_the_cold(temperature: float, verdict: Verdict) -> None:
    document = with_plate(clinic(), "BA1", chemistry="lithium iron phosphate", lowest_charge_temperature=0.0)
    taken = Taken("charge_temperature", "BA1", {}, {"battery_temperature": Value(temperature, 0.9)})
    assert judged(taken, document).verdict is verdict


def test_idle_draw_counts_inverter_and_controllers() -> None:
    # a controller 0.03 A, an inverter of 12 W on 24 V 0.5 A: 0.53 A, twice that and 0.05 A more is the limit
    document = clinic()
    document["components"].append(component("IN1", "inverter", idle_power=12.0))
    document["runs"].append({**document["runs"][-1], "tag": "K9", "start": "BA1", "start_port": "posts", "end": "IN1",
                             "end_port": "input"})  # fmt: skip
    e = limits(good("night_draw"), document)
    assert (e.nominal, e.upper) == pytest.approx((0.53, 1.11))


def test_energy_of_a_day_by_hand() -> None:
    # lamps 60 W · 4 h = 0.24 kWh; the booster 300 W as long as 0.6 m³ take: its use is what the design check counts
    e = limits(good("load_energy", "counter"))
    assert e.nominal is not None
    assert e.nominal > 60 * 4 * 3600
    assert e.upper == pytest.approx(1.25 * e.nominal)
    taken = Taken("load_energy", "BA1", {"energy": (3 * e.nominal, 0.0), "time": 2 * 86_400.0}, {}, "counter")
    found = first(taken)
    assert found.value == pytest.approx(1.5 * e.nominal)
    assert found.verdict is Verdict.OUTSIDE


def test_water_of_a_cell_by_hand() -> None:
    # 200 A·h · 5 % · 30 d = 300 A·h made into gas, 0.336 mL each: 101 mL; 450 mL over 12 cells are 37.5 mL
    found = first(good("battery_water_use"))
    assert found.value == pytest.approx(37.5e-6)
    assert found.expected is not None
    assert found.expected.upper == pytest.approx(101e-6, rel=2e-3)


def test_a_joint_by_hand() -> None:
    # 12 mV at 10 A are 1.2 mΩ, more than half a milliohm
    found = first(Taken("joint_drop", "BA1", {"drop@fuse": (0.012, 0.0003), "current@fuse": (10.0, 0.13)}))
    assert found.value == pytest.approx(1.2e-3)
    assert found.verdict is Verdict.OUTSIDE


# ---- charging over a day -------------------------------------------------------------------


def test_display_stands_above_the_posts_by_its_cable() -> None:
    # 9 A through 2 · 1.5 m of 10 mm² (5.49 mΩ at 20 °C, recorded surroundings 30 °C): 51.3 mV, ± 0.2 V on 24 V
    e = limits(good("display_difference"))
    assert e.nominal == pytest.approx(9 * 0.00549 * (1 + 0.00393 * 10), rel=1e-4)
    assert (e.lower, e.upper) == pytest.approx((e.nominal - 0.2, e.nominal + 0.2))
    far = changed(good("display_difference"), display=28.0)
    assert first(far).verdict is Verdict.OUTSIDE


def test_loads_go_at_their_set_point() -> None:
    e = limits(good("low_voltage_disconnect"))
    assert (e.nominal, e.lower, e.upper) == pytest.approx((22.8, 22.4, 23.2))
    assert first(changed(good("low_voltage_disconnect"), voltage=(21.9, 0.07))).verdict is Verdict.OUTSIDE
    assert not CHECKS["low_voltage_disconnect"].subjects(build(heron_farm()))  # nothing on its load port


def test_absorption_comes_when_the_share_of_the_day_has_come() -> None:
    found = first(good("time_to_absorption"))
    steps = {step.symbol: step for step in found.steps}
    share = steps["E"].result / steps["E_clear"].result
    daylight = steps["t_set"].result - steps["t_rise"].result
    assert 13.5 * 3600 < daylight < 15 * 3600  # midsummer at 35.5° N: 14 h 25 min
    half_sine = (1 - math.cos(math.pi * steps["t"].result / daylight)) / 2
    assert half_sine == pytest.approx(share, abs=1e-9)
    assert limits(good("time_to_absorption")).upper == pytest.approx(1.5 * steps["t"].result)


def test_a_clear_day_brings_what_pvlib_says() -> None:
    # the plane's energy in a day by pvlib · 300 W / 1000 W/m² · 0.96 controller · 0.85 of lead-acid · 0.80 array
    times = pd.date_range("2026-06-21 00:05", periods=144, freq="10min", tz="Etc/GMT+7")
    place = pvlib.location.Location(35.5, -106.5, altitude=1000)
    sun = place.get_solarposition(times)
    sky = place.get_clearsky(times, model="ineichen", linke_turbidity=3.0)
    outside = pvlib.irradiance.get_extra_radiation(times)
    plane = pvlib.irradiance.get_total_irradiance(
        35, 180, sun.apparent_zenith, sun.azimuth, sky.dni, sky.ghi, sky.dhi, outside, albedo=0.2, model="haydavies"
    )
    energy = float(plane.poa_global.fillna(0).sum()) * 600 * 0.300 * 0.96 * 0.85 * 0.80
    found = next(s for s in first(good("time_to_absorption")).steps if s.symbol == "E_clear")
    assert found.result == pytest.approx(energy, rel=0.01)


def test_a_day_that_takes_more_than_the_sun_brings_says_so() -> None:
    document = with_plate(clinic(), "L1", power=2_000.0)
    assert "share" in first(good("time_to_absorption"), document).reason


# ---- dead ----------------------------------------------------------------------------------


def test_cable_by_hand_at_the_temperature_read_or_of_the_air() -> None:
    # 2 · 8 m of 6 mm² at 3.08 mΩ/m: 49.28 mΩ at 20 °C; at 25 °C 50.25 mΩ
    assert limits(good("cable_loop_resistance")).nominal == pytest.approx(0.04928 * (1 + 0.00393 * 5))
    untold = changed(good("cable_loop_resistance"), temperature=None)
    assert limits(untold, ambient_temperature=Value(35.0, 0.9)).nominal == pytest.approx(0.04928 * (1 + 0.00393 * 15))
    assert "20 ± 15 °C" in {t.name for t in first(untold).terms} or any(
        "20 ± 15" in t.name for t in first(untold).terms
    )


def test_a_thinner_cable_than_recorded_is_outside() -> None:
    # 4 mm² in the place of 6: 4.61 / 3.08 of it
    found = first(changed(good("cable_loop_resistance"), resistance=(0.0515 * 4.61 / 3.08, 0.0006)))
    assert found.verdict is Verdict.OUTSIDE


def test_a_short_cable_is_told_by_a_current_and_not_by_a_low_ohm_meter() -> None:
    # 232 mV at 4.5 A: 51.56 mΩ by Ohm's law, good to 3 %; a low-ohm meter adds 10 mΩ of doubt to 51 mΩ ± 10 %
    found = first(good("cable_loop_resistance", "current"))
    assert found.value == pytest.approx(0.232 / 4.5)
    assert found.verdict is Verdict.WITHIN
    coarse = first(changed(good("cable_loop_resistance"), resistance=(0.0515, 0.011 / 3**0.5)))
    assert coarse.verdict is Verdict.UNJUDGED


def test_a_link_too_short_to_be_told_is_not_offered_but_one_of_unknown_length_is() -> None:
    document = quince_ridge()
    plate(document, "K2")["length"] = 0.5  # 2 · 0.5 m at 3.08 mΩ/m: 3 mΩ
    assert CHECKS["cable_loop_resistance"].subjects(build(document)) == ["K1"]
    plate(document, "K2")["length"] = None
    assert CHECKS["cable_loop_resistance"].subjects(build(document)) == ["K1", "K2"]


def test_the_drop_cable_is_read_with_its_winding() -> None:
    assert CHECKS["cable_loop_resistance"].subjects(build(quince_ridge())) == ["K1", "K2"]


@pytest.mark.parametrize(
    ("megohms", "bound", "volts", "verdict"),
    [(2000, ">", 500, Verdict.WITHIN), (200, "", 500, Verdict.WITHIN), (5, "", 500, Verdict.OUTSIDE),
     (2000, ">", 250, Verdict.UNJUDGED)],
)  # fmt: skip
def test_verdict_on_a_splice(megohms: float, bound: str, volts: float, verdict: Verdict) -> None:
    typed = {"insulation": (megohms * 1e6, 0.02 * megohms * 1e6, bound), "test_voltage": volts}
    assert first(Taken("splice_insulation", "PU1", typed)).verdict is verdict


# ---- the booster in the sun ----------------------------------------------------------------


def test_sun_against_booster_by_hand() -> None:
    # 9 A of 13 A: 207.7 W, from 25.3 V behind 10 mΩ of battery and 2 · 4 m of 10 mm²; the sun at 1000 W/m², NOCT 45 °C:
    # cells 25 + 25/800 · 1000 = 56.25 °C, 300 W · (1 − 0.0037 · 31.25) = 265.3 W through 0.96 and its cable
    found = first(good("sun_carries_booster"))
    assert found.value is not None
    drawn = 9 / 13 * 300 / 25.1
    charged = 265.3 * 0.96 / 25.3
    assert found.value == pytest.approx(charged - drawn, abs=0.25)
    assert found.expected is not None
    assert found.expected.lower == pytest.approx(-40.0)  # a fifth of 200 A·h in an hour


def test_expected_in_advance_never_raises() -> None:
    for document in (quince_ridge(), clinic(), bare(clinic())):
        system = build(document)
        for check in MINE:
            for tag in check.subjects(system):
                for one in check.judged:
                    e, _, missing = expect(check, one, system, tag, conditions={}, moment=NOON)
                    assert (e is None) == (missing is not None)
