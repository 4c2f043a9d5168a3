"""Tanks in line and a hand pump on the main, in the design check: by hand, or against the package `fluids`."""

from math import pi
from typing import Any

import fluids
import pytest
from scipy.optimize import brentq

from sizing.design.declare import Met
from sizing.design.judge import design_check
from sizing.formulas.water import kinematic_viscosity
from sizing.system import build
from tests.sizing.design.systems import changed, met, result, value
from tests.sizing.systems import L_PER_MIN, component, run

G, RHO = 9.80665, 998.94  # m/s²; kg/m³ at 16 °C, IAPWS tables
PE = {"material": "pe", "inside_diameter": 0.026, "pressure_rating": 16e5, "joints": "threaded"}


def two_tanks() -> dict[str, Any]:
    """Return a tank that runs into a lower one over 96.2 m of pipe, open all the way."""
    return {
        "site": {"ground_temperature": 16.0, "record_low": 2.0},
        "components": [
            component("T1", "storage_tank", floor_elevation=28.0, outlet_elevation=28.1, overflow_elevation=29.6),
            component("V1", "valve", function="isolation", body="gate", elevation=28.1),
            component("T2", "storage_tank", floor_elevation=14.0, inlet_elevation=16.2, overflow_elevation=16.0),
        ],
        "runs": [
            run("P1", "pipe", "T1.outlet", "V1", length=1.2, fittings={"entrance": 1}, **PE),
            run("P2", "pipe", "V1", "T2.inlet", length=95.0, fittings={"elbow_90": 3, "exit": 1}, **PE),
        ],
    }


def on_the_main() -> dict[str, Any]:
    """Return a hand pump that fills a tank over a check valve and a tee, beside a branch that ends at a tap."""
    pipe = {**PE, "inside_diameter": 0.0326}
    return {
        "site": {"ground_temperature": 16.0, "record_low": 2.0},
        "components": [
            component("W1", "well", depth=38.0, static_level=11.2, measuring_point_height=0.4),
            component("HP1", "hand_pump", "W1", bore=0.05, stroke=0.15, setting=20.0, outlet_elevation=0.9),
            component("CV1", "valve", function="check", body="swing_check", elevation=0.6),
            component("J1", "junction", elevation=0.6),
            component("V1", "valve", function="isolation", body="ball", elevation=0.6),
            component("O1", "outlet", elevation=0.9, required_flow=5 * L_PER_MIN, required_pressure=1e4),
            component("T1", "storage_tank", floor_elevation=6.0, inlet_elevation=8.2, overflow_elevation=8.0),
        ],
        "runs": [
            run("P1", "pipe", "HP1.discharge", "CV1", length=1.0, **pipe),
            run("P2", "pipe", "CV1", "J1", length=1.0, **pipe),
            run("P3", "pipe", "J1", "T1.inlet", length=32.0, fittings={"exit": 1}, **pipe),
            run("P4", "pipe", "J1", "V1", length=2.0, **pipe),
        ],
    }


def test_water_runs_from_tank_to_tank_by_the_height_between() -> None:
    nu, bore = kinematic_viscosity(temperature=16.0), 0.026

    def left(speed: float) -> float:
        """Head of 29.6 − 16.2 m less friction over 96.2 m and fittings: entrance, gate valve, three elbows, exit."""
        factor = fluids.friction_factor(Re=speed * bore / nu, eD=1.5e-6 / bore)
        return float(13.4 - (factor * 96.2 / bore + 0.5 + 0.2 + 3 * 0.9 + 1.0) * speed**2 / (2 * G))

    assert value(two_tanks(), "velocity", "P2") == pytest.approx(brentq(left, 0.1, 10.0), rel=0.02)
    assert met(two_tanks(), "surge", "P2") is Met.MET
    assert met(changed(two_tanks(), V1__normal_position="shut"), "velocity", "P2") is Met.CANNOT_BE_SAID


def test_a_hand_pump_presses_no_more_than_the_height_it_lifts_to_while_the_way_is_free() -> None:
    # spout of the tank at 8.2 m, P1 at 0.6 m: ρ·g·7.6 m, and little friction at 11.8 L/min
    found = value(on_the_main(), "greatest_pressure", "P1")
    assert RHO * G * 7.6 < found < RHO * G * 7.6 + 3_000
    # 0.05² · π/4 · 0.15 m³ a stroke, 40 a minute, through 32.6 mm
    assert value(on_the_main(), "velocity", "P1") == pytest.approx(
        0.05**2 * pi / 4 * 0.15 * 40 / 60 / (0.0326**2 * pi / 4), rel=1e-6
    )


def test_a_hand_pump_has_no_top_where_a_hand_can_shut_the_way() -> None:
    document = on_the_main()
    document["runs"][2] = run("P3", "pipe", "V1", "T1.inlet", length=32.0, **PE)
    said = result(document, "greatest_pressure", "P1")
    assert said.met is Met.CANNOT_BE_SAID
    assert said.lacking is not None
    assert said.lacking.words.startswith("HP1: a hand pump against a shut valve")


def test_a_branch_feels_no_more_than_the_free_way_beside_it() -> None:
    assert value(on_the_main(), "greatest_pressure", "P4") < RHO * G * 7.6 + 3_000


def test_a_pipe_inside_a_warm_house_asks_for_no_cover() -> None:
    document = changed(two_tanks(), site__record_low=-20.0, site__frost_depth=0.8, P2__cover=0.5)
    assert met(document, "frost_cover", "P2") is Met.NOT_MET
    assert met(changed(document, P2__lies="open", P2__cover=1.0), "frost_cover", "P2") is Met.NOT_MET
    asked = design_check(build(changed(document, P2__lies="inside")), ["frost_cover"])
    assert [one.tag for one in asked] == ["P1"]
