"""Shares and rises by hand, and where each turns round."""

from math import inf, nan

import pytest

from sizing.formulas.comparisons import rise_at_current, share_from_mean, share_of
from sizing.formulas.photovoltaic import spread_from_mean
from tests.sizing.formulas.refusal import assert_refused, refusals

STRINGS = (8.9, 9.1, 9.3)


def test_a_string_against_the_mean_by_hand():
    # mean 9.1 A: 8.9 A lies 2.2 % below it
    assert share_from_mean(8.9, STRINGS) == pytest.approx(-0.2 / 9.1)


def test_the_farthest_string_is_what_the_spread_says():
    assert max(abs(share_from_mean(one, STRINGS)) for one in STRINGS) == pytest.approx(spread_from_mean(STRINGS))
    assert sum(share_from_mean(one, STRINGS) for one in STRINGS) == pytest.approx(0.0)


def test_a_share_by_hand():
    assert share_of(441.0, 490.0) == pytest.approx(0.9)
    assert share_of(-1.0, 4.0) == -0.25


def test_a_rise_goes_with_the_square_of_the_current():
    # 3 K at half the current are 12 K at the whole: I²R
    assert rise_at_current(3.0, 5.0, 10.0) == pytest.approx(12.0)
    assert rise_at_current(3.0, 10.0, 10.0) == 3.0


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (
            share_from_mean,
            {"value": 1.0, "values": (1.0, 2.0)},
            {"value": [nan, inf], "values": [(), (0.0, 0.0), (1.0, inf), (-1.0, -1.0)]},
        ),
        (share_of, {"value": 1.0, "whole": 2.0}, {"value": [nan], "whole": [0, -1, inf]}),
        (
            rise_at_current,
            {"rise": 3.0, "current": 5.0, "full_current": 10.0},
            {"rise": [-1, inf], "current": [0, inf], "full_current": [0, nan]},
        ),
    ),
)
def test_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
