"""Nodes stand where a table needs them: few on a straight line, some on a curve, two at an edge."""

import math

import pytest

from sizing.checks.pocket import Scale
from sizing.pocket.grid import Node, Sort
from sizing.pocket.grow import Range, grown

GOOD, BAD = Sort("good"), Sort(refusal="beyond")


def within(borne):
    return lambda read, true: abs(read["value"] - true["value"]) / borne


def at(f):
    return lambda point: Node(GOOD, {"value": f(*point)})


def test_a_plane_needs_its_corners_alone():
    made = grown((Range("a", 0, 9), Range("b", -3, 3)), at(lambda a, b: 2 * a - b), within(1e-6))
    assert [len(line.nodes) for line in made.lines] == [2, 2]


def test_an_axis_along_which_nothing_moves_is_left_out():
    made = grown((Range("a", 0, 9), Range("b", -3, 3)), at(lambda a, b: math.exp(b)), within(0.05))
    assert made.names == ("b",)


@pytest.mark.parametrize("borne", [0.1, 0.02, 0.006])
def test_a_curve_gets_as_many_nodes_as_the_error_borne_asks_for(borne):
    made = grown((Range("a", 0, 3),), at(math.exp), within(borne))
    worst = max(abs(made.read({"a": x / 1000}).figures["value"] - math.exp(x / 1000)) for x in range(3001))
    assert worst <= 1.1 * borne
    # Straight lines through a curve err by h²/8·f″: the fewest for all of it are ∫√(f″/8ε) (de Boor, from memory).
    fewest = (math.exp(1.5) - 1) * 2 / math.sqrt(8 * borne)
    assert fewest <= len(made.lines[0].nodes) <= 3 * fewest + 2


def test_a_kink_that_was_named_lies_on_a_node():
    made = grown((Range("a", 0, 10, kinks=(6.2,)),), at(lambda a: max(a, 6.2)), within(1e-9))
    assert made.read({"a": 6.2}).figures["value"] == pytest.approx(6.2)
    assert len(made.lines[0].nodes) <= 5


def test_the_edge_of_a_branch_is_closed_in_by_two_nodes():
    made = grown(
        (Range("a", 0, 10),), lambda p: Node(GOOD, {"value": p[0]}) if p[0] < 7.3 else Node(BAD, {}), within(1)
    )
    assert not made.read({"a": 7.2999}).is_unsure
    assert made.read({"a": 7.3001}).sort == BAD
    assert len(made.lines[0].nodes) <= 6


def test_a_branch_found_nowhere_at_first_is_looked_for():
    def narrow(point):
        return Node(GOOD, {"value": point[0]}) if 0.40 < point[0] < 0.46 else Node(BAD, {})

    assert any(node.figures for node in grown((Range("a", 0, 1),), narrow, within(1)).nodes)


def test_a_choice_keeps_its_numbers_and_nothing_between():
    made = grown((Range("a", 0, 0, Scale.CHOICE, choices=(250.0, 500.0, 1000.0)),), at(lambda a: a**2), within(1))
    assert made.lines[0].nodes == (250.0, 500.0, 1000.0)
