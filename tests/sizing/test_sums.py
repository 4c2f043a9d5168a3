"""Sums on the spot, each by hand beside it; and each the same as what the check says afterwards."""

from math import pi

import pytest

from sizing.checks.case import Reading, Value
from sizing.checks.catalogue import CHECKS
from sizing.sums import SUMS, Worked, worked
from sizing.system import build
from tests.sizing.checks.measured import Taken, finding
from tests.sizing.more_systems import heron_farm, sallow_clinic
from tests.sizing.systems import L_PER_MIN, bare, quince_ridge

KPA = 1e3


def told(done: list[Worked]) -> dict[str, float]:
    assert done
    assert [one.missing for one in done] == [""]
    assert all(one.steps for one in done)
    return {line.words: line.value for one in done for line in one.lines}


def test_bleach_to_pour_and_what_is_typed_gives() -> None:
    # casing 22 m of 152 mm, 44.5 m of pipe of 32.6 mm, a shell of 200 L; 50 g of chlorine in a litre of bleach
    water = pi / 4 * (0.152**2 * 22 + 0.0326**2 * 44.5) + 0.200
    conditions = {"static_level": Value(8.0), "bleach_strength": Value(0.05)}
    found = told(
        worked("chlorine_dose", build(heron_farm()), "W1", readings=(Reading("bleach", 1e-3),), conditions=conditions)
    )
    assert found["for 100 mg/L"] == pytest.approx(water * 0.1 / 50)
    assert found["for 50 mg/L"] == pytest.approx(water * 0.05 / 50)
    assert found["what is typed gives"] == pytest.approx(50 / (water * 1000) * 1000)  # 50 g in so many m³: mg/L


def test_precharge_to_set_at_the_temperature_of_the_gas() -> None:
    # 200 kPa less 2 psi: 186.21 kPa at 20 °C; at 10 °C by Gay-Lussac in absolute pressures, 1000 m up: 89.87 kPa of air
    system = build(sallow_clinic())
    warm = told(worked("precharge", system, "PT1"))
    assert list(warm.values()) == pytest.approx([186_210.5], abs=1)
    cold = told(worked("precharge", system, "PT1", readings=(Reading("temperature", 10.0),)))
    assert list(cold.values()) == pytest.approx([(186_210.5 + 89_874.6) * 283.15 / 293.15 - 89_874.6], abs=2)


def test_drawdown_of_the_pressure_tank_by_boyle() -> None:
    # 80 L · (186.2 + 89.87) · (1/289.87 − 1/439.87), in kPa absolute: 25.98 L
    (found,) = told(worked("tank_drawdown", build(sallow_clinic()), "PT1")).values()
    assert found == pytest.approx(0.080 * 276.07 * (1 / 289.87 - 1 / 439.87), rel=1e-3)


def test_drop_of_the_cable_at_the_current_typed() -> None:
    # 2 · 4 m of 10 mm² at 1.83 mΩ/m (IEC 60228), at the 30 °C of its record: 15.22 mΩ; 12 A of 25.2 V
    ohms = 8 * 1.83e-3 * (1 + 0.00393 * 10)
    typed = (Reading("current", 12.0), Reading("source", 25.2))
    found = told(worked("booster_voltage", build(sallow_clinic()), "B1", readings=typed))
    assert list(found.values()) == pytest.approx([12 * ohms, 12 * ohms / 25.2, 25.2 - 12 * ohms], rel=1e-4)


def test_drawdown_of_the_well_beside_its_test() -> None:
    # 25.8 − 24.0 m; the test gave 45 L/min at 3 m, so 27 L/min should draw 1.8 m
    typed = (Reading("level", 25.8), Reading("flow", 27 * L_PER_MIN))
    found = told(
        worked("pumping_level", build(quince_ridge()), "W1", readings=typed, conditions={"static_level": Value(24.0)})
    )
    assert list(found.values()) == pytest.approx([1.8, 1.8, 15 * L_PER_MIN], rel=1e-6)


def test_suction_head_is_that_of_the_check_and_falls_with_the_flow() -> None:
    system = build(sallow_clinic())

    def left(flow: float) -> float:
        (only,) = told(worked("booster_flow", system, "B1", readings=(Reading("flow", flow),))).values()
        return only

    check = finding(Taken("npsh_margin", "B1", {}, {"booster_flow": Value(14 * L_PER_MIN)}), system=system)
    assert left(14 * L_PER_MIN) == pytest.approx(check.value)
    assert left(17 * L_PER_MIN) < left(11 * L_PER_MIN)


@pytest.mark.parametrize("check", SUMS)
def test_what_is_missing_is_said_and_never_raises(check: str) -> None:
    for document in (bare(sallow_clinic()), bare(quince_ridge()), bare(heron_farm())):
        system = build(document)
        for tag in CHECKS[check].subjects(system):
            for one in worked(check, system, tag):
                assert one.missing
                assert not one.lines
