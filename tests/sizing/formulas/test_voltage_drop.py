"""Losses of cables and joints against worked examples."""

from math import inf, sqrt

import pytest

from sizing.formulas.voltage_drop import (
    conductor_loss,
    drop_fraction,
    joint_resistance,
    three_phase_voltage_drop,
    two_wire_loop_resistance,
    voltage_drop,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT = 0.3048


def test_public_training_text():
    # 24 V, 4 A, 100 ft of 16 AWG (4.99 Ω/kft): 4.0 V, printed 16.7 % from the rounded drop.
    drop = voltage_drop(4, two_wire_loop_resistance(4.99 / (1000 * FOOT), 100 * FOOT))
    assert drop == pytest.approx(4.0, abs=0.02)
    assert drop_fraction(drop, 24) == pytest.approx(0.167, abs=0.001)


def test_public_metric_example():
    # 12 V, 1 A, 20 m of 1.3 mm² at 0.01785 Ω·mm²/m: 0.549 V, 4.58 %.
    drop = voltage_drop(1, two_wire_loop_resistance(0.01785 / 1.3, 20))
    assert drop == pytest.approx(0.549, abs=0.0005)
    assert drop_fraction(drop, 12) == pytest.approx(0.0458, abs=0.0001)


def test_a_misprint_that_does_not_reproduce():
    # 12 V, 25 A, 50 ft of 10 AWG (1.24 Ω/kft at 75 °C) is 3.1 V by NEC Table 8. A public page prints 1.5 V:
    # it mixes Ω/km with mm² and metres.
    drop = voltage_drop(25, two_wire_loop_resistance(1.24 / (1000 * FOOT), 50 * FOOT))
    assert drop == pytest.approx(3.1, abs=0.01)
    assert drop != pytest.approx(1.5, rel=0.5)


def test_loss_is_drop_times_current():
    assert conductor_loss(8, 0.4059) == pytest.approx(8 * voltage_drop(8, 0.4059))


def test_three_phase_drop_by_hand():
    # √3 · 10 A · 0.5 Ω · 0.8 = 6.93 V.
    assert three_phase_voltage_drop(10, 0.5, 0.8) == pytest.approx(4 * sqrt(3))


def test_joint_of_ten_millivolts_at_twenty_amperes():
    assert joint_resistance(0.010, 20) == pytest.approx(0.5e-3)


PAIR = {"current": 8, "loop_resistance": 0.4}
BAD_PAIR = {"current": [-1, inf], "loop_resistance": [-1, inf]}
BOUNDS = [
    (
        two_wire_loop_resistance,
        {"resistance_per_length": 3e-3, "length": 60},
        {"resistance_per_length": [0, inf], "length": [-1, inf]},
    ),
    (voltage_drop, PAIR, BAD_PAIR),
    (conductor_loss, PAIR, BAD_PAIR),
    (
        three_phase_voltage_drop,
        {"current": 8, "conductor_resistance": 0.4, "power_factor": 0.8},
        {"current": [-1, inf], "conductor_resistance": [-1, inf], "power_factor": [0, 1.1]},
    ),
    (drop_fraction, {"drop": 1, "source_voltage": 24}, {"drop": [-1, inf], "source_voltage": [0, inf]}),
    (joint_resistance, {"drop": 0.01, "current": 20}, {"drop": [-1, inf], "current": [0, inf]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
