"""The booster, by its table, by Ohm's law and by the sum of its suction."""

import pytest

from sizing.checks.case import Expected, Value
from sizing.checks.catalogue import CHECKS
from sizing.judgement import Assessment, Finding, assess, expect
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, readings
from tests.sizing.more_systems import KPA, sallow_clinic
from tests.sizing.systems import L_PER_MIN, bare, plate
from tests.sizing.working_steps import assert_all_recompute

G = 9.80665
RHO = 999.10  # kg/m³ at 15 °C, IAPWS tables
GAUGES = {"discharge": (298 * KPA, 2.9 * KPA), "suction": (-2 * KPA, 2.9 * KPA)}
VOLTAGE = Taken("booster_voltage", "B1", {"voltage": (24.9, 0.03), "source": (25.2, 0.03), "current": (12.0, 0.15)})
CURRENT = Taken("booster_current", "B1", {"current": (10.2, 0.13), **GAUGES}, way="clamp")
ALONE = Taken("booster_current", "B1", {"current": (12.2, 0.15)}, way="alone")
FLOW = Taken("booster_flow", "B1", {"flow": (13.2 * L_PER_MIN, 0.23 * L_PER_MIN), **GAUGES})
DROP = Taken(
    "filter_drop", "F1",
    {"before": (3.0 * KPA, 580.0), "behind": (0.5 * KPA, 580.0), "flow": (15 * L_PER_MIN, 0.26 * L_PER_MIN)},
)  # fmt: skip
NPSH = Taken("npsh_margin", "B1")
EVERY = pytest.mark.parametrize("taken", [VOLTAGE, CURRENT, ALONE, FLOW, DROP, NPSH], ids=lambda one: one.id)


def judged(taken: Taken, conditions: dict[str, Value] | None = None, **plates: object) -> Assessment:
    """Return the assessment on the clinic, some fields changed."""
    document = sallow_clinic()
    for key, value in plates.items():
        tag, _, field = key.partition("__")
        plate(document, tag)[field] = value
    return assess(
        CHECKS[taken.check], build(document), taken.subject, readings=readings(taken.typed),
        conditions=conditions or {}, way=taken.way,
    )  # fmt: skip


def first(taken: Taken, conditions: dict[str, Value] | None = None, **plates: object) -> Finding:
    return judged(taken, conditions, **plates).findings[0]


def limits(taken: Taken, **plates: object) -> Expected:
    found = first(taken, **plates).expected
    assert found is not None
    return found


def value(taken: Taken, conditions: dict[str, Value] | None = None, **plates: object) -> float:
    found = first(taken, conditions, **plates).value
    assert found is not None
    return found


@EVERY
def test_a_sound_measurement_is_within(taken: Taken) -> None:
    assert {(f.verdict, f.reason) for f in judged(taken).findings} == {(Verdict.WITHIN, "")}


@EVERY
def test_every_printed_step_gives_its_result_again(taken: Taken) -> None:
    assert_all_recompute(step for one in judged(taken).findings for step in one.steps)


@EVERY
def test_an_empty_nameplate_gives_only_what_is_missing(taken: Taken) -> None:
    system, check = build(bare(sallow_clinic())), CHECKS[taken.check]
    found = assess(check, system, taken.subject, readings=readings(taken.typed), way=taken.way)
    assert found.verdict is Verdict.UNJUDGED
    assert all(one.missing for one in found.findings)
    for one in check.judged:
        assert expect(check, one, system, taken.subject, conditions={})[2] is not None


def test_volts_by_ohm() -> None:
    # 10 mm²: 1.83 Ω/km at 20 °C (IEC 60228, class 2), 3.9 % more at 30 °C; 8 m of it and 12 A: 0.18 V
    e = limits(VOLTAGE)
    nominal = 25.2 - 12 * 1.83e-3 * (1 + 0.00393 * 10) * 8
    assert e.nominal == pytest.approx(nominal, abs=0.01)
    assert e.lower == pytest.approx(0.97 * nominal, abs=0.01)
    assert e.upper == pytest.approx(1.02 * 25.2)
    assert limits(VOLTAGE, K4__length=40.0).nominal == pytest.approx(25.2 - 12 * 1.83e-3 * 1.0393 * 80, abs=0.05)


@pytest.mark.parametrize(
    ("volts", "verdict"), [(25.0, Verdict.WITHIN), (22.5, Verdict.OUTSIDE), (27.0, Verdict.OUTSIDE)]
)
def test_voltage_verdicts(volts: float, verdict: Verdict) -> None:
    assert first(changed(VOLTAGE, voltage=(volts, 0.03))).verdict is verdict


def test_current_by_the_table() -> None:
    # 300 kPa: 10 A; 350 kPa, half way between 10 and 12.5 A: 11.25 A
    e = limits(CURRENT)
    assert (e.lower, e.nominal, e.upper) == pytest.approx((8.0, 10.0, 12.0))
    assert limits(changed(CURRENT, discharge=(348 * KPA, 2.9 * KPA))).nominal == pytest.approx(11.25)
    # rated 13 A + 3 %
    assert limits(ALONE).upper == pytest.approx(13.39)
    assert limits(CURRENT, B1__rated_current=10.5).upper == pytest.approx(10.815)


@pytest.mark.parametrize(
    ("amperes", "verdict"), [(10.0, Verdict.WITHIN), (5.0, Verdict.OUTSIDE), (14.5, Verdict.OUTSIDE)]
)
def test_current_verdicts(amperes: float, verdict: Verdict) -> None:
    assert first(changed(CURRENT, current=(amperes, 0.13))).verdict is verdict


def test_a_table_without_currents_leaves_the_rated_one() -> None:
    rows = [[p * KPA, q * L_PER_MIN, None] for p, q in ((100, 17.0), (200, 15.5), (300, 13.5), (400, 11.0))]
    e = limits(CURRENT, B1__performance=rows)
    assert e.nominal is None
    assert e.upper == pytest.approx(13.39)


def test_flow_by_the_table_at_the_measured_rise() -> None:
    # 298 − (−2) = 300 kPa: 13.5 L/min; the suction's vacuum counts
    e = limits(FLOW)
    assert e.nominal == pytest.approx(13.5 * L_PER_MIN, rel=1e-6)
    assert (e.lower, e.upper) == pytest.approx((0.85 * 13.5 * L_PER_MIN, 1.2 * 13.5 * L_PER_MIN), rel=1e-6)
    pushed = limits(changed(FLOW, suction=(98 * KPA, 2.9 * KPA)))
    assert pushed.nominal == pytest.approx(15.5 * L_PER_MIN, rel=1e-6)


@pytest.mark.parametrize(
    ("litres", "verdict"), [(13.5, Verdict.WITHIN), (8.0, Verdict.OUTSIDE), (20.0, Verdict.OUTSIDE)]
)
def test_flow_verdicts(litres: float, verdict: Verdict) -> None:
    taken = changed(FLOW, flow=(litres * L_PER_MIN, 0.2 * L_PER_MIN))
    assert first(taken).verdict is verdict


def test_a_rise_that_the_table_has_not_is_not_judged() -> None:
    low = first(changed(FLOW, discharge=(40 * KPA, 2.9 * KPA)))
    assert low.verdict is Verdict.UNJUDGED
    assert "as the pump's table has it" in low.reason


def test_filter_limits_go_with_the_square_of_the_flow() -> None:
    # 2 and 10 kPa at 20 L/min; at 15 L/min (15/20)² of them
    e = limits(DROP)
    assert (e.nominal, e.upper) == pytest.approx((2 * KPA * 0.5625, 10 * KPA * 0.5625))
    assert e.lower is None


@pytest.mark.parametrize(("before", "verdict"), [(2.5, Verdict.WITHIN), (12.0, Verdict.OUTSIDE)])
def test_filter_verdicts(before: float, verdict: Verdict) -> None:
    assert first(changed(DROP, before=(before * KPA, 580.0))).verdict is verdict


def test_suction_head_by_hand() -> None:
    # 1000 m: 89.875 kPa (U.S. Standard Atmosphere 1976); water at 36 °C boils at 5.947 kPa (IAPWS);
    # tank low 0.4 m above the inlet; dirty filter 10 kPa · (17/20)² at 17 L/min; pipes some 0.05 m
    available = (89_875 - 5_947) / (RHO * G) + 0.4 - 10 * KPA * 0.85**2 / (RHO * G) - 0.05
    assert value(NPSH) == pytest.approx(available - 2.5, abs=0.04)
    assert limits(NPSH).lower == 0.5


def test_a_suction_filter_counts_against_the_suction_head() -> None:
    # common practice, no source: 20 kPa eat 2.04 m at the flow of their nameplate
    more = value(NPSH) - value(NPSH, F1__change_out_drop=30 * KPA)
    assert more == pytest.approx(20 * KPA / (RHO * G) * 0.85**2, rel=1e-3)
    assert first(NPSH, F1__change_out_drop=100 * KPA).verdict is Verdict.OUTSIDE


def test_a_tank_above_the_inlet_leaves_no_lift() -> None:
    # common practice, no source: each metre of tank above the inlet is a metre of suction head, below it one less
    assert value(NPSH) - value(NPSH, B1__elevation=2.3) == pytest.approx(2.0, abs=1e-6)
    step = next(s for s in first(NPSH).steps if s.symbol == "z")
    assert step.result == pytest.approx(0.4)


def test_the_measured_flow_takes_the_place_of_the_greatest() -> None:
    less = value(NPSH, {"booster_flow": Value(12 * L_PER_MIN, 1e-6)})
    assert less > value(NPSH)
    assert less - value(NPSH) == pytest.approx(10 * KPA / (RHO * G) * (0.85**2 - 0.6**2), abs=0.04)


def test_thin_air_and_warm_water_leave_less() -> None:
    assert value(NPSH, site__altitude=3000.0) < value(NPSH)
    assert value(NPSH, site__design_high=55.0) < value(NPSH)
