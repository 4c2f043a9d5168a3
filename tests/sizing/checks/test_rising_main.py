"""The rising main, the well pump's own log, and how the well recovers."""

import pytest

from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.system import System, build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import STILL, Taken, changed, expected, finding, good, judged
from tests.sizing.more_systems import heron_farm
from tests.sizing.systems import L_PER_MIN, plate, quince_ridge
from tests.sizing.working_steps import assert_all_recompute

SHUT = Taken("well_pump_shutoff_pressure", "PU1", {"pressure": (330e3, 3.5e3)}, STILL)


def centrifugal() -> System:
    """Return the test system with a centrifugal pump: 40 L/min at 50 m, 56 L/min at 30 m, at 600 W."""
    document = quince_ridge()
    rows = [[300, 20, 35, 6], [300, 30, 20, 6], [600, 30, 56, 11], [600, 50, 40, 11]]
    plate(document, "PU1").update(
        principle="centrifugal", performance=[[p, h, q * L_PER_MIN, i] for p, h, q, i in rows]
    )
    return build(document)


def test_without_flow_the_curve_is_carried_on_to_its_top() -> None:
    # H = H0 - B·Q² through 40 L/min at 50 m and 56 at 30 m: B = 20 / (56² - 40²), H0 = 50 + 40²·B = 70.83 m
    head = 50 + 40**2 * 20 / (56**2 - 40**2)
    # water at 24 m below a mark 0.4 m up: -23.6 m; the valve with the gauge at 0.5 m
    system = centrifugal()
    valve = next(n for n, _ in system.reached("PU1", "pipe", "discharge"))
    metres = head - 23.6 - valve.need("elevation")
    assert expected(SHUT, system=system).nominal == pytest.approx(999.38 * 9.80665 * metres, rel=0.02)
    assert_all_recompute(step for one in judged(SHUT, system).findings for step in one.steps)


def test_a_worn_pump_and_a_leak_in_the_well_show_without_flow() -> None:
    system = centrifugal()
    nominal = expected(SHUT, system=system).nominal
    assert nominal is not None
    for share, verdict in ((0.95, Verdict.WITHIN), (0.75, Verdict.OUTSIDE), (1.2, Verdict.OUTSIDE)):
        assert finding(changed(SHUT, pressure=(share * nominal, 3.5e3)), system=system).verdict is verdict


def test_no_valve_is_shut_on_a_pump_that_may_not_stand_it() -> None:
    check = CHECKS["well_pump_shutoff_pressure"]
    assert check.subjects(centrifugal()) == ["PU1"]
    assert check.subjects(build(quince_ridge())) == [], "helical rotor"
    assert check.subjects(build(_unknown())) == []


def _unknown() -> dict[str, object]:
    document = quince_ridge()
    plate(document, "PU1")["principle"] = None
    return document


def test_what_leaves_the_wellhead_and_does_not_arrive() -> None:
    lost = good("rising_main_loss")
    leak = changed(lost, arrived=(24 * L_PER_MIN, 0.005 * 24 * L_PER_MIN))
    assert finding(leak).value == pytest.approx(3 * L_PER_MIN)
    assert finding(leak).verdict is Verdict.OUTSIDE
    more = changed(lost, arrived=(30 * L_PER_MIN, 0.005 * 30 * L_PER_MIN))
    assert finding(more).verdict is Verdict.OUTSIDE, "more than was sent: a slip"


def test_a_pump_that_keeps_trying() -> None:
    # twelve starts in an hour and a half are eight an hour
    many = changed(good("well_pump_starts"), starts=12.0, time=(5400.0, 35.0))
    assert finding(many).value == pytest.approx(8)
    assert finding(many).verdict is Verdict.OUTSIDE


def test_a_dry_stop_every_day_is_too_many() -> None:
    assert finding(changed(good("low_water_trips"), trips=60.0)).verdict is Verdict.OUTSIDE  # two a day


def test_nine_tenths_are_back_at_the_level_of_the_working() -> None:
    # static 24 m, pumped down to 25.8 m: nine tenths of 1.8 m are back at 24.18 m
    recovery = good("recovery_time")
    steps = {s.symbol: s.result for s in finding(recovery).steps}
    assert steps["D₉₀"] == pytest.approx(24.18)
    assert finding(changed(recovery, time=(2400.0, 9.0))).verdict is Verdict.OUTSIDE, "longer than it was pumped"


def test_a_level_that_is_not_back_yet_is_not_judged() -> None:
    early = changed(good("recovery_time"), level=24.6)
    assert finding(early).verdict is Verdict.UNJUDGED
    assert "wait on" in finding(early).reason


def test_a_level_within_the_hour_after_pumping_is_no_level_at_rest() -> None:
    static = good("static_level")
    soon = finding(static, hours_since_pumping=Value(1800.0, 100.0))
    assert soon.verdict is Verdict.UNJUDGED
    assert "rested for less than an hour" in soon.reason
    assert finding(static, hours_since_pumping=Value(36_000.0, 100.0)).verdict is Verdict.WITHIN


def test_conductivity_with_and_without_compensation_agree() -> None:
    # 0.039 S/m at 14 °C is 0.039 / (1 - 0.0191·11) = 0.04937 S/m at 25 °C
    plain = good("conductivity", "plain")
    assert finding(plain).value == pytest.approx(0.04937, rel=1e-3)
    # Directive (EU) 2020/2184 (from memory): 2500 µS/cm at 20 °C, 2764 at 25 °C
    assert expected(plain).upper == pytest.approx(0.2764, rel=1e-3)
    assert finding(changed(good("conductivity", "compensated"), compensated=(0.30, 5e-4))).verdict is Verdict.OUTSIDE


def test_a_pump_against_a_pressure_tank_alone_is_not_asked_for_a_height() -> None:
    for key in ("wellhead_pressure", "well_pump_specific_energy"):
        assert CHECKS[key].subjects(build(heron_farm())) == []
        assert CHECKS[key].subjects(build(quince_ridge())) == ["PU1"]
        document = quince_ridge()
        document["runs"] = [one for one in document["runs"] if one["tag"] != "P5"]
        assert CHECKS[key].subjects(build(document)) == ["PU1"]  # nothing on record: it is then said what is missing
