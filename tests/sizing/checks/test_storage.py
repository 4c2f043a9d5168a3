"""Level stops and the balance of a tank, by hand."""

from math import pi

import pytest

from sizing.order import order_of_checks
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import changed, expected, finding, good, judged
from tests.sizing.systems import component, plate, quince_ridge


def test_the_stop_is_counted_from_the_floor() -> None:
    # switch at 18.05 m over a floor at 16 m: 2.05 m ± 5 cm
    e = expected(good("fill_stop_level"))
    assert (e.lower, e.nominal, e.upper) == pytest.approx((2.00, 2.05, 2.10))


def test_from_the_lip_the_depth_is_what_is_left() -> None:
    # overflow at 18.20 m: 2.20 m up; 16 cm below it the water stands 2.04 m deep
    assert finding(good("fill_stop_level", "lip")).value == pytest.approx(2.04)


@pytest.mark.parametrize(
    ("depth", "verdict"),
    [(2.05, Verdict.WITHIN), (2.15, Verdict.OUTSIDE), (1.9, Verdict.OUTSIDE), (2.095, Verdict.BORDERLINE)],
)
def test_stop_verdicts(depth: float, verdict: Verdict) -> None:
    assert judged(changed(good("fill_stop_level"), depth=(depth, 0.006))).verdict is verdict


def test_the_stop_is_never_above_the_overflow() -> None:
    document = quince_ridge()
    plate(document, "LS1")["set_elevation"] = 18.18
    e = expected(good("fill_stop_level"), system=build(document))
    assert e.upper == pytest.approx(2.20)


def test_the_restart_is_the_differential_below() -> None:
    e = expected(good("fill_restart_level"))
    assert (e.lower, e.nominal, e.upper) == pytest.approx((1.60, 1.65, 1.70))


def test_only_switches_that_stop_the_filling_owe_a_stop() -> None:
    owed = {o.id for o in order_of_checks(build(quince_ridge()))}
    assert "fill_stop_level:LS1" in owed
    assert "fill_stop_level:LS2" not in owed


def test_balance_by_hand() -> None:
    # a rise of 0.25 m in 2.4 m: π/4 · 2.4² · 0.25 = 1.131 m³; 0.45 L/s for 2500 s: 1.125 m³
    one = finding(good("fill_balance"))
    assert one.value == pytest.approx(pi / 4 * 2.4**2 * 0.25)
    assert expected(good("fill_balance")).nominal == pytest.approx(1.125)


def test_a_leaking_tank_is_outside() -> None:
    assert judged(changed(good("fill_balance"), end_level=(1.20, 0.006))).verdict is Verdict.OUTSIDE


def test_a_falling_level_is_refused_as_a_slip() -> None:
    slip = finding(changed(good("fill_balance"), end_level=(0.9, 0.006)))
    assert slip.verdict is Verdict.UNJUDGED


def test_a_rectangular_tank_takes_its_own_area() -> None:
    document = quince_ridge()
    tank = component(
        "T1", "storage_tank", **{**plate(document, "T1"), "shape": "rectangular", "length": 2.0, "width": 1.5}
    )
    document["components"] = [tank if c["tag"] == "T1" else c for c in document["components"]]
    assert finding(good("fill_balance"), system=build(document)).value == pytest.approx(0.75)
