"""Losses in fittings against the fluids library and printed tables."""

from math import inf

import fluids
import pytest

from sizing.formulas.fittings import (
    LOSS_COEFFICIENTS,
    flow_coefficient_head_loss,
    flow_coefficient_pressure_loss,
    minor_loss_head,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

KV_IN_SI = 1 / 3600  # m³/h to m³/s


def test_minor_loss_is_that_of_fluids():
    assert minor_loss_head(2.5, 1.7) == pytest.approx(fluids.head_from_K(2.5, 1.7))


# EPANET 2.2 User Manual, chapter 3, table of minor loss coefficients for selected fittings.
EPANET = {
    "globe_valve": 10,
    "angle_valve": 5,
    "check_valve": 2.5,
    "gate_valve": 0.2,
    "elbow_90": 0.9,
    "elbow_90_medium": 0.8,
    "elbow_90_long": 0.6,
    "elbow_45": 0.4,
    "return_bend": 2.2,
    "tee_run": 0.6,
    "tee_branch": 1.8,
    "entrance": 0.5,
    "exit": 1.0,
}


@pytest.mark.parametrize("fitting", EPANET)
def test_loss_coefficients_are_those_of_epanet(fitting):
    assert LOSS_COEFFICIENTS[fitting] == EPANET[fitting]


def test_foot_and_ball_valves_are_those_of_technical_paper_410_at_one_inch():
    f_t = 0.023  # Technical Paper 410, page A-26: complete turbulence in 1 in steel
    hinged = fluids.fittings.K_foot_valve_Crane(D=0.0266, fd=f_t, style=1)
    poppet = fluids.fittings.K_foot_valve_Crane(D=0.0266, fd=f_t, style=0)
    ball = fluids.fittings.K_ball_valve_Crane(D1=0.0266, D2=0.0266, angle=0, fd=f_t)
    assert LOSS_COEFFICIENTS["foot_valve_hinged"] == pytest.approx(hinged, abs=0.05)
    assert LOSS_COEFFICIENTS["foot_valve_poppet"] == pytest.approx(poppet, abs=0.05)
    assert LOSS_COEFFICIENTS["ball_valve"] == pytest.approx(ball, abs=0.005)


def test_flow_coefficient_agrees_with_the_loss_coefficient_that_fluids_makes_of_it():
    velocity = 1e-3 / (3.141592653589793 * 0.035**2 / 4)
    head = fluids.head_from_K(fluids.Kv_to_K(8.0, 0.035), velocity)
    assert flow_coefficient_head_loss(1e-3, 8.0 * KV_IN_SI) == pytest.approx(head, rel=1e-3)


def test_pressure_and_head_of_a_flow_coefficient_are_one():
    pressure = flow_coefficient_pressure_loss(1e-3, 8.0 * KV_IN_SI, 998.2)
    assert flow_coefficient_head_loss(1e-3, 8.0 * KV_IN_SI) == pytest.approx(pressure / (998.2 * 9.80665))


def test_a_flow_equal_to_the_coefficient_loses_one_bar():
    # Definition of K_v, IEC 60534-1.
    assert flow_coefficient_pressure_loss(0.002, 0.002, 1000) == pytest.approx(1e5)


BOUNDS = [
    (
        minor_loss_head,
        {"loss_coefficient": 1, "velocity": 1},
        {"loss_coefficient": [-0.1, inf], "velocity": [-1, inf]},
    ),
    (
        flow_coefficient_pressure_loss,
        {"flow": 1e-3, "flow_coefficient": 1e-3, "density": 1000},
        {"flow": [-1, inf], "flow_coefficient": [0, -1, inf], "density": [0, -1, inf]},
    ),
    (
        flow_coefficient_head_loss,
        {"flow": 1e-3, "flow_coefficient": 1e-3},
        {"flow": [-1, inf], "flow_coefficient": [0, -1, inf]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
