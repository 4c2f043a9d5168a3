"""What a tank loses over night and how often it runs over; which tanks owe a balance; where frost matters."""

from math import pi

import pytest

from sizing.checks.catalogue import CHECKS
from sizing.order import order_of_checks
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import changed, expected, finding, good
from tests.sizing.systems import component, plate, quince_ridge, run

NIGHT = good("tank_overnight_loss")
MORNINGS = [(1.5, Verdict.WITHIN), (1.497, Verdict.WITHIN), (1.47, Verdict.OUTSIDE)]


def test_a_centimetre_over_the_night_is_what_a_rule_can_tell() -> None:
    # 2.4 m across: 1 cm is 45.2 L, over ten hours 4.52 L/h
    litres = pi / 4 * 2.4**2 * 0.01 * 1000
    assert expected(NIGHT).upper == pytest.approx(litres * 1e-3 / 36_000, rel=1e-6)
    assert finding(NIGHT).value == pytest.approx(pi / 4 * 2.4**2 * 0.001 / 36_000, rel=1e-6)


@pytest.mark.parametrize(
    ("morning", "verdict"), [(1.5, Verdict.WITHIN), (1.497, Verdict.WITHIN), (1.47, Verdict.OUTSIDE)]
)
def test_a_leak_of_the_night(morning: float, verdict: Verdict) -> None:
    assert finding(changed(NIGHT, end_level=(morning, 0.0017))).verdict is verdict


def test_running_over_is_a_fault_only_where_a_switch_should_stop_it() -> None:
    check = CHECKS["overflow_events"]
    assert check.subjects(build(quince_ridge())) == ["T1"]
    document = quince_ridge()
    plate(document, "LS1")["purpose"] = "guards_low_water"
    assert check.subjects(build(document)) == []
    # three times a week for a quarter of a year
    assert finding(changed(good("overflow_events"), overflows=39.0)).verdict is Verdict.OUTSIDE


def test_a_roof_fills_a_tank_that_owes_no_balance() -> None:
    assert CHECKS["fill_balance"].subjects(build(quince_ridge())) == ["T1"]
    roof = {
        "site": {},
        "components": [component("SR1", "spring_or_roof", source="roof"), component("T1", "storage_tank"),
                       component("O1", "outlet")],
        "runs": [run("P1", "pipe", "SR1.outlet", "T1.inlet"), run("P2", "pipe", "T1.outlet", "O1.inlet")],
    }  # fmt: skip
    assert CHECKS["fill_balance"].subjects(build(roof)) == []


@pytest.mark.parametrize(("record_low", "owes"), [(-20.0, True), (4.0, False), (None, True)])
def test_frost_is_asked_where_it_may_come(record_low: float | None, owes: bool) -> None:
    document = quince_ridge()
    document["site"]["record_low"] = record_low
    order = order_of_checks(build(document))
    assert ("frost_and_drain_down" in {one.check for one in order}) is owes
