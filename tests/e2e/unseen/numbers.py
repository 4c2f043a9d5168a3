"""What the three systems should say, worked out by hand beside each number; invented systems, handbook formulas."""

from math import pi
from typing import Any

import fluids
import pytest
from scipy.optimize import brentq

from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.design.judge import design_check
from sizing.judgement import expect
from sizing.system import System

G = 9.80665  # m/s², standard
RHO_16, RHO_27 = 998.94, 996.51  # kg/m³ at 16 and 27 °C, IAPWS tables
PSI, FOOT = 6894.757, 0.3048
SUN = {"irradiance": 850.0, "module_temperature": 48.0, "battery_temperature": 20.0}


def window(system: System, check: str, tag: str, value: str = "", **conditions: float) -> Any:
    """Return what a value should be, where conditions were measured exactly."""
    one = CHECKS[check]
    judged = next(j for j in one.judged if value in ("", j.name))
    found, _, _ = expect(one, judged, system, tag, conditions={k: Value(v, 0.0) for k, v in conditions.items()})
    assert found is not None, f"{check} {tag}"
    return found


def outcome(system: System, rule: str, tag: str) -> float:
    found = [one for one in design_check(system, [rule]) if one.tag == tag]
    assert found[0].outcome is not None
    return found[0].outcome.value


def numbers_of_the_spring(system: System) -> None:
    # a line is tested with no less than its full tank gives at the lowest end, less a tenth
    for tank, height in (("T1", 29.6 - 16.2), ("T2", 16.0 - 1.2)):
        tested = window(system, "tightness_whole", tank, "test_pressure")
        assert tested.lower == pytest.approx(0.9 * RHO_16 * G * height, rel=1e-3)
    # 1.2 m of water in the lower tank: at rest ρ·g·(15.2 − 2.4 m) at the school, and 5 kPa for the gauge
    at_school = window(system, "delivery_flow", "O1", "delivery_pressure", tank_level=1.2)
    assert at_school.upper == pytest.approx(RHO_16 * G * (15.2 - 2.4) + 5_000, rel=1e-3)
    assert at_school.lower > 40_000, "the duty is promised"
    # all the spring gives runs through the main: 16 L/min in 32.6 mm
    assert outcome(system, "velocity", "P2") == pytest.approx(16e-3 / 60 / (pi / 4 * 0.0326**2), rel=1e-3)
    assert outcome(system, "velocity", "P4") == pytest.approx(speed_between_tanks(), rel=0.02)


def speed_between_tanks() -> float:
    """Return the speed at which 13.4 m of head push water through 96.2 m of 26 mm pipe: too fast for plastic."""
    bore = 0.026

    def left(speed: float) -> float:
        factor = fluids.friction_factor(Re=speed * bore / 1.108e-6, eD=1.5e-6 / bore)  # m²/s at 16 °C
        return float(13.4 - (factor * 96.2 / bore + 0.5 + 0.2 + 3 * 0.9 + 1.0) * speed**2 / (2 * G))

    return float(brentq(left, 0.1, 10.0))


def numbers_of_the_booster(system: System) -> None:
    # three modules in series at −18 °F, which is −27.8 °C: 3 · 37.3 V · (1 + 0.25 % · 52.8)
    assert outcome(system, "array_voltage", "A1") == pytest.approx(3 * 37.3 * (1 + 0.0025 * 52.78), rel=5e-3)
    # Boyle with 13.2 psi of air at 2900 ft: 32 gal · (28 + p) · (1/(30 + p) − 1/(50 + p))
    air = 101_325 * (1 - 2.25577e-5 * 2_900 * FOOT) ** 5.25588 / PSI
    held = 32 * (28 + air) * (1 / (30 + air) - 1 / (50 + air)) * 231 * 0.0254**3
    assert window(system, "tank_drawdown", "PT1").nominal == pytest.approx(held, rel=0.01)
    # 2 kW behind the inverter, 91 %, from a battery down at 42 V, + 25 %
    assert window(system, "fuse_rating", "FU2", "rating").lower == pytest.approx(1.25 * 2_000 / 0.91 / 42, rel=1e-3)
    # each charger bears 30 A, whatever the battery would take
    assert window(system, "charge_current", "CC1", **SUN).upper == pytest.approx(1.05 * 30)
    # 750 W of the booster at 91 % from about 53 V: 15.6 A through 25 mΩ cost 0.39 V
    at_rest = window(system, "battery_rest_voltage", "BA1").nominal
    assert at_rest - window(system, "battery_sag", "BA1").nominal == pytest.approx(0.39, abs=0.08)


def numbers_of_the_clinic(system: System) -> None:
    # the float hangs at 7.8 m, the floor lies at 6.0 m; it restarts half a metre lower
    assert window(system, "fill_stop_level", "LS1").nominal == pytest.approx(1.8)
    assert window(system, "fill_restart_level", "LS1").nominal == pytest.approx(1.3)
    # π/4 · (50 mm)² · 150 mm
    assert window(system, "volume_per_stroke", "HP1").nominal == pytest.approx(pi / 4 * 0.05**2 * 0.15, rel=1e-6)
    # behind the hand pump no more than the height to the tank's inlet while it is open: 8.2 − 0.6 m
    pressed = outcome(system, "greatest_pressure", "P8")
    assert RHO_27 * G * 7.6 < pressed < RHO_27 * G * 7.6 + 3_000
    # 1.2 m of water in the tank: at rest ρ·g·(7.2 − 1.1 m) at the ward's tap, and 5 kPa for the gauge
    ward = window(system, "delivery_flow", "O1", "delivery_pressure", tank_level=1.2)
    assert ward.upper == pytest.approx(RHO_27 * G * (7.2 - 1.1) + 5_000, rel=1e-3)
