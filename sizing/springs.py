"""Springs and roofs that cannot give what the pipe could carry."""

import dataclasses

from sizing.hydraulics import Source, solve_state
from sizing.network import Network, Solution
from sizing.parts import SpringOrRoof
from sizing.system import State, System


def solve_within_yield(
    system: System, state: State, sources: dict[str, Source], about: str
) -> tuple[Network, Solution, frozenset[str]]:
    """Return the network around a point, its solution, and the springs that give all they have.

    A spring holds its surface as long as less is taken than it yields in the dry season; where the pipe would take
    more, the box empties and its whole yield flows. A spring without a recorded yield is taken as plentiful.

    Raises as `solve_state` does.
    """
    while True:
        network, solution = solve_state(system, state, sources, about)
        spent = _overdrawn(system, network, solution)
        if not spent:
            return network, solution, frozenset(state.inflows)
        state = dataclasses.replace(state, inflows={**state.inflows, **spent})


def _overdrawn(system: System, network: Network, solution: Solution) -> dict[str, float]:
    spent = {}
    for node in system.of(SpringOrRoof):
        most = getattr(node.part, "dry_season_yield", None)
        if most is None or node.tag not in network.known_heads:
            continue
        taken = sum(solution.flows[link.tag] * ((link.a == node.tag) - (link.b == node.tag)) for link in network.links)
        if taken > most:
            spent[node.tag] = most
    return spent
