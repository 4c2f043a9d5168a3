"""The lattice of lines on which runs are led, and what stands on it."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field

from commissioning.plots.schematic.shapes import Box, Point

PITCH = 12.0  # between lines of the lattice
STUB = 12.0  # straight out of a block before the first bend
CLEAR = 9.5  # least distance between two runs side by side
NEAR = 6.0  # a regular line closer to a line of a spot is left out


Claims = dict[tuple[int, int], frozenset[str]]
"""Node → the runs that may pass, as far as all who claim it agree."""


@dataclass
class Grid:
    """Lines across and down. Nodes are (i, j); what is set on them says who may pass and how."""

    xs: list[float]
    ys: list[float]
    walls: set[tuple[int, int]] = field(default_factory=set)
    across: Claims = field(default_factory=dict)
    down: Claims = field(default_factory=dict)
    bends: Claims = field(default_factory=dict)

    def node(self, x: float, y: float) -> tuple[int, int]:
        """Return the node at a place, which must be on the lattice."""
        return _index(self.xs, x), _index(self.ys, y)

    def point(self, node: tuple[int, int]) -> Point:
        return self.xs[node[0]], self.ys[node[1]]

    def wall(self, box: Box) -> None:
        """Let nobody pass through a box."""
        self.walls.update(self._within(box.left, box.right, box.top, box.bottom))

    def no_run_along(self, top: float, bottom: float) -> None:
        """Let nobody go sideways between two heights: the break of the staff."""
        for node in self._within(self.xs[0], self.xs[-1], top, bottom):
            self.across[node] = frozenset()

    def occupy(self, owners: frozenset[str], start: Point, end: Point) -> None:
        """Keep others from running along a piece of a run, from bending on it, and from passing its ends."""
        (x1, y1), (x2, y2) = sorted([start, end])
        y1, y2 = min(y1, y2), max(y1, y2)
        is_level = y1 == y2
        along = self.across if is_level else self.down
        athwart = self.down if is_level else self.across
        for node in self._within(x1 - CLEAR, x2 + CLEAR, y1 - CLEAR, y2 + CLEAR):
            along[node] = along.get(node, owners) & owners
            self.bends[node] = self.bends.get(node, owners) & owners
            x, y = self.point(node)
            ends = (x1, x2, x) if is_level else (y1, y2, y)
            if min(abs(ends[0] - ends[2]), abs(ends[1] - ends[2])) < CLEAR:
                athwart[node] = athwart.get(node, owners) & owners

    def _within(self, left: float, right: float, top: float, bottom: float) -> Iterator[tuple[int, int]]:
        columns = range(bisect_right(self.xs, left), bisect_left(self.xs, right))
        rows = range(bisect_right(self.ys, top), bisect_left(self.ys, bottom))
        return ((i, j) for i in columns for j in rows)


def _index(lines: list[float], at: float) -> int:
    return min(range(len(lines)), key=lambda k: abs(lines[k] - at))


def lines_through(wanted: set[float], low: float, high: float) -> list[float]:
    """Return the wanted lines, and regular ones between them where there is room."""
    made = sorted({round(one, 2) for one in wanted})
    regular = [low + PITCH * k for k in range(int((high - low) / PITCH) + 1)]
    for one in regular:
        at = bisect_left(made, one)
        near = made[max(0, at - 1) : at + 1]
        if all(abs(one - other) >= NEAR for other in near):
            made.insert(at, one)
    return made
