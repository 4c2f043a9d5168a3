"""Fuse rules against worked examples."""

from math import inf

import pytest

from sizing.formulas.overcurrent import (
    highest_allowed_rating,
    least_overcurrent_rating,
    load_current_for_rating,
    maximum_array_current,
    next_standard_rating,
    reverse_current,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


@pytest.mark.parametrize(
    ("short_circuit", "strings", "maximum", "least", "rating"),
    [
        (9.5, 1, 11.875, 14.84, 15),  # public page on NEC 690.8, 690.9 and 240.6
        (9.2, 1, 11.5, 14.4, 15),  # public page
        (3.0, 5, 18.75, 23.4, 25),  # public forum, 15 A · 156 %
        (5.46, 1, 6.825, 8.53, 10),  # public page, printed 8.52 from 1.56
    ],
)
def test_worked_array_circuits(short_circuit, strings, maximum, least, rating):
    current = maximum_array_current(short_circuit, strings)
    assert current == pytest.approx(maximum)
    assert least_overcurrent_rating(current) == pytest.approx(least, abs=0.05)
    assert next_standard_rating(least_overcurrent_rating(current)) == rating


def test_a_standard_rating_is_its_own_next():
    assert next_standard_rating(15) == 15
    assert next_standard_rating(15.01) == 20


def test_two_strings_push_back_one_three_push_two():
    # By hand; a module for 15 A with 9.5 A strings: 11.9 A from one other string is safe, 23.75 A from two is not.
    assert reverse_current(9.5, 1) == 0
    assert reverse_current(9.5, 2) == pytest.approx(11.875)
    assert reverse_current(9.5, 3) == pytest.approx(23.75)


def test_the_weaker_of_wire_and_module_limits_the_fuse():
    assert highest_allowed_rating(26, 20) == 20
    assert highest_allowed_rating(14, 20) == 14


def test_mixed_load_by_hand():
    # 1.25 · 16 A + 4 A = 24 A.
    assert load_current_for_rating(16, 4) == pytest.approx(24)


STRINGS = {"short_circuit_current": 9, "strings": 2}
BAD_STRINGS = {"short_circuit_current": [0, inf], "strings": [0, inf]}
BOUNDS = [
    (maximum_array_current, STRINGS, BAD_STRINGS),
    (reverse_current, STRINGS, BAD_STRINGS),
    (least_overcurrent_rating, {"maximum_current": 11}, {"maximum_current": [0, inf]}),
    (next_standard_rating, {"current": 14}, {"current": [0, 600.1, inf]}),
    (highest_allowed_rating, {"ampacity": 26, "device_limit": 20}, {"ampacity": [0, inf], "device_limit": [0, inf]}),
    (load_current_for_rating, {"continuous": 16, "other": 4}, {"continuous": [-1, inf], "other": [-1, inf]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
