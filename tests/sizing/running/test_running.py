"""The steps of running a system, followed one by one in a plant reckoned by a graph library."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings

from commissioning.asbuilt.layouts import LAYOUTS, document_of, with_hand_pump
from commissioning.snapshot import system_of
from sizing.running import isolate, power, whole
from sizing.running.steps import Act, Step, Steps
from sizing.system import System, build
from tests.e2e.unseen.booster import TWO_ARRAYS
from tests.e2e.unseen.clinic import CLINIC
from tests.e2e.unseen.document import document
from tests.e2e.unseen.spring import SPRING_TANKS
from tests.sizing.running.made import systems
from tests.sizing.running.plant import PUMPS, Plant

BARE = {"name": "", "unit_system": "metric", "plate": {}}


def known() -> dict[str, System]:
    """Return every starter layout, with and without hand pump, and the three systems that no layout holds."""
    laid = {key: one for key, one in LAYOUTS.items() if one.components}
    laid |= {f"{key}+hand": with_hand_pump(one) for key, one in laid.items()}
    found = {key: system_of({"site": BARE, **document_of(one)}) for key, one in laid.items()}
    return found | {one.key: system_of(document(one)) for one in (SPRING_TANKS, TWO_ARRAYS, CLINIC)}


KNOWN = known()
WHOLE: dict[str, Callable[[System], Steps]] = {
    "stop": whole.stop, "restart": whole.restart, "drain": whole.drain, "refill": whole.refill,
    "winter": whole.leave_for_winter,
}  # fmt: skip


def moves(steps: Steps) -> list[tuple[str, str]]:
    return [(step.act.value, step.tag) for step in steps if step.tag]


def gaps(steps: Steps) -> list[str]:
    return [step.words for step in steps if step.act is Act.GAP]


def has_no_gap_in_power(steps: list[Step] | Steps) -> bool:
    return not any("No switch or fuse" in words for words in gaps(tuple(steps)))


def follow(plant: Plant, steps: Steps, careful: bool = True) -> None:
    """Do every step; after each, nothing may stand that harms. Where no switch parts a pump, a person stops there."""
    careful = careful and has_no_gap_in_power(steps)
    for step in steps:
        plant.follow(step)
        for pump in (node for node in plant.system.nodes.values() if node.kind in PUMPS):
            assert not careful or plant.has_a_way(pump) or not plant.runs(pump), (
                step,
                pump.tag,
                "runs with no way for its water",
            )


def never_without_battery(plant: Plant, steps: Steps) -> None:
    began = set(plant.charger_without_battery())
    for step in steps:
        plant.follow(step)
        assert set(plant.charger_without_battery()) <= began, step


def check_isolated(system: System, tag: str) -> None:
    """Nothing pushes water to the component, and no pressure stays on it that the steps do not speak of."""
    plant, steps = Plant(system), isolate.isolate(system, tag)
    follow(plant, steps)
    around = isolate.enclosure(system, tag)
    said = {*around.emptied, *around.open_springs}
    if has_no_gap_in_power(steps):
        assert set(plant.water_reaches(tag)) <= said, (tag, steps)
    assert steps[-1].act is Act.LOOK


def check_put_back(system: System, tag: str) -> None:
    plant = Plant(system)
    before = (set(plant.shut), set(plant.opened))
    steps = isolate.isolate(system, tag)
    for step in steps:
        plant.follow(step)
    follow(plant, isolate.bring_back(system, tag), has_no_gap_in_power(steps))
    assert (plant.shut, plant.opened) == before
    assert (plant.off, plant.parted) == (set(), set())


def check_whole(system: System) -> None:
    plant = Plant(system)
    follow(plant, whole.stop(system))
    pumps = [node for node in system.nodes.values() if node.kind in PUMPS]
    if has_no_gap_in_power(whole.stop(system)):
        assert not any(plant.runs(pump) for pump in pumps)
    parts_all = has_no_gap_in_power(whole.stop(system))
    follow(plant, whole.restart(system), parts_all)
    as_ever = Plant(system)
    assert (plant.shut, plant.off, plant.parted, plant.opened) == (as_ever.shut, set(), set(), set())
    follow(plant, whole.drain(system))
    follow(plant, whole.refill(system), parts_all)
    assert (plant.off, plant.parted, plant.opened) == (set(), set(), set())
    follow(plant, whole.leave_for_winter(system))
    assert not plant.pressure_kept()
    follow(plant, whole.refill(system), parts_all)
    assert plant.shut == as_ever.shut


@pytest.mark.parametrize("system", KNOWN.values(), ids=KNOWN)
def test_known_system_is_worked_without_harm(system: System) -> None:
    check_whole(system)
    for node in isolate.worked_on(system):
        check_isolated(system, node.tag)
        check_put_back(system, node.tag)


@pytest.mark.parametrize("system", KNOWN.values(), ids=KNOWN)
def test_charger_never_sees_the_sun_without_its_battery(system: System) -> None:
    plant, off = Plant(system), power.all_off(system)
    never_without_battery(plant, tuple(off))
    never_without_battery(plant, whole.restart(system))
    assert (plant.off, plant.parted) == (set(), set())


@settings(max_examples=25, deadline=None)
@given(systems())
def test_any_system_is_worked_without_harm(system: System) -> None:
    check_whole(system)
    never_without_battery(Plant(system), tuple(power.all_off(system)))
    for node in isolate.worked_on(system):
        check_isolated(system, node.tag)
        check_put_back(system, node.tag)


@settings(max_examples=25, deadline=None)
@given(systems())
def test_no_pressure_stays_where_somebody_opens_a_filter(system: System) -> None:
    for node in isolate.worked_on(system):
        if node.kind not in ("filter", "pressure_tank", "booster_pump"):
            continue
        plant, steps = Plant(system), isolate.isolate(system, node.tag)
        inside = {tag for tag, _ in isolate.enclosure(system, node.tag).inside}
        for step in steps[:-1]:
            plant.follow(step)
            if step.act is Act.WAIT and "Leave" in step.words:
                break
        spoken = any("loosen one joint slowly" in words for words in gaps(steps))
        assert spoken or not plant.pressure_kept() & inside, steps


# What a practitioner would write for these systems, by hand; common practice, no source.


def test_filter_before_the_booster_is_opened_behind_its_valve_with_the_pressure_off() -> None:
    steps = isolate.isolate(KNOWN["solar_well_booster"], "F1")
    assert moves(steps) == [
        ("disconnect", "FU2"),  # the booster's fuse: a fuse is no switch, so it stands still before
        ("shut", "V2"),  # the tank's water
        ("open", "O1"),  # the pressure tank runs out
        ("shut", "V3"),  # the house's pipes
    ]
    assert steps[0].act is Act.WAIT
    assert "stands still" in steps[0].words


def test_tank_of_a_gravity_system_is_taken_out_and_put_back() -> None:
    system = KNOWN["solar_well_gravity"]
    out = [("stop", "C1"), ("disconnect", "S1"), ("shut", "V1"), ("open", "O1"), ("shut", "V2")]
    back = [("open", "V2"), ("open", "V1"), ("connect", "S1"), ("start", "C1"), ("shut", "O1")]
    assert moves(isolate.isolate(system, "T1")) == out
    assert moves(isolate.bring_back(system, "T1")) == back


def test_clinics_tank_ties_up_the_hand_pump_that_pushes_into_it() -> None:
    steps = moves(isolate.isolate(KNOWN["clinic_hand_pump"], "T1"))
    assert ("stop", "HP1") in steps
    assert steps.index(("stop", "HP1")) < steps.index(("shut", "V2"))


def test_springs_tanks_are_filled_one_after_the_other() -> None:
    steps = moves(whole.refill(KNOWN["spring_two_tanks"]))
    order = [("open", "V1"), ("open", "V2"), ("open", "V3")]
    assert [one for one in steps if one in order] == order
    assert steps.index(("shut", "V2")) < steps.index(("open", "V1"))


def test_two_arrays_are_both_off_before_the_battery_is() -> None:
    steps = moves(tuple(power.all_off(KNOWN["two_arrays_inverter_booster"])))
    assert steps == [
        ("stop", "IN1"), ("disconnect", "FU2"), ("disconnect", "S1"), ("disconnect", "S2"),
        ("disconnect", "FU1"), ("disconnect", "FU3"),
    ]  # fmt: skip


def test_high_tank_is_emptied_with_the_drain_at_the_lowest_point() -> None:
    assert ("open", "V4") in moves(whole.drain(KNOWN["solar_well_high_tank"]))
    assert ("shut", "V2") in moves(whole.drain(KNOWN["solar_well_high_tank"]))


def test_winter_names_the_pipe_that_nothing_empties_and_keeps_the_battery_on_charge() -> None:
    words = [step.words for step in whole.leave_for_winter(KNOWN["battery_well_pressure"])]
    assert any("P1 (drop pipe)" in one for one in words)
    assert any(one.startswith("Leave BA1 (battery) on charge") for one in words)
    assert not any(step.tag in ("S1", "FU1") for step in whole.leave_for_winter(KNOWN["battery_well_pressure"]))


def test_what_no_switch_parts_is_said() -> None:
    system = build(
        {
            "site": {},
            "components": [
                {"tag": "A1", "kind": "solar_array"}, {"tag": "C1", "kind": "pump_controller"},
                {"tag": "W1", "kind": "well"}, {"tag": "PU1", "kind": "submersible_pump", "host": "W1"},
            ],
            "runs": [
                {"tag": "K1", "kind": "cable", "start": "A1", "start_port": "output", "end": "C1", "end_port": "array"},
                {"tag": "K2", "kind": "cable", "start": "C1", "start_port": "motor", "end": "PU1", "end_port": "motor"},
            ],
        }
    )  # fmt: skip
    assert gaps(whole.stop(system)) == [
        "No switch or fuse is recorded between A1 (solar array) and PU1 (submersible pump): "
        "the contractor parts them. No step further before that."
    ]


@pytest.mark.parametrize("name", WHOLE)
def test_empty_record_has_no_step_that_moves_anything(name: str) -> None:
    assert moves(WHOLE[name](build({"site": {}, "components": [], "runs": []}))) == []
