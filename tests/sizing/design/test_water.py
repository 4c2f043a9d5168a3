"""Safety and function of the water side: each rule by hand or against EPANET and fluids, and as its inputs move."""

from math import acos, pi, radians, sin, tan
from pathlib import Path
from typing import Any

import fluids
import pytest
from pvlib.solarposition import declination_spencer71
from scipy.interpolate import RegularGridInterpolator
from scipy.optimize import brentq

from sizing.design.declare import Met
from tests.sizing.checks.test_delivery import epanet_at_taps
from tests.sizing.design.systems import birch_hollow, changed, met, result, value, without
from tests.sizing.systems import L_PER_MIN, PUMP_SHEET, component, quince_ridge, run

G = 9.80665
RHO = 999.38  # kg/m³ at 13 °C, IAPWS tables
RHO_11 = 999.61  # kg/m³ at 11 °C, IAPWS tables
HOUR = 3600.0


def hollow(**fields: Any) -> dict[str, Any]:
    return changed(birch_hollow(), **fields)


def ridge(**fields: Any) -> dict[str, Any]:
    return changed(quince_ridge(), **fields)


# Pressures


def test_full_tank_above_a_pipe_by_hand() -> None:
    # overflow at 18.20 m, lower end of P4 at O2, 0.8 m
    assert value(ridge(), "greatest_pressure", "P4") == pytest.approx(RHO * G * 17.4, rel=1e-5)
    assert met(ridge(P4__pressure_rating=1.70e5), "greatest_pressure", "P4") is Met.NOT_MET
    assert value(ridge(T1__overflow_elevation=19.2), "greatest_pressure", "P4") == pytest.approx(
        RHO * G * 18.4, rel=1e-5
    )


def test_shut_off_stands_on_top_of_the_suction() -> None:
    # tank full to 4.6 m; shut-off 420 kPa; P4 lies at 0.5 m: 420 kPa + ρ·g·4.1 m
    assert value(hollow(), "greatest_pressure", "P4") == pytest.approx(4.2e5 + RHO_11 * G * 4.1, rel=1e-5)
    assert met(hollow(PT1__maximum_pressure=4.5e5), "greatest_pressure", "PT1") is Met.NOT_MET


def test_shut_off_by_the_line_where_none_is_printed() -> None:
    # two points of least flow: 300 kPa at 15, 200 kPa at 24 L/min: 300 + 15 × 100/9 = 466.7 kPa
    document = without(hollow(B1__shut_off_pressure=None), "RV1")
    assert value(document, "greatest_pressure", "B1") == pytest.approx(466_667 + RHO_11 * G * 4.1, rel=1e-5)


def test_a_relief_valve_ends_the_pressure() -> None:
    # set 350 kPa at 0.6 m, + 10 %: 385 kPa there, and ρ·g·0.1 m more at 0.5 m
    document = hollow(RV1__set_pressure=3.5e5)
    assert value(document, "greatest_pressure", "P4") == pytest.approx(3.85e5 + RHO_11 * G * 0.1, rel=1e-5)


def test_a_valve_before_the_relief_makes_it_worthless() -> None:
    document = without(birch_hollow(), "P5")
    document["components"].append(
        component("V9", "valve", function="isolation", body="ball", normal_position="open", elevation=0.6)
    )
    pe = {"material": "pe", "pressure_rating": 1e6, "inside_diameter": 0.0326, "length": 0.2, "cover": 1.0}
    document["runs"] += [run("P5", "pipe", "J1", "V9", **pe), run("P55", "pipe", "V9", "RV1.inlet", **pe)]
    assert met(document, "relief_there", "B1") is Met.NOT_MET
    assert met(hollow(), "relief_there", "B1") is Met.MET


def test_a_positive_displacement_pump_has_no_top_without_relief() -> None:
    said = result(ridge(), "greatest_pressure", "P1")
    assert said.met is Met.CANNOT_BE_SAID
    assert said.lacking is not None
    assert "positive displacement" in said.lacking.words
    assert met(ridge(), "relief_there", "PU1") is Met.NOT_MET
    with pytest.raises(AssertionError, match="0 results"):
        result(ridge(PU1__principle="centrifugal"), "relief_there", "PU1")


def test_centrifugal_well_pump_against_a_shut_valve() -> None:
    # at 600 W the two points of least flow are 60 m at 27.0 and 50 m at 32.8 L/min: 60 + 27 × 10/5.8 = 106.55 m,
    # above the water at rest, where the pressure outside the drop pipe begins
    document = ridge(PU1__principle="centrifugal")
    assert value(document, "greatest_pressure", "P1") == pytest.approx(RHO * G * (60 + 270 / 5.8), rel=1e-4)


def test_a_rising_main_into_an_open_tank_sees_the_running_pressure_alone() -> None:
    # behind V1 nothing can be shut: rise 18.35 − 0.6 m, and the friction of P5 at some 35 L/min by fluids
    flow = value(ridge(), "yield_share", "PU1")
    speed = flow / (pi * 0.0326**2 / 4)
    nu = 1.2e-6  # m²/s at 13 °C, IAPWS tables
    friction = fluids.friction_factor(Re=speed * 0.0326 / nu, eD=1.5e-6 / 0.0326) * 120 / 0.0326 * speed**2 / 2 / G
    assert value(ridge(), "greatest_pressure", "P5") == pytest.approx(RHO * G * (17.75 + friction), rel=0.01)


def test_surge_in_pvc_of_the_printed_table() -> None:
    # AWWA C900/M23 (from memory): PVC SDR 26, 14.4 psi for each ft/s. O1's branch shuts at 0.51 m/s; P6 is long
    # enough (2·L/a > 0.5 s) for the full surge.
    document = ridge(P6__material="pvc", P6__nominal="40 mm SDR 26")
    outcome = result(document, "surge", "P6").outcome
    assert outcome is not None
    speed = value(document, "velocity", "P6")
    steady = value(document, "greatest_pressure", "P6")
    assert outcome.value - steady == pytest.approx(14.4 * 6894.757 * speed / 0.3048, rel=0.005)
    assert outcome.upper == 1.0e6  # no allowance in PVC


def test_surge_allowance_in_pe_and_the_ratio_behind_a_rating() -> None:
    # PE 100 of PN 10 is SDR 17 (ISO 4427): 4660 ft/s / √(1 + 300 000 × 15 / 150 000) = 837 ft/s
    document = ridge(P6__nominal="")
    outcome = result(document, "surge", "P6").outcome
    assert outcome is not None
    assert outcome.upper == pytest.approx(1.5e6)
    wave = next(s.result for s in result(document, "surge", "P6").steps if s.symbol == "a")
    assert wave == pytest.approx(837 * 0.3048, rel=1e-3)
    assert met(ridge(P6__pressure_rating=2.0e5), "surge", "P6") is Met.NOT_MET


def test_relief_setting_between_cut_out_and_the_weakest_part() -> None:
    outcome = result(hollow(), "relief_setting", "RV1").outcome
    assert outcome is not None
    assert outcome.lower == pytest.approx(2.9e5 + 5e4)
    assert outcome.upper == pytest.approx(8e5 - RHO_11 * G * 0.1, rel=1e-5)  # B1 lies 0.1 m lower
    assert met(hollow(RV1__set_pressure=3.3e5), "relief_setting", "RV1") is Met.NOT_MET
    assert met(hollow(PT1__maximum_pressure=4.4e5), "relief_setting", "RV1") is Met.NOT_MET


def test_relief_capacity_by_the_pumps_own_line() -> None:
    # set 250 kPa + 10 % = 275 kPa at 0.6 m, tank full gives ρ·g·4.0 m = 39.2 kPa of it: the pump adds 235.8 kPa,
    # between 200 kPa (24 L/min) and 300 kPa (15 L/min): 24 − 9 × 0.358 = 20.8 L/min
    outcome = result(hollow(RV1__set_pressure=2.5e5), "relief_capacity", "RV1").outcome
    assert outcome is not None
    assert outcome.lower == pytest.approx(20.78 * L_PER_MIN, rel=2e-3)
    assert met(hollow(RV1__set_pressure=2.5e5, RV1__capacity=20 * L_PER_MIN), "relief_capacity", "RV1") is Met.NOT_MET


# Outlets


@pytest.mark.parametrize(("against", "level"), [("tank low", 16.1), ("tank full", 18.2)])
def test_pressure_at_the_outlet_agrees_with_epanet(tmp_path: Path, against: str, level: float) -> None:
    _, heads = epanet_at_taps(tmp_path, 10 * L_PER_MIN, 12 * L_PER_MIN, level)
    by_epanet = RHO * G * (heads["O1"] - 1.0)
    assert value(ridge(), "outlet_pressure", "O1", against) == pytest.approx(by_epanet, rel=3e-3)


def test_flow_of_an_open_outlet_agrees_with_epanet(tmp_path: Path) -> None:
    flows, _ = epanet_at_taps(tmp_path, 10 * L_PER_MIN, None, 16.1)
    assert value(ridge(), "outlet_flow", "O2", "tank low") == pytest.approx(flows["P4"], rel=3e-3)


def test_a_failing_outlet_says_where_the_head_went() -> None:
    document = ridge(P6__inside_diameter=0.0204)
    said = result(document, "outlet_pressure", "O1", "tank low")
    assert said.met is Met.NOT_MET
    assert said.outcome is not None
    assert said.outcome.shares is not None
    first, *lost, left = said.outcome.shares.lines
    assert first.amount == pytest.approx(16.1 - 1.0)
    assert first.amount - sum(one.amount for one in lost) == pytest.approx(left.amount, abs=1e-6)
    assert max(lost, key=lambda one: one.amount).label == "P6 gravity main"
    assert left.amount * RHO * G == pytest.approx(said.outcome.value, rel=1e-4)


def test_an_outlet_behind_a_pressure_tank_is_tried_at_cut_in() -> None:
    # O2 alone, 8 L/min: 150 kPa at 0.6 m; P7 and P9 by fluids, fittings K = 0.6 + 2 × 0.9 (EPANET 2.2 manual)
    flow, nu = 8 * L_PER_MIN, 1.27e-6  # m²/s at 11 °C, IAPWS tables

    def lost(bore: float, length: float, k: float) -> float:
        speed = flow / (pi * bore**2 / 4)
        friction = fluids.friction_factor(Re=speed * bore / nu, eD=1.5e-6 / bore)
        return (friction * length / bore + k) * speed**2 / 2 / G

    by_hand = 1.5e5 + RHO_11 * G * (0.6 - 1.0 - lost(0.0326, 12, 0) - lost(0.0204, 9, 2.4))
    found = value(hollow(), "outlet_pressure", "O2", "pressure tank at cut-in")
    assert found == pytest.approx(by_hand, rel=5e-3)
    assert met(hollow(PS1__cut_in=6e4), "outlet_pressure", "O2", "pressure tank at cut-in") is Met.NOT_MET


# Days


def flow_by_second_library(power: float) -> float:
    """Return the flow of the school's pump at a power: its sheet by scipy's interpolation, the pipes by fluids [m³/s].

    Static 24 m below the mark at 0.40 m, drawdown 3 m at 45 L/min, inlet at 18.35 m; 166 m of 32.6 mm; fittings as
    recorded, K of EPANET's manual: check 2.5, elbows 4 × 0.9, exit 1, and V1, a ball valve, 0.05.
    """
    powers, heads = [row[0] for row in PUMP_SHEET], [head for head, _ in PUMP_SHEET[0][1]]
    flows = [[flow * L_PER_MIN for _, flow in points] for _, points, _ in PUMP_SHEET]
    sheet = RegularGridInterpolator((powers, heads), flows)
    if power < powers[0]:
        return 0.0

    def short(flow: float) -> float:
        speed = flow / (pi * 0.0326**2 / 4)
        factor = fluids.friction_factor(Re=speed * 0.0326 / 1.2e-6, eD=1.5e-6 / 0.0326)
        lost = (factor * 166 / 0.0326 + 2.5 + 3.6 + 1.0 + 0.05) * speed**2 / 2 / G
        head = 18.35 + 24 - 0.40 + flow * 3 / (45 * L_PER_MIN) + lost
        return float(sheet((min(power, powers[-1]), head))) - flow

    return float(brentq(short, 1e-6, 1e-3))


def test_daily_volume_against_another_integration() -> None:
    # December at 35.5° N with 4 sun hours: daylight by pvlib's declination, half a sine in 400 slices, 80 % of 600 W,
    # controller 0.96, and 10 mm² to the motor: 2 × 48 m × 1.83 mΩ/m (IEC 60228) at 13 °C, three wires at 48 V
    sun = [[month, 4.0 * HOUR if month == 12 else 5.0 * HOUR] for month in range(1, 13)]
    document = ridge(site__daily_demand=4.0, site__sun_hours=sun, K3__method="water")
    declination = declination_spencer71(349)
    daylight = 24 / pi * acos(-tan(radians(35.5)) * tan(declination)) * HOUR
    loop = 2 * 48 * 1.83e-3 * (1 + 0.00393 * (13 - 20))
    volume = 0.0
    for place in range(400):
        light = pi * 4 * HOUR / 2 / daylight * sin(pi * (place + 0.5) / 400)
        given = min(600 * 0.8 * light * 0.96, 600)
        volume += flow_by_second_library(given - 0.5 * loop * (given / 48) ** 2) * daylight / 400
    found = value(document, "daily_volume", "site")
    assert found == pytest.approx(volume, rel=3e-3)
    assert met(changed(document, site__daily_demand=found * 1.01), "daily_volume", "site") is Met.NOT_MET
    better = [[month, hours * 1.2] for month, hours in sun]
    assert value(changed(document, site__sun_hours=better), "daily_volume", "site") > 1.1 * found


def test_a_pump_on_a_battery_has_what_the_others_leave() -> None:
    # 600 W through an inverter of 0.90 takes 667 W from what a day brings less what the lamps take
    document = birch_hollow()
    well, pump = ({**one} for one in quince_ridge()["components"] if one["tag"] in ("W1", "PU1"))
    document["components"] += [well, pump]
    document["runs"] += [
        run("K8", "cable", "IN1.output", "PU1.motor", length=40.0, size="2.5 mm²", material="copper"),
        run("P20", "pipe", "PU1.discharge", "T1.inlet", length=60.0, inside_diameter=0.0326, material="pe"),
    ]
    steps = {s.symbol: s.result for s in result(document, "daily_volume", "site").steps}
    brought, others = 1080 * 2.8 * 3600 * 0.96 * 0.85 * 0.8, steps["E L1"] + steps["E IN1"] + steps["E B1"]
    assert steps["E_l"] == pytest.approx(brought - others)
    assert steps["t"] == pytest.approx((brought - others) / (600 / 0.9))
    assert steps["V PU1"] == pytest.approx(steps["Q"] * steps["t"])


def test_daily_volume_names_a_month_that_is_not_recorded() -> None:
    sun = [[month, 4.0 * HOUR] for month in range(1, 12)]
    said = result(ridge(site__daily_demand=5.0, site__sun_hours=sun), "daily_volume", "site")
    assert said.lacking is not None
    assert "December" in said.lacking.words


def test_a_spring_brings_its_dry_season_yield_all_day() -> None:
    assert value(hollow(), "daily_volume", "site") == pytest.approx(3e-3 * 60 * 24)


def test_days_that_the_tanks_bridge_by_hand() -> None:
    # 2 m × 2 m × (4.6 − 3.1) m = 6.0 m³ over 2.4 m³ a day
    assert value(hollow(), "storage_days", "site") == pytest.approx(2.5)
    # a float that stops at 18.05 m: π/4 × 2.4² × (18.05 − 16.1) = 8.82 m³
    document = ridge(site__daily_demand=3.0, site__autonomy=3.0)
    assert value(document, "storage_days", "site") == pytest.approx(pi / 4 * 2.4**2 * 1.95 / 3)
    assert met(document, "storage_days", "site") is Met.NOT_MET


def test_battery_by_hand() -> None:
    # usable: 2 × 150 A·h × 24 V × 0.5 = 3.6 kWh. A day: lamps 60 W × 5 h / 0.90, inverter 4 W × 24 h, booster
    # 240 W for 2.4 m³ at its flow half way
    document = hollow()
    steps = {s.symbol: s.result for s in result(document, "battery_days", "BA1").steps}
    assert steps["E_b"] == pytest.approx(3.6e3 * 3600)
    assert steps["E L1"] == pytest.approx(60 * 5 / 0.9 * 3600)
    assert steps["E IN1"] == pytest.approx(96 * 3600)
    assert steps["E B1"] == pytest.approx(240 * 2.4 / steps["Q_p"])
    daily = steps["E L1"] + steps["E IN1"] + steps["E B1"]
    assert value(document, "battery_days", "BA1") == pytest.approx(3.6e3 * 3600 / daily)
    # December, 2.8 sun hours: 1080 W × 2.8 h × 0.96 × 0.85 × 0.80
    assert value(document, "energy_balance", "BA1") == pytest.approx(1080 * 2.8 * 3600 * 0.96 * 0.85 * 0.8)
    assert met(changed(document, L1__power=600.0), "energy_balance", "BA1") is Met.NOT_MET


# Well


def test_water_over_the_intake_by_hand() -> None:
    # intake at 45 m, water at 24 + 3 m while the well gives its tested yield
    assert value(ridge(), "water_over_intake", "PU1") == pytest.approx(18.0)
    assert met(ridge(W1__pump_setting=27.5), "water_over_intake", "PU1") is Met.NOT_MET


def test_guard_between_intake_and_pumping_level() -> None:
    outcome = result(ridge(), "guard_level", "LS2").outcome
    assert outcome is not None
    assert (outcome.lower, outcome.upper) == (pytest.approx(0.4 - 45 + 1), pytest.approx(0.4 - 27))
    shallow = result(ridge(PU1__minimum_submergence=0.2), "guard_level", "LS2").outcome
    assert shallow is not None
    assert shallow.lower == pytest.approx(0.4 - 45 + 1), "a metre, however little the pump needs"
    assert met(ridge(LS2__set_elevation=-44.0), "guard_level", "LS2") is Met.NOT_MET
    assert met(ridge(LS2__set_elevation=-20.0), "guard_level", "LS2") is Met.NOT_MET
    assert met(ridge(PU1__minimum_submergence=4.0), "guard_level", "LS2") is Met.NOT_MET
    assert met(without(quince_ridge(), "LS2"), "guard_there", "PU1") is Met.NOT_MET


def test_intake_off_the_bottom() -> None:
    assert value(ridge(), "off_bottom", "PU1") == pytest.approx(15.0)
    assert met(ridge(W1__pump_setting=58.0), "off_bottom", "PU1") is Met.NOT_MET


def test_two_thirds_of_the_yield() -> None:
    outcome = result(ridge(), "yield_share", "PU1").outcome
    assert outcome is not None
    assert outcome.upper == pytest.approx(30 * L_PER_MIN)
    assert met(ridge(W1__tested_yield=60 * L_PER_MIN), "yield_share", "PU1") is Met.MET


# Booster and pressure tank


def test_npsh_by_hand() -> None:
    # 620 m: 94.1 kPa (ISA); vapour at 34 °C 5.32 kPa (IAPWS); surface 3.1 − 0.5 m above; P2 at 30 L/min by fluids
    speed = 30 * L_PER_MIN / (pi * 0.0326**2 / 4)
    friction = fluids.friction_factor(Re=speed * 0.0326 / 1.27e-6, eD=1.5e-6 / 0.0326)
    lost = (friction * 6 / 0.0326 + 2 * 0.9) * speed**2 / 2 / G
    by_hand = (94_093 - 5_323) / (RHO_11 * G) + 2.6 - lost
    assert value(hollow(), "npsh", "B1") == pytest.approx(by_hand, abs=0.03)
    assert met(hollow(B1__npsh_required=11.5), "npsh", "B1") is Met.NOT_MET
    assert value(hollow(site__altitude=2500.0), "npsh", "B1") < value(hollow(), "npsh", "B1") - 1.5


def test_suction_lift_where_it_is_printed() -> None:
    document = hollow(B1__maximum_suction_lift=2.0, B1__elevation=5.5)
    assert value(document, "suction_lift", "B1") == pytest.approx(2.4)
    assert met(document, "suction_lift", "B1") is Met.NOT_MET


def test_booster_keeps_up_with_its_taps() -> None:
    outcome = result(hollow(), "booster_keeps_up", "B1").outcome
    assert outcome is not None
    assert outcome.lower == pytest.approx(14 * L_PER_MIN)
    # at cut-in, 150 kPa, the suction gives some 25 kPa: 125 kPa of the pump's own, 30 − 6 × 0.25 = 28.5 L/min
    assert outcome.value == pytest.approx(28.4 * L_PER_MIN, rel=0.01)
    assert met(hollow(O2__required_flow=24 * L_PER_MIN), "booster_keeps_up", "B1") is Met.NOT_MET


def test_run_of_the_pump_by_boyle() -> None:
    # 94.09 kPa air: V·p₀·(1/p_in − 1/p_out) = 100 L × 230.1 × (1/244.1 − 1/384.1)
    drawdown = 0.1 * 230_093 * (1 / 244_093 - 1 / 384_093)
    steps = {s.symbol: s.result for s in result(hollow(), "cycling", "PT1").steps}
    assert steps["ΔV"] == pytest.approx(drawdown, rel=1e-4)
    # half way, at 220 kPa, the suction gives some 25 kPa: 195 of the pump's own, 30 − 6 × 0.95 = 24.3 L/min
    assert steps["Q_p"] == pytest.approx(24.3 * L_PER_MIN, rel=0.01)
    assert value(hollow(), "cycling", "PT1") == pytest.approx(drawdown / steps["Q_p"], rel=1e-4)
    assert met(hollow(PT1__volume=0.05), "cycling", "PT1") is Met.NOT_MET


def test_precharge_two_psi_below_cut_in() -> None:
    outcome = result(hollow(), "precharge_set", "PT1").outcome
    assert outcome is not None
    assert outcome.upper is not None
    assert outcome.upper - 7_000 == pytest.approx(1.5e5 - 2 * 6894.757, abs=1)
    assert met(hollow(PT1__precharge=1.5e5), "precharge_set", "PT1") is Met.NOT_MET


# Lines


def test_speed_of_the_water_by_hand() -> None:
    # both taps of the test set, 22 L/min, through 32.6 mm
    assert value(ridge(), "velocity", "P6") == pytest.approx(22 * L_PER_MIN / (pi * 0.0326**2 / 4))
    assert met(ridge(P6__inside_diameter=0.017), "velocity", "P6") is Met.NOT_MET
    outcome = result(ridge(P6__inside_diameter=0.017, P6__material="copper"), "velocity", "P6").outcome
    assert outcome is not None
    assert outcome.upper == 2.4
    suction = result(hollow(), "velocity", "P2").outcome
    assert suction is not None
    assert suction.upper == 1.2


def test_the_greatest_of_several_test_sets_counts() -> None:
    # O1 is tested with O2, 14 L/min together; O2 alone, 8 L/min
    assert value(hollow(), "velocity", "P7") == pytest.approx(14 * L_PER_MIN / (pi * 0.0326**2 / 4))


def test_the_pipe_from_a_spring_carries_its_yield() -> None:
    assert value(hollow(), "velocity", "P1") == pytest.approx(3 * L_PER_MIN / (pi * 0.0326**2 / 4), rel=1e-6)


def test_cable_drop_of_the_metric_worked_circuit() -> None:
    # 60 m of 6 mm², 3.08 Ω/km (IEC 60228) at 45 °C, 8 A from 120 V: 3.247 V, 2.706 %
    document = without(ridge(), "S1")
    document["runs"].append(
        run("K9", "cable", "A1.output", "C1.array", length=60.0, size="6 mm²", material="copper", ambient=45.0)
    )
    document = changed(
        document, A1__parallel=1, A1__module_maximum_power_current=8.0, A1__series=4,
        A1__module_maximum_power_voltage=30.0,
    )  # fmt: skip
    said = result(document, "cable_drop", "C1", "array")
    assert said.outcome is not None
    assert said.outcome.value == pytest.approx(0.02706, rel=2e-3)
    assert said.outcome.shares is not None
    assert [round(one.amount, 2) for one in said.outcome.shares.lines] == [120.0, 3.25, 116.75]
    assert met(changed(document, K9__length=70.0), "cable_drop", "C1", "array") is Met.NOT_MET


def test_three_wires_to_a_motor_lose_half_of_two() -> None:
    two, three = ridge(PU1__motor="dc_brushed"), ridge()
    assert value(two, "cable_drop", "PU1", "motor") == pytest.approx(2 * value(three, "cable_drop", "PU1", "motor"))


def test_frost_asks_for_cover_and_names_what_is_missing() -> None:
    assert met(hollow(P7__cover=0.5), "frost_cover", "P7") is Met.NOT_MET
    said = result(hollow(P7__cover=None), "frost_cover", "P7")
    assert said.lacking is not None
    assert (said.lacking.owner, said.lacking.field) == ("P7", "cover")
    with pytest.raises(AssertionError, match="0 results"):
        result(hollow(site__record_low=3.0), "frost_cover", "P7")
