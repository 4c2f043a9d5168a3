"""Hand pumps against published yields."""

from math import inf

import pytest

from sizing.formulas.handpump import (
    hand_pump_flow,
    handle_force,
    human_efficiency,
    rod_force,
    strokes_to_raise,
    swept_volume,
    volumetric_efficiency,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_forty_strokes_of_the_public_domain_cylinder():
    # 63.5 mm by 125 mm; IS 9301 asks for 15 L or more in 40 strokes (from memory): the swept volume is 15.8 L.
    assert 40 * swept_volume(0.0635, 0.125) * 1000 == pytest.approx(15.83, abs=0.01)
    assert volumetric_efficiency(0.015 / 40, swept_volume(0.0635, 0.125)) == pytest.approx(15 / 15.83, rel=5e-4)


def test_rod_and_handle_force_at_thirty_metres():
    # 1000·9.81·30·0.003167 = 932 N by hand; over 8 and 0.85: 137 N.
    force = rod_force(0.0635, 30, 1000)
    assert force == pytest.approx(931, rel=2e-3)
    assert handle_force(force, 8, 0.85) == pytest.approx(137, rel=2e-3)


def test_work_of_a_stroke_is_force_times_stroke():
    joule = 1000 * 9.80665 * 30 * swept_volume(0.0635, 0.125)
    assert rod_force(0.0635, 30, 1000) * 0.125 == pytest.approx(joule)


# Public development wiki, lever pumps of the public-domain design, 75 W: head [m], yield [m³/h], efficiency.
@pytest.mark.parametrize(("head", "yield_per_hour", "efficiency"), [(10, 1.8, 0.654), (15, 1.3, 0.708)])
def test_published_yields_imply_a_plausible_efficiency(head, yield_per_hour, efficiency):
    implied = human_efficiency(yield_per_hour / 3600, head, 75, 999)
    assert implied == pytest.approx(efficiency, abs=4e-3)
    assert hand_pump_flow(75, implied, head, 999) * 3600 == pytest.approx(yield_per_hour)


def test_published_yield_at_fifty_metres_is_not_possible():
    # Same page, 0.55 m³/h at 50 m from 75 W: all of the work in the water, none lost.
    assert human_efficiency(0.55 / 3600, 50, 75, 1000) > 0.99


def test_strokes_that_fill_an_empty_riser():
    # 32 mm riser: 0.804 L/m by hand; 12 m and 0.35 L a stroke: 27.6 strokes.
    assert strokes_to_raise(0.032, 12, 0.35e-3) == pytest.approx(27.57, abs=0.01)
    assert strokes_to_raise(0.032, 0, 0.35e-3) == 0


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
BOUNDS = [
    (swept_volume, {"bore": 0.06, "stroke": 0.12}, {"bore": POSITIVE, "stroke": POSITIVE}),
    (
        volumetric_efficiency,
        {"delivered_volume": 3e-4, "swept_volume": 4e-4},
        {"delivered_volume": NOT_NEGATIVE, "swept_volume": POSITIVE},
    ),
    (
        rod_force,
        {"bore": 0.06, "head": 30, "density": 1000},
        {"bore": POSITIVE, "head": NOT_NEGATIVE, "density": POSITIVE},
    ),
    (
        handle_force,
        {"rod_force": 900, "lever_ratio": 8, "mechanical_efficiency": 0.85},
        {"rod_force": NOT_NEGATIVE, "lever_ratio": POSITIVE, "mechanical_efficiency": [0, 1.01]},
    ),
    (
        human_efficiency,
        {"flow": 3e-4, "head": 20, "human_power": 75, "density": 1000},
        {"flow": NOT_NEGATIVE, "head": NOT_NEGATIVE, "human_power": POSITIVE, "density": POSITIVE},
    ),
    (
        hand_pump_flow,
        {"human_power": 75, "efficiency": 0.65, "head": 20, "density": 1000},
        {"human_power": POSITIVE, "efficiency": [0, 1.01], "head": POSITIVE, "density": POSITIVE},
    ),
    (
        strokes_to_raise,
        {"riser_diameter": 0.03, "empty_length": 5, "delivered_volume": 3e-4},
        {"riser_diameter": POSITIVE, "empty_length": NOT_NEGATIVE, "delivered_volume": POSITIVE},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
