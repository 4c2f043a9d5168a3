"""A booster between cut-in and cut-out: by hand, by Boyle's law, and at the edges."""

import dataclasses
from itertools import pairwise

import pytest

from sizing.boosting import BoosterPoint, booster_point, flow_into_tank, rest_time, run_time, volume_between
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.formulas.vessels import pump_run_time
from sizing.hydraulics import site_water_density, solve_state, where_the_head_went
from sizing.system import State, System, build
from tests.sizing.boosted import KPA, hollow_house
from tests.sizing.systems import L_PER_MIN, plate

G = 9.80665
STATE = State(levels={"T1": 1.5})


def house(**changed: dict[str, object]) -> System:
    document = hollow_house()
    for tag, fields in changed.items():
        plate(document, tag).update(fields)
    return build(document)


def settled(system: System, pressure: float, **state: object) -> BoosterPoint:
    here = dataclasses.replace(STATE, pressures={"PT1": pressure}, **state)  # type: ignore[arg-type]
    return booster_point(system, system.node("B1"), here)


def test_the_point_lies_on_the_table_by_hand() -> None:
    # between 200 and 300 kPa the table falls from 15.5 to 13.5 L/min: 0.02 L/min for each kPa
    system = house()
    found = settled(system, 250 * KPA)
    rise = found.head * site_water_density(system) * G / KPA
    assert found.flow / L_PER_MIN == pytest.approx(15.5 - 0.02 * (rise - 200), abs=1e-6)


def test_the_head_is_pressure_height_and_losses() -> None:
    system = house()
    found = settled(system, 250 * KPA)
    surface, tank = 1.5, 0.5 + 250 * KPA / (site_water_density(system) * G)
    lost = sum(one.head for one in where_the_head_went(found.network, found.solution, "PT1") if one.head > 0)
    assert found.head == pytest.approx(tank - surface + lost)
    assert 0.1 < lost < 1.0


def test_where_the_head_went_lists_each_part_and_adds_up() -> None:
    system = house()
    found = settled(system, 250 * KPA)
    rows = where_the_head_went(found.network, found.solution, "PT1")
    assert [one.tag for one in rows] == ["P1", "V1", "P2", "F1", "P3", "B1.lift", "P4", "V2", "P5"]
    assert sum(one.head for one in rows) == pytest.approx(1.5 - found.solution.heads["PT1"], abs=1e-6)
    assert next(one.head for one in rows if one.tag == "B1.lift") == pytest.approx(-found.head)


def test_the_filter_loses_its_printed_drop_at_its_printed_flow_scaled_by_the_square() -> None:
    system = house()
    for dirt, drop in ((0.0, 2.0), (0.5, 6.0), (1.0, 10.0)):
        found = settled(system, 250 * KPA, dirt={"F1": dirt})
        filtered = next(one for one in where_the_head_went(found.network, found.solution, "PT1") if one.tag == "F1")
        share = (found.flow / (20 * L_PER_MIN)) ** 2
        assert filtered.head == pytest.approx(drop * KPA * share / (site_water_density(system) * G))


def test_a_dirty_filter_and_a_higher_pressure_cost_flow() -> None:
    system = house()
    flows = [settled(system, p * KPA, dirt={"F1": d}).flow for p, d in ((200, 0), (350, 0), (350, 1.0))]
    assert flows == sorted(flows, reverse=True)
    assert len(set(flows)) == 3


def test_without_a_pressure_tank_the_open_taps_set_the_pressure() -> None:
    system = house()
    found = booster_point(system, system.node("B1"), dataclasses.replace(STATE, open_outlets={"O1": None}))
    # the tap passes K_v · √Δp: all that the booster gives goes through it
    head = found.solution.heads["O1"] - 1.0
    assert found.flow == pytest.approx(0.5 / 3600 * (head * 1000 * G / 1e5) ** 0.5, rel=1e-6)


def test_beyond_the_table_nothing_is_made_up() -> None:
    with pytest.raises(OutOfRangeError):
        settled(house(), 50 * KPA)
    with pytest.raises(OutOfRangeError, match="highest"):
        settled(house(B1={"shut_off_pressure": None}), 420 * KPA)


def test_the_shut_off_pressure_ends_the_curve() -> None:
    found = settled(house(), 440 * KPA)
    # from 11 L/min at 400 kPa the last line falls to nothing at 480 kPa
    rise = found.head * site_water_density(house()) * G / KPA
    assert found.flow / L_PER_MIN == pytest.approx(11.0 * (480 - rise) / 80, abs=1e-6)


def test_run_time_with_a_constant_flow_is_the_closed_form() -> None:
    steady = [[p * KPA, 14.0 * L_PER_MIN] for p in (100, 200, 300, 400)]
    system = house(B1={"performance": steady, "shut_off_pressure": None})
    volume = volume_between(system, system.node("PT1"), 200 * KPA, 350 * KPA)
    # Boyle, absolute at sea level: 80 L · 281.3 · (1/301.3 − 1/451.3) = 24.83 L
    assert volume * 1000 == pytest.approx(80 * 281.325 * (1 / 301.325 - 1 / 451.325), rel=1e-6)
    time = run_time(system, system.node("B1"), system.node("PT1"), system.node("PS1"), STATE)
    assert time == pytest.approx(pump_run_time(volume, 14.0 * L_PER_MIN, 0.0), rel=2e-4)


def test_run_time_lies_between_those_at_the_flows_of_both_ends() -> None:
    system = house()
    volume = volume_between(system, system.node("PT1"), 200 * KPA, 350 * KPA)
    fast, slow = (volume / settled(system, p * KPA).flow for p in (200, 350))
    assert fast < run_time(system, system.node("B1"), system.node("PT1"), system.node("PS1"), STATE) < slow


def test_run_time_takes_each_slice_at_its_middle() -> None:
    system = house()
    air, precharge = 101_325.0, 281_325.0
    # the same integral by 300 thin slices, each at the flow of its middle: Boyle's ΔV = V · p₀ · (1/p₁ − 1/p₂)
    edges = [200 * KPA + 150 * KPA * step / 300 for step in range(301)]
    exact = sum(
        0.080 * precharge * (1 / (low + air) - 1 / (high + air)) / settled(system, (low + high) / 2).flow
        for low, high in pairwise(edges)
    )
    time = run_time(system, system.node("B1"), system.node("PT1"), system.node("PS1"), STATE)
    assert time == pytest.approx(exact, rel=1e-3)


def test_drawing_lengthens_the_run_and_gives_the_tank_its_rest() -> None:
    system = house()
    parts = system.node("B1"), system.node("PT1"), system.node("PS1")
    drawing = dataclasses.replace(STATE, open_outlets={"O1": 6 * L_PER_MIN})
    assert run_time(system, *parts, drawing) > run_time(system, *parts, STATE)
    volume = volume_between(system, system.node("PT1"), 200 * KPA, 350 * KPA)
    assert rest_time(system, *parts, drawing) == pytest.approx(volume / (6 * L_PER_MIN))


def test_an_endless_run_and_an_endless_rest_are_refused() -> None:
    system = house()
    parts = system.node("B1"), system.node("PT1"), system.node("PS1")
    with pytest.raises(OutOfRangeError, match="cut-out"):
        run_time(system, *parts, dataclasses.replace(STATE, open_outlets={"O1": 16 * L_PER_MIN}))
    with pytest.raises(OutOfRangeError, match="cut-in"):
        rest_time(system, *parts, STATE)


def test_a_tank_at_rest_takes_in_nothing() -> None:
    system = house()
    assert flow_into_tank(system, system.node("PT1"), STATE, 300 * KPA) == pytest.approx(0, abs=1e-9)


def test_a_booster_that_does_not_run_is_shut() -> None:
    system = house()
    state = dataclasses.replace(STATE, open_outlets={"O1": 1e-4})
    with pytest.raises((MissingDataError, SystemShapeError)):
        solve_state(system, state, {}, "O1")


@pytest.mark.parametrize(
    ("tag", "field"),
    [("F1", "clean_drop"), ("F1", "drop_flow"), ("B1", "performance"), ("PT1", "elevation"), ("P3", "length")],
)
def test_a_missing_field_is_named(tag: str, field: str) -> None:
    with pytest.raises(MissingDataError) as missing:
        settled(house(**{tag: {field: None}}), 250 * KPA)
    assert (missing.value.owner, missing.value.field) == (tag, field)


@pytest.mark.parametrize(
    ("tag", "field"), [("PT1", "volume"), ("PT1", "precharge"), ("PS1", "cut_in"), ("site", "altitude")]
)
def test_a_field_of_the_cycle_that_is_missing_is_named(tag: str, field: str) -> None:
    system = house(**{tag: {field: None}})
    with pytest.raises(MissingDataError) as missing:
        run_time(system, system.node("B1"), system.node("PT1"), system.node("PS1"), STATE)
    assert (missing.value.owner, missing.value.field) == (tag, field)


def test_a_change_out_drop_is_needed_only_of_a_dirty_filter() -> None:
    system = house(F1={"change_out_drop": None})
    settled(system, 250 * KPA)
    with pytest.raises(MissingDataError, match="change"):
        settled(system, 250 * KPA, dirt={"F1": 0.2})


def test_two_boosters_side_by_side_are_no_loop_and_share_the_flow() -> None:
    document = hollow_house()
    second = {**next(one for one in document["components"] if one["tag"] == "B1"), "tag": "B2"}
    document["components"] += [
        second,
        {**document["components"][7], "tag": "J8"},
        {**document["components"][7], "tag": "J9"},
    ]
    ways = {"P3": ("F1", "J8"), "P4": ("J9", "V2")}
    for one in document["runs"]:
        if one["tag"] in ways:
            one["start"], one["end"] = ways[one["tag"]]
            one["start_port"] = one["end_port"] = ""
    pipe = document["runs"][1]["nameplate"]
    for i, booster in enumerate(("B1", "B2")):
        document["runs"] += [
            {"tag": f"S{i}", "kind": "pipe", "start": "J8", "end": booster, "end_port": "suction", "nameplate": pipe},
            {
                "tag": f"D{i}",
                "kind": "pipe",
                "start": booster,
                "start_port": "discharge",
                "end": "J9",
                "nameplate": pipe,
            },
        ]
    system = build(document)
    state = dataclasses.replace(STATE, pressures={"PT1": 250 * KPA}, running=frozenset({"B2"}))
    both = booster_point(system, system.node("B1"), state)
    alone = booster_point(system, system.node("B1"), dataclasses.replace(state, running=frozenset()))
    assert both.solution.flows["B1.lift"] == pytest.approx(both.solution.flows["B2.lift"])
    assert alone.flow < 2 * both.flow < 2 * alone.flow
