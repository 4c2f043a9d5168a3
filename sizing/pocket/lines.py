"""The working at a few nodes of a table: the words of its steps once, their numbers node by node."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from typing import Any

from sizing.checks.pocket import MOST_AXES, Scale
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.pocket.grid import Grid, Point
from sizing.working import Step, Working

SHOWN_ON_AXIS = (1, 5, 3, 2)  # nodes with their working on each axis, by the number of axes


@dataclass(frozen=True)
class Worked:
    """The steps at one node."""

    at: Point
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class NodeWorking:
    """Where the working of a table is kept, in the order of its axes."""

    names: tuple[str, ...]
    nodes: tuple[Worked, ...]


def working_at_nodes(grid: Grid, work: Callable[[Point], Working]) -> NodeWorking:
    """Return the working at a few nodes, spread over the table; refusals have none."""
    many = SHOWN_ON_AXIS[min(len(grid.lines), MOST_AXES)]
    chosen = [_spread(line.nodes, len(line.nodes) if line.scale is Scale.CHOICE else many) for line in grid.lines]
    found: list[Worked] = []
    for point in product(*chosen):
        try:
            found.append(Worked(point, tuple(work(point).steps)))
        except (MissingDataError, OutOfRangeError, SystemShapeError, ValueError):
            continue
    return NodeWorking(grid.names, tuple(found))


def _spread(nodes: tuple[float, ...], most: int) -> list[float]:
    """Return some nodes, evenly from the first to the last; of two, those at a quarter and three quarters."""
    if len(nodes) <= most:
        return list(nodes)
    if most == 2:
        return [nodes[len(nodes) // 4], nodes[-1 - len(nodes) // 4]]
    return [nodes[round(i * (len(nodes) - 1) / (most - 1))] for i in range(most)]


def same_words(one: tuple[Step, ...], other: tuple[Step, ...]) -> bool:
    """Whether two workings are the same steps with other numbers."""
    return [words_of(step) for step in one] == [words_of(step) for step in other]


def words_of(step: Step) -> tuple[Any, ...]:
    """Return what a step says apart from its numbers."""
    arguments = tuple((one.symbol, one.unit) for one in step.arguments)
    return (step.symbol, step.words, step.formula, step.equation, arguments, step.unit, step.source, step.note)
