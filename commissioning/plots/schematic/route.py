"""Leading the runs: level or upright, clear of every block and label, with few bends and crossings.

A crossing is allowed only straight through; no run lies along another. Found by A* on the lattice.
"""

from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count, pairwise

from commissioning.plots.schematic.graph import Plan, natural
from commissioning.plots.schematic.grid import STUB, Grid, lines_through
from commissioning.plots.schematic.shapes import Block, Box, Point, Spot, around
from sizing.system import Run

BEND, CROSSING = 34.0, 90.0  # what they cost, in user units of length
TURNS = 5  # how often the runs are led anew, with one that found no way put first
PAD = 3.5  # around blocks and labels
AROUND = 60.0  # free lattice outside of everything
RANK = {"pipe": 0, "cable": 1, "control": 2}
WAYS = ((1, 0), (0, 1), (-1, 0), (0, -1))

State = tuple[int, int, int]


@dataclass(frozen=True)
class Led:
    """A run as it is drawn."""

    run: Run
    points: tuple[Point, ...]

    @property
    def pieces(self) -> list[tuple[Point, Point]]:
        """Return the straight pieces."""
        return list(zip(self.points, self.points[1:], strict=False))

    @property
    def boxes(self) -> list[Box]:
        """Return the room that the line takes."""
        return [around([Box(*a, *a), Box(*b, *b)]).grown(1.7) for a, b in self.pieces]


def led_runs(plan: Plan, blocks: dict[str, Block], breaks: list[Box], may_leave: bool) -> list[Led] | None:
    """Return every run as drawn, or None if one finds no way even when it is led before the others.

    If `may_leave`, a run without a way is left out instead.
    """
    runs = drawn_runs(plan)
    runs.sort(key=lambda run: (RANK.get(run.kind, 3), _distance(plan, blocks, run), natural(run.tag)))
    for _ in range(TURNS):
        made, failed = _led_in_order(plan, blocks, breaks, runs)
        if failed is None:
            return made
        runs = [failed, *(run for run in runs if run is not failed)]
    return _led_in_order(plan, blocks, breaks, runs, may_leave)[0] if may_leave else None


def _led_in_order(
    plan: Plan, blocks: dict[str, Block], breaks: list[Box], runs: list[Run], may_leave: bool = False
) -> tuple[list[Led], Run | None]:
    """Return the runs led one after the other, and the first for which there was no way."""
    spots = [spot for block in blocks.values() for found in block.spots.values() for spot in found]
    grid = _lattice(list(blocks.values()), spots)
    for band in breaks:
        grid.no_run_along(band.top, band.bottom)
    made: list[Led] = []
    used: set[Spot] = set()
    _guard_spots(grid, plan, blocks)
    for run in runs:
        ends = [blocks[plan.block_of(end.tag)].spots[run.tag] for end in (run.start, run.end)]
        starts, goals = ([spot for spot in found if spot not in used] for found in ends)
        found = _way(grid, run.tag, starts, goals)
        if found is None and may_leave:
            continue
        if found is None:
            return made, run
        start, end, points = found
        used.update((start, end))
        for one, other in pairwise(points):
            grid.occupy(frozenset({run.tag}), one, other)
        made.append(Led(run, points))
    return made, None


def drawn_runs(plan: Plan) -> list[Run]:
    """Return the runs between two blocks; what stays inside one is drawn with it."""
    runs = plan.system.runs.values()
    return [run for run in runs if plan.block_of(run.start.tag) != plan.block_of(run.end.tag)]


def _distance(plan: Plan, blocks: dict[str, Block], run: Run) -> float:
    one, other = (blocks[plan.block_of(end.tag)].spots[run.tag][0] for end in (run.start, run.end))
    return round(abs(one.x - other.x) + abs(one.y - other.y), 1)


def _lattice(blocks: list[Block], spots: list[Spot]) -> Grid:
    whole = around([one for block in blocks for one in block.boxes]).grown(AROUND)
    xs = {one.x for one in spots} | {one.x + one.dx * STUB for one in spots}
    ys = {one.y for one in spots} | {one.y + one.dy * STUB for one in spots}
    grid = Grid(lines_through(xs, whole.left, whole.right), lines_through(ys, whole.top, whole.bottom))
    for block in blocks:
        for box in block.boxes:
            grid.wall(box.grown(PAD))
    return grid


def _guard_spots(grid: Grid, plan: Plan, blocks: dict[str, Block]) -> None:
    """Keep the way out of each spot free for the runs that may use it."""
    for block in blocks.values():
        for spot in {spot for spots in block.spots.values() for spot in spots}:
            runs = frozenset(run for run, spots in block.spots.items() if spot in spots)
            grid.occupy(runs, _exact(spot.x, spot.y), _out(spot))


def _out(spot: Spot) -> Point:
    return _exact(spot.x + spot.dx * STUB, spot.y + spot.dy * STUB)


def _exact(x: float, y: float) -> Point:
    """Return a place as the lattice knows it."""
    return round(x, 2), round(y, 2)


def _way(grid: Grid, owner: str, starts: list[Spot], ends: list[Spot]) -> tuple[Spot, Spot, tuple[Point, ...]] | None:
    """Return the cheapest way between a spot of each end, or None."""
    goals = {(*grid.node(*_out(spot)), WAYS.index((-spot.dx, -spot.dy))): spot for spot in reversed(ends)}
    origins = {(*grid.node(*_out(spot)), WAYS.index((spot.dx, spot.dy))): spot for spot in reversed(starts)}
    free = {state for state in (*goals, *origins) if _may_stand(grid, owner, state)}
    goals = {state: spot for state, spot in goals.items() if state in free}
    origins = {state: spot for state, spot in origins.items() if state in free}
    found = _search(grid, owner, list(origins), goals)
    if found is None:
        return None
    start, end = origins[found[0]], goals[found[-1]]
    inner = [grid.point((i, j)) for i, j, _ in found]
    return start, end, _straightened([_exact(start.x, start.y), *inner, _exact(end.x, end.y)])


def _may_stand(grid: Grid, owner: str, state: State) -> bool:
    node, way = state[:2], state[2]
    return node not in grid.walls and not _others((grid.across if way % 2 == 0 else grid.down).get(node), owner)


def _others(claim: frozenset[str] | None, owner: str) -> bool:
    return claim is not None and owner not in claim


def _search(grid: Grid, owner: str, origins: list[State], goals: dict[State, Spot]) -> list[State] | None:
    order = count()
    best: dict[State, float] = dict.fromkeys(origins, 0.0)
    before: dict[State, State] = {}
    if not goals:
        return None
    aim = around([Box(x, y, x, y) for x, y in (grid.point(goal[:2]) for goal in goals)])
    heap = [(least := _least(grid, state, aim), least, next(order), state) for state in origins]
    heap.sort()
    done: set[State] = set()
    while heap:
        state = heappop(heap)[3]
        if state in goals:
            return _walked(before, state)
        if state in done:
            continue
        done.add(state)
        for after, cost in _steps(grid, owner, state):
            total = best[state] + cost
            if total < best.get(after, 1e12):
                best[after], before[after] = total, state
                least = _least(grid, after, aim)
                heappush(heap, (total + least, least, next(order), after))
    return None


def _steps(grid: Grid, owner: str, state: State) -> list[tuple[State, float]]:
    """Return where a run may go on from a node, and at what cost: straight on, or after a bend."""
    i, j, way = state
    made: list[tuple[State, float]] = []
    if not _others(grid.bends.get((i, j)), owner):
        made = [((i, j, turned), BEND) for turned in ((way + 1) % 4, (way - 1) % 4)]
    dx, dy = WAYS[way]
    on = (i + dx, j + dy)
    if not (0 <= on[0] < len(grid.xs) and 0 <= on[1] < len(grid.ys)) or on in grid.walls:
        return made
    along, athwart = (grid.across, grid.down) if dx else (grid.down, grid.across)
    if _others(along.get(on), owner) or _others(along.get((i, j)), owner):
        return made
    length = abs(grid.xs[on[0]] - grid.xs[i]) + abs(grid.ys[on[1]] - grid.ys[j])
    crossing = CROSSING if _others(athwart.get(on), owner) and not _others(athwart.get((i, j)), owner) else 0.0
    return [*made, ((*on, way), length + crossing)]


def _least(grid: Grid, state: State, aim: Box) -> float:
    """Return the least that the rest of the way can cost: to the box around all goals, with a bend if need be."""
    x, y = grid.xs[state[0]], grid.ys[state[1]]
    across, down = max(aim.left - x, x - aim.right, 0.0), max(aim.top - y, y - aim.bottom, 0.0)
    return across + down + (BEND if across and down else 0.0)


def _walked(before: dict[State, State], state: State) -> list[State]:
    made = [state]
    while made[-1] in before:
        made.append(before[made[-1]])
    return made[::-1]


def _straightened(points: list[Point]) -> tuple[Point, ...]:
    """Return the points without those in the middle of a straight piece."""
    made: list[Point] = []
    for point in points:
        if made and point == made[-1]:
            continue
        if len(made) > 1 and (made[-2][0] == made[-1][0] == point[0] or made[-2][1] == made[-1][1] == point[1]):
            made.pop()
        made.append(point)
    return tuple(made)
