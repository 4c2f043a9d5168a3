"""Random systems over the layouts of this trade against EPANET: pumps, filters, pressure tanks, several open taps.

Flow in every pipe on the way to every outlet and tank agrees within 1 %. A way is left out if a pipe on it runs
between Reynolds numbers 2000 and 4000, where a flow may be laminar or turbulent and every program bridges the gap
in its own way, or where the two published friction formulas part by more than 1.5 %: EPANET takes that of Swamee
and Jain (J. Hydraul. Div. ASCE 102 (1976) 657), the core Colebrook's, and in a rough pipe below Re 8000 they differ
by up to 3 %. It is left out as well if such a difference in a side branch is worth more than a centimetre of head.
Systems whose pump would have to work beyond its table are drawn anew: there the core refuses to answer.
"""

from collections.abc import Callable
from math import pi
from pathlib import Path

import pytest
from fluids.friction import Colebrook, Swamee_Jain_1976

from sizing.errors import OutOfRangeError
from sizing.hydraulics import solve_state, way_to
from sizing.lift import booster_curve
from sizing.network import Network, Solution
from sizing.system import System, build
from tests.sizing.twins import LAYOUTS, Twin, random_twin

FAST, LONG = 30, 200
MOST_DRAWS = 40
LEAST_FLOW = 1e-6  # m³/s, 0.06 L/min: below it nothing is compared but its smallness
Solved = tuple[str, Network, Solution]


def solved(system: System, twin: Twin) -> list[Solved]:
    """Return each piece of the system with its solution; raises OutOfRangeError beyond a pump's table."""
    found = []
    for point in twin.about:
        network, solution = solve_state(system, twin.state, twin.sources, point)
        for tag, source in twin.sources.items():
            if f"{tag}.lift" in solution.flows:
                source.curve.refuse_beyond(solution.flows[f"{tag}.lift"])
        if "B1.lift" in solution.flows:
            booster_curve(system.node("B1"), twin.density).refuse_beyond(solution.flows["B1.lift"])
        found.append((point, network, solution))
    return found


def difference_of_formulas(twin: Twin, tag: str, flow: float) -> float:
    """Return by what share the published friction formulas differ in a pipe; all of it where neither holds."""
    reynolds = 4 * abs(flow) / (pi * twin.bores[tag] * twin.viscosity)
    if reynolds <= 4000:
        return 1.0 if reynolds >= 2000 else 0.0
    relative = twin.roughness[tag] / twin.bores[tag]
    return abs(Swamee_Jain_1976(Re=reynolds, eD=relative) / Colebrook(Re=reynolds, eD=relative) - 1)


def comparable_way(twin: Twin, one: Solved, flows: dict[str, float]) -> list[str]:
    """Return the pipes on the way to a point, empty where friction formulas part on it or beside it."""
    point, network, solution = one
    way = [link.tag for link, _ in way_to(network, solution, point) if link.tag in twin.bores]
    for link in (k for k in network.links if k.tag in twin.bores):
        differs = difference_of_formulas(twin, link.tag, flows[link.tag])
        worth = abs(link.head_loss(flows[link.tag])) * differs
        if (differs > 0.015 and link.tag in way) or (worth > 0.01 and link.tag not in way):
            return []
    return way


def comparable(seed: int, layout: str, folder: Path) -> list[tuple[str, float, float]]:
    """Return (pipe, our flow, EPANET's flow) of the first draw of a seed of which a way can be compared."""
    for draw in range(MOST_DRAWS):
        twin = random_twin(f"{seed}.{draw}", layout)
        try:
            mine = solved(build(twin.document), twin)
        except OutOfRangeError:
            continue
        flows, _ = twin.epanet.solve(folder)
        pairs = [(tag, one[2].flows[tag], flows[tag]) for one in mine for tag in comparable_way(twin, one, flows)]
        if any(abs(theirs) > LEAST_FLOW for _, _, theirs in pairs):
            return pairs
    raise AssertionError(f"no draw of seed {seed} can be compared")


def worst_difference(seed: int, folder: Path) -> float:
    """Return the greatest share by which a flow of one random system differs from EPANET's; fails beyond 1 %."""
    layout = list(LAYOUTS)[seed % len(LAYOUTS)]
    worst = 0.0
    for tag, mine, theirs in comparable(seed, layout, folder):
        assert mine == pytest.approx(theirs, rel=0.01, abs=LEAST_FLOW / 100), f"{layout}, {tag}"
        if abs(theirs) > LEAST_FLOW:
            worst = max(worst, abs(mine / theirs - 1))
    return worst


@pytest.mark.parametrize("seed", range(FAST))
def test_random_systems_agree_with_epanet(seed: int, tmp_path: Path) -> None:
    worst_difference(seed, tmp_path)


@pytest.mark.long
def test_many_random_systems_agree_with_epanet(tmp_path: Path, keep_record: Callable[..., None]) -> None:
    worst = [worst_difference(seed, tmp_path) for seed in range(LONG)]
    keep_record("epanet", systems=LONG, layouts=len(LAYOUTS), worst_difference=f"{max(worst):.4f}", limit=0.01)


def test_the_draws_have_what_the_trade_has() -> None:
    """Several taps, pumps that share a well, dirty filters and positive displacement pumps are among the first."""
    twins = [random_twin(f"{seed}.0", layout) for seed in range(FAST) for layout in LAYOUTS]
    kinds = {part["kind"] for twin in twins for part in twin.parts}
    assert {"booster_pump", "pressure_tank", "filter", "meter", "spring_or_roof", "submersible_pump"} <= kinds
    assert any(len(twin.sources) > 1 for twin in twins)
    assert any(sum(flow is None for flow in twin.drawn.values()) > 1 for twin in twins)
    assert any(0 < dirt < 1 for twin in twins for dirt in twin.dirt.values())
    curves = [source.curve.points for twin in twins for source in twin.sources.values()]
    assert any(points[0][0] > 0.99 * points[-1][0] for points in curves), "nearly vertical"
    assert any(points[0][0] == 0 for points in curves), "from shut-off"
