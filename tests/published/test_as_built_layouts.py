"""Each starter layout once filled in, as an invented as-built file: what the numbers of such a system should be.

The files in `as_built/` are read by `manage.py expected`; `commissioning/test_expected.py` asks them all the common
questions. Here their numbers are held against hand sums with handbook formulas.
"""

import io
import json
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from commissioning.asbuilt.layouts import LAYOUTS, SOLAR_WELL, Layout, document_of, with_hand_pump
from commissioning.snapshot import system_of
from sizing.design.declare import Met, Sort
from sizing.design.judge import design_check

AS_BUILT = Path(__file__).parent / "as_built"
FILLED = [one for one in LAYOUTS.values() if one.components]
FOOT, GALLON_PER_MINUTE, PSI = 0.3048, 231 * 0.0254**3 / 60, 6894.757  # NIST Handbook 44, appendix C
GRAVITY, DENSITY = 9.80665, 999.0  # m/s² (standard), kg/m³ at 10 to 16 °C (CRC Handbook)
CONDITIONS = ("irradiance=850", "module_temperature=48", "tank_level=1.2", "bleach_strength=0.055", "static_level=20")


def filled(layout: Layout) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((AS_BUILT / f"{layout.key}.json").read_text())
    return found


def told(key: str) -> dict[tuple[str, str, str], dict[str, Any]]:
    """Return what the command says: (check, value, subject) → row."""
    said = io.StringIO()
    call_command("expected", str(AS_BUILT / f"{key}.json"), "--json", "--conditions", *CONDITIONS, stdout=said)
    return {(row["key"], row["value"], row["subject"]): row for row in json.loads(said.getvalue())["checks"]}


@pytest.mark.parametrize("layout", FILLED, ids=lambda one: one.key)
def test_file_is_its_layout_with_figures(layout: Layout) -> None:
    laid = document_of(with_hand_pump(layout) if layout is SOLAR_WELL else layout)
    there = filled(layout)
    for sort in ("components", "runs"):
        assert [one["tag"] for one in there[sort]] == [one["tag"] for one in laid[sort]]
        for mine, its in zip(there[sort], laid[sort], strict=True):
            assert its["nameplate"].items() <= mine["nameplate"].items()
            ends = ("kind", "host", "start", "start_port", "end", "end_port")
            assert [mine.get(name, "") for name in ends] == [its.get(name, "") for name in ends]


@pytest.mark.parametrize("layout", FILLED, ids=lambda one: one.key)
def test_design_of_an_example_is_safe(layout: Layout) -> None:
    results = design_check(system_of(filled(layout)))
    assert [r.id for r in results if r.met is Met.NOT_MET] == []
    assert [r.id for r in results if r.rule.sort is Sort.SAFETY and r.met is not Met.MET] == []
    assert len(results) > 40


def test_tap_at_rest_feels_the_height_of_its_tank() -> None:
    found = told("solar_well_gravity")
    for tap, elevation in (("O1", 1.0), ("O2", 0.8)):
        at_rest = DENSITY * GRAVITY * (11.0 + 1.2 - elevation) + 5_000  # 1.2 m above the floor at 11 m, and 5 kPa
        assert found["delivery_flow", "delivery_pressure", tap]["upper"] == pytest.approx(at_rest, rel=2e-3)


def hazen_williams(flow: float, bore: float, length: float) -> float:
    """Return the head lost [ft] by the flow [gal/min] in a bore [in], C = 150 (plastic pipe).

    Hazen-Williams in US units, as NFPA 13 prints it for pressure: 4.52 Q^1.85 / (C^1.85 d^4.87) psi/ft.
    """
    pressure: float = 4.52 * flow**1.85 / (150**1.85 * bore**4.87) * length * PSI
    return pressure / (DENSITY * GRAVITY * FOOT)


def test_pressure_below_the_high_tank_is_height_less_friction() -> None:
    found = told("solar_well_high_tank")["delivery_flow", "delivery_pressure", "O1"]
    main = hazen_williams(14.0, 1.66, 4 + 780 + 90 + 25)  # both taps of the test set at their duty
    branch = hazen_williams(6.0, 1.06, 40)
    left = 118 * FOOT + 1.2 - 3 * FOOT - (main + branch) * FOOT
    # fittings are left out of the hand sum, and the two friction formulas differ by a few per cent
    assert found["nominal"] == pytest.approx(DENSITY * GRAVITY * left, rel=0.06)
    assert found["nominal"] < DENSITY * GRAVITY * left * 1.02


@pytest.mark.parametrize(("key", "series"), [("solar_well_gravity", 3), ("solar_well_high_tank", 9)])
def test_open_circuit_voltage_follows_the_coefficient(key: str, series: int) -> None:
    by_hand = series * 24.3 * (1 - 0.0028 * (48 - 25))  # at 1000 W/m²; 850 W/m² takes one per cent or so
    nominal = told(key)["open_circuit_voltage", "voltage", "A1"]["nominal"]
    assert 0.98 * by_hand < nominal < by_hand


@pytest.mark.parametrize(
    ("key", "head", "power", "well_gives"),
    [
        ("solar_well_gravity", 20 - 0.4 + 13.2, 500, 70.0 / 60_000),
        ("solar_well_booster", 20 - 1.2 * FOOT + 8.9 * FOOT, 400, 18 * GALLON_PER_MINUTE),
        ("solar_well_high_tank", 20 - 1.5 * FOOT + 126.6 * FOOT, 1400, 26 * GALLON_PER_MINUTE),
    ],
)
def test_well_pump_gives_what_its_power_can_lift(key: str, head: float, power: float, well_gives: float) -> None:
    flow = told(key)["well_pump_flow", "flow", "PU1"]["nominal"]
    into_the_water = DENSITY * GRAVITY * flow * head
    assert 0.25 < into_the_water / power < 0.65, "wire to water of a small solar pump: common practice, no source"
    assert flow < well_gives * 2 / 3, "two thirds of the tested yield: common practice, no source"


@pytest.mark.parametrize("key", ["solar_well_booster", "battery_well_pressure", "spring_roof_booster"])
def test_tap_behind_a_pump_is_held_to_its_duty_and_to_cut_out(key: str) -> None:
    found = told(key)
    plates = {one["tag"]: one["nameplate"] for one in filled(LAYOUTS[key])["components"]}
    unit = {"gal/min": GALLON_PER_MINUTE, "L/min": 1 / 60_000, "psi": PSI, "kPa": 1000.0}
    for tap in ("O1", "O2"):
        flow, pressure = (found["delivery_flow", value, tap] for value in ("delivery_flow", "delivery_pressure"))
        duty, least = (plates[tap][field] for field in ("required_flow", "required_pressure"))
        assert flow["lower"] == pytest.approx(float(duty["typed"]) * unit[duty["unit"]], rel=1e-6)
        assert pressure["lower"] >= float(least["typed"]) * unit[least["unit"]] * (1 - 1e-6)
        cut_out = plates["PS1"]["cut_out"]
        most = float(cut_out["typed"]) * unit[cut_out["unit"]] + DENSITY * GRAVITY * 1.0 + 10_000
        assert (pressure["upper"] or 0.0) < most, "no tap feels more than cut-out, and a metre of height at most"
