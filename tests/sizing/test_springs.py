"""Springs, roofs and tanks in line: by hand, within their yield, and what is named when it is missing."""

from typing import Any

import pytest

from sizing.errors import MissingDataError, SystemShapeError
from sizing.hydraulics import solve_state, where_the_head_went
from sizing.springs import solve_within_yield
from sizing.system import State, System, build
from tests.sizing.systems import L_PER_MIN, component, plate, run

PIPE = {"material": "pe", "inside_diameter": 0.0326}


def hillside() -> dict[str, Any]:
    """Return a spring, two tanks in line and three taps, as a document in core units."""
    taps = [component(f"O{i}", "outlet", elevation=float(i), flow_coefficient=0.8 / 3600) for i in (1, 2, 3)]
    return {
        "site": {"ground_temperature": 12.0},
        "components": [
            component("SR1", "spring_or_roof", source="spring", elevation=60.0, dry_season_yield=15 * L_PER_MIN),
            component("T1", "storage_tank", floor_elevation=38.0, inlet_elevation=40.0),
            component("T2", "storage_tank", floor_elevation=18.0, inlet_elevation=20.0),
            component("M1", "meter", reads="volume"),
            component("J1", "junction", elevation=1.0),
            *taps,
        ],
        "runs": [
            run("P1", "pipe", "SR1.outlet", "T1.inlet", length=400.0, **PIPE),
            run("P2", "pipe", "T1.outlet", "T2.inlet", length=300.0, **PIPE),
            run("P3", "pipe", "T2.outlet", "M1", length=100.0, **PIPE),
            run("P4", "pipe", "M1", "J1", length=50.0, **PIPE),
            *(run(f"P{4 + i}", "pipe", "J1", f"O{i}", length=10.0, **PIPE) for i in (1, 2, 3)),
        ],
    }


def system(**changed: dict[str, Any]) -> System:
    document = hillside()
    for tag, fields in changed.items():
        plate(document, tag).update(fields)
    return build(document)


LEVELS = State(levels={"T1": 39.0, "T2": 19.0})


def test_a_spring_gives_what_the_pipe_carries_and_no_more_than_its_yield() -> None:
    plenty = system(SR1={"dry_season_yield": None})
    carried = solve_state(plenty, LEVELS, {}, "T1.inlet")[1].flows["P1"]
    assert carried > 15 * L_PER_MIN
    _, found, spent = solve_within_yield(system(), LEVELS, {}, "T1.inlet")
    assert found.flows["P1"] == pytest.approx(15 * L_PER_MIN)
    assert spent == {"SR1"}
    _, found, spent = solve_within_yield(plenty, LEVELS, {}, "T1.inlet")
    assert found.flows["P1"] == pytest.approx(carried)
    assert not spent


def test_a_rich_spring_keeps_its_surface() -> None:
    rich = system(SR1={"dry_season_yield": 100 * L_PER_MIN})
    _, found, spent = solve_within_yield(rich, LEVELS, {}, "T1.inlet")
    assert found.heads["SR1"] == 60.0
    assert not spent


def test_tanks_in_line_part_the_water_at_each_surface() -> None:
    network, found = solve_state(system(), LEVELS, {}, "T2.inlet")
    assert set(found.flows) == {"P2"}
    assert found.heads["T1.outlet"] - found.heads["T2.inlet"] == 39.0 - 20.0
    lost = where_the_head_went(network, found, "T2.inlet")
    assert [one.tag for one in lost] == ["P2"]
    assert lost[0].head == pytest.approx(19.0)


def test_three_taps_share_the_last_pipe() -> None:
    state = State(open_outlets={"O1": None, "O2": None, "O3": None}, levels=LEVELS.levels)
    _, found = solve_state(system(), state, {}, "O1")
    assert found.flows["P4"] == pytest.approx(found.flows["P5"] + found.flows["P6"] + found.flows["P7"])
    assert found.flows["P5"] > found.flows["P6"] > found.flows["P7"], "the lower tap gets more"


def test_a_meter_without_a_printed_drop_loses_nothing_and_one_with_it_loses_by_the_square() -> None:
    state = State(open_outlets={"O1": 12 * L_PER_MIN}, levels=LEVELS.levels)
    heads = {}
    for drop in (None, 20_000.0):
        fields = {"pressure_drop": drop, "drop_flow": 24 * L_PER_MIN}
        heads[drop] = solve_state(system(M1=fields), state, {}, "O1")[1].heads["O1"]
    # 20 kPa at 24 L/min is 5 kPa at 12 L/min: 0.51 m of water
    assert heads[None] - heads[20_000.0] == pytest.approx(0.51, abs=1e-3)


def test_a_roof_with_a_known_inflow_needs_no_surface() -> None:
    roof = system(SR1={"source": "roof", "elevation": None})
    state = State(levels=LEVELS.levels, inflows={"SR1": 8 * L_PER_MIN})
    _, found = solve_state(roof, state, {}, "T1.inlet")
    assert found.flows["P1"] == pytest.approx(8 * L_PER_MIN)


def test_the_surface_of_a_spring_that_takes_part_is_named_where_it_is_missing() -> None:
    bare = system(SR1={"elevation": None})
    with pytest.raises(MissingDataError) as missing:
        solve_state(bare, LEVELS, {}, "T1.inlet")
    assert (missing.value.owner, missing.value.field) == ("SR1", "elevation")
    solve_state(bare, LEVELS, {}, "T2.inlet")  # it takes no part there


def test_a_level_read_in_the_box_counts_before_the_record() -> None:
    state = State(levels={**LEVELS.levels, "SR1": 58.0})
    _, found = solve_state(system(), state, {}, "T1.inlet")
    assert found.heads["SR1"] == 58.0


def test_a_pipe_drawn_the_other_way_round_changes_nothing_but_its_sign() -> None:
    document = hillside()
    for one in document["runs"]:
        if one["tag"] == "P4":
            one["start"], one["end"] = one["end"], one["start"]
    plate(document, "M1").update(pressure_drop=20_000.0, drop_flow=24 * L_PER_MIN)
    state = State(open_outlets={"O1": 12 * L_PER_MIN}, levels=LEVELS.levels)
    there = solve_state(system(M1={"pressure_drop": 20_000.0, "drop_flow": 24 * L_PER_MIN}), state, {}, "O1")[1]
    back = solve_state(build(document), state, {}, "O1")[1]
    assert back.flows["P4"] == pytest.approx(-there.flows["P4"])
    assert back.heads["O1"] == pytest.approx(there.heads["O1"], abs=1e-6)


def test_a_loop_of_pipes_is_refused_and_named() -> None:
    document = hillside()
    document["runs"].append(run("P9", "pipe", "M1", "J1", length=50.0, **PIPE))
    document["runs"].append(run("P8", "pipe", "O1", "O2", length=5.0, **PIPE))
    with pytest.raises(SystemShapeError, match="loop, closed by"):
        solve_state(build(document), State(open_outlets={"O1": 1e-4}, levels=LEVELS.levels), {}, "O1")
