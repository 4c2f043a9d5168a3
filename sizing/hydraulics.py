"""From the as-built graph and a state to a network that can be solved, and its results in the trade's words."""

from functools import partial
from math import inf

from sizing.errors import MissingDataError
from sizing.formulas.filters import filter_pressure_drop, meter_pressure_drop
from sizing.formulas.fittings import LOSS_COEFFICIENTS, flow_coefficient_head_loss, minor_loss_head
from sizing.formulas.pipes import PIPE_ROUGHNESS, flow_velocity, pipe_head_loss
from sizing.formulas.water import kinematic_viscosity, pressure_head, water_density
from sizing.lift import LiftCurve, booster_curve
from sizing.network import Link, Network, Solution, solve
from sizing.parts import (
    BoosterPump,
    Filter,
    HandPump,
    Meter,
    Pipe,
    PressureTank,
    ReliefValve,
    SpringOrRoof,
    StorageTank,
    Valve,
)
from sizing.records import record
from sizing.system import End, Node, Run, State, System, is_shut

VALVE_LOSS = {
    "ball": LOSS_COEFFICIENTS["ball_valve"],
    "gate": LOSS_COEFFICIENTS["gate_valve"],
    "globe": LOSS_COEFFICIENTS["globe_valve"],
    "swing_check": LOSS_COEFFICIENTS["check_valve"],
    "spring_check": LOSS_COEFFICIENTS["check_valve"],
}
STANDARD_WATER_TEMPERATURE = 15.0  # °C, taken for the viscosity where no ground temperature is recorded


@record
class Source:
    """A running well pump: its lift curve, the water level in the well at rest and how that falls with flow.

    Pumps that name the same `well` share its level: each draws it down for the other.
    """

    curve: LiftCurve
    rest_elevation: float
    specific_capacity: float | None
    well: str = ""


def _water_temperature(system: System) -> float:
    recorded = system.site.ground_temperature
    return STANDARD_WATER_TEMPERATURE if recorded is None else recorded


def water_viscosity(system: System) -> float:
    """Return the kinematic viscosity of the site's water [m²/s]."""
    return kinematic_viscosity(temperature=_water_temperature(system))


def site_water_density(system: System) -> float:
    """Return the density of the site's water [kg/m³]."""
    return water_density(temperature=_water_temperature(system))


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


def filter_loss(node: Node, dirt: float, density: float, flow: float) -> float:
    """Return the head lost in a filter [m]; `dirt` is 0 for a clean element, 1 for one due for changing."""
    clean = node.need("clean_drop")
    drop = filter_pressure_drop(
        flow=abs(flow),
        reference_flow=node.need("drop_flow"),
        clean_drop=clean,
        change_out_drop=node.need("change_out_drop") if dirt > 0 else clean,
        dirt=dirt,
    )
    loss = pressure_head(pressure=drop, density=density)
    return loss if flow >= 0 else -loss


def meter_loss(node: Node, density: float, flow: float) -> float:
    """Return the head lost in a water meter [m]; none where no drop is recorded."""
    if getattr(node.part, "pressure_drop", None) is None:
        return 0.0
    drop = meter_pressure_drop(
        flow=abs(flow), reference_flow=node.need("drop_flow"), reference_drop=node.need("pressure_drop")
    )
    loss = pressure_head(pressure=drop, density=density)
    return loss if flow >= 0 else -loss


def point_of(system: System, end: End, run: Run) -> str:
    """Return the network point at which a run's end lies: what has two sides has one point on each."""
    node = system.nodes[end.tag]
    if isinstance(node.part, StorageTank):
        return f"{end.tag}.{end.port or 'outlet'}"
    if isinstance(node.part, Valve | Filter | Meter):
        return f"{end.tag}.{_side(system, node, run)}"
    if isinstance(node.part, BoosterPump):
        return f"{end.tag}.{end.port or ('discharge' if run.start.tag == end.tag else 'suction')}"
    if isinstance(node.part, ReliefValve):
        return f"{end.tag}.{end.port or ('outlet' if run.start.tag == end.tag else 'inlet')}"
    return end.tag


def _side(system: System, node: Node, run: Run) -> str:
    """Return `in` or `out`: by the direction of the pipe, or by tag where both pipes were drawn the same way."""
    pipes = system.runs_at(node.tag, "pipe")
    if len(pipes) == 2 and (pipes[0].start.tag == node.tag) == (pipes[1].start.tag == node.tag):
        return "in" if run.tag == pipes[0].tag else "out"
    return "out" if run.start.tag == node.tag else "in"


def hydraulic_network(system: System, state: State, sources: dict[str, Source], about: str) -> Network:
    """Return the network in a state, cut down to the part that water can reach from `about`.

    `about` is a point: the tag of an outlet, of a junction or of a pump.
    """
    network = Network()
    _add_pipes(network, system)
    _add_two_sided(network, system, state)
    _add_surfaces(network, system, state)
    for node in system.of(BoosterPump):
        if node.tag in state.running:
            _add_booster(network, node, site_water_density(system))
    for tag, source in sources.items():
        _add_source(network, tag, source)
    for tag, flow in state.open_outlets.items():
        _add_outlet(network, system.node(tag), flow)
    piece = network.piece_with(about)
    _require_surfaces(system, piece)
    return piece


def _add_pipes(network: Network, system: System) -> None:
    viscosity = water_viscosity(system)
    for run in sorted((r for r in system.runs.values() if isinstance(r.part, Pipe)), key=lambda r: r.tag):
        loss = partial(pipe_loss, run, viscosity)
        network.links.append(Link(run.tag, point_of(system, run.start, run), point_of(system, run.end, run), loss))


def _add_two_sided(network: Network, system: System, state: State) -> None:
    density = site_water_density(system)
    for node in system.of(Valve):
        _add_valve(network, system, node, state)
    for node in system.of(Filter):
        loss = partial(filter_loss, node, state.dirt.get(node.tag, 0.0), density)
        network.links.append(Link(node.tag, f"{node.tag}.in", f"{node.tag}.out", loss))
    for node in system.of(Meter):
        if system.runs_at(node.tag, "pipe"):
            loss = partial(meter_loss, node, density)
            network.links.append(Link(node.tag, f"{node.tag}.in", f"{node.tag}.out", loss))


def _add_valve(network: Network, system: System, node: Node, state: State) -> None:
    joined = system.runs_at(node.tag, "pipe")
    if is_shut(node, state) or not joined:
        return
    one_way = isinstance(node.part, Valve) and node.part.function == "check"

    def loss(flow: float) -> float:
        return valve_loss(node, inside_diameter(joined[0]), flow)

    network.links.append(Link(node.tag, f"{node.tag}.in", f"{node.tag}.out", loss, one_way=one_way))


def _add_surfaces(network: Network, system: System, state: State) -> None:
    """Add what holds the head at a point: tanks, springs, and pressure tanks at a known gas pressure."""
    for node in system.of(StorageTank):
        _add_tank(network, node, state)
    for node in system.of(SpringOrRoof):
        _add_spring(network, node, state)
    for node in system.of(HandPump):
        if node.tag in state.inflows:
            network.demands[node.tag] = -state.inflows[node.tag]
    for node in system.of(PressureTank):
        if node.tag in state.pressures:
            pressure = pressure_head(pressure=state.pressures[node.tag], density=site_water_density(system))
            network.known_heads[node.tag] = node.need("elevation") + pressure


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


def _add_spring(network: Network, node: Node, state: State) -> None:
    assert isinstance(node.part, SpringOrRoof)
    if node.tag in state.inflows:
        network.demands[node.tag] = -state.inflows[node.tag]
        return
    level = state.levels.get(node.tag, node.part.elevation)
    if level is not None:
        network.known_heads[node.tag] = level


def _require_surfaces(system: System, piece: Network) -> None:
    """Name the field by which a spring that takes part would have a surface, where it is not recorded."""
    for point in piece.points():
        node = system.nodes.get(point)
        if node and isinstance(node.part, SpringOrRoof) and point not in {**piece.known_heads, **piece.demands}:
            node.need("elevation")


def _add_booster(network: Network, node: Node, density: float) -> None:
    curve = booster_curve(node, density)
    network.links.append(
        Link(
            f"{node.tag}.lift",
            f"{node.tag}.suction",
            f"{node.tag}.discharge",
            lambda flow: -curve.head_at(flow),
            one_way=True,
            lifts=True,
        )
    )


def _add_source(network: Network, tag: str, source: Source) -> None:
    well = source.well or tag
    level = f"{well}.rest"
    network.known_heads[level] = source.rest_elevation
    if source.specific_capacity not in (None, inf):
        level = f"{well}.level"
        if all(link.tag != f"{well}.drawdown" for link in network.links):
            capacity = source.specific_capacity
            assert capacity is not None
            network.links.append(Link(f"{well}.drawdown", f"{well}.rest", level, lambda flow: flow / capacity))
    network.links.append(
        Link(f"{tag}.lift", level, tag, lambda flow: -source.curve.head_at(flow), one_way=True, lifts=True)
    )


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


@record
class HeadLost:
    """One line of where the head went: a pipe, valve, filter or pump, its flow, and the head lost in it.

    A pump gives head: there `head` is negative.
    """

    tag: str
    flow: float
    head: float


def where_the_head_went(network: Network, solution: Solution, point: str) -> tuple[HeadLost, ...]:
    """Return the head lost in each part on the way to a point, from the source on.

    Their sum is the head at the source less the head at the point.
    """
    lost = []
    for link, flow in way_to(network, solution, point):
        carried = solution.flows[link.tag]
        lost.append(HeadLost(link.tag, flow, link.head_loss(carried) * (1 if carried >= 0 else -1)))
    return tuple(lost)
