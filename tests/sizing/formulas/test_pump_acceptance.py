"""Acceptance tolerances of small pumps: figures of ISO 9906:2012, recalled from memory."""

from math import inf

import pytest

from sizing.formulas.limits import lower_limit, upper_limit
from sizing.formulas.pump_acceptance import (
    ACCEPTANCE_GRADES,
    SMALL_PUMP_FLOW_TOLERANCE,
    SMALL_PUMP_HEAD_TOLERANCE,
    small_pump_efficiency_tolerance,
    small_pump_power_tolerance,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_small_pump_tolerances_at_three_quarters_of_a_kilowatt():
    # ISO 9906:2012, 4.4.2 (from memory): −[10·(1 − 0.075) + 7] % = −16.25 %, √(7² + 16.25²) % = 17.69 %.
    assert small_pump_efficiency_tolerance(750) == pytest.approx(-0.1625)
    assert small_pump_power_tolerance(750) == pytest.approx(0.1769, abs=5e-5)


def test_at_ten_kilowatts_the_small_pump_rule_meets_grade_3b():
    # Both −7 %: the rule ends where grade 3B begins, ISO 9906:2012 (from memory).
    assert small_pump_efficiency_tolerance(10_000) == pytest.approx(ACCEPTANCE_GRADES["3B"][3])


def test_default_limits_of_flow_and_head_of_a_small_pump():
    # ANSI/HI 14.6, 10 kW and below: ±10 % flow, ±8 % head (industry article on the 2011 edition).
    assert lower_limit(10, SMALL_PUMP_FLOW_TOLERANCE) == pytest.approx(9)
    assert upper_limit(200, SMALL_PUMP_HEAD_TOLERANCE) == pytest.approx(216)


@pytest.mark.parametrize(
    ("grade", "row"),
    [
        ("1B", (0.05, 0.03, 0.04, -0.03)),
        ("2B", (0.08, 0.05, 0.08, -0.05)),
        ("3B", (0.09, 0.07, 0.09, -0.07)),
    ],
)
def test_grades_are_those_of_the_table(grade, row):
    # ISO 9906:2012, table 8 (from memory).
    assert ACCEPTANCE_GRADES[grade] == row


BOUNDS = [
    (small_pump_efficiency_tolerance, {"input_power": 750}, {"input_power": [0, -1, 10_001, inf]}),
    (small_pump_power_tolerance, {"input_power": 750}, {"input_power": [0, -1, 10_001, inf]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
