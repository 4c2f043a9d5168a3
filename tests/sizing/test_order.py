"""The order of checks and the holds, on the test system and on what is left of it without each component."""

from typing import Any

import pytest

from sizing.checks.catalogue import CHECKS
from sizing.holds import HOLDS, Standing, is_met_with, required_by, standing
from sizing.order import BEFORE_COVER, SERVICE, order_of_checks
from sizing.owed import Owed
from sizing.system import System, build
from tests.sizing.systems import component, quince_ridge, run


def without_component(tag: str) -> dict[str, Any]:
    """Return the document without a component, its runs and what sits in it."""
    document = quince_ridge()
    gone = {tag} | {c["tag"] for c in document["components"] if c["host"] == tag}
    return {
        **document,
        "components": [c for c in document["components"] if c["tag"] not in gone],
        "runs": [r for r in document["runs"] if not {r["start"], r["end"]} & gone],
    }


SYSTEMS = {"whole": quince_ridge()} | {
    f"without {c['tag']}": without_component(c["tag"]) for c in quince_ridge()["components"]
}


@pytest.fixture(params=SYSTEMS, ids=str)
def system(request: pytest.FixtureRequest) -> System:
    return build(SYSTEMS[request.param])


def named_before(key: str) -> set[str]:
    """Return what a check's own declaration says must come before it."""
    check = CHECKS[key]
    gate = set(HOLDS[check.gate].requires) if check.gate else set()
    return (set(check.after) | gate | {n.name for n in check.needs if not n.optional}) - {key}


@pytest.mark.parametrize("visit", ["start_up", SERVICE, BEFORE_COVER])
def test_no_check_stands_before_one_that_it_waits_for(system: System, visit: str) -> None:
    order = order_of_checks(system, visit)
    for owed in order:
        late = [o.id for o in order if o.number > owed.number and o.check in named_before(owed.check)]
        assert not late, f"{owed.id} stands before {late}"


def is_of_use(key: str, there: set[str]) -> bool:
    """Whether a check is no condition, or one of those that need it is there: conditions only if nothing else does."""
    needing = [one for one in CHECKS.values() if key in {n.name for n in one.needs}]
    users = {one.key for one in needing if not one.is_condition} or {one.key for one in needing}
    return not CHECKS[key].is_condition or not users or not users.isdisjoint(there)


def test_every_check_stands_once_on_each_of_its_subjects(system: System) -> None:
    order = order_of_checks(system)
    at_start_up = {key: check for key, check in CHECKS.items() if check.at_start_up}
    wanted = [key for key in at_start_up if is_of_use(key, {k for k, c in at_start_up.items() if c.subjects(system)})]
    due = sorted(f"{key}:{tag}" for key in wanted for tag in CHECKS[key].subjects(system))
    assert sorted(o.id for o in order) == due
    assert [o.number for o in order] == list(range(1, len(due) + 1))


def test_the_level_at_rest_comes_before_anything_that_pumps() -> None:
    order = {o.check: o.number for o in order_of_checks(build(quince_ridge()))}
    pumping = [key for key in order if CHECKS[key].gate in {"start_well_pump", "fill_tank"}]
    assert pumping
    assert all(order["static_level"] < order[key] for key in pumping)
    assert order["static_level"] < order["strokes_to_water"]


def test_the_pump_turns_before_its_water_is_judged_and_the_tank_fills_last() -> None:
    order = [o.check for o in order_of_checks(build(quince_ridge()))]
    steps = ["open_circuit_voltage", "rotation", "turbidity", "pumping_level", "well_pump_flow", "fill_stop_level"]
    assert [key for key in order if key in steps] == steps


def test_laboratory_results_come_last() -> None:
    order = order_of_checks(build(quince_ridge()))
    first = next(place for place, one in enumerate(order) if one.declared.from_laboratory)
    assert all(one.declared.from_laboratory for one in order[first:])
    assert "coliform" in {one.check for one in order[first:]}


def test_a_condition_stands_right_before_the_first_check_that_needs_it() -> None:
    order = [o.check for o in order_of_checks(build(quince_ridge()))]
    for key in ("irradiance", "module_temperature", "tank_level", "bleach_strength"):
        users = [o for o in order if key in {n.name for n in CHECKS[o].needs}]
        assert order.index(key) < min(order.index(one) for one in users if not CHECKS[one].is_condition)
    assert order.index("bleach_strength") == order.index("chlorine_dose") - 1


def test_service_repeats_only_what_is_marked_and_the_conditions_for_it() -> None:
    order = order_of_checks(build(quince_ridge()), SERVICE)
    keys = {o.check for o in order}
    assert {"static_level", "well_pump_flow", "irradiance"} <= keys
    assert not keys & {"rotation", "chlorine_dose", "bleach_strength", "well_depth_measured"}


def test_no_two_checks_wait_for_each_other() -> None:
    for key in CHECKS:
        seen: set[str] = set()
        todo = [k for k in named_before(key) if k in CHECKS]
        while todo:
            at = todo.pop()
            assert at != key, f"{key} waits for itself"
            if at not in seen:
                seen.add(at)
                todo += [k for k in named_before(at) if k in CHECKS]


def test_holds_and_checks_know_each_other() -> None:
    assert {c.gate for c in CHECKS.values() if c.gate} <= set(HOLDS)
    assert {key for hold in HOLDS.values() for key in hold.requires} <= set(CHECKS)


def fill_tank() -> tuple[list[Owed], dict[str, bool]]:
    owed = order_of_checks(build(quince_ridge()))
    return owed, {o.id: True for o in required_by(HOLDS["fill_tank"], owed)}


def test_a_hold_stands_until_its_last_check_is_good() -> None:
    owed, good = fill_tank()
    assert set(good) == {"turbidity:W1", "sand:W1", "walk_round_tank:T1"}
    assert standing(HOLDS["fill_tank"], owed, good, released=False) is Standing.SETTLED
    for one in good:
        assert standing(HOLDS["fill_tank"], owed, {**good, one: False}, released=False) is Standing.STANDS


def test_a_release_opens_a_hold_that_may_be_released_and_no_other() -> None:
    owed, _ = fill_tank()
    assert standing(HOLDS["fill_tank"], owed, {}, released=True) is Standing.RELEASED
    for key in ("drink", "close_strings"):
        assert standing(HOLDS[key], owed, {}, released=True) is Standing.STANDS


def test_a_settled_hold_stays_settled_when_it_was_released_before() -> None:
    owed, good = fill_tank()
    assert standing(HOLDS["fill_tank"], owed, good, released=True) is Standing.SETTLED


def test_every_subject_of_a_required_check_counts() -> None:
    document = quince_ridge()
    second = {**next(c for c in document["components"] if c["tag"] == "O2"), "tag": "O3"}
    second["nameplate"] = {**second["nameplate"], "drinking": "drinking"}
    owed = order_of_checks(build({**document, "components": [*document["components"], second]}))
    need = {o.id for o in required_by(HOLDS["drink"], owed)}
    assert {"coliform:O1", "coliform:O3"} <= need
    assert "coliform:O2" not in need
    assert standing(HOLDS["drink"], owed, {o: o != "coliform:O3" for o in need}, released=False) is Standing.STANDS


def test_an_outlet_of_unknown_use_counts_as_drinking() -> None:
    document = quince_ridge()
    for one in document["components"]:
        if one["tag"] == "O2":
            del one["nameplate"]["drinking"]
    assert "coliform:O2" in {o.id for o in order_of_checks(build(document))}


def offered(visit: str, in_baseline: tuple[str, ...] = ()) -> set[str]:
    order = order_of_checks(build(quince_ridge()), visit, in_baseline)
    return {one.id for one in order if one.optional}


def test_what_is_not_of_the_must_set_is_offered_and_owed_by_nobody() -> None:
    assert {"well_depth_measured:W1", "wellhead_pressure:PU1", "fill_balance:T1"} <= offered("start_up")
    assert not {"static_level:W1", "irradiance:A1", "tank_level:T1"} & offered("start_up")


def test_what_the_baseline_has_is_owed_again_at_service_and_the_rest_offered() -> None:
    assert "wellhead_pressure:PU1" in offered(SERVICE)
    assert "wellhead_pressure:PU1" not in offered(SERVICE, ("wellhead_pressure:PU1",))


def test_no_hold_waits_for_a_check_that_is_only_offered() -> None:
    full = {key for key, check in CHECKS.items() if check.tier == "full"}
    assert not full & {key for hold in HOLDS.values() for key in hold.requires}
    owed = [Owed("turbidity", "W1", optional=True), Owed("sand", "W1"), Owed("walk_round_tank", "T1")]
    assert [one.check for one in required_by(HOLDS["fill_tank"], owed)] == ["sand", "walk_round_tank"]


def test_a_condition_is_owed_as_far_as_an_owed_check_needs_it() -> None:
    whole = build(quince_ridge())
    order = {one.id: one for one in order_of_checks(whole)}
    for one in order.values():
        if one.declared.is_condition:
            users = [u for u in order.values() if one.check in {n.name for n in u.declared.needs if not n.optional}]
            needs_it = any(not u.optional and not u.declared.is_condition for u in users)
            assert needs_it <= (not one.optional), one.id


def spring() -> System:
    """Return a spring that fills a tank above a tap: no well, no wire."""
    pipe = {"material": "pe", "joints": "threaded"}
    return build({
        "site": {},
        "components": [
            component("SR1", "spring_or_roof", source="spring", elevation=20.0),
            component("T1", "storage_tank", floor_elevation=10.0),
            component("J1", "junction", elevation=1.0),
            component("J2", "junction", elevation=1.0),
            component("O1", "outlet", elevation=1.0, drinking="drinking"),
        ],
        "runs": [
            run("P1", "pipe", "SR1.outlet", "T1.inlet", **pipe),
            run("P10", "pipe", "T1.outlet", "J1", lies="ground", **pipe),
            run("P2", "pipe", "J1", "J2", **pipe),
            run("P3", "pipe", "J2", "O1.inlet", lies="inside", **pipe),
        ],
    })  # fmt: skip


def test_no_hold_before_work_on_wires_where_there_is_none() -> None:
    owed = order_of_checks(spring())
    assert not is_met_with(HOLDS["safe_to_work"], owed)
    assert is_met_with(HOLDS["fill_tank"], owed)
    assert is_met_with(HOLDS["safe_to_work"], order_of_checks(build(quince_ridge())))


def test_condition_that_nothing_here_needs_is_not_owed() -> None:
    there = {one.check for one in order_of_checks(spring())}
    assert not {"sky", "wind", "ambient_temperature", "terminal_torque"} & there  # no array, no wire
    assert {"bleach_strength", "tank_level"} <= there
    assert {"sky", "wind", "terminal_torque"} <= {one.check for one in order_of_checks(build(quince_ridge()))}
    parts = [component("SR1", "spring_or_roof"), component("J1", "junction")]
    document = {"site": {}, "components": parts, "runs": [run("P1", "pipe", "SR1.outlet", "J1")]}
    assert "bleach_strength" not in {one.check for one in order_of_checks(build(document))}


def test_only_pipes_that_go_out_of_sight_are_tested_before_cover_and_in_the_order_of_their_numbers() -> None:
    found = [one.subject for one in order_of_checks(spring(), BEFORE_COVER) if one.check == "buried_line_test"]
    assert found == ["P1", "P2", "P10"]


def test_a_condition_that_serves_only_what_is_offered_is_offered_too() -> None:
    # how cold the water is serves nothing but how long the chlorine should stay
    order = {one.id: one for one in order_of_checks(build(quince_ridge()))}
    assert order["contact_time:W1"].optional
    assert order["water_temperature:site"].optional
    assert not order["tank_level:T1"].optional
