"""The current of a pump's table by voltage, against SciPy's interpolation on a regular grid."""

from math import inf

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from sizing.formulas.direct_coupling import pump_table_current
from tests.sizing.formulas.refusal import assert_refused, refusals

VOLTS, HEADS = (12.0, 18.0, 24.0, 30.0), (5.0, 15.0, 30.0)
# A of a small diaphragm pump, invented: up with the head, little with the voltage
AMPERES = ((2.1, 2.8, 3.9), (2.3, 3.0, 4.1), (2.5, 3.2, 4.2), (2.8, 3.5, 4.6))
ROWS = tuple((v, h, AMPERES[i][j]) for i, v in enumerate(VOLTS) for j, h in enumerate(HEADS))


def test_by_hand_between_two_voltages_and_two_heads():
    # 21 V, 10 m: at 18 V 2.65 A, at 24 V 2.85 A, halfway 2.75 A
    assert pump_table_current(ROWS, 21.0, 10.0) == pytest.approx(2.75)


def test_a_row_gives_its_own_figure():
    assert all(pump_table_current(ROWS, v, h) == current for v, h, current in ROWS)


def test_as_scipy_interpolates():
    grid = RegularGridInterpolator((VOLTS, HEADS), np.array(AMPERES))
    draw = np.random.default_rng(7)
    for _ in range(200):
        volts, head = draw.uniform(12, 30), draw.uniform(5, 30)
        assert pump_table_current(ROWS, volts, head) == pytest.approx(float(grid((volts, head))), rel=1e-12)


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (
            pump_table_current,
            {"rows": ROWS, "voltage": 20.0, "head": 10.0},
            {
                "rows": [(), ((-1.0, 5.0, 2.0),), ((12.0, 5.0, inf),), ((20.0, 5.0, 2.0),)],
                "voltage": [11.9, 30.1],
                "head": [4.9, 30.1],
            },
        ),
    ),
)
def test_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
