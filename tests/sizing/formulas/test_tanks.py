"""Tank volumes against the fluids library, draining against scipy's integrator."""

from math import inf, pi, sqrt

import pytest
from fluids.geometry import TANK
from scipy.integrate import quad

from sizing.formulas.tanks import (
    drain_time,
    fill_time,
    lying_cylinder_volume,
    orifice_flow,
    rectangular_volume,
    upright_cylinder_volume,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


@pytest.mark.parametrize("share", [0, 0.1, 0.25, 0.4, 0.5, 0.9, 1])
def test_cylinders_hold_what_fluids_says(share):
    lying, upright = TANK(D=1.2192, L=2.4384, horizontal=True), TANK(D=1.2192, L=2.4384, horizontal=False)
    assert lying_cylinder_volume(1.2192, 2.4384, share * 1.2192) == pytest.approx(
        lying.V_from_h(share * 1.2192), abs=1e-12
    )
    assert upright_cylinder_volume(1.2192, share * 2.4384) == pytest.approx(upright.V_from_h(share * 2.4384), abs=1e-12)


# Published fill table of a lying cylinder: per cent of depth, per cent of volume.
@pytest.mark.parametrize(("depth", "volume"), [(10, 5.2), (25, 19.6), (40, 37.4), (75, 80.4), (90, 94.8)])
def test_lying_cylinder_matches_the_printed_fill_table(depth, volume):
    full = lying_cylinder_volume(2, 5, 2)
    assert 100 * lying_cylinder_volume(2, 5, depth / 50) / full == pytest.approx(volume, abs=0.06)


def test_a_box_holds_length_by_width_by_depth():
    assert rectangular_volume(2, 1.5, 0.4) == pytest.approx(1.2)
    assert rectangular_volume(2, 1.5, 0) == 0


def test_filling_while_drawing_takes_longer():
    assert fill_time(3.6, 1e-3, 0) == pytest.approx(3600)
    assert fill_time(3.6, 1e-3, 5e-4) == pytest.approx(7200)


def test_drain_time_of_the_worked_torricelli_example():
    # 1 m² tank, 0.01 m² opening, 2 m of head, C_d 0.62: 103.0 s, public reference page.
    assert drain_time(1, 0.01, 2, 0, 0.62) == pytest.approx(103.0, abs=0.2)


def test_drain_time_is_the_integral_of_the_outflow():
    def seconds_per_metre(head: float) -> float:
        return pi / (0.62 * pi * 0.0266**2 / 4 * sqrt(2 * 9.80665 * head))

    seconds, _ = quad(seconds_per_metre, 0.5, 1.8)
    assert drain_time(pi, pi * 0.0266**2 / 4, 1.8, 0.5, 0.62) == pytest.approx(seconds)


def test_outflow_follows_the_root_of_the_head():
    # 0.62·√(2·9.81·2) = 3.884 m/s over the whole opening, same worked example.
    assert orifice_flow(1, 2, 0.62) == pytest.approx(3.884, abs=3e-3)
    assert orifice_flow(1, 8, 0.62) == pytest.approx(2 * orifice_flow(1, 2, 0.62))
    assert orifice_flow(1, 0, 0.62) == 0


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
BOUNDS = [
    (upright_cylinder_volume, {"diameter": 2, "depth": 1}, {"diameter": POSITIVE, "depth": NOT_NEGATIVE}),
    (
        rectangular_volume,
        {"length": 2, "width": 1, "depth": 1},
        {"length": POSITIVE, "width": POSITIVE, "depth": NOT_NEGATIVE},
    ),
    (
        lying_cylinder_volume,
        {"diameter": 2, "length": 5, "depth": 1},
        {"diameter": POSITIVE, "length": POSITIVE, "depth": [-0.1, 2.1, inf]},
    ),
    (
        fill_time,
        {"volume": 1, "inflow": 1e-3, "outflow": 5e-4},
        {"volume": NOT_NEGATIVE, "inflow": [5e-4, 0, inf], "outflow": [-1, inf]},
    ),
    (
        orifice_flow,
        {"area": 1e-3, "head": 1, "discharge_coefficient": 0.6},
        {"area": POSITIVE, "head": NOT_NEGATIVE, "discharge_coefficient": [0, 1.01, inf]},
    ),
    (
        drain_time,
        {
            "tank_area": 1,
            "orifice_area": 0.01,
            "head_start": 2,
            "head_end": 1,
            "discharge_coefficient": 0.6,
        },
        {
            "tank_area": POSITIVE,
            "orifice_area": [0, 1, inf],
            "head_start": [0.9, inf],
            "head_end": NOT_NEGATIVE,
            "discharge_coefficient": [0, 1.01],
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
