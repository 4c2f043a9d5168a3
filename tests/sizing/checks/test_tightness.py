"""Tightness of the gravity side: falls, temperatures and the makeup of gasketed pipe."""

import CoolProp.CoolProp
import pytest

from sizing.order import order_of_checks
from sizing.system import System, build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import Taken, changed, expected, finding, good, judged
from tests.sizing.systems import component, plate, quince_ridge, run

GRAVITY = ("P2", "P6", "P3", "P4")


def with_pipes(**fields: object) -> System:
    """Return the test system with fields of the gravity side's pipes changed."""
    document = quince_ridge()
    for tag in GRAVITY:
        plate(document, tag).update(fields)
    return build(document)


@pytest.mark.parametrize(
    ("end", "verdict"),
    [(169e3, Verdict.WITHIN), (170.4e3, Verdict.WITHIN), (155e3, Verdict.OUTSIDE), (163.5e3, Verdict.BORDERLINE)],
)
def test_falls_in_plastic_pipe(end: float, verdict: Verdict) -> None:
    assert judged(changed(good("tightness_whole"), pressure__end=(end, 600.0))).verdict is verdict


def test_the_fall_counts_from_when_it_has_settled() -> None:
    assert finding(good("tightness_whole")).value == pytest.approx(1400)


def test_two_readings_of_one_gauge_make_the_uncertainty() -> None:
    # √2 · 600 Pa, doubled
    assert finding(good("tightness_whole")).spread == pytest.approx(2 * 2**0.5 * 600)


def test_plastic_that_warms_is_not_judged() -> None:
    warm = finding(changed(good("tightness_whole"), temperature__end=(14.2, 0.03)))
    assert warm.verdict is Verdict.UNJUDGED
    assert "1.2 K" in warm.reason


def test_without_a_temperature_nothing_is_said() -> None:
    none = finding(changed(good("tightness_whole"), temperature__end=None))
    assert none.verdict is Verdict.UNJUDGED
    assert "temperature" in none.reason


def test_metal_pipe_is_corrected_by_the_water_alone() -> None:
    # CoolProp: β / κ of water at 13 °C and one atmosphere, times a cooling of 0.02 K
    state = ("T", 286.15, "P", 101_325.0, "Water")
    beta = CoolProp.CoolProp.PropsSI("ISOBARIC_EXPANSION_COEFFICIENT", *state)
    kappa = CoolProp.CoolProp.PropsSI("ISOTHERMAL_COMPRESSIBILITY", *state)
    taken = changed(
        good("tightness_whole"),
        pressure__end=(164e3, 600.0),
        temperature__settled=(13.0, 0.002),
        temperature__end=(12.98, 0.002),
    )
    value = finding(taken, system=with_pipes(material="galvanized")).value
    assert value == pytest.approx(6000 - 0.02 * beta / kappa, rel=5e-3)


def test_a_coarse_thermometer_leaves_a_metal_line_undecided() -> None:
    found = finding(good("tightness_whole"), system=with_pipes(material="copper"))
    assert found.verdict in (Verdict.UNJUDGED, Verdict.BORDERLINE)
    assert "temperature" in found.reason


def test_the_test_pressure_is_near_that_of_a_full_tank() -> None:
    # overflow at 18.20 m, lowest tap at 0.80 m: 17.4 m of water, less a tenth
    e = expected(good("tightness_whole"), "test_pressure")
    assert e.lower == pytest.approx(0.9 * 999.38 * 9.80665 * 17.4, rel=1e-5)
    assert e.upper == 1e6
    low = changed(good("tightness_whole"), pressure__settled=(90e3, 600.0), pressure__end=(89e3, 600.0))
    assert finding(low, "test_pressure").verdict is Verdict.OUTSIDE


def test_the_weakest_pipe_sets_the_upper_limit() -> None:
    document = quince_ridge()
    plate(document, "P3")["pressure_rating"] = 160_000.0
    assert finding(good("tightness_whole"), "test_pressure", build(document)).verdict is Verdict.OUTSIDE


def test_gasketed_pipe_owes_a_makeup_test_instead() -> None:
    owed = {o.check for o in order_of_checks(with_pipes(joints="gasketed"))}
    assert "tightness_makeup" in owed
    assert "tightness_whole" not in owed
    assert "tightness_makeup" not in {o.check for o in order_of_checks(build(quince_ridge()))}


def test_makeup_allowance_by_the_waterworks_rule() -> None:
    # P6 alone gasketed: S·D·√P/148 000 = 459.3 ft · 1.2835 in · √21.76 psi / 148 000 = 0.018580 gal/h
    document = quince_ridge()
    plate(document, "P6")["joints"] = "gasketed"
    system = build(document)
    taken = Taken("tightness_makeup", "T1", {"pressure": (150e3, 600.0), "makeup": (6e-5, 1e-6), "time": (7200.0, 3.0)})
    e = expected(taken, system=system)
    assert e.upper is not None
    assert e.upper * 3600 / 3.785411784e-3 == pytest.approx(0.018580, rel=1e-3)
    assert judged(taken, system).verdict is Verdict.WITHIN
    assert judged(changed(taken, makeup=(3e-4, 1e-6)), system).verdict is Verdict.OUTSIDE


def test_a_line_between_tanks_is_tested_by_the_height_of_the_upper_one() -> None:
    document = {
        "site": {"ground_temperature": 16.0},
        "components": [
            component("T1", "storage_tank", floor_elevation=28.0, outlet_elevation=28.1, overflow_elevation=29.6),
            component("T2", "storage_tank", floor_elevation=14.0, inlet_elevation=16.2, overflow_elevation=16.0),
        ],
        "runs": [run("P1", "pipe", "T1.outlet", "T2.inlet", length=95.0, material="pe", pressure_rating=16e5)],
    }
    system = build(document)
    subject = Taken("tightness_whole", "T1", good("tightness_whole").typed)
    found = expected(subject, "test_pressure", system=system)
    # 29.6 − 16.2 m of water at 16 °C, 998.94 kg/m³ (IAPWS tables), less a tenth
    assert found.lower == pytest.approx(0.9 * 998.94 * 9.80665 * 13.4, rel=1e-4)
    assert found.upper == 16e5
