"""The battery at rest and under a load, by hand and by published tables."""

import pytest

from sizing.checks.case import Expected, Value
from sizing.checks.catalogue import CHECKS
from sizing.judgement import Assessment, Finding, assess, expect
from sizing.order import order_of_checks
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, readings
from tests.sizing.more_systems import heron_farm, sallow_clinic
from tests.sizing.systems import bare, plate
from tests.sizing.working_steps import assert_all_recompute

HOURS = 3600.0
BLOCKS = {"voltage@block 1": (12.60, 0.04), "voltage@block 2": (12.58, 0.04), "rest": 10 * HOURS}
REST = Taken("battery_rest_voltage", "BA1", BLOCKS)
SPREAD = Taken(
    "block_spread", "BA1", {},
    {"battery_rest_voltage/block 1": Value(12.60, 0.04), "battery_rest_voltage/block 2": Value(12.58, 0.04)},
)  # fmt: skip
CELLS = {f"gravity@cell {i}": (1.250, 0.0023) for i in range(1, 13)} | {"temperature": (20.0, 0.9)}
GRAVITY = Taken("specific_gravity", "BA1", CELLS)
GRAVITIES = Taken(
    "specific_gravity_spread", "BA1", {}, {f"specific_gravity/cell {i}": Value(1.25, 0.0023) for i in range(1, 13)}
)
SAG = Taken(
    "battery_sag", "BA1", {"rest_voltage": (25.2, 0.017), "voltage": (25.05, 0.017), "current": (10.0, 0.12)}
)  # fmt: skip
VENT = Taken("vent_opening", "BA1")
EVERY = pytest.mark.parametrize("taken", [REST, SPREAD, GRAVITY, GRAVITIES, SAG, VENT], ids=lambda one: one.check)


def judged(taken: Taken, **plates: object) -> Assessment:
    """Return the assessment on the clinic, some fields of its battery changed."""
    document = sallow_clinic()
    plate(document, "BA1").update(plates)
    return assess(
        CHECKS[taken.check], build(document), taken.subject, readings=readings(taken.typed), conditions=taken.conditions
    )


def first(taken: Taken, **plates: object) -> Finding:
    return judged(taken, **plates).findings[0]


def limits(taken: Taken, **plates: object) -> Expected:
    found = first(taken, **plates).expected
    assert found is not None
    return found


@EVERY
def test_a_sound_measurement_is_within(taken: Taken) -> None:
    assert {f.verdict for f in judged(taken).findings} == {Verdict.WITHIN}


@EVERY
def test_every_printed_step_gives_its_result_again(taken: Taken) -> None:
    assert_all_recompute(step for one in judged(taken).findings for step in one.steps)


@EVERY
def test_an_empty_nameplate_gives_only_what_is_missing(taken: Taken) -> None:
    system = build(bare(sallow_clinic()))
    for one in CHECKS[taken.check].judged:
        assert expect(CHECKS[taken.check], one, system, "BA1", conditions={})[2] is not None
    found = assess(CHECKS[taken.check], system, "BA1", readings=readings(taken.typed), conditions=taken.conditions)
    assert found.verdict is Verdict.UNJUDGED
    assert all(one.missing for one in found.findings)


def test_a_block_is_held_between_half_charged_and_full() -> None:
    # battery-industry table at 26.7 °C: 12.65 V full, 12.24 V half charged
    e = limits(REST)
    assert (e.lower, e.nominal, e.upper) == (pytest.approx(12.24), pytest.approx(12.65), None)
    # sealed cells rest 0.15 V higher for 12 V (from memory)
    assert limits(REST, chemistry="agm").lower == pytest.approx(12.39)


def test_lithium_is_held_by_its_own_table() -> None:
    # 3.20 V a cell is a fifth of the charge, public table; four cells
    lithium = {"chemistry": "lithium iron phosphate", "cells_per_block": 4.0}
    typed = {"voltage@block 1": (13.25, 0.01), "voltage@block 2": (12.60, 0.01), "rest": 24 * HOURS}
    found = judged(Taken("battery_rest_voltage", "BA1", typed), **lithium)
    assert [f.verdict for f in found.findings] == [Verdict.WITHIN, Verdict.OUTSIDE]
    assert found.findings[0].expected is not None
    assert found.findings[0].expected.lower == pytest.approx(12.80)


@pytest.mark.parametrize(
    ("volts", "verdict"),
    [(12.60, Verdict.WITHIN), (12.0, Verdict.OUTSIDE), (12.27, Verdict.BORDERLINE), (13.2, Verdict.UNJUDGED)],
)
def test_rest_verdicts(volts: float, verdict: Verdict) -> None:
    assert first(changed(REST, **{"voltage__block 1": (volts, 0.04)})).verdict is verdict


def test_a_bank_at_26_4_volts_under_a_grey_sky_is_charging_and_no_fault() -> None:
    # common practice, no source: 13.2 V a block is more than any flooded block shows at rest
    taken = changed(REST, **{"voltage__block 1": (13.2, 0.04), "voltage__block 2": (13.2, 0.04)})
    for one in judged(taken).findings:
        assert one.verdict is Verdict.UNJUDGED
        assert "being charged" in one.reason


def test_a_short_rest_is_not_judged_and_a_shorter_one_than_good_is_less_sure() -> None:
    assert first(changed(REST, rest=2 * HOURS)).verdict is Verdict.UNJUDGED
    sure, less = first(REST), first(changed(REST, rest=5 * HOURS))
    assert sure.spread is not None
    assert less.spread is not None
    assert less.spread > sure.spread


def test_two_blocks_in_series_owe_two_readings_and_so_do_two_in_parallel() -> None:
    # common practice, no source: two 12 V blocks in series make 24 V at the capacity of one
    repeat = CHECKS["battery_rest_voltage"].repeat
    system = build(sallow_clinic())
    assert repeat.labels_for(system, "BA1") == ("block 1", "block 2")
    document = sallow_clinic()
    plate(document, "BA1").update(series=2, parallel=2)
    assert len(repeat.labels_for(build(document), "BA1")) == 4
    assert len(CHECKS["specific_gravity"].repeat.labels_for(system, "BA1")) == 12


@pytest.mark.parametrize(("other", "verdict"), [(12.58, Verdict.WITHIN), (12.1, Verdict.OUTSIDE)])
def test_blocks_against_each_other(other: float, verdict: Verdict) -> None:
    moved = {**SPREAD.conditions, "battery_rest_voltage/block 2": Value(other, 0.04)}
    found = first(Taken("block_spread", "BA1", {}, moved))
    assert found.value == pytest.approx(12.60 - other)
    assert found.verdict is verdict
    assert limits(SPREAD).upper == pytest.approx(0.2)


def test_one_block_has_nothing_to_be_compared_with() -> None:
    document = sallow_clinic()
    plate(document, "BA1").update(series=1)
    keys = {o.check for o in order_of_checks(build(document))}
    assert "block_spread" not in keys
    assert "battery_rest_voltage" in keys


def test_gravity_is_carried_to_80_fahrenheit() -> None:
    # US Army TM 9-6140-200-14: 1.250 at 20 °F is 1.226
    cold = first(changed(GRAVITY, temperature=((20 - 32) / 1.8, 0.5)))
    assert cold.value == pytest.approx(1.226, abs=5e-4)


@pytest.mark.parametrize(
    ("gravity", "verdict"), [(1.25, Verdict.WITHIN), (1.15, Verdict.OUTSIDE), (1.32, Verdict.OUTSIDE)]
)
def test_gravity_verdicts(gravity: float, verdict: Verdict) -> None:
    assert first(changed(GRAVITY, **{"gravity__cell 1": (gravity, 0.0023)})).verdict is verdict


@pytest.mark.parametrize(("low", "verdict"), [(1.25, Verdict.WITHIN), (1.20, Verdict.OUTSIDE)])
def test_cells_against_each_other(low: float, verdict: Verdict) -> None:
    taken = Taken("specific_gravity_spread", "BA1", {}, {**GRAVITIES.conditions, "specific_gravity/cell 3": Value(low)})
    assert first(taken).verdict is verdict
    assert limits(taken).upper == 0.025


def test_a_sealed_battery_owes_no_gravity() -> None:
    document = sallow_clinic()
    plate(document, "BA1")["chemistry"] = "agm"
    keys = {o.check for o in order_of_checks(build(document))}
    assert not keys & {"specific_gravity", "specific_gravity_spread"}
    assert first(GRAVITY, chemistry="gel").verdict is Verdict.UNJUDGED


def test_sag_by_hand() -> None:
    # two blocks of 5 mΩ in series: 10 mΩ; 10 A take 0.10 V, twice that is the limit
    e = limits(SAG)
    assert e.nominal == pytest.approx(25.10)
    assert e.lower == pytest.approx(25.00)
    # two strings halve it
    assert limits(SAG, parallel=2).nominal == pytest.approx(25.15)


@pytest.mark.parametrize(
    ("volts", "verdict"), [(25.08, Verdict.WITHIN), (24.2, Verdict.OUTSIDE), (24.99, Verdict.BORDERLINE)]
)
def test_sag_verdicts(volts: float, verdict: Verdict) -> None:
    assert first(changed(SAG, voltage=(volts, 0.017))).verdict is verdict


def test_sag_is_known_in_advance_for_the_largest_user() -> None:
    # clinic: booster of 300 W behind 4 m of 10 mm²; 25.3 V less I · 10 mΩ with I near 12 A
    check = CHECKS["battery_sag"]
    e, steps, _ = expect(check, check.judged[0], build(sallow_clinic()), "BA1", conditions={})
    assert e is not None
    assert e.nominal == pytest.approx(25.3 - 300 / 25.1 * 0.010, abs=0.005)
    assert e.lower == pytest.approx(25.3 - 2 * 300 / 25.1 * 0.010, abs=0.01)
    assert_all_recompute(steps)
    # farm: the well pump behind its controller
    e, _, _ = expect(check, check.judged[0], build(heron_farm()), "BA1", conditions={})
    assert e is not None
    assert "PU1" in e.basis
    assert e.nominal is not None
    assert e.nominal < 25.1


def test_vent_by_hand() -> None:
    # IEC 62485-2: 0.05 · 12 · 0.020 · 200 = 2.4 m³/h, 28 cm² each: 67.2 cm²
    assert limits(VENT).lower == pytest.approx(67.2e-4)
    assert first(VENT, vent_area=0.005).verdict is Verdict.OUTSIDE
    assert first(VENT, enclosure="sealed_box").verdict is Verdict.OUTSIDE


def test_polarity_is_seen_before_the_battery_is_loaded() -> None:
    order = [o.check for o in order_of_checks(build(sallow_clinic()))]
    assert order.index("battery_polarity") < order.index("battery_sag")
    assert order.index("battery_rest_voltage") < order.index("battery_sag")


def test_blocks_are_held_against_each_other_by_the_same_meter() -> None:
    """The meter's gain is wrong by the same at each block: 30 mV of half width are left, √3 of them as u."""
    (need,) = CHECKS["block_spread"].needs
    assert need.u_apart(12.6) == pytest.approx(0.030 / 3**0.5)
    assert CHECKS["state_of_charge"].needs[0].u_apart(12.6) is None
