"""Finds where a table needs nodes: until it is straight enough between them, and no more than that."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, product
from math import isclose
from random import Random
from typing import TypeVar

from sizing.checks.pocket import MOST_AXES, Scale
from sizing.pocket.grid import Grid, Line, Node, Point, mixed, scaled, unscaled

At = Callable[[Point], Node]
Error = Callable[[Mapping[str, float], Mapping[str, float]], float]
"""Figures read and figures computed → how wrong, 1 being as much as is borne."""

FIRST = (4, 4, 4, 3)  # nodes to begin with on each axis, by the number of axes
MOST_ON_AXIS = (60, 60, 24, 14)  # likewise
MOST_NODES = 4_000
NARROWEST = (0.0, 1 / 500, 1 / 8, 1 / 5)  # share of an axis to which the edge of a branch is closed in, likewise
HALVINGS = 34  # of an interval, where an edge lies at one place all along
TRIED_LINES = (1, 2, 6, 9)  # of those parallel to an axis: along them it is looked whether it needs more nodes
STRAY = 300  # points tried where the first nodes are all refused
BESIDE = 1e-9  # share of an axis: a node on either side of a kink
TRIED_POINTS = (4, 40, 120, 80)  # at random, likewise: the table is tried there when it is ready
ROUNDS = 6
FAILS = 1.0  # of the error borne
EXTRA = 6  # nodes that an axis may have more for that
PRUNED = 0.5  # of the error borne, where a node is left out again


Number = TypeVar("Number", int, float)


def by_axes(figures: tuple[Number, ...], scales: Sequence[Scale]) -> Number:
    """Return the figure that goes with the number of axes, choices not counted."""
    return figures[min(sum(one is not Scale.CHOICE for one in scales), MOST_AXES)]


@dataclass
class Growing:
    """A table in the making: nodes on each axis, and what has been computed."""

    names: tuple[str, ...]
    scales: tuple[Scale, ...]
    axes: list[list[float]]
    at: At
    error: Error
    scale: Scale
    known: dict[Point, Node] = field(default_factory=dict)
    done: set[tuple[int, float, float]] = field(default_factory=set)
    random: Random = field(default_factory=lambda: Random(5))  # noqa: S311  # which lines are tried, no secret

    def node(self, point: Point) -> Node:
        """Return what is computed at a point, once."""
        if point not in self.known:
            self.known[point] = self.at(point)
        return self.known[point]

    def lines_along(self, axis: int, most: int = 0) -> list[Point]:
        """Return places on the other axes: all of their crossings, or some where they are many."""
        others = [nodes if i != axis else [0.0] for i, nodes in enumerate(self.axes)]
        every = list(product(*others))
        most = most or by_axes(TRIED_LINES, self.scales)
        if len(every) <= most:
            return every
        ends = list(product(*({nodes[0], nodes[-1]} for nodes in others)))
        middle = tuple(nodes[len(nodes) // 2] for nodes in others)
        more = self.random.sample(every, max(most - len(ends) - 1, 0))
        return list(dict.fromkeys([*ends, middle, *more]))

    def misfit(self, axis: int, place: Point, low: float, middle: float, high: float) -> float:
        """Return how wrong the straight line between two nodes is at one between; infinite at a branch's edge."""
        left, here, right = (self.node(put(place, axis, x)) for x in (low, middle, high))
        if not left.sort == here.sort == right.sort:
            return float("inf")
        if not here.figures:
            return 0.0
        scale = self.scales[axis]
        a, b, m = scaled(low, scale), scaled(high, scale), scaled(middle, scale)
        share = (m - a) / (b - a)
        return self.error(mixed([(left, 1 - share), (right, share)], self.scale).figures, here.figures)

    def grid(self) -> Grid:
        """Return the table as it stands."""
        lines = tuple(
            Line(name, tuple(nodes), scale)
            for name, nodes, scale in zip(self.names, self.axes, self.scales, strict=True)
        )
        return Grid(lines, tuple(self.node(point) for point in product(*self.axes)), self.scale)


def put(place: Point, axis: int, value: float) -> Point:
    """Return a point with another value on one axis."""
    return (*place[:axis], value, *place[axis + 1 :])


@dataclass(frozen=True)
class Range:
    """One axis as it is asked for."""

    name: str
    low: float
    high: float
    scale: Scale = Scale.LINEAR
    kinks: tuple[float, ...] = ()
    choices: tuple[float, ...] = ()

    def first_nodes(self, first: int = FIRST[1]) -> list[float]:
        """Return the nodes to begin with: a few evenly spaced, and two that close in each kink."""
        if self.scale is Scale.CHOICE:
            return sorted(self.choices)
        if self.low == self.high:
            return [self.low]
        a, b = scaled(self.low, self.scale), scaled(self.high, self.scale)
        between = [unscaled(a + (b - a) * i / (first - 1), self.scale) for i in range(1, first - 1)]
        beside = (self.high - self.low) * BESIDE
        kinks = [x for kink in self.kinks if self.low < kink < self.high for x in (kink - beside, kink, kink + beside)]
        return sorted({self.low, *between, *kinks, self.high})


def grown(ranges: tuple[Range, ...], at: At, error: Error, scale: Scale = Scale.LINEAR) -> Grid:
    """Return the smallest table found whose error stays within what is borne; axes that move nothing are left out."""
    growing = _begun(ranges, at, error, scale)
    moving = [i for i in range(len(ranges)) if not _is_still(growing, i)]
    if len(moving) < len(ranges):
        middle = tuple(nodes[len(nodes) // 2] for nodes in growing.axes)
        growing = _begun(tuple(ranges[i] for i in moving), lambda p: at(_filled(middle, moving, p)), error, scale)
    for _ in range(24):
        refined = [_refined(growing, axis) for axis in range(len(growing.axes))]
        if not any(refined):
            break
    for axis in range(len(growing.axes)):
        _prune(growing, axis)
    for _ in range(ROUNDS):
        if not _put_where_it_fails(growing):
            break
    return growing.grid()


def _begun(ranges: tuple[Range, ...], at: At, error: Error, scale: Scale) -> Growing:
    names, scales = tuple(r.name for r in ranges), tuple(r.scale for r in ranges)
    axes = [r.first_nodes(by_axes(FIRST, scales)) for r in ranges]
    growing = Growing(names, scales, axes, at, error, scale)
    if all(growing.node(point).sort.is_refusal for point in product(*axes)):
        _stray(growing, ranges)
    return growing


def _stray(growing: Growing, ranges: tuple[Range, ...]) -> None:
    """Look for a point that is not refused, where the first nodes all are, and put nodes there."""
    for _ in range(STRAY):
        point = tuple(
            growing.random.choice(r.choices) if r.choices else growing.random.uniform(r.low, r.high) for r in ranges
        )
        if not growing.node(point).sort.is_refusal:
            growing.axes = [sorted({*nodes, x}) for nodes, x in zip(growing.axes, point, strict=True)]
            return


def _filled(middle: Point, moving: list[int], point: Point) -> Point:
    whole = list(middle)
    for i, value in zip(moving, point, strict=True):
        whole[i] = value
    return tuple(whole)


def _is_still(growing: Growing, axis: int) -> bool:
    """Whether nothing computed so far moves along an axis."""
    for place in growing.lines_along(axis, 64):
        first, *rest = (growing.node(put(place, axis, x)) for x in growing.axes[axis])
        if any(one.sort != first.sort or not _are_alike(one.figures, first.figures) for one in rest):
            return False
    return True


def _are_alike(one: Mapping[str, float], other: Mapping[str, float]) -> bool:
    return all(isclose(value, other[name], rel_tol=1e-9, abs_tol=1e-15) for name, value in one.items())


def _put_where_it_fails(growing: Growing) -> bool:
    """Try the table at random points; put nodes around one where it is wrong, and return whether any was put."""
    made, was = growing.grid(), [len(nodes) for nodes in growing.axes]
    for _ in range(by_axes(TRIED_POINTS, growing.scales)):
        point = tuple(_anywhere(growing, i) for i in range(len(growing.axes)))
        found, true = made.read(dict(zip(growing.names, point, strict=True))), growing.node(point)
        if found is None or found.is_unsure or found.sort != true.sort or not true.figures:
            continue
        if growing.error(found.figures, true.figures) > FAILS:
            for i, x in enumerate(point):
                _halve_around(growing, i, x)
    return was != [len(nodes) for nodes in growing.axes]


def _anywhere(growing: Growing, axis: int) -> float:
    nodes, scale = growing.axes[axis], growing.scales[axis]
    if scale is Scale.CHOICE:
        return growing.random.choice(nodes)
    return unscaled(growing.random.uniform(scaled(nodes[0], scale), scaled(nodes[-1], scale)), scale)


def _halve_around(growing: Growing, axis: int, at: float) -> None:
    """Put a node into the interval in which a point lies, unless the axis is full or straight there."""
    nodes, scale = growing.axes[axis], growing.scales[axis]
    room = min(by_axes(MOST_ON_AXIS, growing.scales) + EXTRA - len(nodes), _room(growing, axis))
    low, high = max((x for x in nodes if x <= at), default=at), min((x for x in nodes if x > at), default=at)
    if scale is Scale.CHOICE or low == high or room < 1:
        return
    middle = unscaled((scaled(low, scale) + scaled(high, scale)) / 2, scale)
    places = growing.lines_along(axis, 2 * by_axes(TRIED_LINES, growing.scales))
    if max(growing.misfit(axis, place, low, middle, high) for place in places) > PRUNED:
        growing.axes[axis] = sorted({*nodes, middle})


def _refined(growing: Growing, axis: int) -> bool:
    """Put nodes where an axis lacks them; return whether any was put."""
    nodes, scale = growing.axes[axis], growing.scales[axis]
    if scale is Scale.CHOICE:
        return False
    found: list[float] = []
    for low, high in pairwise(nodes):
        if (axis, low, high) in growing.done:
            continue
        middle = unscaled((scaled(low, scale) + scaled(high, scale)) / 2, scale)
        worst = max(growing.misfit(axis, place, low, middle, high) for place in growing.lines_along(axis))
        if worst <= 1:
            growing.done.add((axis, low, high))
        elif worst == float("inf"):
            found += _closed_in(growing, axis, low, middle, high)
        elif high - low <= NARROWEST[1] * (nodes[-1] - nodes[0]):  # a step, which no number of nodes makes straight
            growing.done.add((axis, low, high))
        else:
            found.append(middle)
    room = min(by_axes(MOST_ON_AXIS, growing.scales) - len(nodes), _room(growing, axis))
    growing.axes[axis] = sorted({*nodes, *found[: max(room, 0)]})
    return bool(found) and room > 0


def _room(growing: Growing, axis: int) -> int:
    """Return how many nodes an axis may still take before the table grows too large."""
    others = 1
    for i, nodes in enumerate(growing.axes):
        others *= 1 if i == axis else len(nodes)
    return MOST_NODES // others - len(growing.axes[axis])


def _closed_in(growing: Growing, axis: int, low: float, middle: float, high: float) -> list[float]:
    """Return nodes that close in a branch's edge: two, where it lies at one place all along; else the middle."""
    whole = growing.axes[axis][-1] - growing.axes[axis][0]
    narrowest = by_axes(NARROWEST, growing.scales) * whole
    places = growing.lines_along(axis)
    edges = [
        _edge(growing, axis, place, low, high)
        for place in places
        if growing.node(put(place, axis, low)).sort != growing.node(put(place, axis, high)).sort
    ]
    if len(set(edges)) == 1 and 2 * len(edges) >= len(places):
        growing.done.add((axis, *edges[0]))
        return sorted({x for pair in edges for x in pair} - {low, high})
    if high - low <= narrowest:
        growing.done.add((axis, low, high))
        return []
    return [middle]


def _edge(growing: Growing, axis: int, place: Point, low: float, high: float) -> tuple[float, float]:
    """Return the two neighbours between which a branch ends, by halving."""
    first = growing.node(put(place, axis, low)).sort
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if growing.node(put(place, axis, middle)).sort == first:
            low = middle
        else:
            high = middle
    return low, high


def _prune(growing: Growing, axis: int) -> None:
    """Leave out the nodes of an axis without which the table is straight enough all the same."""
    nodes = growing.axes[axis]
    if growing.scales[axis] is Scale.CHOICE:
        return
    left = [nodes[0]]
    dropped: list[float] = []
    for here, after in pairwise(nodes[1:]):
        out = [*dropped, here]
        if _all_fit(growing, axis, left[-1], out, after):
            dropped.append(here)
        else:
            left.append(here)
            dropped = []
    growing.axes[axis] = [*left, *nodes[-1:]] if len(nodes) > 1 else left


def _all_fit(growing: Growing, axis: int, low: float, out: list[float], high: float) -> bool:
    """Whether the straight line between two nodes is near enough to all that lie between."""
    places = growing.lines_along(axis, 3 * by_axes(TRIED_LINES, growing.scales))
    return all(growing.misfit(axis, place, low, x, high) <= PRUNED for x in out for place in places)
