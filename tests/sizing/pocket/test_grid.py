"""Tables read as scipy's RegularGridInterpolator reads them; edges, ends and scales besides."""

import math
import random

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from sizing.checks.pocket import Scale
from sizing.pocket.grid import Grid, Line, Node, Sort

CHANCE = random.Random(4)  # noqa: S311  # tables to read, no secret
WELL, STOPPED = Sort("a basis"), Sort(refusal="the pump stops")


def table(nodes, at, scales=None, scale=Scale.LINEAR):
    names = "abc"[: len(nodes)]
    scales = scales or (Scale.LINEAR,) * len(nodes)
    lines = tuple(Line(name, tuple(n), s) for name, n, s in zip(names, nodes, scales, strict=True))
    points = Grid(lines, (), scale).points()
    return Grid(lines, tuple(at(point) for point in points), scale)


def plain(f):
    return lambda point: Node(WELL, {"value": f(*point)})


@pytest.mark.parametrize("axes", [1, 2, 3])
def test_linear_tables_agree_with_scipy(axes):
    nodes = [sorted(CHANCE.uniform(-5, 9) for _ in range(5)) for _ in range(axes)]
    heights = np.array([CHANCE.gauss(0, 1) for _ in range(5**axes)]).reshape((5,) * axes)
    made = table(
        nodes, lambda p: Node(WELL, {"value": heights[tuple(n.index(x) for n, x in zip(nodes, p, strict=True))]})
    )
    theirs = RegularGridInterpolator(nodes, heights)
    for _ in range(200):
        at = [CHANCE.uniform(n[0], n[-1]) for n in nodes]
        found = made.read(dict(zip("abc", at, strict=False)))
        assert found.figures["value"] == pytest.approx(theirs(at)[0], rel=1e-12, abs=1e-12)
        assert not found.is_unsure


def test_reciprocal_axis_makes_volume_over_time_exact():
    made = table(([0.005, 0.3], [20.0, 900.0]), plain(lambda v, t: v / t), (Scale.LINEAR, Scale.RECIPROCAL))
    assert made.read({"a": 0.02, "b": 45.0}).figures["value"] == pytest.approx(0.02 / 45, rel=1e-12)


def test_log_axis_and_column_make_a_power_law_exact():
    made = table(([1e-5, 1e-2],), plain(lambda q: 3e6 * q**1.852), (Scale.LOG,), Scale.LOG)
    assert made.read({"a": 4e-4}).figures["value"] == pytest.approx(3e6 * 4e-4**1.852, rel=1e-12)


def test_reciprocal_column_makes_two_resistances_side_by_side_exact():
    scales = (Scale.RECIPROCAL, Scale.RECIPROCAL)
    made = table(([1e3, 1e13], [1e3, 1e13]), plain(lambda a, b: a * b / (a + b)), scales, Scale.RECIPROCAL)
    assert made.read({"a": 4e6, "b": 9e7}).figures["value"] == pytest.approx(4e6 * 9e7 / (4e6 + 9e7), rel=1e-9)


def test_nothing_is_said_beyond_the_ends_and_between_choices():
    made = table(([0.0, 1.0],), plain(lambda a: a))
    assert made.read({"a": 1.0}).figures["value"] == 1.0
    assert made.read({"a": 1.0001}) is None
    chosen = table(([0.0, 1.0],), plain(lambda a: a), (Scale.CHOICE,))
    assert chosen.read({"a": 0.5}) is None


def test_a_cell_at_the_edge_of_a_branch_is_unsure_and_says_what_its_nearest_corner_says():
    made = table(([0.0, 1.0],), lambda p: Node(STOPPED, {}) if p[0] > 0 else Node(WELL, {"value": 7.0}))
    near, far = made.read({"a": 0.2}), made.read({"a": 0.8})
    assert (near.is_unsure, near.sort, near.figures["value"]) == (True, WELL, 7.0)
    assert (far.is_unsure, far.sort, dict(far.figures)) == (True, STOPPED, {})
    assert not made.read({"a": 0.0}).is_unsure
    assert math.isclose(sum(weight for _, weight in made.lines[0].weights(0.3)), 1.0)
