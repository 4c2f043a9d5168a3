"""Pressure without flow against pump-curve texts, pipe standards' own ratings, and hand calculation."""

import pytest

from sizing.formulas.shut_off import (
    allowed_with_surge,
    dimension_ratio_of_rating,
    flow_at_head,
    head_behind_pump,
    pressure_with_surge,
    relief_head,
    shut_off_head,
    shut_off_head_of_parabola,
    slow_closure_surge,
)
from sizing.formulas.surge import joukowsky_surge, rapid_closing_time, rigid_column_surge
from tests.sizing.formulas.refusal import assert_refused, refusals

PSI, G = 6894.757, 9.80665


def test_line_through_two_points():
    # by hand: from 20 m at 1 L/s and 16 m at 2 L/s the line rises 4 m for each L/s: 24 m at none
    assert shut_off_head(1e-3, 20, 2e-3, 16) == pytest.approx(24)
    assert shut_off_head(0, 20, 2e-3, 16) == 20


def test_line_lies_above_the_parabola_of_epanet():
    # EPANET 2.2 User Manual, one-point curve: H = 4/3·H₁ − H₁/3·(Q/Q₁)²; shut-off 4/3·30 = 40 m
    points = [(q, 40 - 10 * q**2) for q in (0.5, 1.0)]
    assert shut_off_head(*points[0], *points[1]) == pytest.approx(45)  # not below 40


def test_parabola_through_two_points_gives_back_its_top():
    # EPANET's form H = 40 - 5e6·Q²: at 1 L/s 35 m, at 2 L/s 20 m; its top is 40 m
    assert shut_off_head_of_parabola(1e-3, 35, 2e-3, 20) == pytest.approx(40)
    assert shut_off_head_of_parabola(0, 40, 2e-3, 20) == 40
    assert shut_off_head_of_parabola(1e-3, 35, 2e-3, 20) < shut_off_head(1e-3, 35, 2e-3, 20), "the line lies above"


def test_flow_between_points_and_beyond():
    flows, heads = (0.0, 1e-3, 2e-3), (40.0, 30.0, 10.0)
    assert flow_at_head(flows, heads, 35) == pytest.approx(0.5e-3)
    assert flow_at_head(flows, heads, 15) == pytest.approx(1.75e-3)
    assert flow_at_head(flows, heads, 41) == 0
    assert flow_at_head(flows, heads, 5) == 2e-3


def test_heads_add_and_pressures_add():
    assert head_behind_pump(-24, 60) == 36
    assert pressure_with_surge(3e5, 1e5) == 4e5


def test_relief_head_by_hand():
    # 400 kPa × 1.1 over 1000 kg/m³ is 44.87 m above a valve at 1.5 m
    assert relief_head(400e3, 0.10, 1.5, 1000) == pytest.approx(1.5 + 440e3 / (1000 * G))


@pytest.mark.parametrize(
    ("rating", "stress", "ratio"),
    [
        (200 * PSI, 2000 * PSI, 21),  # ASTM D2241, PVC 1120 SDR 21
        (160 * PSI, 2000 * PSI, 26),  # ASTM D2241, PVC 1120 SDR 26
        (200 * PSI, 1000 * PSI, 11),  # ASTM D3035, PE 4710 DR 11
        (16e5, 8e6, 11),  # ISO 4427-2, PE 100 SDR 11 is PN 16
        (10e5, 8e6, 17),  # ISO 4427-2, PE 100 SDR 17 is PN 10
    ],
)
def test_dimension_ratio_of_the_standards(rating, stress, ratio):
    assert dimension_ratio_of_rating(rating, stress) == pytest.approx(ratio, abs=0.05)


def test_slow_closure_is_twice_the_rigid_column_and_joins_the_sudden_stop():
    # Michaud: 2·ρ·L·v/t
    sudden, back = joukowsky_surge(1000, 350, 1.2), rapid_closing_time(200, 350)
    assert slow_closure_surge(sudden, back, 5.0) == pytest.approx(2 * rigid_column_surge(1000, 200, 1.2, 5.0))
    assert slow_closure_surge(sudden, back, back) == pytest.approx(sudden)


def test_allowance_for_surge():
    # AWWA C901 (from memory): recurring surge to 1.5 × rating in PE
    assert allowed_with_surge(10e5, 1.5) == pytest.approx(15e5)


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (
            shut_off_head,
            {"flow": 1e-3, "head": 20.0, "next_flow": 2e-3, "next_head": 16.0},
            {"flow": [-1], "head": [0], "next_flow": [1e-3], "next_head": [21]},
        ),
        (
            shut_off_head_of_parabola,
            {"flow": 1e-3, "head": 20.0, "next_flow": 2e-3, "next_head": 16.0},
            {"flow": [-1], "head": [0], "next_flow": [1e-3], "next_head": [21]},
        ),
        (
            flow_at_head,
            {"flows": (0.0, 1.0), "heads": (2.0, 1.0), "head": 1.5},
            {"flows": [(1.0,), (1.0, 0.0)], "heads": [(1.0, 2.0)]},
        ),
        (head_behind_pump, {"head_before": 1.0, "pump_head": 2.0}, {"pump_head": [-1]}),
        (
            relief_head,
            {"set_pressure_gauge": 4e5, "overpressure": 0.1, "elevation": 0.0, "density": 1000.0},
            {"set_pressure_gauge": [0], "overpressure": [-0.1, 0.6], "density": [0]},
        ),
        (
            dimension_ratio_of_rating,
            {"pressure_rating": 1e6, "design_stress": 8e6},
            {"pressure_rating": [0], "design_stress": [0]},
        ),
        (
            slow_closure_surge,
            {"joukowsky_surge": 1e5, "rapid_closing_time": 0.5, "closing_time": 1.0},
            {"joukowsky_surge": [-1], "rapid_closing_time": [-1], "closing_time": [0.4, 0]},
        ),
        (pressure_with_surge, {"steady_pressure": 1e5, "surge": 1e5}, {"surge": [-1]}),
        (allowed_with_surge, {"pressure_rating": 1e6, "factor": 1.5}, {"pressure_rating": [0], "factor": [0.9, 2.1]}),
    ),
)
def test_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
