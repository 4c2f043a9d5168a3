"""The pressure tank and its switch, by Boyle's and Gay-Lussac's laws and by hand."""

import pytest

from sizing.boosting import run_time
from sizing.checks.case import Expected, Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.pressure_zone import fillers_of, pressure_tank_of, switch_of, tank_of_switch, zone
from sizing.holds import HOLDS, Standing, required_by, standing
from sizing.judgement import Assessment, Finding, assess, expect
from sizing.order import order_of_checks
from sizing.system import State, build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, readings
from tests.sizing.more_systems import KPA, heron_farm, sallow_clinic
from tests.sizing.systems import L_PER_MIN, bare, plate, quince_ridge
from tests.sizing.working_steps import assert_all_recompute

AIR_1000_M = 89.875 * KPA  # standard atmosphere at 1000 m, U.S. Standard Atmosphere 1976
PRECHARGE = Taken("precharge", "PT1", {"pressure": (186 * KPA, 2.3 * KPA), "temperature": (20.0, 1.2)})
CUT_IN = Taken("cut_in", "PS1", {f"pressure@{i}": (p * KPA, 2.9 * KPA) for i, p in ((1, 198), (2, 201), (3, 203))})
CUT_OUT = Taken("cut_out", "PS1", {f"pressure@{i}": (p * KPA, 2.9 * KPA) for i, p in ((1, 348), (2, 352), (3, 350))})
DRAWDOWN = Taken("tank_drawdown", "PT1", {"volume": (0.0262, 3e-4)})
RUN = Taken(
    "starts_at_fixed_draw", "PT1",
    {f"run_time@{i}": (s, 0.6) for i, s in ((1, 170.0), (2, 175.0), (3, 172.0))} | {"draw": (5 * L_PER_MIN, 2e-6)},
)  # fmt: skip
SHUT = Taken("starts_with_taps_shut", "PT1", {"starts": 0.0})
TIGHT = Taken(
    "tightness_house_side", "PT1",
    {"pressure@start": (350 * KPA, 600.0), "pressure@settled": (345 * KPA, 600.0), "pressure@end": (344 * KPA, 600.0)},
)  # fmt: skip
LOW = Taken("booster_low_stop", "LS1", {"depth": (0.31, 0.006)}, way="dip")
WATER = Taken("low_water_stop", "LS2", {"below_overflow": (1.49, 0.006)}, way="lip")
ALL = [PRECHARGE, CUT_IN, CUT_OUT, DRAWDOWN, RUN, SHUT, TIGHT, LOW, WATER]
EVERY = pytest.mark.parametrize("taken", ALL, ids=lambda one: one.check)


def judged(taken: Taken, **plates: object) -> Assessment:
    """Return the assessment on the clinic, some fields changed."""
    document = sallow_clinic()
    for key, value in plates.items():
        tag, _, field = key.partition("__")
        plate(document, tag)[field] = value
    return assess(
        CHECKS[taken.check], build(document), taken.subject, readings=readings(taken.typed),
        conditions=taken.conditions, way=taken.way,
    )  # fmt: skip


def first(taken: Taken, **plates: object) -> Finding:
    return judged(taken, **plates).findings[0]


def limits(taken: Taken, **plates: object) -> Expected:
    found = first(taken, **plates).expected
    assert found is not None
    return found


@EVERY
def test_a_sound_measurement_is_within(taken: Taken) -> None:
    assert {(f.verdict, f.reason) for f in judged(taken).findings} == {(Verdict.WITHIN, "")}


@EVERY
def test_every_printed_step_gives_its_result_again(taken: Taken) -> None:
    steps = [step for one in judged(taken).findings for step in one.steps]
    if taken is not SHUT:
        assert_all_recompute(steps)


@EVERY
def test_an_empty_nameplate_gives_only_what_is_missing(taken: Taken) -> None:
    system = build(bare(sallow_clinic()))
    check = CHECKS[taken.check]
    found = assess(check, system, taken.subject, readings=readings(taken.typed), way=taken.way)
    if taken is SHUT:  # no start at all: no nameplate sets it
        assert found.verdict is Verdict.WITHIN
        return
    assert found.verdict is Verdict.UNJUDGED
    assert any(one.missing for one in found.findings)
    for one in check.judged:
        expect(check, one, system, taken.subject, conditions={})


def test_precharge_is_two_psi_below_cut_in() -> None:
    # 29 psi cut-in: 27 psi; 6894.757 Pa a psi
    e = limits(PRECHARGE)
    assert e.nominal == pytest.approx(200 * KPA - 2 * 6894.757, rel=1e-5)
    assert e.upper is not None
    assert e.lower is not None
    assert (e.upper - e.lower) == pytest.approx(14 * KPA)
    assert limits(PRECHARGE, PS1__cut_in=250 * KPA).nominal == pytest.approx(250 * KPA - 13_789.5)


def test_precharge_follows_the_gas_s_heat() -> None:
    # Gay-Lussac: (186.21 + 89.875) · 308.15/293.15 − 89.875 = 200.3 kPa
    warm = changed(PRECHARGE, temperature=(35.0, 1.2))
    assert limits(warm).nominal == pytest.approx((186_210.5 + AIR_1000_M) * 308.15 / 293.15 - AIR_1000_M, rel=1e-4)
    unknown = limits(warm, PT1__precharge_temperature=None)
    assert unknown.nominal == pytest.approx(186_210.5)


@pytest.mark.parametrize(
    ("kilopascal", "verdict"),
    [(187, Verdict.WITHIN), (120, Verdict.OUTSIDE), (205, Verdict.OUTSIDE), (192, Verdict.BORDERLINE)],
)
def test_precharge_verdicts(kilopascal: float, verdict: Verdict) -> None:
    assert first(changed(PRECHARGE, pressure=(kilopascal * KPA, 2.3 * KPA))).verdict is verdict


@pytest.mark.parametrize(("taken", "nominal"), [(CUT_IN, 200.0), (CUT_OUT, 350.0)], ids=["cut_in", "cut_out"])
def test_cut_in_and_cut_out_lie_around_the_set_point(taken: Taken, nominal: float) -> None:
    e = limits(taken)
    assert (e.lower, e.nominal, e.upper) == pytest.approx(((nominal - 20) * KPA, nominal * KPA, (nominal + 20) * KPA))
    off = {f"pressure__{i}": ((nominal + 60) * KPA, 2.9 * KPA) for i in (1, 2, 3)}
    assert first(changed(taken, **off)).verdict is Verdict.OUTSIDE


def test_three_cycles_that_do_not_agree_are_taken_again() -> None:
    apart = first(changed(CUT_IN, pressure__3=(230 * KPA, 2.9 * KPA)))
    assert apart.verdict is Verdict.UNJUDGED
    assert "take them again" in apart.reason or "do not agree" in apart.reason


def test_drawdown_by_boyle_at_altitude() -> None:
    # 80 L · p₀ · (1/p_in − 1/p_out), absolute: p₀ 276.07, p_in 289.87, p_out 439.87 kPa: 26.0 L
    nominal = 0.080 * (186.2 * KPA + AIR_1000_M) * (1 / (200 * KPA + AIR_1000_M) - 1 / (350 * KPA + AIR_1000_M))
    e = limits(DRAWDOWN)
    assert e.nominal == pytest.approx(nominal, rel=1e-4)
    assert (e.lower, e.upper) == pytest.approx((0.8 * nominal, 1.2 * nominal), rel=1e-4)
    at_sea = limits(DRAWDOWN, site__altitude=0.0).nominal
    assert at_sea is not None
    assert at_sea < nominal


@pytest.mark.parametrize(
    ("litres", "verdict"), [(26.0, Verdict.WITHIN), (12.0, Verdict.OUTSIDE), (45.0, Verdict.OUTSIDE)]
)
def test_drawdown_verdicts(litres: float, verdict: Verdict) -> None:
    assert first(changed(DRAWDOWN, volume=(litres / 1e3, 0.01 * litres / 1e3))).verdict is verdict


@pytest.mark.parametrize(("name", "value"), [("precharge", 150.0), ("cut_in", 190.0), ("cut_out", 360.0)])
def test_what_was_measured_takes_the_place_of_the_nameplate(name: str, value: float) -> None:
    moved = Taken("tank_drawdown", "PT1", DRAWDOWN.typed, {name: Value(value * KPA, 2 * KPA)})
    p = {"precharge": 186.2, "cut_in": 200.0, "cut_out": 350.0} | {name: value}
    absolute = {key: kpa * KPA + AIR_1000_M for key, kpa in p.items()}
    nominal = 0.080 * absolute["precharge"] * (1 / absolute["cut_in"] - 1 / absolute["cut_out"])
    assert limits(moved).nominal == pytest.approx(nominal, rel=1e-4)


def test_a_run_is_what_is_left_of_the_pump_over_the_draw() -> None:
    # drawdown over the booster's flow less 5 L/min; against the stepwise filling from cut-in to cut-out, O1 drawing
    system = build(sallow_clinic())
    state = State(levels={"T1": 0.7}, open_outlets={"O1": 5 * L_PER_MIN})
    stepwise = run_time(system, system.node("B1"), system.node("PT1"), system.node("PS1"), state)
    assert limits(RUN).nominal == pytest.approx(stepwise, rel=0.03)
    assert limits(RUN).lower == 30.0


@pytest.mark.parametrize(("seconds", "verdict"), [(60.0, Verdict.WITHIN), (12.0, Verdict.OUTSIDE)])
def test_run_verdicts(seconds: float, verdict: Verdict) -> None:
    short = changed(RUN, **{f"run_time__{i}": (seconds, 0.6) for i in (1, 2, 3)})
    assert first(short).verdict is verdict


def test_a_tank_too_small_is_said() -> None:
    small = limits(changed(RUN, **{f"run_time__{i}": (15.0, 0.6) for i in (1, 2, 3)}), PT1__volume=0.008)
    assert small.nominal is None
    assert "too small" in small.basis


def test_a_well_pump_s_run_has_the_least_run_alone() -> None:
    check, system = CHECKS["starts_at_fixed_draw"], build(heron_farm())
    found = assess(check, system, "PT1", readings=readings(RUN.typed)).findings[0]
    assert found.verdict is Verdict.WITHIN
    assert found.expected is not None
    assert found.expected.nominal is None


@pytest.mark.parametrize(("starts", "verdict"), [(0.0, Verdict.WITHIN), (2.0, Verdict.OUTSIDE)])
def test_starts_with_taps_shut(starts: float, verdict: Verdict) -> None:
    assert first(changed(SHUT, starts=starts)).verdict is verdict


@pytest.mark.parametrize(
    ("end", "verdict"), [(344.0, Verdict.WITHIN), (320.0, Verdict.OUTSIDE), (337.5, Verdict.BORDERLINE)]
)
def test_house_side_verdicts(end: float, verdict: Verdict) -> None:
    assert first(changed(TIGHT, pressure__end=(end * KPA, 600.0))).verdict is verdict


def test_the_house_side_is_held_near_working_pressure() -> None:
    low = {f"pressure__{k}": (v * KPA, 600.0) for k, v in (("start", 60.0), ("settled", 60.0), ("end", 59.0))}
    assert first(changed(TIGHT, **low)).verdict is Verdict.UNJUDGED


@pytest.mark.parametrize(("taken", "tag"), [(LOW, "LS1"), (WATER, "LS2")], ids=["booster", "guard"])
def test_low_stops_by_hand(taken: Taken, tag: str) -> None:
    # switch at 0.90 m over a floor at 0.60 m: 30 cm ± 5; the outlet stands 10 cm above the floor
    e = limits(taken)
    assert (e.lower, e.nominal, e.upper) == pytest.approx((0.25, 0.30, 0.35))
    assert limits(taken, **{f"{tag}__set_elevation": 0.72}).lower == pytest.approx(0.10)
    assert first(taken).value == pytest.approx(0.31)


def test_a_low_stop_that_hangs_is_outside() -> None:
    assert first(changed(LOW, depth=(0.12, 0.006))).verdict is Verdict.OUTSIDE


def test_a_zone_ends_at_pumps_tanks_and_check_valves() -> None:
    clinic, farm, school = build(sallow_clinic()), build(heron_farm()), build(quince_ridge())
    for system, pump in ((clinic, "B1"), (farm, "PU1")):
        tank = pressure_tank_of(system, "O1")
        assert tank is not None
        assert tank.tag == "PT1"
        assert switch_of(system, tank).tag == "PS1"
        assert tank_of_switch(system, system.node("PS1")).tag == "PT1"
        assert [one.tag for one in fillers_of(system, tank)] == [pump]
    assert pressure_tank_of(clinic, "F1") is None
    assert pressure_tank_of(school, "O1") is None


def test_a_guard_in_a_well_owes_no_stop_in_a_tank() -> None:
    owed = {o.id for o in order_of_checks(build(quince_ridge()))}
    assert not owed & {"low_water_stop:LS2", "booster_low_stop:LS1"}
    clinic = {o.id for o in order_of_checks(build(sallow_clinic()))}
    assert {"low_water_stop:LS2", "booster_low_stop:LS1"} <= clinic
    assert not clinic & {"low_water_stop:LS1", "booster_low_stop:LS2"}


def test_nothing_runs_under_pressure_before_relief_gas_and_a_look() -> None:
    for document in (sallow_clinic(), heron_farm()):
        order = [o.check for o in order_of_checks(build(document))]
        before = [order.index(key) for key in ("relief_opens", "precharge", "low_pressure_fill")]
        assert max(before) < min(order.index(key) for key in order if CHECKS[key].gate == "pressurise")
        assert order.index("precharge") < order.index("relief_opens")  # perishable


def test_pressurise_is_settled_and_never_released() -> None:
    hold, owed = HOLDS["pressurise"], order_of_checks(build(sallow_clinic()))
    good = {o.id: True for o in required_by(hold, owed)}
    design = dict.fromkeys(hold.design, True)
    assert set(good) == {"relief_opens:RV1", "precharge:PT1", "low_pressure_fill:PT1"}
    assert standing(hold, owed, good, released=False, design=design) is Standing.SETTLED
    for one in good:
        assert standing(hold, owed, {**good, one: False}, released=True, design=design) is Standing.STANDS


def test_a_walk_under_pressure_ends_at_a_check_valve() -> None:
    tags = {node.tag for node in zone(build(sallow_clinic()), "PT1")}
    assert {"V2", "J1", "O1", "O2", "RV1"} <= tags
    assert "B1" not in tags
