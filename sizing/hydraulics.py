"""From the as-built graph and a state to a network that can be solved, and its results in the trade's words."""

from dataclasses import dataclass
from functools import partial

from sizing.errors import MissingDataError
from sizing.formulas.fittings import LOSS_COEFFICIENTS, flow_coefficient_head_loss, minor_loss_head
from sizing.formulas.pipes import PIPE_ROUGHNESS, flow_velocity, pipe_head_loss
from sizing.formulas.water import kinematic_viscosity
from sizing.network import Link, Network, Solution, solve
from sizing.parts import HandPump, Outlet, Pipe, StorageTank, SubmersiblePump, Valve
from sizing.system import End, Node, Run, State, System, is_shut

VALVE_LOSS = {
    "ball": LOSS_COEFFICIENTS["ball_valve"],
    "gate": LOSS_COEFFICIENTS["gate_valve"],
    "globe": LOSS_COEFFICIENTS["globe_valve"],
    "swing_check": LOSS_COEFFICIENTS["check_valve"],
    "spring_check": LOSS_COEFFICIENTS["check_valve"],
}
STANDARD_WATER_TEMPERATURE = 15.0  # °C, taken for the viscosity where no ground temperature is recorded


@dataclass(frozen=True)
class LiftCurve:
    """Head that a pump adds over flow: falling points of (flow [m³/s], head [m])."""

    points: tuple[tuple[float, float], ...]

    def head_at(self, flow: float) -> float:
        """Return the head at a flow by straight lines between the points, carried on beyond the last."""
        points = self.points
        below = 0
        while below < len(points) - 2 and points[below + 1][0] < flow:
            below += 1
        (q0, h0), (q1, h1) = points[below], points[below + 1]
        return h0 + (h1 - h0) * (flow - q0) / (q1 - q0)


@dataclass(frozen=True)
class Source:
    """A running well pump: its lift curve, the water level in the well at rest and how that falls with flow."""

    curve: LiftCurve
    rest_elevation: float
    specific_capacity: float | None


def water_viscosity(system: System) -> float:
    """Return the kinematic viscosity of the site's water [m²/s]."""
    recorded = system.site.ground_temperature
    return kinematic_viscosity(temperature=STANDARD_WATER_TEMPERATURE if recorded is None else recorded)


def inside_diameter(run: Run) -> float:
    """Return a pipe's bore, or raise MissingDataError."""
    return run.need("inside_diameter")


def roughness(run: Run) -> float:
    """Return the wall roughness of a pipe's material, or raise MissingDataError."""
    return PIPE_ROUGHNESS[run.need_text("material")]


def fittings_coefficient(run: Run) -> float:
    """Return the sum of the loss coefficients of a pipe's fittings."""
    assert isinstance(run.part, Pipe)
    return sum(LOSS_COEFFICIENTS[name] * many for name, many in run.part.fittings or ())


def pipe_loss(run: Run, viscosity: float, flow: float) -> float:
    """Return the head lost along a pipe with its fittings, negative for a flow from end to start [m]."""
    size = abs(flow)
    bore = inside_diameter(run)
    friction = pipe_head_loss(
        flow=size,
        length=run.need("length"),
        inside_diameter=bore,
        roughness=roughness(run),
        kinematic_viscosity=viscosity,
    )
    local = minor_loss_head(
        loss_coefficient=fittings_coefficient(run), velocity=flow_velocity(flow=size, inside_diameter=bore)
    )
    return friction + local if flow >= 0 else -friction - local


def valve_loss(node: Node, bore: float, flow: float) -> float:
    """Return the head lost in an open valve of the pipe's bore [m]."""
    assert isinstance(node.part, Valve)
    coefficient = VALVE_LOSS[node.part.body or "ball"]
    loss = minor_loss_head(loss_coefficient=coefficient, velocity=flow_velocity(flow=abs(flow), inside_diameter=bore))
    return loss if flow >= 0 else -loss


def tap_loss(coefficient: float, flow: float) -> float:
    """Return the head lost in an open tap [m]."""
    loss = flow_coefficient_head_loss(flow=abs(flow), flow_coefficient=coefficient)
    return loss if flow >= 0 else -loss


def point_of(system: System, end: End, run: Run) -> str:
    """Return the network point at which a run's end lies: valves and tanks have one on each side."""
    node = system.nodes[end.tag]
    if isinstance(node.part, StorageTank):
        return f"{end.tag}.{end.port or 'outlet'}"
    if isinstance(node.part, Valve):
        return f"{end.tag}.{'out' if run.start.tag == end.tag else 'in'}"
    return end.tag


def hydraulic_network(system: System, state: State, sources: dict[str, Source], about: str) -> Network:
    """Return the network in a state, cut down to the part that water can reach from `about`.

    `about` is a point: the tag of an outlet, of a junction or of a pump.
    """
    viscosity = water_viscosity(system)
    network = Network()
    for run in sorted((r for r in system.runs.values() if isinstance(r.part, Pipe)), key=lambda r: r.tag):
        loss = partial(pipe_loss, run, viscosity)
        network.links.append(Link(run.tag, point_of(system, run.start, run), point_of(system, run.end, run), loss))
    for node in system.of(Valve):
        _add_valve(network, system, node, state)
    for node in system.of(StorageTank):
        _add_tank(network, node, state)
    for tag, source in sources.items():
        _add_source(network, tag, source)
    for tag, flow in state.open_outlets.items():
        _add_outlet(network, system.node(tag), flow)
    return network.piece_with(about)


def _add_valve(network: Network, system: System, node: Node, state: State) -> None:
    joined = system.runs_at(node.tag, "pipe")
    if is_shut(node, state) or not joined:
        return
    one_way = isinstance(node.part, Valve) and node.part.function == "check"

    def loss(flow: float) -> float:
        return valve_loss(node, inside_diameter(joined[0]), flow)

    network.links.append(Link(node.tag, f"{node.tag}.in", f"{node.tag}.out", loss, one_way=one_way))


def _add_tank(network: Network, node: Node, state: State) -> None:
    level = state.levels.get(node.tag)
    if level is not None:
        network.known_heads[f"{node.tag}.outlet"] = level
    assert isinstance(node.part, StorageTank)
    spout = node.part.inlet_elevation
    if spout is not None:
        network.known_heads[f"{node.tag}.inlet"] = max(spout, level if level is not None else spout)
    if node.part.overflow_elevation is not None:
        network.known_heads[f"{node.tag}.overflow"] = node.part.overflow_elevation


def _add_source(network: Network, tag: str, source: Source) -> None:
    network.known_heads[f"{tag}.well"] = source.rest_elevation

    def loss(flow: float) -> float:
        fall = 0.0 if source.specific_capacity is None else flow / source.specific_capacity
        return fall - source.curve.head_at(flow)

    network.links.append(Link(f"{tag}.lift", f"{tag}.well", tag, loss, one_way=True))


def _add_outlet(network: Network, node: Node, flow: float | None) -> None:
    if flow is not None:
        network.demands[node.tag] = flow
        return
    coefficient = node.need("flow_coefficient")
    network.known_heads[f"{node.tag}.air"] = node.need("elevation")
    network.links.append(Link(f"{node.tag}.tap", node.tag, f"{node.tag}.air", partial(tap_loss, coefficient)))


def solve_state(system: System, state: State, sources: dict[str, Source], about: str) -> tuple[Network, Solution]:
    """Return the network around a point and its solution.

    Raises MissingDataError where a nameplate field on the way is not recorded or no water surface is known.
    """
    network = hydraulic_network(system, state, sources, about)
    if not network.known_heads:
        raise MissingDataError(about, "level", f"{about}: no water surface with a known level feeds it in this state")
    return network, solve(network)


def way_to(network: Network, solution: Solution, point: str) -> list[tuple[Link, float]]:
    """Return the links that carry water to a point, from the source on, each with its flow [m³/s]."""
    way: list[tuple[Link, float]] = []
    at, seen = point, {point}
    while at not in network.known_heads or at == point:
        feeding = [
            (link, solution.flows[link.tag])
            for link in network.links
            if (link.b == at and solution.flows[link.tag] > 0) or (link.a == at and solution.flows[link.tag] < 0)
        ]
        if not feeding:
            break
        link, flow = max(feeding, key=lambda pair: abs(pair[1]))
        way.insert(0, (link, abs(flow)))
        at = link.a if link.b == at else link.b
        if at in seen:
            break
        seen.add(at)
    return way


def is_water_end(node: Node) -> bool:
    """Whether water leaves or enters the system at a component."""
    return isinstance(node.part, Outlet | StorageTank | SubmersiblePump | HandPump)
