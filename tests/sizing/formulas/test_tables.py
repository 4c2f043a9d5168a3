"""Reading between rows against numpy."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.formulas.tables import between_rows
from tests.sizing.formulas.refusal import assert_refused, refusals

ROWS = ((0.0, 1.0), (1.0, 3.0), (4.0, -2.0))


@settings(deadline=None)  # a busy machine is no failure
@given(st.floats(min_value=0, max_value=4))
def test_between_rows_agrees_with_numpy(value):
    expected = np.interp(value, [x for x, _ in ROWS], [y for _, y in ROWS])
    assert between_rows("value", value, ROWS, "V") == pytest.approx(expected)


BOUNDS = [(between_rows, {"argument": "value", "value": 1.0, "rows": ROWS, "unit": "V"}, {"value": [-0.1, 4.1]})]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
