"""A well pump on an inverter, on a battery, and joined straight to its array: by hand and by scipy."""

from typing import Any

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator
from scipy.optimize import brentq

from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.judgement import Finding, assess
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import ROW, STILL, WEATHER, Taken, changed, good, readings
from tests.sizing.checks.test_pump import LOOP, system_head, table_flow
from tests.sizing.more_systems import heron_farm, sallow_clinic
from tests.sizing.systems import L_PER_MIN, PUMP_SHEET, component, plate, quince_ridge, run
from tests.sizing.working_steps import assert_all_recompute

SUN = {k: WEATHER[k] for k in ("irradiance", "module_temperature")}
VOLTS, HEADS = (24.0, 36.0, 48.0, 60.0), (20.0, 40.0, 60.0)
# An invented helical rotor: flow with the voltage, current with the head. ρ·g·Q·H over V·I lies between 0.3 and 0.5.
FLOWS = ((15.0, 12.5, 10.0), (23.0, 20.5, 18.0), (31.0, 28.5, 26.0), (39.0, 36.5, 34.0))  # L/min
AMPERES = ((4.6, 7.6, 10.6), (4.8, 7.9, 11.0), (5.0, 8.2, 11.4), (5.2, 8.5, 11.8))


def judged(taken: Taken, document: dict[str, Any], **conditions: Value) -> Finding:
    return assess(
        CHECKS[taken.check], build(document), taken.subject, readings=readings(taken.typed),
        conditions={**taken.conditions, **conditions}, way=taken.way,
    ).findings[0]  # fmt: skip


def on_inverter() -> dict[str, Any]:
    """Return the ridge with its pump on an inverter that a battery feeds; the array charges nothing here."""
    document = quince_ridge()
    plate(document, "PU1").update(motor="ac_three_phase", rated_voltage=230.0, rated_current=3.0)
    document["components"] = [c for c in document["components"] if c["tag"] != "C1"]
    document["components"] += [
        component("IN1", "inverter", rated_power=1_500.0, output_voltage=230.0, efficiency=0.90, idle_power=10.0,
                  minimum_input_voltage=21.0, maximum_input_voltage=33.0),
        next(c for c in sallow_clinic()["components"] if c["tag"] == "BA1"),
    ]  # fmt: skip
    copper = {"material": "copper", "insulation_rating": 90.0}
    document["runs"] = [r for r in document["runs"] if r["tag"] not in ("K2", "K3", "N1", "N2")] + [
        run("K3", "cable", "IN1.output", "PU1.motor", length=48.0, section=10e-6, size="10 mm²", **copper),
        run("K4", "cable", "BA1.posts", "IN1.input", length=2.0, section=35e-6, size="35 mm²", **copper),
    ]
    return document


def joined_straight() -> dict[str, Any]:
    """Return the ridge with a controller that only connects, and a pump whose sheet goes by voltage."""
    document = quince_ridge()
    plate(document, "C1")["principle"] = "direct"
    rows = [[v, h, FLOWS[i][j] * L_PER_MIN, AMPERES[i][j]] for i, v in enumerate(VOLTS) for j, h in enumerate(HEADS)]
    plate(document, "PU1").update(performance=None, performance_by_voltage=rows, motor="dc_brushed")
    return document


# ---- on an inverter ------------------------------------------------------------------------


def test_winding_and_cable_are_read_at_the_inverter() -> None:
    # at 13 °C: winding 0.30 Ω · 0.97249, and the loop of the drop cable
    found = judged(
        Taken("pump_cable_loop_resistance", "PU1", {"resistance@leads 1 and 2": (0.46, 0.01)}), on_inverter()
    )
    assert found.expected is not None
    assert found.expected.nominal == pytest.approx(0.30 * (1 - 0.00393 * 7) + LOOP, rel=1e-5)
    assert found.verdict is Verdict.WITHIN


def test_power_into_the_inverter_is_never_above_what_the_pump_may_take() -> None:
    # 600 W / 0.90 + 10 W = 676.7 W, and 10 % more; nothing below is a fault
    taken = Taken("well_pump_power", "PU1", {"power": (640.0, 9.0)}, {}, "display")
    found = judged(taken, on_inverter())
    assert found.expected is not None
    assert found.expected.nominal == pytest.approx(600 / 0.9 + 10)
    assert found.expected.upper == pytest.approx(1.1 * (600 / 0.9 + 10))
    assert found.expected.lower is None
    assert found.verdict is Verdict.WITHIN
    assert judged(changed(taken, power=(820.0, 9.0)), on_inverter()).verdict is Verdict.OUTSIDE


def test_a_small_inverter_holds_the_pump_back() -> None:
    document = on_inverter()
    plate(document, "IN1")["rated_power"] = 500.0
    found = judged(Taken("well_pump_power", "PU1", {"power": (540.0, 9.0)}, {}, "display"), document)
    assert found.expected is not None
    assert found.expected.nominal == pytest.approx(500 / 0.9 + 10)


def test_flow_on_an_inverter_by_hand() -> None:
    # read 520 W: (520 − 10) · 0.90 = 459 W; three wires at 230 V lose half of R · (459/230)²
    out = (520 - 10) * 0.9
    pump = out - 0.5 * LOOP * (out / 230) ** 2
    crossing = brentq(lambda q: table_flow(pump, system_head(q)) * L_PER_MIN - q, 10 * L_PER_MIN, 45 * L_PER_MIN)
    taken = Taken("well_pump_flow", "PU1", {**ROW, "power@row 1": (520.0, 7.0)}, STILL, "meter")
    found = judged(taken, on_inverter())
    assert found.expected is not None
    assert found.expected.nominal == pytest.approx(crossing, rel=2e-3)
    assert_all_recompute(found.steps)


def test_without_a_power_read_an_inverter_gives_the_pump_its_rating() -> None:
    typed = {"flow@row 1": ROW["flow@row 1"]}
    found = judged(Taken("well_pump_flow", "PU1", typed, STILL, "meter"), on_inverter())
    assert found.expected is not None
    assert "at rated power" in found.expected.basis
    assert found.expected.nominal is not None


def test_a_controller_on_a_battery_needs_no_sun() -> None:
    # heron farm: 600 W through 0.95
    found = judged(Taken("well_pump_power", "PU1", {"power": (600.0, 9.0)}, {}, "display"), heron_farm())
    assert found.expected is not None
    assert found.expected.nominal == pytest.approx(600 / 0.95)
    assert found.verdict is Verdict.WITHIN


# ---- at its rating in strong sun -----------------------------------------------------------


@pytest.mark.parametrize(
    ("strings", "irradiance", "is_one_sided"),
    [(2, 900.0, False), (3, 900.0, False), (3, 1_000.0, True), (4, 900.0, True), (4, 600.0, False)],
)
def test_at_its_rating_less_power_is_no_fault(strings: int, irradiance: float, is_one_sided: bool) -> None:
    # the pump asks for 600 / 0.96 = 625 W: one-sided where 80 % of 300 W · strings · sun · 0.9075 reach that
    document = quince_ridge()
    plate(document, "A1")["parallel"] = strings
    found = judged(good("well_pump_power", "display"), document, irradiance=Value(irradiance, 0.0))
    assert found.expected is not None
    assert (0.8 * 300 * strings * irradiance / 1000 * 0.9075 >= 625) is is_one_sided
    assert (found.expected.lower is None) is is_one_sided


def test_power_is_never_above_what_the_rating_asks_for() -> None:
    document = quince_ridge()
    plate(document, "A1")["parallel"] = 4
    taken = changed(good("well_pump_power", "display"), power=(800.0, 8.0))
    found = judged(taken, document)
    assert found.expected is not None
    assert found.expected.upper == pytest.approx(1.1 * 625)
    assert found.verdict is Verdict.OUTSIDE


# ---- joined straight to the array ----------------------------------------------------------


def array_current(volts: float, sun: float, cells: float) -> float:
    """Return the current of two strings of three modules: Rauschenbach's exponential through the four figures."""
    light = sun / 1000
    heat = 1 + 0.0005 * (cells - 25)
    isc, imp = 2 * 5.85 * light * heat, 2 * 5.38 * light * heat
    thermal = 8.617333e-5 * (cells + 273.15)
    voc = 3 * (22.6 * (1 - 0.0029 * (cells - 25)) + 36 * 1.1 * thermal * np.log(light))
    vmp = 600 * light * (1 - 0.0037 * (cells - 25)) / imp
    c2 = (vmp / voc - 1) / np.log(1 - imp / isc)
    c1 = (1 - imp / isc) * np.exp(-vmp / (c2 * voc))
    return float(isc * (1 - c1 * (np.exp(volts / (c2 * voc)) - 1)))


def balance(sun: float, cells: float) -> tuple[float, float, float]:
    """Return volts at the motor, amperes and flow [L/min] where array, cables, pump, well and pipes agree, by scipy."""
    flow_at = RegularGridInterpolator((VOLTS, HEADS), np.array(FLOWS))
    amps_at = RegularGridInterpolator((VOLTS, HEADS), np.array(AMPERES))
    # 2 · (8 + 2) m of 6 mm² and 2 · 48 m of 10 mm², at the design heat of 36 °C
    cable = (20 * 3.08e-3 + 96 * 1.83e-3) * (1 + 0.00393 * 16)

    def flow(volts: float) -> float:
        return brentq(lambda q: float(flow_at((volts, system_head(q * L_PER_MIN)))) - q, 5, 45)

    def surplus(volts: float) -> float:
        amps = float(amps_at((volts, system_head(flow(volts) * L_PER_MIN))))
        return array_current(volts + cable * amps, sun, cells) - amps

    volts = brentq(surplus, 24.01, 59)
    return volts, float(amps_at((volts, system_head(flow(volts) * L_PER_MIN)))), flow(volts)


@pytest.mark.parametrize(("sun", "cells"), [(1_000.0, 55.0), (900.0, 50.0)])
def test_pump_and_array_meet_where_scipy_finds_it(sun: float, cells: float) -> None:
    volts, amps, flow = balance(sun, cells)
    weather = {"irradiance": Value(sun, 0.0), "module_temperature": Value(cells, 0.0), **STILL}
    typed = {"flow@row 1": (flow * L_PER_MIN, 0.0)}
    found = judged(Taken("well_pump_flow", "PU1", typed, weather, "meter"), joined_straight())
    assert found.expected is not None
    assert found.expected.nominal == pytest.approx(flow * L_PER_MIN, rel=3e-3)
    assert found.verdict is Verdict.WITHIN
    assert_all_recompute(found.steps)
    power = judged(
        Taken("well_pump_power", "PU1", {"power": (volts * amps, 1.0)}, weather, "display"), joined_straight()
    )
    assert power.expected is not None
    cable = (20 * 3.08e-3 + 96 * 1.83e-3) * (1 + 0.00393 * 16)
    assert power.expected.nominal == pytest.approx((volts + cable * amps) * amps, rel=3e-3)


def test_too_little_sun_for_the_table_says_so() -> None:
    weather = {"irradiance": Value(300.0, 0.0), "module_temperature": Value(30.0, 0.0), **STILL}
    found = judged(Taken("well_pump_flow", "PU1", {"flow@row 1": 1e-4}, weather, "meter"), joined_straight())
    assert found.verdict is Verdict.UNJUDGED
    assert "irradiance" in found.reason


def test_a_table_without_currents_names_its_gap() -> None:
    document = joined_straight()
    for row in plate(document, "PU1")["performance_by_voltage"]:
        row[3] = None
    found = judged(Taken("well_pump_flow", "PU1", {"flow@row 1": 1e-4}, {**SUN, **STILL}, "meter"), document)
    assert [m.field for m in found.missing] == ["performance_by_voltage"]


# ---- the first water of the morning --------------------------------------------------------


def test_sun_at_the_first_water_by_hand() -> None:
    # lift 18.35 − 0.40 + 24.0 = 41.95 m; the sheet there gives 9.854 L/min at 200 W and 16.82 at 300 W: nothing at
    # 200 − 9.854 · 100 / 6.966 = 58.54 W; cable R/2 · (P/48)², controller 0.96, array 600 W at 1000 W/m² and 25 °C
    curves = [dict(points) for _, points, _ in PUMP_SHEET[:2]]
    low, high = (curve[40] + (curve[50] - curve[40]) * 0.195 for curve in curves)
    start = 200 - low * 100 / (high - low)
    irradiance = 1000 * (start + 0.5 * LOOP * (start / 48) ** 2) / 0.96 / 600
    taken = good("start_irradiance")
    found = judged(taken, quince_ridge())
    assert found.expected is not None
    assert found.expected.nominal == pytest.approx(irradiance, rel=1e-4)
    assert judged(changed(taken, irradiance=(210.0, 6.0)), quince_ridge()).verdict is Verdict.OUTSIDE
    assert not CHECKS["start_irradiance"].subjects(build(heron_farm()))  # a battery drives it
