"""Pipe friction against the fluids library, published tables and EPANET's own cubic."""

from math import inf, log, pi

import fluids
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicHermiteSpline

from sizing.formulas.pipes import (
    HAZEN_WILLIAMS_COEFFICIENTS,
    PIPE_ROUGHNESS,
    colebrook_friction_factor,
    darcy_weisbach_head_loss,
    flow_velocity,
    friction_factor,
    hazen_williams_head_loss,
    laminar_friction_factor,
    pipe_area,
    pipe_head_loss,
    reynolds_number,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT, INCH = 0.3048, 0.0254
GPM = 3.785411784e-3 / 60


def test_area_and_velocity_of_a_one_inch_pipe():
    # 10 US gpm in 1.049 in: 3.71 ft/s, published friction chart for 1 in sched-40 steel.
    assert pipe_area(2) == pytest.approx(pi)
    assert flow_velocity(10 * GPM, 1.049 * INCH) / FOOT == pytest.approx(3.71, rel=3e-3)


def test_reynolds_number_is_that_of_fluids():
    assert reynolds_number(2, 0.3, 1e-6) == pytest.approx(fluids.Reynolds(V=2, D=0.3, nu=1e-6))


@pytest.mark.parametrize("reynolds", [1, 640, 1999])
def test_laminar_factor_is_that_of_fluids(reynolds):
    assert laminar_friction_factor(reynolds) == pytest.approx(fluids.friction.friction_laminar(reynolds))
    assert friction_factor(reynolds, 0.01) == laminar_friction_factor(reynolds)


@pytest.mark.parametrize("reynolds", [4001, 5e3, 2e4, 1e5, 3e6, 1e8])
@pytest.mark.parametrize("roughness", [0, 1e-6, 5e-5, 1.5e-3, 0.05])
def test_colebrook_agrees_with_fluids(reynolds, roughness):
    oracle = fluids.friction.Colebrook(reynolds, roughness)
    assert colebrook_friction_factor(reynolds, roughness) == pytest.approx(oracle, rel=1e-9)
    assert friction_factor(reynolds, roughness) == pytest.approx(oracle, rel=1e-9)


def epanet_cubic(reynolds: float, roughness: float) -> float:
    """The transition of EPANET 2.2 (User Manual, chapter 12, after Dunlop 1991), met at Re 4000 by Swamee-Jain."""
    y2 = roughness / 3.7 + 5.74 / 4000**0.9
    y3 = -0.86859 * log(y2)
    fa = y3**-2
    fb = fa * (2 - 0.00514215 / (y2 * y3))
    r = reynolds / 2000
    x1, x2 = 7 * fa - fb, 0.128 - 17 * fa + 2.5 * fb
    x3, x4 = -0.128 + 13 * fa - 2 * fb, r * (0.032 - 3 * fa + 0.5 * fb)
    return x1 + r * (x2 + r * (x3 + x4))


@pytest.mark.parametrize("reynolds", [2000, 2300, 2700, 3000, 3500, 4000])
@pytest.mark.parametrize("roughness", [0, 1e-4, 5e-3])
def test_bridge_keeps_near_epanet(reynolds, roughness):
    # The ends differ as Colebrook from Swamee-Jain: under 3 %.
    assert friction_factor(reynolds, roughness) == pytest.approx(epanet_cubic(reynolds, roughness), rel=0.03)


@pytest.mark.parametrize("edge", [2000, 4000])
@pytest.mark.parametrize("roughness", [0, 1e-3, 0.05])
def test_bridge_meets_both_sides_in_value_and_slope(edge, roughness):
    def slope(start: float) -> float:
        return (friction_factor(start + 0.01, roughness) - friction_factor(start, roughness)) / 0.01

    before, after = friction_factor(edge - 1e-6, roughness), friction_factor(edge + 1e-6, roughness)
    assert before == pytest.approx(after, rel=1e-8)
    assert slope(edge - 0.01) == pytest.approx(slope(edge), rel=2e-3)


@pytest.mark.parametrize("reynolds", [2001, 2299, 3000, 3999])
def test_bridge_is_the_cubic_through_both_ends(reynolds):
    turbulent = [fluids.friction.Colebrook(4000 + step, 1e-3) for step in (-0.5, 0, 0.5)]
    slopes = [-64 / 2000**2, turbulent[2] - turbulent[0]]
    oracle = CubicHermiteSpline([2000, 4000], [0.032, turbulent[1]], slopes)(reynolds)
    assert friction_factor(reynolds, 1e-3) == pytest.approx(oracle, rel=1e-6)


def test_head_loss_of_a_worked_textbook_pipe():
    # Surge Analysis and the Wave Plan Method, problem 0.2: f 0.0169, 0.0689 m in 6 m.
    assert darcy_weisbach_head_loss(0.0169, 6, 0.3, 2) == pytest.approx(0.0689, abs=0.0003)


@pytest.mark.parametrize("flow", [1e-5, 5e-5, 2e-4, 1e-3, 5e-3])
def test_pipe_head_loss_agrees_with_fluids(flow):
    velocity = flow / (pi * 0.035**2 / 4)
    factor = fluids.friction_factor(Re=velocity * 0.035 / 1e-6, eD=1.5e-6 / 0.035, Method="Colebrook")
    if velocity * 0.035 / 1e-6 < 2000:
        factor = fluids.friction.friction_laminar(velocity * 0.035 / 1e-6)
    head = fluids.head_from_K(factor * 120 / 0.035, velocity)
    assert pipe_head_loss(flow, 120, 0.035, 1.5e-6, 1e-6) == pytest.approx(head, rel=1e-6)


def test_no_flow_loses_no_head():
    assert pipe_head_loss(0, 120, 0.035, 1.5e-6, 1e-6) == 0
    assert hazen_williams_head_loss(0, 120, 0.035, 140) == 0


@given(st.floats(1e-9, 0.02), st.floats(1.001, 3), st.sampled_from(sorted(PIPE_ROUGHNESS.values())))
def test_loss_grows_with_flow(flow, factor, roughness):
    less = pipe_head_loss(flow, 100, 0.04, roughness, 1e-6)
    assert pipe_head_loss(flow * factor, 100, 0.04, roughness, 1e-6) > less


# Illinois Administrative Code 77-906, appendix A, exhibit I: sched-40 plastic, C 150, ft per 100 ft,
# printed to 0.01; with the nominal inside diameters of ASME B36.10.
ILLINOIS = [(5, 1.049, 1.52), (10, 1.049, 5.50), (10, 1.38, 1.46), (20, 1.38, 5.23), (50, 2.067, 3.98)]


@pytest.mark.parametrize(("gpm", "inches", "feet"), ILLINOIS)
def test_hazen_williams_matches_the_printed_table(gpm, inches, feet):
    loss = hazen_williams_head_loss(gpm * GPM, 100 * FOOT, inches * INCH, 150) / FOOT
    assert loss == pytest.approx(feet, rel=0.02)


def test_hazen_williams_is_the_form_in_feet():
    # EPANET 2.2 User Manual: h = 4.727 · L · q^1.852 / (C^1.852 · d^4.871), ft and ft³/s.
    feet = 4.727 * 300 * 0.05**1.852 / (130**1.852 * 0.25**4.871)
    metres = hazen_williams_head_loss(0.05 * FOOT**3, 300 * FOOT, 0.25 * FOOT, 130)
    assert metres / FOOT == pytest.approx(feet, rel=5e-4)


def test_smooth_plastic_pipe_loses_less_by_darcy_weisbach():
    # 1 L/s in 35 mm: 8.5 % less than C 140, near C 147 (computed with the EPANET 2.2 engine).
    darcy = pipe_head_loss(1e-3, 300, 0.035, PIPE_ROUGHNESS["pe"], 1.0219e-6)
    assert darcy / hazen_williams_head_loss(1e-3, 300, 0.035, 140) == pytest.approx(0.915, abs=0.01)


def test_each_material_has_both_its_roughness_and_its_coefficient():
    assert PIPE_ROUGHNESS.keys() == HAZEN_WILLIAMS_COEFFICIENTS.keys()


LENGTHS = {"length": [-1, inf], "inside_diameter": [0, -1, inf]}
BOUNDS = [
    (pipe_area, {"inside_diameter": 0.1}, {"inside_diameter": [0, -1, inf]}),
    (
        flow_velocity,
        {"flow": 1e-3, "inside_diameter": 0.1},
        {"flow": [-1e-9, inf], "inside_diameter": [0, inf]},
    ),
    (
        reynolds_number,
        {"velocity": 1, "inside_diameter": 0.1, "kinematic_viscosity": 1e-6},
        {"velocity": [-1, inf], "inside_diameter": [0], "kinematic_viscosity": [0, -1e-6, inf]},
    ),
    (laminar_friction_factor, {"reynolds": 100}, {"reynolds": [0, -1, inf]}),
    (
        colebrook_friction_factor,
        {"reynolds": 1e5, "relative_roughness": 1e-4},
        {"reynolds": [1999, inf], "relative_roughness": [-1e-9, 0.051]},
    ),
    (
        friction_factor,
        {"reynolds": 1e5, "relative_roughness": 1e-4},
        {"reynolds": [0, -1, inf], "relative_roughness": [-1e-9, 0.051]},
    ),
    (
        darcy_weisbach_head_loss,
        {"friction_factor": 0.02, "length": 1, "inside_diameter": 0.1, "velocity": 1},
        {**LENGTHS, "friction_factor": [0, inf], "velocity": [-1, inf]},
    ),
    (
        pipe_head_loss,
        {"flow": 1e-3, "length": 1, "inside_diameter": 0.1, "roughness": 0, "kinematic_viscosity": 1e-6},
        {**LENGTHS, "flow": [-1], "roughness": [-1e-9, 0.0051, inf], "kinematic_viscosity": [0]},
    ),
    (
        hazen_williams_head_loss,
        {"flow": 1e-3, "length": 1, "inside_diameter": 0.1, "coefficient": 140},
        {**LENGTHS, "flow": [-1, inf], "coefficient": [0, -1, inf]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
