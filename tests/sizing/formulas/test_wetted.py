"""Volumes to disinfect, against the trade's short form."""

from math import inf

import pytest

from sizing.formulas.wells import casing_volume
from sizing.formulas.wetted import pumped_volume, summed_volume, water_column
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT, INCH, GALLON = 0.3048, 0.0254, 3.785411784e-3


def test_six_inch_well_holds_what_the_trade_says():
    # the trade's D²/24.5: 6 in holds 1.47 US gal a foot; 100 ft of water in a 140 ft well hold 147 gal
    column = water_column(140 * FOOT, 40 * FOOT)
    assert casing_volume(6 * INCH, column) / GALLON == pytest.approx(147, abs=0.5)


def test_all_parts_together():
    assert summed_volume((0.6, 0.1, 6.8)) == pytest.approx(7.5)


def test_thirty_litres_a_minute_for_an_hour():
    assert pumped_volume(30e-3 / 60, 3600) == pytest.approx(1.8)


BOUNDS = (
    (water_column, {"depth": 60.0, "level": 24.0}, {"depth": [0.0, inf], "level": [60.1, -inf]}),
    (summed_volume, {"volumes": (1.0, 2.0)}, {"volumes": [(), (1.0, -0.1), (float("nan"),)]}),
    (pumped_volume, {"flow": 5e-4, "time": 60.0}, {"flow": [-1.0, inf], "time": [-1.0, inf]}),
)


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_refuses_what_is_out_of_range(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
