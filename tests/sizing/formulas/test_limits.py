"""Limits around a nominal value: arithmetic, by hand."""

from math import inf
from typing import Any

import pytest

from sizing.formulas.booster_tables import table_current
from sizing.formulas.day_sequence import clearness_at_share, greatest_clearness
from sizing.formulas.insulation import motor_in_well_minimum
from sizing.formulas.limits import limit_at_offset, lower_limit, upper_limit
from tests.sizing.formulas.refusal import Bounds, Formula, assert_refused, refusals


def test_limits_stand_at_a_share_or_an_offset() -> None:
    assert lower_limit(50.0, 0.08) == pytest.approx(46.0)
    assert upper_limit(50.0, 0.08) == pytest.approx(54.0)
    assert limit_at_offset(28.8, -0.4) == pytest.approx(28.4)


BOUNDS: list[Bounds] = [
    (lower_limit, {"nominal": 50.0, "tolerance": 0.1}, {"nominal": [-1.0, inf], "tolerance": [-0.01, 1.01]}),
    (upper_limit, {"nominal": 50.0, "tolerance": 0.1}, {"nominal": [-1.0, inf], "tolerance": [-0.01, 1.01]}),
    (limit_at_offset, {"nominal": 28.8, "offset": -0.4}, {"nominal": [inf], "offset": [-inf]}),
    (clearness_at_share, {"mean_clearness": 0.55, "share": 0.4}, {"mean_clearness": [0.1, 0.9], "share": [-0.1, 1.1]}),
    (greatest_clearness, {"mean_clearness": 0.55}, {"mean_clearness": [0.1, 0.9]}),
    (motor_in_well_minimum, {"condition": "new"}, {"condition": ["old"]}),
    (table_current, {"pressures": (1e5, 2e5), "currents": (5.0, 7.0), "pressure": 1.5e5}, {"pressure": [0.9e5, 2.1e5]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_argument_out_of_range_is_refused(formula: Formula, arguments: dict[str, Any], argument: str) -> None:
    assert_refused(formula, arguments, argument)
