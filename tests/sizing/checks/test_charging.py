"""Charge voltage, charge current and fuses, by hand."""

import pytest

from sizing.checks.case import Expected, Value
from sizing.checks.catalogue import CHECKS
from sizing.holds import HOLDS, Standing, required_by, standing
from sizing.judgement import Assessment, Finding, assess, expect
from sizing.order import order_of_checks
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, readings
from tests.sizing.more_systems import heron_farm, sallow_clinic
from tests.sizing.systems import bare, plate
from tests.sizing.working_steps import assert_all_recompute

WARM = {"battery_temperature": Value(35.0, 0.9)}
SUN = {**WARM, "irradiance": Value(800.0, 23.0), "module_temperature": Value(50.0, 1.2)}
VOLTAGE = Taken("charge_voltage", "CC1", {"voltage": (28.25, 0.09), "stage": 1.0}, WARM)
CURRENT = Taken("charge_current", "CC1", {"current": (7.6, 0.15), "voltage": (26.4, 0.09), "stage": 0.0}, SUN)
FUSE = Taken("fuse_rating", "FU1", {"rating": 32.0, "breaking": 20_000.0, "voltage": 80.0})
EVERY = pytest.mark.parametrize("taken", [VOLTAGE, CURRENT, FUSE], ids=lambda one: one.check)
LITHIUM = {"BA1__chemistry": "lithium iron phosphate", "BA1__cells_per_block": 4.0, "CC1__absorption": 3.55,
           "CC1__compensation": 0.0, "BA1__lowest_charge_temperature": 0.0}  # fmt: skip


def judged(taken: Taken, conditions: dict[str, Value | None] | None = None, **plates: object) -> Assessment:
    """Return the assessment on the clinic, some fields and conditions changed."""
    document = sallow_clinic()
    for key, value in plates.items():
        tag, _, field = key.partition("__")
        plate(document, tag)[field] = value
    around = {**taken.conditions, **(conditions or {})}
    return assess(
        CHECKS[taken.check], build(document), taken.subject, readings=readings(taken.typed),
        conditions={k: v for k, v in around.items() if v is not None},
    )  # fmt: skip


def first(taken: Taken, conditions: dict[str, Value | None] | None = None, **plates: object) -> Finding:
    return judged(taken, conditions, **plates).findings[0]


def limits(taken: Taken, conditions: dict[str, Value | None] | None = None, **plates: object) -> Expected:
    found = first(taken, conditions, **plates).expected
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
        assert expect(CHECKS[taken.check], one, system, taken.subject, conditions={})[2] is not None
    found = assess(
        CHECKS[taken.check], system, taken.subject, readings=readings(taken.typed), conditions=taken.conditions
    )
    assert found.verdict is Verdict.UNJUDGED
    assert all(one.missing for one in found.findings)


NEEDS = [(VOLTAGE, "battery_temperature"), (CURRENT, "irradiance"), (CURRENT, "module_temperature")]


@pytest.mark.parametrize(("taken", "need"), NEEDS, ids=lambda one: one if isinstance(one, str) else one.check)
def test_each_need_moves_what_is_expected_and_is_named_when_missing(taken: Taken, need: str) -> None:
    before = taken.conditions[need]
    here, there = limits(taken), limits(taken, {need: Value(before.value * 0.9, before.u)})
    assert here.nominal != there.nominal
    gone = first(taken, {need: None})
    assert gone.verdict is Verdict.UNJUDGED
    assert need.replace("_", " ") in gone.reason


def test_absorption_follows_the_battery_s_heat() -> None:
    # 12 cells of 2.40 V at 25 °C, −5 mV/K: 28.80 V, and 28.20 V at 35 °C (a maker's printed example, 24 V gel);
    # ± 0.2 V for each 12 V
    e = limits(VOLTAGE)
    assert (e.lower, e.nominal, e.upper) == pytest.approx((27.8, 28.2, 28.6))
    assert limits(VOLTAGE, {"battery_temperature": Value(25.0, 0.9)}).nominal == pytest.approx(28.8)


def test_each_stage_has_its_own_set_point() -> None:
    assert limits(changed(VOLTAGE, stage=2.0)).nominal == pytest.approx(12 * (2.25 - 0.05))
    assert limits(changed(VOLTAGE, stage=3.0)).nominal == pytest.approx(12 * (2.55 - 0.05))
    off = first(changed(VOLTAGE, stage=3.0), CC1__equalise=None)
    assert off.verdict is Verdict.UNJUDGED


@pytest.mark.parametrize(
    ("volts", "verdict"),
    [(28.2, Verdict.WITHIN), (29.3, Verdict.OUTSIDE), (27.0, Verdict.OUTSIDE), (28.55, Verdict.BORDERLINE)],
)
def test_absorption_verdicts(volts: float, verdict: Verdict) -> None:
    assert first(changed(VOLTAGE, voltage=(volts, 0.09))).verdict is verdict


def test_26_4_volts_under_a_grey_sky_is_bulk_and_within() -> None:
    # common practice, no source: a 24 V lead-acid bank at 26.4 V under an overcast sky is charging
    grey = changed(VOLTAGE, voltage=(26.4, 0.08), stage=0.0)
    assert first(grey).verdict is Verdict.WITHIN
    assert limits(grey).lower is None
    weak = first(changed(CURRENT, current=(1.4, 0.1)), {"irradiance": Value(150.0, 6.0)})
    assert weak.verdict is Verdict.UNJUDGED
    assert "400 W/m²" in weak.reason


def test_bulk_above_absorption_is_outside() -> None:
    assert first(changed(VOLTAGE, voltage=(29.5, 0.09), stage=0.0)).verdict is Verdict.OUTSIDE


def test_current_by_hand() -> None:
    # 3 × 100 W · 0.8 · (1 − 0.0037 · 25) = 217.8 W; the cable takes I² R = 4.36² · 0.064 = 1.2 W;
    # 0.96 · 216.6 / 26.4 = 7.87 A
    e = limits(CURRENT)
    assert e.nominal == pytest.approx(7.87, abs=0.03)
    assert e.lower == pytest.approx(0.8 * e.nominal)
    assert e.upper == pytest.approx(1.05 * 20)  # the controller's 20 A; the battery would take 30 A


def test_controller_and_battery_cap_the_current() -> None:
    assert limits(CURRENT, CC1__rated_current=5.0).nominal == pytest.approx(5.0)
    e = limits(CURRENT, BA1__maximum_charge_current=4.0)
    assert (e.nominal, e.upper) == pytest.approx((4.0, 4.2))


@pytest.mark.parametrize(
    ("amperes", "verdict"), [(7.8, Verdict.WITHIN), (3.0, Verdict.OUTSIDE), (35.0, Verdict.OUTSIDE)]
)
def test_current_verdicts(amperes: float, verdict: Verdict) -> None:
    assert first(changed(CURRENT, current=(amperes, 0.02 * amperes))).verdict is verdict


def test_a_full_battery_takes_little_and_that_is_no_fault() -> None:
    full = changed(CURRENT, current=(1.0, 0.06), stage=1.0)
    assert first(full).verdict is Verdict.WITHIN
    assert limits(full).nominal is None


def test_lithium_below_its_lowest_is_told_to_stop() -> None:
    cold = first(VOLTAGE, {"battery_temperature": Value(-3.0, 0.9)}, **LITHIUM)
    assert cold.verdict is Verdict.UNJUDGED
    assert "stop charging now" in cold.reason
    assert "stop charging now" in first(CURRENT, {"battery_temperature": Value(-3.0, 0.9)}, **LITHIUM).reason
    warm = changed(VOLTAGE, voltage=(28.4, 0.09))
    assert first(warm, **LITHIUM).verdict is Verdict.WITHIN


def test_fuse_by_hand() -> None:
    # the controller's 20 A for hours: 1.25 · 20 = 25 A at least (NEC 690.9); fault: one string of 2000 A
    found = judged(FUSE).findings
    assert found[0].expected is not None
    assert found[1].expected is not None
    assert found[0].expected.lower == pytest.approx(25.0)
    assert found[1].expected.lower == pytest.approx(2000.0)
    # 10 mm² copper at 30 °C carries more than 32 A and less than 90 A by any table
    assert found[0].expected.upper is not None
    assert 32 < found[0].expected.upper < 90


GOOD, BAD = Verdict.WITHIN, Verdict.OUTSIDE


@pytest.mark.parametrize(
    ("rating", "breaking", "voltage", "verdicts"),
    [
        (32.0, 20_000.0, 80.0, [GOOD, GOOD, GOOD]),
        (20.0, 20_000.0, 80.0, [BAD, GOOD, GOOD]),
        (100.0, 1_000.0, 80.0, [BAD, BAD, GOOD]),
        (32.0, 20_000.0, 24.0, [GOOD, GOOD, BAD]),  # 250 V of alternating current, often 24 or 32 V of direct
    ],
)
def test_fuse_verdicts(rating: float, breaking: float, voltage: float, verdicts: list[Verdict]) -> None:
    taken = changed(FUSE, rating=rating, breaking=breaking, voltage=voltage)
    assert [f.verdict for f in judged(taken).findings] == verdicts


def test_a_fuse_parts_the_highest_voltage_of_its_circuit() -> None:
    # battery: equalised at 0 °C, 12 cells · (2.55 V + 0.005 V/K · 25 K) = 32.1 V
    found = judged(FUSE).findings[2].expected
    assert found is not None
    assert found.lower == pytest.approx(12 * (2.55 + 0.005 * 25))
    # array: 3 · 22.6 V · (1 + 0.0029 · 37 K) at −12 °C = 75.08 V (NEC 690.7(A)(1))
    document = sallow_clinic()
    next(one for one in document["components"] if one["tag"] == "FU1")["host"] = "K1"
    system = build(document)
    of_array = assess(CHECKS["fuse_rating"], system, "FU1", readings=readings(FUSE.typed)).findings[2].expected
    assert of_array is not None
    assert of_array.lower == pytest.approx(3 * 22.6 * (1 + 0.0029 * 37))


def test_nothing_charges_before_polarity_spread_fuse_and_vent() -> None:
    for document in (sallow_clinic(), heron_farm()):
        order = [o.check for o in order_of_checks(build(document))]
        for key in ("battery_polarity", "block_spread", "fuse_rating", "vent_opening", "charge_temperature"):
            assert order.index(key) < order.index("charge_voltage")
            assert order.index(key) < order.index("charge_current")


def test_the_hold_is_settled_and_never_released() -> None:
    hold, owed = HOLDS["connect_charging"], order_of_checks(build(sallow_clinic()))
    good = {o.id: True for o in required_by(hold, owed)}
    design = dict.fromkeys(hold.design, True)
    keys = {"battery_polarity:BA1", "block_spread:BA1", "fuse_rating:FU1", "vent_opening:BA1"}
    assert set(good) == {*keys, "charge_temperature:BA1"}
    assert standing(hold, owed, good, released=False, design=design) is Standing.SETTLED
    for one in good:
        assert standing(hold, owed, {**good, one: False}, released=True, design=design) is Standing.STANDS
    for key in hold.design:
        assert standing(hold, owed, good, released=True, design={**design, key: False}) is Standing.STANDS
