"""The network solver against EPANET on random trees, against hand calculation, and what it refuses."""

import random
from functools import partial
from math import copysign, inf
from pathlib import Path

import pytest

from sizing.errors import OutOfRangeError, SystemShapeError
from sizing.formulas.pipes import hazen_williams_head_loss
from sizing.network import Link, Network, Solution, refuse_loops, solve
from tests.sizing.epanet import Epanet


def hazen_williams(length: float, bore: float, c: float, flow: float) -> float:
    """Return the signed head loss of a pipe."""
    return copysign(hazen_williams_head_loss(abs(flow), length, bore, c), flow)


def linear(resistance: float, flow: float) -> float:
    """Return a head loss in proportion to the flow."""
    return resistance * flow


def random_tree(seed: int) -> tuple[Network, Epanet]:
    """Return one random tree twice: for the solver and for EPANET. One to three reservoirs feed or drain it."""
    rng = random.Random(seed)  # noqa: S311  a reproducible layout, no secret
    network, epanet = Network(), Epanet("hazen_williams")
    points = [f"n{i}" for i in range(rng.randint(2, 14))]
    for i, point in enumerate(points):
        demand = rng.choice([0.0, rng.uniform(1e-5, 3e-4)])
        epanet.junction(point, demand=demand)
        network.demands[point] = demand
        if i:
            add_pipe(rng, network, epanet, f"p{i}", rng.choice(points[:i]), point)
    for i in range(rng.randint(1, 3)):
        head = rng.uniform(20, 40)
        epanet.reservoir(f"r{i}", head)
        network.known_heads[f"r{i}"] = head
        add_pipe(rng, network, epanet, f"main{i}", f"r{i}", rng.choice(points))
    return network, epanet


def add_pipe(rng: random.Random, network: Network, epanet: Epanet, tag: str, a: str, b: str) -> None:
    if rng.random() < 0.5:
        a, b = b, a
    length, bore, c = rng.uniform(5, 400), rng.choice([0.0204, 0.0326, 0.0514, 0.0738]), rng.choice([120, 140, 150])
    epanet.pipe(tag, a, b, length, bore, c)
    network.links.append(Link(tag, a, b, partial(hazen_williams, length, bore, c)))


@pytest.mark.parametrize("seed", range(30))
def test_random_trees_agree_with_epanet(seed: int, tmp_path: Path) -> None:
    network, epanet = random_tree(seed)
    mine = solve(network)
    flows, heads = epanet.solve(tmp_path)
    top = max(network.known_heads.values())
    for tag, flow in flows.items():
        assert mine.flows[tag] == pytest.approx(flow, rel=2e-3, abs=2e-7), tag
    for point, head in heads.items():
        # constants of Hazen-Williams in print differ by up to 0.9 %; EPANET's and ours by 0.1 %
        assert mine.heads[point] == pytest.approx(head, abs=3e-3 * max(1.0, top - head)), point


@pytest.mark.parametrize("seed", range(30))
def test_water_is_kept_at_every_point_and_heads_follow_the_losses(seed: int) -> None:
    network, _ = random_tree(seed)
    found = solve(network)
    for point in network.demands:
        arriving = sum(found.flows[k.tag] * ((k.b == point) - (k.a == point)) for k in network.links)
        assert arriving == pytest.approx(network.demands[point], abs=1e-11)
    for link in network.links:
        drop = found.heads[link.a] - found.heads[link.b]
        assert drop == pytest.approx(link.head_loss(found.flows[link.tag]), abs=1e-6)


def test_three_reservoirs_by_hand() -> None:
    # linear pipes of 1000, 2000 and 4000 s/m² from 30, 20 and 10 m meet at j:
    # (30−h)/1000 + (20−h)/2000 + (10−h)/4000 = 0 → h = (0.03 + 0.01 + 0.0025) / 0.00175 = 24.2857 m
    network = Network(
        [Link(t, t, "j", partial(linear, r)) for t, r in (("a", 1000.0), ("b", 2000.0), ("c", 4000.0))],
        {"a": 30.0, "b": 20.0, "c": 10.0},
    )
    found = solve(network)
    assert found.heads["j"] == pytest.approx(170 / 7)
    assert found.flows["b"] == pytest.approx((20 - 170 / 7) / 2000)


def test_a_one_way_link_shuts_against_the_flow() -> None:
    # the check valve between 10 m and 20 m stays shut; the branch sees the upper tank alone
    network = Network(
        [
            Link("check", "low", "j", partial(linear, 1e4), one_way=True),
            Link("pipe", "high", "j", partial(linear, 1e4)),
        ],
        {"low": 10.0, "high": 20.0},
        {"j": 2e-4},
    )
    found = solve(network)
    assert found.flows["check"] == pytest.approx(0, abs=1e-7)
    assert found.heads["j"] == pytest.approx(18.0, abs=1e-3)


def test_no_demand_means_no_flow_and_the_level_of_the_source() -> None:
    pipe = Link("p", "tank", "tap", partial(hazen_williams, 100.0, 0.02, 140.0))
    found = solve(Network([pipe], {"tank": 17.5}, {"tap": 0.0}))
    assert found.flows["p"] == pytest.approx(0, abs=1e-9)
    assert found.pressure_head("tap", 1.0) == pytest.approx(16.5)


def test_direction_of_a_link_changes_only_the_sign() -> None:
    there = Link("p", "tank", "tap", partial(hazen_williams, 100.0, 0.02, 140.0))
    back = Link("p", "tap", "tank", partial(hazen_williams, 100.0, 0.02, 140.0))
    one, other = (solve(Network([k], {"tank": 17.5}, {"tap": 2e-4})) for k in (there, back))
    assert one.flows["p"] == pytest.approx(-other.flows["p"])
    assert one.heads["tap"] == pytest.approx(other.heads["tap"])


def test_loops_are_refused_and_named() -> None:
    ring = [Link(t, a, b, partial(linear, 1.0)) for t, a, b in (("x", "1", "2"), ("y", "2", "3"), ("z", "3", "1"))]
    with pytest.raises(SystemShapeError, match="z"):
        solve(Network([*ring, Link("m", "r", "1", partial(linear, 1.0))], {"r": 10.0}))


def test_two_pipes_between_the_same_points_are_a_loop() -> None:
    twins = [Link(t, "1", "2", partial(linear, 1.0)) for t in ("x", "y")]
    with pytest.raises(SystemShapeError, match="y"):
        refuse_loops(Network(twins))


def test_a_point_without_any_source_is_refused() -> None:
    links = [Link("m", "r", "1", partial(linear, 1.0)), Link("lost", "2", "3", partial(linear, 1.0))]
    with pytest.raises(SystemShapeError, match="no way to any water surface"):
        solve(Network(links, {"r": 10.0}))


def test_a_demand_that_no_balance_can_meet_is_refused() -> None:
    def walled(flow: float) -> float:
        return inf if flow > 1e-4 else 1e5 * flow

    with pytest.raises((OutOfRangeError, OverflowError, ValueError)):
        solve(Network([Link("p", "r", "tap", walled)], {"r": 10.0}, {"tap": 1e-3}))


def test_the_piece_around_a_point_ends_at_known_heads() -> None:
    links = [Link(t, a, b, partial(linear, 1.0)) for t, a, b in (("1", "pump", "tank"), ("2", "tank", "tap"))]
    piece = Network(links, {"tank": 5.0}, {"tap": 1e-4}).piece_with("tap")
    assert [k.tag for k in piece.links] == ["2"]
    assert piece.known_heads == {"tank": 5.0}


def test_a_solution_reports_height_above_a_point() -> None:
    assert Solution({}, {"tap": 14.0}).pressure_head("tap", 1.5) == 12.5
