"""Motor figures against printed examples."""

from math import inf, nan

import pytest

from sizing.formulas.motors import (
    dc_motor_voltage,
    direct_current,
    phase_unbalance,
    stalled_current,
    three_phase_current,
    unbalance_derating,
    winding_resistance,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


@pytest.mark.parametrize(
    ("volts", "percent", "tolerance"),
    [((460, 467, 450), 1.96, 0.005), ((462, 463, 455), 1.1, 0.05), ((480, 476, 472), 0.84, 0.003)],
)
def test_voltage_unbalance_of_nema(volts, percent, tolerance):
    # NEMA MG 1, 14.36 example and two public pages with its definition.
    assert 100 * phase_unbalance(volts) == pytest.approx(percent, abs=tolerance)


def test_a_public_figure_that_was_cut_instead_of_rounded():
    # 203, 210, 212 V: printed 2.5 %, exact (208.33 − 203)/208.33 = 2.56 %.
    assert 100 * phase_unbalance([203, 210, 212]) == pytest.approx(2.56, abs=0.005)


def test_even_phases_have_no_unbalance_and_order_is_free():
    assert phase_unbalance([230, 230, 230]) == 0
    assert phase_unbalance([1, 2, 3]) == phase_unbalance([3, 1, 2])


def test_derating_points():
    # NEMA MG 1, Figure 14-1: full power to 1 %, about 0.95 at 2 %, 0.88 to 0.90 at 3 %.
    assert unbalance_derating(0.005) == 1
    assert unbalance_derating(0.02) == 0.95
    assert unbalance_derating(0.03) == pytest.approx(0.89, abs=0.011)
    assert unbalance_derating(0.015) == pytest.approx(0.975)


def test_direct_current_by_hand():
    # 240 W of shaft at 60 % from 24 V: 240 / (0.6 · 24) = 16.67 A
    assert direct_current(240, 24, 0.6) == pytest.approx(16.667, abs=0.001)


def test_three_phase_current_by_hand():
    # 1 hp = 746 W at 230 V, cos φ 0.8, 75 %: 746 / (1.732 · 230 · 0.8 · 0.75) = 3.12 A.
    assert three_phase_current(746, 230, 0.8, 0.75) == pytest.approx(3.12, abs=0.005)


def test_dc_motor_line():
    # By hand: 30 V of back EMF, 4 A through 1.5 Ω: 36 V; standing still 36 V / 1.5 Ω = 24 A.
    assert dc_motor_voltage(30, 4, 1.5) == pytest.approx(36)
    assert stalled_current(36, 1.5) == pytest.approx(24)
    assert dc_motor_voltage(0, stalled_current(36, 1.5), 1.5) == pytest.approx(36)


def test_winding_behind_its_cable():
    # By hand: 300 ft of 12 AWG at 0.338 Ω per 100 ft pair is 1.014 Ω; 5.2 − 1.014 = 4.186 Ω.
    assert winding_resistance(5.2, 3 * 0.338) == pytest.approx(4.186)


SHARE = [0, 1.1]
BOUNDS = [
    (
        phase_unbalance,
        {"readings": [230, 231, 229]},
        {"readings": [[], [230, 231], [0, 0, 0], [-1, 2, 3], [nan, 1, 1], [inf, 1, 1]]},
    ),
    (unbalance_derating, {"unbalance": 0.02}, {"unbalance": [-0.01, 0.051]}),
    (
        direct_current,
        {"power": 240, "voltage": 24, "efficiency": 0.6},
        {"power": [-1, inf], "voltage": [0, inf], "efficiency": SHARE},
    ),
    (
        three_phase_current,
        {"power": 746, "line_voltage": 230, "power_factor": 0.8, "efficiency": 0.75},
        {"power": [-1, inf], "line_voltage": [0, inf], "power_factor": SHARE, "efficiency": SHARE},
    ),
    (
        dc_motor_voltage,
        {"back_emf": 30, "current": 4, "armature_resistance": 1.5},
        {"back_emf": [-1, inf], "current": [-1, inf], "armature_resistance": [-1, inf]},
    ),
    (stalled_current, {"voltage": 36, "armature_resistance": 1.5}, {"voltage": [-1, inf], "armature_resistance": [0]}),
    (winding_resistance, {"reading": 5, "cable_loop": 1}, {"reading": [0, inf], "cable_loop": [-1, 5]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
