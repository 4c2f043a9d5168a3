"""A table over one to three axes, straight between its nodes, and what is read from it.

Every node is of a **sort**: a set of figures that belong together, or a refusal with its words. A cell whose corners
are not all of one sort is unsure: there the phone says what the nearest corner says, and that the server will judge.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from sizing.checks.pocket import Scale

Point = tuple[float, ...]


@dataclass(frozen=True)
class Sort:
    """What kind of node it is: the basis of limits, or the words of a refusal; and the names of its terms."""

    basis: str = ""
    terms: tuple[str, ...] = ()
    shared: tuple[bool, ...] = ()
    owner: str = ""
    field: str = ""
    refusal: str = ""

    @property
    def is_refusal(self) -> bool:
        return bool(self.refusal)


@dataclass(frozen=True)
class Node:
    """What was computed at one point: its sort and its figures by name."""

    sort: Sort
    figures: Mapping[str, float]


@dataclass(frozen=True)
class Line:
    """One axis with its nodes, ascending."""

    name: str
    nodes: tuple[float, ...]
    scale: Scale = Scale.LINEAR

    def weights(self, value: float) -> list[tuple[int, float]]:
        """Return the one or two nodes around a value with their weights; none beyond the ends."""
        nodes = self.nodes
        if value in nodes:
            return [(nodes.index(value), 1.0)]
        if self.scale is Scale.CHOICE or not nodes[0] < value < nodes[-1]:
            return []
        right = next(i for i, node in enumerate(nodes) if node > value)
        low, high, here = (scaled(x, self.scale) for x in (nodes[right - 1], nodes[right], value))
        share = (here - low) / (high - low)
        return [(right - 1, 1 - share), (right, share)]


def scaled(value: float, scale: Scale) -> float:
    """Return the coordinate in which an axis or a column is straight."""
    if scale is Scale.LOG:
        return math.log(value)
    return 1 / value if scale is Scale.RECIPROCAL else value


def unscaled(coordinate: float, scale: Scale) -> float:
    """Return the value at a coordinate."""
    if scale is Scale.LOG:
        return math.exp(coordinate)
    return 1 / coordinate if scale is Scale.RECIPROCAL else coordinate


@dataclass(frozen=True)
class Found:
    """What a table says at a point: figures, or a refusal; unsure where corners are not alike."""

    sort: Sort
    figures: Mapping[str, float]
    is_unsure: bool = False


@dataclass(frozen=True)
class Grid:
    """A table: its axes and a node at each crossing, the last axis running fastest."""

    lines: tuple[Line, ...]
    nodes: tuple[Node, ...]
    scale: Scale = Scale.LINEAR
    """In what the figures are straight."""

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(line.name for line in self.lines)

    def node_at(self, place: Sequence[int]) -> Node:
        """Return the node at a place on each axis."""
        index = 0
        for line, i in zip(self.lines, place, strict=True):
            index = index * len(line.nodes) + i
        return self.nodes[index]

    def points(self) -> Iterator[Point]:
        """Yield the point of each node, in their order."""
        return product(*(line.nodes for line in self.lines))

    def read(self, at: Mapping[str, float]) -> Found | None:
        """Return what the table says at a point; None beyond its ends."""
        sides = [line.weights(at[line.name]) for line in self.lines]
        if not all(sides):
            return None
        corners = [
            (self.node_at([i for i, _ in way]), math.prod(weight for _, weight in way)) for way in product(*sides)
        ]
        return mixed(corners, self.scale)


def mixed(corners: Sequence[tuple[Node, float]], scale: Scale) -> Found:
    """Return the weighted mean of corners of one sort; of several sorts, that of the weightiest, unsure."""
    leading = max(corners, key=lambda corner: corner[1])[0].sort
    alike = [(node, weight) for node, weight in corners if node.sort == leading and weight > 0]
    whole = math.fsum(weight for _, weight in alike)
    figures = {
        name: unscaled(math.fsum(scaled(node.figures[name], scale) * weight for node, weight in alike) / whole, scale)
        for name in alike[0][0].figures
    }
    return Found(leading, figures, any(node.sort != leading for node, weight in corners if weight > 0))
