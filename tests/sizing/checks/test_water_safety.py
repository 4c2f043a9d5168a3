"""Chlorine by the mass balance, and what the laboratory says."""

from math import pi

import pytest

from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.judgement import expect
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import changed, expected, finding, good, in_advance, judged
from tests.sizing.checks.measured_power import POWER_GOOD
from tests.sizing.checks.measured_power import judged as judged_power
from tests.sizing.more_systems import heron_farm, sallow_clinic
from tests.sizing.systems import plate, quince_ridge

DOSE = good("chlorine_dose")
# by hand: well π/4 · 0.152² · (60 − 24); pipes of 32.6 mm 46 + 120 + 1.5 + 140 m, of 20.4 mm 25 + 18 m; tank 1.5 m deep
WETTED = pi / 4 * (0.152**2 * 36 + 0.0326**2 * 307.5 + 0.0204**2 * 43 + 2.4**2 * 1.5)


def test_bleach_for_all_that_is_wetted() -> None:
    # m = V · C: 7.71 m³ at 100 mg/L take 771 g of chlorine, 15.42 L of bleach with 50 g/L
    e = expected(DOSE)
    assert pytest.approx(7.70981, abs=1e-4) == WETTED
    assert e.nominal == pytest.approx(WETTED * 0.1 / 50)
    assert (e.lower, e.upper) == pytest.approx((WETTED * 0.05 / 50, WETTED * 0.2 / 50))


def test_the_bleach_to_pour_is_known_before_it_is_poured() -> None:
    e = in_advance(DOSE)
    assert e is not None
    assert e.nominal == pytest.approx(WETTED * 0.1 / 50)


def test_the_dose_is_printed_in_milligrams_per_litre() -> None:
    one = finding(DOSE, "dose")
    assert one.value == pytest.approx(0.015 * 50e6 / (WETTED * 1e3) * 1e-3 * 1e3)


@pytest.mark.parametrize(
    ("litres", "verdict"),
    [(15.0, Verdict.WITHIN), (5.0, Verdict.OUTSIDE), (40.0, Verdict.OUTSIDE), (8.0, Verdict.BORDERLINE)],
)
def test_dose_verdicts(litres: float, verdict: Verdict) -> None:
    found = judged(changed(DOSE, bleach=(litres * 1e-3, 2e-4)))
    assert {f.verdict for f in found.findings} == {verdict}


def test_twice_the_strength_is_half_the_bleach() -> None:
    assert expected(DOSE, bleach_strength=Value(0.1, 0.003)).nominal == pytest.approx(WETTED * 0.1 / 100)


def test_hypochlorite_on_the_label_is_less_chlorine() -> None:
    # California State Water Board, example calculations: factor 0.9525
    assert finding(good("bleach_strength")).value == pytest.approx(0.05 * 0.9525, rel=1e-4)


def test_a_level_below_the_bottom_is_a_slip() -> None:
    slip = finding(DOSE, static_level=Value(61.0, 0.01))
    assert slip.verdict is Verdict.UNJUDGED
    assert "depth of the well" in slip.reason


def test_a_well_without_a_pump_says_what_is_missing() -> None:
    document = quince_ridge()
    document["components"] = [c for c in document["components"] if c["tag"] not in ("PU1", "HP1")]
    document["runs"] = [r for r in document["runs"] if "PU1" not in (r["start"], r["end"])]
    found = finding(DOSE, system=build(document))
    assert found.verdict is Verdict.UNJUDGED
    assert "pump" in found.reason


@pytest.mark.parametrize(
    ("residual", "verdict"),
    [
        ((0.1, 0.0, "<"), Verdict.WITHIN),
        ((0.0, 0.03), Verdict.WITHIN),
        ((0.6, 0.07), Verdict.OUTSIDE),
        ((0.12, 0.03), Verdict.BORDERLINE),
    ],
)
def test_nothing_may_be_left_at_the_sampling(residual: tuple, verdict: Verdict) -> None:
    assert judged(changed(good("residual_at_sampling"), residual=residual)).verdict is verdict


@pytest.mark.parametrize(
    ("colonies", "verdict"),
    [
        ((0.0, 0.0), Verdict.WITHIN),
        ((0.0, 0.29), Verdict.WITHIN),
        ((1.0, 0.0, "<"), Verdict.WITHIN),
        ((1.0, 0.0), Verdict.OUTSIDE),
        ((1.0, 0.29), Verdict.OUTSIDE),
        ((200.0, 0.0, ">"), Verdict.OUTSIDE),
        ((10.0, 0.0, "<"), Verdict.UNJUDGED),
    ],
)
def test_coliform_is_absent_or_it_is_not(colonies: tuple, verdict: Verdict) -> None:
    assert judged(changed(good("coliform"), colonies=colonies)).verdict is verdict


def test_a_report_that_is_not_in_leaves_it_unjudged() -> None:
    none = finding(changed(good("coliform"), colonies=None))
    assert none.verdict is Verdict.UNJUDGED
    assert "not in" in none.reason


def test_tank_volume_follows_its_shape() -> None:
    document = quince_ridge()
    plate(document, "T1").update(shape="rectangular", length=2.0, width=1.5)
    rest = WETTED - pi / 4 * 2.4**2 * 1.5
    assert expected(DOSE, system=build(document)).nominal == pytest.approx((rest + 4.5) * 0.1 / 50)


def test_a_well_that_fills_a_pressure_tank_alone_is_dosed_with_its_shell() -> None:
    """Volumes by hand: casing 22 m of 152 mm, 44.5 m of pipe of 32.6 mm bore, a shell of 200 L: 636.4 L."""
    asked = {"static_level": Value(8.0, 0.01), "bleach_strength": Value(0.05, 0.003)}
    e, _, missing = expect(CHECKS["chlorine_dose"], CHECKS["chlorine_dose"].judged[0], build(heron_farm()), "W1",
                           conditions=asked)  # fmt: skip
    assert missing is None
    assert e is not None
    water = pi / 4 * (0.152**2 * 22 + 0.0326**2 * 44.5) + 0.200
    assert e.nominal == pytest.approx(water * 100e-6 / 0.05, rel=1e-6)  # 100 mg/L of a bleach of 50 g/L


def test_a_well_that_fills_nothing_on_record_says_what_is_missing() -> None:
    document = heron_farm()
    document["components"] = [one for one in document["components"] if one["kind"] != "pressure_tank"]
    document["components"] = [{**one, "host": None} if one["tag"] == "PS1" else one for one in document["components"]]
    document["runs"] = [one for one in document["runs"] if "PT1" not in (one["start"], one["end"])]
    found = expect(CHECKS["chlorine_dose"], CHECKS["chlorine_dose"].judged[0], build(document), "W1",
                   conditions={"static_level": Value(8.0), "bleach_strength": Value(0.05)})  # fmt: skip
    assert found[2] is not None
    assert "storage tank" in found[2].words


BY_TANK = next(one for one in POWER_GOOD if one.check == "tank_chlorine_dose")
# by hand: tank 1.5 m deep of 1.6 m; pipes of 26.2 mm 20 m together; a pressure tank of 80 L
BY_THE_TANK = pi / 4 * (1.6**2 * 1.5 + 0.0262**2 * 19.8) + 0.080


def test_a_tank_that_no_well_fills_is_dosed_with_its_pipes_and_pressure_tank() -> None:
    e = judged_power(BY_TANK).findings[0].expected
    assert e is not None
    assert pytest.approx(3.1066, abs=1e-3) == BY_THE_TANK
    assert e.nominal == pytest.approx(BY_THE_TANK * 0.1 / 50, rel=1e-6)


def test_each_water_is_dosed_once() -> None:
    doses = {key: CHECKS[key] for key in ("chlorine_dose", "tank_chlorine_dose")}
    owed = {
        document.__name__: [tag for one in doses.values() for tag in one.subjects(build(document()))]
        for document in (quince_ridge, heron_farm, sallow_clinic)
    }
    assert owed == {"quince_ridge": ["W1"], "heron_farm": ["W1"], "sallow_clinic": ["T1"]}


def test_a_well_with_a_hand_pump_alone_is_dosed_by_its_casing() -> None:
    document = quince_ridge()
    kept = [one for one in document["components"] if one["tag"] in ("W1", "HP1")]
    document.update(components=kept, runs=[])
    e = expected(DOSE, system=build(document))
    assert e.nominal == pytest.approx(pi / 4 * 0.152**2 * 36 * 0.1 / 50)
