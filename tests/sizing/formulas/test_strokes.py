"""Water per stroke of a hand pump, against the figure of the Indian deep-well standard."""

import pytest

from sizing.formulas.handpump import swept_volume, volume_per_stroke
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_forty_strokes_of_the_standard_pump():
    # IS 9301 asks 15 L in 40 strokes (from memory) of a 63.5 mm × 125 mm cylinder, which sweeps 15.8 L
    delivered = volume_per_stroke(0.015, 40)
    assert delivered == pytest.approx(0.375e-3)
    assert delivered / swept_volume(0.0635, 0.125) == pytest.approx(15 / 15.8, abs=0.003)


BOUNDS = ((volume_per_stroke, {"volume": 0.0158, "strokes": 40.0}, {"volume": [-0.1], "strokes": [0.0, float("inf")]}),)


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_refuses_what_is_out_of_range(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
