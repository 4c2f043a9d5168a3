"""From record to network: random layouts against EPANET, single pipes against fluids, states by hand."""

import random
from math import pi
from pathlib import Path
from typing import Any

import pytest
from fluids.friction import friction_factor

from sizing.errors import MissingDataError, SystemShapeError
from sizing.formulas.fittings import LOSS_COEFFICIENTS
from sizing.formulas.pipes import PIPE_ROUGHNESS
from sizing.hydraulics import solve_state, water_viscosity, way_to
from sizing.system import State, System, build
from tests.sizing.epanet import Epanet
from tests.sizing.systems import L_PER_MIN, component, plate, quince_ridge, run

G = 9.80665
BORES = {"pe": 0.0326, "copper": 0.0204, "galvanized": 0.0266}


def random_layout(seed: int) -> tuple[dict[str, Any], Epanet, State]:
    """Return a random gravity layout as a document, as an EPANET network, and a state with taps open."""
    rng = random.Random(seed)  # noqa: S311  a reproducible layout, no secret
    level = rng.uniform(8, 25)
    # 20.2 °C is EPANET's water; the exact viscosity is handed over all the same
    site = {"ground_temperature": rng.choice([6.0, 13.0, 20.2, 28.0])}
    parts = [component("T1", "storage_tank", floor_elevation=level - 1.5)]
    runs: list[dict[str, Any]] = []
    epanet = Epanet("darcy_weisbach", water_viscosity(build({"site": site, "components": [], "runs": []})))
    epanet.reservoir("T1.outlet", level)
    points = ["T1"]
    drawn: dict[str, float | None] = {}
    for i in range(1, rng.randint(3, 11)):
        tag = f"J{i}"
        elevation = rng.uniform(-4, 4)
        parts.append(component(tag, "junction", elevation=elevation))
        epanet.junction(tag, elevation)
        lay(rng, runs, epanet, points[0] if i == 1 else rng.choice(points[1:]), tag, f"P{i}")
        points.append(tag)
    for i in range(1, rng.randint(2, 5)):
        tag, elevation = f"O{i}", rng.uniform(-2, 3)
        coefficient = rng.uniform(0.5, 1.6) / 3600
        parts.append(component(tag, "outlet", elevation=elevation, flow_coefficient=coefficient))
        drawn[tag] = rng.choice([None, rng.uniform(1, 6) * L_PER_MIN])
        # the tap's flow at 1 m: K_v · √(ρ·g·1 m / 1 bar), ρ 1000 kg/m³
        emitter = coefficient * (1000 * G / 1e5) ** 0.5 if drawn[tag] is None else 0.0
        epanet.junction(tag, elevation, demand=drawn[tag] or 0.0, emitter=emitter)
        lay(rng, runs, epanet, rng.choice(points[1:]), tag, f"B{i}")
    state = State(open_outlets=drawn, levels={"T1": level})
    return {"site": site, "components": parts, "runs": runs}, epanet, state


def lay(rng: random.Random, runs: list[dict[str, Any]], epanet: Epanet, a: str, b: str, tag: str) -> None:
    """Lay one pipe in both; its fittings go to EPANET as their loss coefficient."""
    material, length = rng.choice(list(BORES)), rng.uniform(3, 120)
    fittings = {"elbow_90": rng.randint(0, 5), "tee_branch": rng.randint(0, 1)}
    k = sum(LOSS_COEFFICIENTS[name] * many for name, many in fittings.items())
    start = "T1.outlet" if a == "T1" else a
    ends = (start, b) if rng.random() < 0.5 else (b, start)
    bore = BORES[material]
    runs.append(run(tag, "pipe", *ends, material=material, inside_diameter=bore, length=length, fittings=fittings))
    epanet.pipe(tag, *ends, length=length, bore=bore, roughness=PIPE_ROUGHNESS[material], k=k)


@pytest.mark.parametrize("seed", range(30))
def test_random_layouts_agree_with_epanet(seed: int, tmp_path: Path) -> None:
    document, epanet, state = random_layout(seed)
    _, found = solve_state(build(document), state, {}, "J1")
    flows, heads = epanet.solve(tmp_path)
    level = state.levels["T1"]
    for tag, flow in flows.items():
        # EPANET takes Swamee-Jain for Colebrook and a cubic of its own between Re 2000 and 4000
        assert found.flows[tag] == pytest.approx(flow, rel=0.015, abs=2e-7), tag
    for point, head in heads.items():
        assert found.heads[point] == pytest.approx(head, abs=0.02 + 0.03 * (level - head)), point


def one_pipe(material: str, bore: float, length: float, **fittings: int) -> System:
    return build(
        {
            "site": {"ground_temperature": 13.0},
            "components": [
                component("T1", "storage_tank", floor_elevation=10.0),
                component("O1", "outlet", elevation=0.0, flow_coefficient=3e-4),
            ],
            "runs": [
                run(
                    "P1",
                    "pipe",
                    "T1.outlet",
                    "O1",
                    material=material,
                    inside_diameter=bore,
                    length=length,
                    fittings=fittings,
                )
            ],
        }
    )


@pytest.mark.parametrize(
    ("material", "bore", "length", "flow"),
    [
        ("pe", 0.0326, 140.0, 22 * L_PER_MIN),
        ("galvanized", 0.0266, 60.0, 30 * L_PER_MIN),
        ("copper", 0.0136, 12.0, 1e-6),
    ],
)
def test_one_pipe_agrees_with_fluids(material: str, bore: float, length: float, flow: float) -> None:
    system = one_pipe(material, bore, length)
    _, found = solve_state(system, State(open_outlets={"O1": flow}, levels={"T1": 12.0}), {}, "O1")
    velocity = flow / (pi * bore**2 / 4)
    friction = friction_factor(Re=velocity * bore / water_viscosity(system), eD=PIPE_ROUGHNESS[material] / bore)
    lost = friction * length / bore * velocity**2 / (2 * G)
    assert 12.0 - found.heads["O1"] == pytest.approx(lost, rel=1e-3)


def test_fittings_add_their_velocity_heads() -> None:
    bare, fitted = one_pipe("pe", 0.0204, 10.0), one_pipe("pe", 0.0204, 10.0, elbow_90=4, entrance=1)
    flow = 15 * L_PER_MIN
    state = State(open_outlets={"O1": flow}, levels={"T1": 12.0})
    heads = [solve_state(one, state, {}, "O1")[1].heads["O1"] for one in (bare, fitted)]
    velocity = flow / (pi * 0.0204**2 / 4)  # 0.765 m/s; 4 · 0.9 + 0.5 = 4.1 velocity heads
    assert heads[0] - heads[1] == pytest.approx(4.1 * velocity**2 / (2 * G), rel=1e-6)


def test_an_open_tap_takes_what_its_coefficient_lets_through() -> None:
    _, found = solve_state(one_pipe("pe", 0.0514, 1.0), State(open_outlets={"O1": None}, levels={"T1": 12.0}), {}, "O1")
    # hardly any pipe: 12 m are 1.177 bar, and the tap passes K_v · √1.177
    assert found.flows["O1.tap"] == pytest.approx(3e-4 * 1.177**0.5, rel=5e-3)


def test_a_shut_valve_leaves_no_way() -> None:
    system = build(quince_ridge())
    state = State(open_outlets={"O1": 1e-4}, positions={"V2": "shut"}, levels={"T1": 17.5})
    with pytest.raises((MissingDataError, SystemShapeError)):
        solve_state(system, state, {}, "O1")


def test_a_valve_normally_shut_counts_as_shut() -> None:
    document = quince_ridge()
    plate(document, "V2")["normal_position"] = "shut"
    with pytest.raises((MissingDataError, SystemShapeError)):
        solve_state(build(document), State(open_outlets={"O1": 1e-4}, levels={"T1": 17.5}), {}, "O1")


def test_a_second_open_tap_lowers_the_first() -> None:
    system = build(quince_ridge())
    alone = State(open_outlets={"O1": 2e-4}, levels={"T1": 17.5})
    both = State(open_outlets={"O1": 2e-4, "O2": 2e-4}, levels={"T1": 17.5})
    first, second = (solve_state(system, one, {}, "O1")[1].heads["O1"] for one in (alone, both))
    assert second < first


def test_the_way_to_a_tap_lists_pipes_and_valves_from_the_tank_on() -> None:
    state = State(open_outlets={"O1": 1e-4, "O2": 2e-4}, levels={"T1": 17.5})
    network, found = solve_state(build(quince_ridge()), state, {}, "O1")
    way = way_to(network, found, "O1")
    assert [link.tag for link, _ in way] == ["P2", "V2", "P6", "P3"]
    assert [flow for _, flow in way] == pytest.approx([3e-4, 3e-4, 3e-4, 1e-4])


@pytest.mark.parametrize(("tag", "field"), [("P6", "inside_diameter"), ("P3", "length"), ("P2", "material")])
def test_a_missing_field_is_named(tag: str, field: str) -> None:
    document = quince_ridge()
    del plate(document, tag)[field]
    with pytest.raises(MissingDataError) as missing:
        solve_state(build(document), State(open_outlets={"O1": 1e-4}, levels={"T1": 17.5}), {}, "O1")
    assert (missing.value.owner, missing.value.field) == (tag, field)


def test_without_a_level_no_number_is_made_up() -> None:
    with pytest.raises((MissingDataError, SystemShapeError)):
        solve_state(build(quince_ridge()), State(open_outlets={"O1": 1e-4}), {}, "O1")


def test_a_ring_of_pipes_is_refused() -> None:
    document = quince_ridge()
    document["runs"].append({**document["runs"][4], "tag": "P9"})
    with pytest.raises(SystemShapeError, match="loop"):
        solve_state(build(document), State(open_outlets={"O1": 1e-4}, levels={"T1": 17.5}), {}, "O1")
