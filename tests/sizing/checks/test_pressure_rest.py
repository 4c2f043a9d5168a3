"""What a pressure system shows by itself, and a booster's suction and shut-off, by hand on the clinic."""

import pytest

from sizing.checks.case import Expected, Value
from sizing.checks.catalogue import CHECKS
from sizing.judgement import Assessment, Finding, assess, expect
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, readings
from tests.sizing.more_systems import KPA, heron_farm, sallow_clinic
from tests.sizing.systems import L_PER_MIN, bare, plate
from tests.sizing.working_steps import assert_all_recompute

G, RHO = 9.80665, 999.10  # RHO in kg/m³ at 15 °C, IAPWS tables
LEVEL = {"tank_level": Value(1.2, 0.01)}
REST = Taken("pressure_at_rest", "PT1", {"pressure": (346 * KPA, 2.9 * KPA)}, {"cut_out": Value(352 * KPA, 1.7 * KPA)})
RUN = Taken("booster_run_time", "PT1", {f"time@{i}": (s, 0.6) for i, s in ((1, 110.0), (2, 112.0), (3, 111.0))})
CONTACT = Taken("switch_contact_drop", "PS1", {"voltage": (0.036, 4e-4), "current": (12.0, 0.15)})
VACUUM = Taken(
    "booster_suction_vacuum", "B1", {"pressure": (12.5 * KPA, 1.2 * KPA), "flow": (15 * L_PER_MIN, 4e-6)}, LEVEL
)
PRIME = Taken("booster_prime_time", "B1", {"time": (6.0, 0.6)})
SHUT = Taken("booster_shutoff_pressure", "B1", {"discharge": (455 * KPA, 2.9 * KPA), "suction": (-1 * KPA, 2.9 * KPA)})
EVERY = pytest.mark.parametrize("taken", [REST, RUN, CONTACT, VACUUM, PRIME, SHUT], ids=lambda one: one.check)


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
    assert_all_recompute(step for one in judged(taken).findings for step in one.steps)


@EVERY
def test_an_empty_nameplate_gives_only_what_is_missing(taken: Taken) -> None:
    system, check = build(bare(sallow_clinic())), CHECKS[taken.check]
    found = assess(check, system, taken.subject, readings=readings(taken.typed), way=taken.way)
    if taken is CONTACT:  # what a closed contact may have, no nameplate sets
        assert found.verdict is Verdict.WITHIN
        return
    assert found.verdict is Verdict.UNJUDGED
    assert all(one.missing for one in found.findings)
    for one in check.judged:
        assert expect(check, one, system, taken.subject, conditions={})[2] is not None


def test_it_rests_where_it_was_read_to_stop() -> None:
    assert limits(REST).nominal == 352 * KPA
    by_plate = Taken(REST.check, REST.subject, REST.typed)
    assert limits(by_plate).nominal == 350 * KPA
    assert first(changed(REST, pressure=(318 * KPA, 2.9 * KPA))).verdict is Verdict.OUTSIDE  # it sinks back


def test_run_by_boyle_over_the_table() -> None:
    # 80 L, gas at 186.2, from 200 to 350 kPa gauge, air at 1000 m 89.875 kPa (U.S. Standard Atmosphere 1976):
    # 80 · 276.075 · (1/289.875 - 1/439.875) = 25.98 L; half way the pump adds some 276 kPa: 14.0 L/min of its table
    litres = 80 * 276.075 * (1 / 289.875 - 1 / 439.875)
    assert limits(RUN).nominal == pytest.approx(litres / 14.0 * 60, rel=0.01)
    slow = changed(RUN, **{f"time__{i}": (175.0, 0.6) for i in (1, 2, 3)})
    assert first(slow).verdict is Verdict.OUTSIDE


def test_run_is_asked_only_where_a_booster_fills() -> None:
    assert CHECKS["booster_run_time"].subjects(build(sallow_clinic())) == ["PT1"]
    assert CHECKS["booster_run_time"].subjects(build(heron_farm())) == []


@pytest.mark.parametrize(("millivolts", "verdict"), [(36, Verdict.WITHIN), (150, Verdict.OUTSIDE)])
def test_contact_by_ohm(millivolts: float, verdict: Verdict) -> None:
    found = first(changed(CONTACT, voltage=(millivolts / 1e3, 4e-4)))
    assert found.value == pytest.approx(millivolts / 1e3 / 12)
    assert found.verdict is verdict


def test_a_tank_above_the_inlet_leaves_no_vacuum() -> None:
    # surface at 0.6 + 1.2 m, inlet at 0.3 m: 1.5 m of water are 14.70 kPa; the clean filter takes 2 kPa at 20 L/min,
    # between 1.1 (square) and 1.5 kPa (straight) at 15 L/min, the short pipe less than 0.4 kPa
    nominal = limits(VACUUM).nominal
    assert nominal is not None
    still = RHO * G * 1.5
    assert still - 1.9 * KPA < nominal < still - 1.1 * KPA
    low = limits(Taken(VACUUM.check, VACUUM.subject, VACUUM.typed, {"tank_level": Value(0.2, 0.01)})).nominal
    assert low == pytest.approx(nominal - RHO * G * 1.0, abs=2)


def test_a_clogged_strainer_pulls_a_vacuum() -> None:
    assert first(changed(VACUUM, pressure=(-8 * KPA, 1.2 * KPA))).verdict is Verdict.OUTSIDE
    assert limits(VACUUM).upper is None, "less vacuum is no fault"


def test_an_empty_suction_line_is_moved_twice_over() -> None:
    # 2 m of 26.2 mm hold 1.078 L; the greatest flow of the table, 17 L/min, moves them in 3.81 s
    assert limits(PRIME).nominal == pytest.approx(1.0783 / 17 * 60, rel=1e-3)
    assert limits(PRIME).upper == pytest.approx(2 * 1.0783 / 17 * 60 + 10, rel=1e-3)


def test_shut_off_of_the_nameplate_and_of_the_table() -> None:
    assert limits(SHUT).nominal == pytest.approx(480 * KPA)
    # no printed shut-off: 11 L/min at 400 kPa, 13.5 at 300: 400 + 11²·100 / (13.5² - 11²) = 597.6 kPa
    by_table = limits(SHUT, B1__shut_off_pressure=None, B1__principle="centrifugal").nominal
    assert by_table == pytest.approx((400 + 11**2 * 100 / (13.5**2 - 11**2)) * KPA, rel=1e-4)
    worn = changed(SHUT, discharge=(380 * KPA, 2.9 * KPA))
    assert first(worn).verdict is Verdict.OUTSIDE


def test_no_tap_is_shut_on_a_booster_without_top() -> None:
    document = sallow_clinic()
    plate(document, "B1")["shut_off_pressure"] = None
    assert CHECKS["booster_shutoff_pressure"].subjects(build(document)) == []
    plate(document, "B1")["principle"] = "centrifugal"
    assert CHECKS["booster_shutoff_pressure"].subjects(build(document)) == ["B1"]
