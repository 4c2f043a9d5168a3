"""Electrical readings held against each other, and against the water they lift."""

import pytest

from sizing.cross.electrical import cable_drop, rest_voltage_of, water_over_electric_of
from sizing.cross.relation import doubt_of
from sizing.quantities import Quantity as Q
from sizing.system import build
from tests.sizing.cross.readings import GALLON, found, read, row, strings, sun
from tests.sizing.systems import L_PER_MIN, plate, quince_ridge

AIR = 101_325.0  # Pa, ISO 2533


def test_readings_that_fit_leave_no_doubt():
    assert not found(*row(), sun(), *strings(5.2, 5.25))


# 27 L/min × 45 m × 0.1635 = 199 W in the water (1000 kg/m³ × 9.81 m/s² / 60 000): 40 % of 490 W.


def test_flow_in_gallons_typed_as_litres_is_named():
    one = found(*row(flow=27.0 / GALLON))["water_over_electric"]
    assert one.doubt.found == pytest.approx(0.1635 * 27 / GALLON * 45 / 490, rel=0.05)  # 11 %
    assert one.doubt.readings == ("well_pump_flow:PU1",)
    assert "flow row 1: read in gal/min (US), typed as L/min" in one.doubt.slip


def test_level_in_feet_typed_as_metres_is_named():
    # 25.8 m is 84.6 ft: the head becomes 104 m, the water takes 460 of 490 W.
    one = found(*row(level=84.6))["water_over_electric"]
    assert one.doubt.found == pytest.approx(0.1635 * 27 * 104 / 490, rel=0.05)
    assert "depth to water row 1: read in ft, typed as m" in one.doubt.slip


def test_three_rows_that_slip_alike_are_one_doubt():
    rows = [reading for i in (1, 2, 3) for reading in row(f"row {i}", flow=27.0 * GALLON)]
    one = found(*rows)["water_over_electric"]
    assert one.repeats == ("row 1", "row 2", "row 3")


def test_what_the_uncertainty_covers_is_no_doubt():
    # 16 % over the limit of 65 %, but the flow is only known to ± 40 % (k = 2).
    sure, unsure = row(flow=51.0), list(row(flow=51.0))
    unsure[1] = read("well_pump_flow:PU1", "flow", 51.0 * L_PER_MIN, Q.FLOW, 0.2 * 51.0 * L_PER_MIN, repeat="row 1")
    assert "water_over_electric" in found(*sure)
    assert "water_over_electric" not in found(*unsure)


def test_booster_by_head_that_was_read():
    # 20 L/min at 25 m: 0.1635 × 20 × 25 = 81.8 W, of 200 W 41 %; of 20 W four times too much.
    flow = read("booster_flow:B1", "flow", 20 * L_PER_MIN, Q.FLOW)
    head, power = read("booster_flow:B1", "head", 25.0, Q.HEAD), read("booster_flow:B1", "power", 200.0, Q.POWER)
    assert doubt_of(water_over_electric_of(flow, head, power, 1000.0), AIR) is None
    low = read("booster_flow:B1", "power", 20.0, Q.POWER)
    doubt = doubt_of(water_over_electric_of(flow, head, low, 1000.0), AIR)
    assert doubt is not None
    assert doubt.found == pytest.approx(0.1635 * 20 * 25 / 20, rel=1e-3)
    assert "power: the point misplaced, ten times too small" in doubt.slip


def test_more_power_than_the_sun_gives_is_doubted():
    # 6 modules of 100 W at 500 W/m²: 300 W; 490 W is 1.6 times as much.
    one = found(*row(), sun(500.0))["power_over_sun"]
    assert one.doubt.found == pytest.approx(490 / 300)
    assert set(one.doubt.readings) == {"well_pump_flow:PU1", "irradiance:A1"}
    assert "sun meter" in one.doubt.slip or "point" in one.doubt.slip


def test_volts_times_amperes_stand_in_for_power():
    volts = read("well_pump_power:PU1", "voltage", 55.0, Q.VOLTAGE, 0.3)
    right, ten_turns = (read("well_pump_power:PU1", "current", i, Q.CURRENT, 0.1, label="Current") for i in (8.6, 86.0))
    assert "power_over_sun" not in found(volts, right, sun())
    assert (
        "current: the point misplaced, ten times too large"
        in found(volts, ten_turns, sun())["power_over_sun"].doubt.slip
    )


def test_the_sun_of_another_hour_says_nothing():
    then = sun(300.0, at=0.0)
    late = [read("well_pump_power:PU1", "power", 470.0, Q.POWER, 7.0, at=3600.0)]
    assert "power_over_sun" not in found(*late, then)


def test_one_string_that_differs_is_doubted_and_not_the_sun():
    doubts = found(*strings(5.2, 4.3), sun())
    assert "strings_apart" in doubts
    assert "all_strings_high" not in doubts
    assert "odd string" in doubts["strings_apart"].doubt.slip


def test_a_string_with_a_lost_point_is_named():
    slip = found(*strings(5.2, 52.0), sun())["strings_apart"].doubt.slip
    assert "the point misplaced, ten times too" in slip


def test_all_strings_high_alike_means_that_the_sun_was_read_wrong():
    # Nameplate 5.85 A at 1000 W/m²: 5.33 A at 900 W/m². All 30 % above: the meter lay flat.
    doubts = found(*strings(6.93, 6.95), sun())
    assert "strings_apart" not in doubts
    assert doubts["all_strings_high"].doubt.found == pytest.approx(6.93 / 5.33)
    assert "out of the array's plane" in doubts["all_strings_high"].doubt.slip


def test_cable_drop_against_amperes_times_ohms():
    # 10 m of 4 mm² copper there and back: 0.0175 × 20 / 4 = 0.0875 Ω; 12 A lose 1.05 V.
    current = read("booster_voltage:B1", "current", 12.0, Q.CURRENT, 0.1)
    source = read("booster_voltage:B1", "source", 25.0, Q.VOLTAGE, 0.05, label="Voltage at the posts")
    near, far = (read("booster_voltage:B1", "voltage", v, Q.VOLTAGE, 0.05) for v in (23.95, 21.0))
    assert doubt_of(cable_drop(source, near, current, 0.0875), AIR) is None
    doubt = doubt_of(cable_drop(source, far, current, 0.0875), AIR)
    assert doubt is not None
    assert doubt.found == pytest.approx(4.0 - 1.05)
    assert "bad joint" in doubt.slip


def test_gravity_and_rest_voltage():
    # Twelve cells at 1.265 rest at 12 × (1.265 + 0.84) = 25.3 V; common practice.
    volts = read("battery_rest_voltage:BA1", "voltage", 25.3, Q.VOLTAGE, 0.05)
    right = tuple(read("specific_gravity:BA1", "gravity", 1.265, Q.RATIO, 0.003, repeat=f"cell {i}") for i in range(12))
    assert doubt_of(rest_voltage_of(volts, right, 12), AIR) is None
    watered = tuple(read("specific_gravity:BA1", "gravity", 1.19, Q.RATIO, 0.003, label="Gravity") for _ in range(12))
    doubt = doubt_of(rest_voltage_of(volts, watered, 12), AIR)
    assert doubt is not None
    assert "water was just added" in doubt.slip
    typed = tuple(read("specific_gravity:BA1", "gravity", 12.65, Q.RATIO, 0.003, label="Gravity") for _ in range(12))
    slipped = doubt_of(rest_voltage_of(volts, typed, 12), AIR)
    assert slipped is not None
    assert "gravity: the point misplaced, ten times too large" in slipped.slip


def test_missing_nameplates_give_no_doubt_and_no_error():
    document = quince_ridge()
    for tag in ("A1", "PU1", "T1", "W1", "C1"):
        plate(document, tag).clear()
    assert found(*row(flow=500.0), sun(100.0), *strings(5.2, 5.2), system=build(document)) == {}
