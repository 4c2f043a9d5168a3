"""Levels, volumes and pressures held against each other."""

from dataclasses import replace

import pytest

from sizing.cross.pressure import drawdown_of, pressure_step
from sizing.cross.relation import doubt_of
from sizing.cross.water import Rung, pressure_by_height
from sizing.quantities import Quantity as Q
from sizing.system import build
from tests.sizing.cross.readings import FOOT, GALLON, PSI, found, read, reduced
from tests.sizing.systems import L_PER_MIN, component, quince_ridge, run

AIR = 101_325.0  # Pa, ISO 2533


def fill(start=1.0, end=1.25, flow=27.0, time=2513.0):
    """Return a fill of T1, 2.40 m across: 0.25 m are π/4 × 2.40² × 0.25 = 1.131 m³, 27 L/min for 2513 s."""
    return (
        read("fill_balance:T1", "start_level", start, Q.LENGTH, 0.006, label="Level at the start"),
        read("fill_balance:T1", "end_level", end, Q.LENGTH, 0.006, label="Level at the end"),
        read("fill_balance:T1", "flow", flow * L_PER_MIN, Q.FLOW, 0.017 * flow * L_PER_MIN, label="Flow"),
        read("fill_balance:T1", "time", time, Q.DURATION, 3.0, label="Time"),
    )


def test_a_fill_that_balances_leaves_no_doubt():
    assert not found(*fill())


def test_gallons_for_litres_show_in_the_balance():
    doubt = found(*fill(flow=27.0 / GALLON))["fill_balance"].doubt
    assert doubt.found == pytest.approx(GALLON, rel=0.01)
    assert doubt.slip.startswith("flow: read in gal/min (US), typed as L/min")


def test_imperial_gallons_are_told_from_us_gallons():
    slip = found(*fill(flow=27.0 / 4.54609))["fill_balance"].doubt.slip
    assert slip.startswith("flow: read in gal/min (imp.)")


def test_litres_a_second_for_litres_a_minute():
    slip = found(*fill(flow=27.0 / 60))["fill_balance"].doubt.slip
    assert slip.startswith("flow: read in L/s, typed as L/min")


def test_both_levels_in_feet_are_one_slip():
    slip = found(*fill(start=1.0 / FOOT, end=1.25 / FOOT))["fill_balance"].doubt.slip
    assert slip.startswith("level at the start and level at the end: read in ft, typed as m")


def level(owed, value, name="level"):
    return reduced(owed, name, value, Q.DEPTH, 0.01, label="Depth to water")


def test_levels_in_order_leave_no_doubt():
    assert not found(level("static_level:W1", 24.0), level("pumping_level:W1", 25.8))


def test_a_static_level_in_feet_stands_below_the_pumping_level():
    doubt = found(level("static_level:W1", 24.0 / FOOT), level("pumping_level:W1", 25.8))["levels_in_order"].doubt
    assert doubt.found == pytest.approx(25.8 - 24.0 / FOOT)
    assert doubt.readings == ("static_level:W1", "pumping_level:W1")
    assert "read in ft, typed as m" in doubt.slip


def test_a_measured_level_is_held_against_the_record():
    # The probe of Quince Ridge sits at 0.40 + 41.6 = 42.0 m below the mark.
    one = found(level("pumping_level:W1", 43.0))["levels_in_order"]
    assert "low-water probe on record" in one.doubt.words
    assert one.doubt.found == pytest.approx(-1.0)


def test_two_levels_alike_within_their_uncertainty_are_no_doubt():
    assert not found(level("static_level:W1", 24.01), level("pumping_level:W1", 24.0))


def test_pressures_at_rest_differ_by_their_height():
    # J1 at 1.2 m, O1 at 1.0 m: O1 shows 9.81 × 0.2 = 2.0 kPa more. One gauge that shows absolute is 101 kPa off.
    o1 = reduced("pressure_at_rest:O1", "pressure", 150e3, Q.GAUGE_PRESSURE, 1e3, label="Pressure at rest")
    j1 = reduced("pressure_at_rest:J1", "pressure", 148e3, Q.GAUGE_PRESSURE, 1e3)
    assert not found(o1, j1)
    here = 81_000.0  # Pa, air at 1850 m: U.S. Standard Atmosphere 1976, 81.0 kPa
    doubt = found(replace(o1, value=150e3 + here), j1)["pressures_by_height"].doubt
    assert doubt.found == pytest.approx(here, rel=0.01)
    assert "pressure at rest: an absolute pressure typed as gauge" in doubt.slip
    assert doubt_of(pressure_by_height(o1, 1.0, j1, 1.2), AIR) is None


def test_pounds_typed_as_kilopascals_show_between_two_gauges():
    low = read("pressure_at_rest:O1", "pressure", 150e3 / (PSI / 1000), Q.GAUGE_PRESSURE, 1e3, label="Pressure")
    high = read("pressure_at_rest:J1", "pressure", 148e3, Q.GAUGE_PRESSURE, 1e3)
    doubt = doubt_of(pressure_by_height(low, 1.0, high, 1.2), AIR)
    assert doubt is not None
    assert doubt.slip.startswith("pressure: read in psi, typed as kPa")


def delivered(pressure):
    return reduced("delivery_flow:O1", "delivery_pressure", pressure, Q.GAUGE_PRESSURE, 1.5e3, label="Pressure")


def test_a_tap_shows_no_more_than_the_tank_at_rest():
    # Water 1.5 m above the floor at 16 m, tap at 1 m: 9.81 × 16.5 = 162 kPa at rest.
    water = reduced("tank_level:T1", "level", 1.5, Q.LENGTH, 0.01, label="Level")
    assert not found(delivered(132e3), water)
    doubt = found(delivered(132e3 + 81e3), water)["delivery_not_above_rest"].doubt
    assert doubt.found == pytest.approx(213e3 - 162e3, abs=1e3)
    assert "pressure: an absolute pressure typed as gauge" in doubt.slip
    assert set(doubt.readings) == {"delivery_flow:O1", "tank_level:T1"}


def test_without_a_level_the_brim_is_the_most_there_can_be():
    # Overflow at 18.2 m, tap at 1 m: 9.81 × 17.2 = 169 kPa.
    assert not found(delivered(165e3))
    assert "delivery_not_above_rest" in found(delivered(190e3))


def gauge(owed, value):
    return read(owed, "pressure", value, Q.GAUGE_PRESSURE, 1e3, label=owed.partition(":")[0].replace("_", "-"))


def test_the_ladder_of_pressures():
    low, high = gauge("cut_in:PS1", 207e3), gauge("cut_out:PS1", 345e3)
    assert doubt_of(pressure_step(Rung("cut-in", low, None), Rung("cut-out", high, None)), AIR) is None
    pounds = gauge("cut_out:PS1", 50e3)  # 50 psi typed as 50 kPa
    doubt = doubt_of(pressure_step(Rung("cut-in", low, None), Rung("cut-out", pounds, None)), AIR)
    assert doubt is not None
    assert "cut-out: read in psi, typed as kPa" in doubt.slip


# Boyle, absolute pressures at sea level: 100 L, 193/207/345 kPa gauge give 29.5 L; hand calculation
# 100 × (193 + 101.3) × (1/(207 + 101.3) − 1/(345 + 101.3)) = 29.5.
PRECHARGE, CUT_IN, CUT_OUT = gauge("precharge:PT1", 193e3), gauge("cut_in:PS1", 207e3), gauge("cut_out:PS1", 345e3)


def test_a_drawdown_as_boyle_says_leaves_no_doubt():
    given = read("tank_drawdown:PT1", "volume", 0.0295, Q.VOLUME, 3e-4, label="Water given")
    assert doubt_of(drawdown_of(0.1, given, PRECHARGE, CUT_IN, CUT_OUT, AIR), AIR) is None


def test_a_drawdown_in_gallons_is_named():
    given = read("tank_drawdown:PT1", "volume", 0.0295 / GALLON, Q.VOLUME, 3e-5, label="Water given")
    doubt = doubt_of(drawdown_of(0.1, given, PRECHARGE, CUT_IN, CUT_OUT, AIR), AIR)
    assert doubt is not None
    assert doubt.found == pytest.approx(1 / GALLON, rel=0.01)
    assert "water given: read in gal (US), typed as L" in doubt.slip


def pressure_system():
    document = quince_ridge()
    document["components"] += [
        component("PT1", "pressure_tank", volume=0.1, maximum_pressure=690e3, precharge=193e3),
        component("PS1", "pressure_switch", "PT1", cut_in=207e3, cut_out=345e3),
        component("RV1", "relief_valve", set_pressure=517e3),
    ]
    document["runs"] += [run("P8", "pipe", "PT1.any", "J1"), run("P9", "pipe", "PT1.any", "RV1.inlet")]
    return build(document)


def test_pressures_on_a_system_with_a_tank():
    right = (
        reduced("precharge:PT1", "pressure", 193e3, Q.GAUGE_PRESSURE, 1e3),
        reduced("cut_in:PS1", "pressure", 207e3, Q.GAUGE_PRESSURE, 1e3),
        reduced("cut_out:PS1", "pressure", 345e3, Q.GAUGE_PRESSURE, 1e3),
    )
    system = pressure_system()
    assert not found(*right, system=system)
    assert "pressures_in_order" in found(*right[:2], replace(right[2], value=560e3), system=system)  # above the relief
    assert "pressures_in_order" in found(replace(right[0], value=230e3), *right[1:], system=system)


def test_pressures_of_two_lines_with_a_switch_each_are_not_held_against_each_other():
    parts = [component(tag, "pressure_tank", elevation=0.5) for tag in ("PT1", "PT2")]
    system = build({"site": {}, "components": parts, "runs": []})
    high = reduced("pressure_at_rest:PT1", "pressure", 350e3, Q.GAUGE_PRESSURE, 1e3)
    low = reduced("pressure_at_rest:PT2", "pressure", 200e3, Q.GAUGE_PRESSURE, 1e3)
    assert not found(high, low, system=system)
    joined = build({"site": {}, "components": parts, "runs": [run("P1", "pipe", "PT1", "PT2")]})
    assert "pressures_by_height" in found(high, low, system=joined)
