"""Water per stroke of a hand pump, against the figure of the Indian deep-well standard."""

import pytest

from sizing.formulas.handpump import stroke_flow, swept_volume, volume_per_stroke
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_forty_strokes_of_the_standard_pump():
    # IS 9301 asks 15 L in 40 strokes (from memory) of a 63.5 mm × 125 mm cylinder, which sweeps 15.8 L
    delivered = volume_per_stroke(0.015, 40)
    assert delivered == pytest.approx(0.375e-3)
    assert delivered / swept_volume(0.0635, 0.125) == pytest.approx(15 / 15.8, abs=0.003)


def test_fifteen_litres_in_the_forty_strokes_of_a_minute():
    # the same standard: 15 L in 40 strokes, at its pace of 40 strokes a minute, are 15 L/min
    assert stroke_flow(0.375e-3, 40, 60) == pytest.approx(15e-3 / 60)
    assert stroke_flow(0.375e-3, 80, 120) == pytest.approx(stroke_flow(0.375e-3, 40, 60))


BOUNDS = (
    (volume_per_stroke, {"volume": 0.0158, "strokes": 40.0}, {"volume": [-0.1], "strokes": [0.0, float("inf")]}),
    (stroke_flow, {"volume_per_stroke": 4e-4, "strokes": 40.0, "time": 60.0}, {
        "volume_per_stroke": [0.0, float("inf")], "strokes": [0.0, float("inf")], "time": [0.0, float("inf")]}),
)  # fmt: skip


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_refuses_what_is_out_of_range(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
