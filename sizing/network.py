"""Flow and pressure on radial pipe networks in a state.

The method is the gradient method of Todini and Pilati (1988), the one that EPANET 2.2 documents:
one Newton step for all flows and heads at once. Heads are above the datum [m], flows in m³/s.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from sizing.errors import OutOfRangeError, SystemShapeError
from sizing.records import record

MOST_STEPS = 200
STANDS_STILL = 1e-9  # greatest change of any flow in a step, as a share of it or of LEAST_FLOW, to be done
ROUNDING = 1e-5  # the same, where the changes no longer shrink: what floating point leaves in dead branches
LEAST_FLOW = 1e-5  # m³/s
REVERSE_SLOPE = 1e9  # s/m², head per flow against a one-way link: it stays shut
Loss = Callable[[float], float]


@dataclass(frozen=True)
class Link:
    """One way for water between two points. `loss(q)` is the head lost from `a` to `b` at flow q, rising with q.

    `lifts` marks a pump: it may stand beside another one, or beside its own bypass, without being a loop of pipes.
    """

    tag: str
    a: str
    b: str
    loss: Loss
    one_way: bool = False
    lifts: bool = False

    def head_loss(self, flow: float) -> float:
        """Return the head lost at a flow; against a one-way link it grows without end."""
        if self.one_way and flow < 0:
            return self.loss(0.0) + REVERSE_SLOPE * flow
        return self.loss(flow)

    def slope(self, flow: float) -> float:
        """Return the change of head loss with flow [s/m²], never zero."""
        step = max(1e-9, abs(flow) * 1e-5)
        return max((self.head_loss(flow + step) - self.head_loss(flow - step)) / (2 * step), 1e-3)


@dataclass
class Network:
    """Points, links between them, points of known head and what is drawn where."""

    links: list[Link] = field(default_factory=list)
    known_heads: dict[str, float] = field(default_factory=dict)
    demands: dict[str, float] = field(default_factory=dict)

    def points(self) -> list[str]:
        """Return every point named, in a fixed order."""
        named = {p for link in self.links for p in (link.a, link.b)} | set(self.known_heads) | set(self.demands)
        return sorted(named)

    def piece_with(self, point: str) -> "Network":
        """Return the part of the network that water can reach from `point`; a known head ends the walk."""
        reached, todo = {point}, [point]
        while todo:
            at = todo.pop()
            if at in self.known_heads and at != point:
                continue
            for link in self.links:
                if at in (link.a, link.b):
                    far = link.b if at == link.a else link.a
                    if far not in reached:
                        reached.add(far)
                        todo.append(far)
        links = [k for k in self.links if k.a in reached and k.b in reached]
        known = {p: h for p, h in self.known_heads.items() if p in reached}
        return Network(links, known, {p: q for p, q in self.demands.items() if p in reached})


@record
class Solution:
    """Flow in each link [m³/s] and head at each point [m]."""

    flows: Mapping[str, float]
    heads: Mapping[str, float]

    def pressure_head(self, point: str, elevation: float) -> float:
        """Return the head of water standing above `elevation` at a point [m]."""
        return self.heads[point] - elevation


def refuse_loops(network: Network) -> None:
    """Raise SystemShapeError naming the links where pipes form a loop."""
    root = {p: p for p in network.points()}

    def top(point: str) -> str:
        while root[point] != point:
            point = root[point]
        return point

    for link in network.links:
        if link.lifts or (link.a in network.known_heads and link.b in network.known_heads):
            continue
        a, b = top(link.a), top(link.b)
        if a == b:
            raise SystemShapeError(f"the pipes form a loop, closed by {link.tag}; only trees are computed")
        if link.a not in network.known_heads and link.b not in network.known_heads:
            root[a] = b


def solve(network: Network) -> Solution:
    """Return flows and heads that balance at every point.

    Raises
    ------
    SystemShapeError
        If pipes form a loop, or a point has no way to any known head.
    OutOfRangeError
        If no balance is found, because what is asked is beyond what the sources can give.
    """
    refuse_loops(network)
    free = [p for p in network.points() if p not in network.known_heads]
    _refuse_stranded(network, free)
    flows = {link.tag: 1e-4 for link in network.links}
    heads = dict(network.known_heads)
    last_change = float("inf")
    for step in range(MOST_STEPS):
        tangents = {k.tag: (k.head_loss(flows[k.tag]), k.slope(flows[k.tag])) for k in network.links}
        heads = {**network.known_heads, **_heads(network, free, flows, tangents)}
        change = 0.0
        ease = 1.0 if step < 30 else 0.5
        for link in network.links:
            q, (loss, slope) = flows[link.tag], tangents[link.tag]
            dq = (heads[link.a] - heads[link.b] - loss) / slope
            flows[link.tag] = q + ease * dq
            change = max(change, abs(dq) / max(abs(q), LEAST_FLOW))
        if change < STANDS_STILL or (change < ROUNDING and change >= last_change):
            return Solution(flows, heads)
        last_change = change
    raise OutOfRangeError(
        "flow", max(flows.values(), default=0.0), "such that the network balances; no balance was found"
    )


def _refuse_stranded(network: Network, free: list[str]) -> None:
    for point in free:
        if not network.piece_with(point).known_heads:
            raise SystemShapeError(f"{point} has no way to any water surface in this state")


def _heads(
    network: Network, free: list[str], flows: Mapping[str, float], tangents: Mapping[str, tuple[float, float]]
) -> dict[str, float]:
    """Return the heads of one Newton step: a symmetric system, one row a free point.

    `tangents` holds each link's head loss at its flow, and how that changes with flow.
    """
    index = {p: i for i, p in enumerate(free)}
    size = len(free)
    matrix = [[0.0] * size for _ in range(size)]
    right = [-network.demands.get(p, 0.0) for p in free]
    for link in network.links:
        loss, slope = tangents[link.tag]
        conductance = 1.0 / slope
        carried = flows[link.tag] - conductance * loss
        for point, other, sign in ((link.a, link.b, 1.0), (link.b, link.a, -1.0)):
            if point not in index:
                continue
            row = index[point]
            matrix[row][row] += conductance
            right[row] -= sign * carried
            if other in index:
                matrix[row][index[other]] -= conductance
            else:
                right[row] += conductance * network.known_heads[other]
    return dict(zip(free, _eliminate(matrix, right), strict=True))


def _eliminate(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Return the solution of a small dense system by Gaussian elimination with row exchange."""
    size = len(right)
    for column in range(size):
        pivot = max(range(column, size), key=lambda r: abs(matrix[r][column]))
        if matrix[pivot][column] == 0.0:
            raise SystemShapeError("a part of the network has no way to any water surface")
        matrix[column], matrix[pivot] = matrix[pivot], matrix[column]
        right[column], right[pivot] = right[pivot], right[column]
        for row in range(column + 1, size):
            share = matrix[row][column] / matrix[column][column]
            if share == 0.0:
                continue
            right[row] -= share * right[column]
            for k in range(column, size):
                matrix[row][k] -= share * matrix[column][k]
    result = [0.0] * size
    for row in reversed(range(size)):
        rest = sum(matrix[row][k] * result[k] for k in range(row + 1, size))
        result[row] = (right[row] - rest) / matrix[row][row]
    return result
