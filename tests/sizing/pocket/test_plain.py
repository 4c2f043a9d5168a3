"""Tables on their way to a phone: columns as straight functions, numbers shortened, words once; and where a root is."""

import math
from collections.abc import Callable

import pytest
from scipy.optimize import brentq

from sizing.checks.pocket import Scale
from sizing.pocket.grid import Grid, Line, Node, Sort
from sizing.pocket.lines import working_at_nodes
from sizing.pocket.plain import grid_data, shortened, working_data
from sizing.pocket.pose import PosingError, root
from sizing.working import Working

GOOD = Sort("a basis")


def grid(nodes: list[float], **figures: list[float]) -> Grid:
    made = (Node(GOOD, {name: column[i] for name, column in figures.items()}) for i in range(len(nodes)))
    return Grid((Line("a", tuple(nodes)),), tuple(made))


def columns(**figures: list[float]) -> dict:
    many = len(next(iter(figures.values())))
    return grid_data(grid([float(i) for i in range(many)], **figures))["columns"]


def test_a_limit_at_nine_tenths_travels_as_that() -> None:
    nominal = [10.0, 13.0, 19.0, 40.0]
    found = columns(nominal=nominal, lower=[0.9 * x for x in nominal], upper=[3 + 2 * x for x in nominal])
    assert found["lower"] == {"of": "nominal", "line": [0.0, pytest.approx(0.9)]}
    assert found["upper"] == {"of": "nominal", "line": [pytest.approx(3), pytest.approx(2)]}


def test_a_constant_column_is_one_number_and_a_curve_stays_a_list() -> None:
    found = columns(nominal=[1.0, 2.0, 3.0], square=[1.0, 4.0, 9.0], width=[0.05, 0.05, 0.05])
    assert found["width"] == 0.05
    assert found["square"] == [1, 4, 9]


@pytest.mark.parametrize(
    ("value", "digits", "short"),
    [(0.123456789, 6, 0.123457), (1234567.0, 6, 1234570), (-2.0, 6, -2), (101325.4, 9, 101325.4), (5e-7, 3, 5e-7)],
)
def test_a_number_keeps_so_many_significant_digits(value: float, digits: int, short: float) -> None:
    assert shortened(value, digits) == short
    assert isinstance(shortened(value, digits), int) is float(short).is_integer()


def test_working_is_kept_at_a_few_nodes_its_words_once() -> None:
    def work(point: tuple[float, ...]) -> Working:
        from sizing.formulas.limits import lower_limit

        w = Working()
        w.call("lower", lower_limit, nominal=point[0] + point[1] + point[2], tolerance=0.1)
        return w

    lines = tuple(Line(name, tuple(float(i) for i in range(9))) for name in "abc")
    made = Grid(lines, tuple(Node(GOOD, {}) for _ in range(9**3)))
    kept = working_at_nodes(made, work)
    # of three axes two nodes each: at a quarter and at three quarters of nine
    assert sorted({one.at[0] for one in kept.nodes}) == [2.0, 6.0]
    data = working_data(kept)
    assert len(data["texts"]) == 1
    assert len(data["nodes"]) == 8
    assert data["nodes"][0] == [[2, 2, 2], 0, [[5.4, 6, 0.1]]]  # 0.9 · 6


@pytest.mark.parametrize(
    ("scale", "off"),
    [
        (Scale.LINEAR, lambda x: (x + 1) ** 1.852 - 7.0),
        (Scale.LOG, lambda x: x**1.852 - 7.0),
        (Scale.RECIPROCAL, lambda x: 7.0 - 30.0 / x - 0.1 / x**2),
    ],
)
def test_a_root_is_where_scipy_finds_it(scale: Scale, off: Callable[[float], float]) -> None:
    calls = []
    found = root(lambda x: (calls.append(x), off(x))[1], 0.5, 20.0, scale)
    assert found == pytest.approx(brentq(off, 0.5, 20.0), rel=1e-9)
    assert len(calls) <= 12  # secants close in faster than any halving


def test_where_nothing_crosses_nought_it_is_said() -> None:
    with pytest.raises(PosingError):
        root(lambda x: 1.0 + math.exp(-x), 0.0, 5.0)
