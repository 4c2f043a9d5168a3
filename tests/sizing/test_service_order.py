"""The order of a service visit: as found first, the dangers seen, nothing taken apart before it was read running."""

import pytest

from sizing.checks.catalogue import CHECKS
from sizing.order import SERVICE, order_of_checks, waits_for
from sizing.owed import Owed
from sizing.service_order import LOOK_FIRST, Stage, for_service, place_of
from sizing.system import System, build
from tests.sizing.boosted import hollow_house
from tests.sizing.systems import quince_ridge

STEPS = ["as_found", "walk_round_well", "static_level", "volume_per_stroke", "delivery_flow", "proved_dead",
         "pump_cable_insulation", "well_pump_flow", "as_left", "coliform"]  # fmt: skip
"""The order in which a return visit is worked: found, seen, at rest, outside, isolated, running again, left."""


@pytest.fixture
def well() -> System:
    return build(quince_ridge())


def keys(system: System, *symptoms: str) -> list[str]:
    """Return the checks as a person takes them: what comes first, then by number."""
    order = order_of_checks(system, SERVICE, (), symptoms)
    return [one.check for one in sorted(order, key=lambda one: (not one.first, one.number))]


def test_steps_of_a_return_visit_follow_each_other(well: System) -> None:
    assert [key for key in dict.fromkeys(keys(well)) if key in STEPS] == STEPS


def test_what_is_isolated_is_done_in_one_go(well: System) -> None:
    order = [one for one in order_of_checks(well, SERVICE) if not one.optional and not one.declared.is_condition]
    off = [place for place, one in enumerate(order) if one.declared.gate == "safe_to_work"]
    assert off == list(range(off[0], off[-1] + 1))


def test_charge_of_a_vessel_in_service_is_not_read_first() -> None:
    """At a start-up it is lost once water stands there; in service water stands there already, and is drained."""
    order = {one.check: one for one in order_of_checks(build(hollow_house()), SERVICE)}
    assert not order["precharge"].first
    assert order["delivery_flow"].number < order["precharge"].number


def test_nobody_walks_to_a_place_twice_within_a_stage(well: System) -> None:
    wanted = [Owed(one.check, one.subject) for one in order_of_checks(well, SERVICE)]
    _, places = for_service(well, wanted, (), waits_for)
    walked = [(places[one.id][0], place_of(well, one.subject)) for one in sorted(wanted, key=lambda o: places[o.id])]
    assert len(list(dict.fromkeys(walked))) == sum(1 for a, b in zip([None, *walked], walked, strict=False) if a != b)


def test_each_look_says_why_it_comes_first(well: System) -> None:
    first = {one.check: one.first for one in order_of_checks(well, SERVICE) if one.first}
    assert first["walk_round_array"] == LOOK_FIRST
    assert first["static_level"] == CHECKS["static_level"].perishable
    assert set(first) == {"as_found", "walk_round_array", "walk_round_tank", "walk_round_well", "static_level"}


def test_the_owners_words_move_checks_forward_with_all_that_comes_before(well: System) -> None:
    usual, told = keys(well), keys(well, "hand_pump")
    assert told.index("volume_per_stroke") < usual.index("volume_per_stroke")
    assert told.index("static_level") < told.index("strokes_to_water") < told.index("volume_per_stroke")
    assert told[:1] == ["as_found"]
    late = order_of_checks(well, SERVICE, (), ["hand_pump"])
    assert [one.id for one in late] == [one.id for one in order_of_checks(well, SERVICE)]  # numbers stay
    assert next(one for one in late if one.check == "hand_pump_late_yield").optional is False
    assert next(one for one in late if one.check == "strokes_to_water").first.startswith("parts ")


def test_what_only_comes_before_says_for_what() -> None:
    order = {one.check: one for one in order_of_checks(build(hollow_house()), SERVICE, (), ["starts_often"])}
    assert order["cut_in"].first.startswith("comes before ")
    assert order["cut_in"].number < order["tank_drawdown"].number


@pytest.mark.parametrize("saying", ["no_water", "starts_often", "since_storm", "less_than_before"])
@pytest.mark.parametrize("document", [quince_ridge, hollow_house])
def test_no_saying_puts_a_check_before_one_that_it_waits_for(document: object, saying: str) -> None:
    system = build(document())  # type: ignore[operator]
    taken = keys(system, saying)
    there = set(taken)
    for place, key in enumerate(taken):
        assert not (waits_for(CHECKS[key]) & there) - set(taken[: place + 1]), key
    assert taken[0] == "as_found"


def test_a_well_is_the_place_of_its_pump_and_a_run_that_of_its_beginning(well: System) -> None:
    assert place_of(well, "PU1") == "W1"
    assert place_of(well, "site") == "site"
    run = next(iter(well.runs.values()))
    assert place_of(well, run.tag) == place_of(well, run.start.tag)
    assert Stage.FOUND < Stage.LOOK < Stage.AT_REST < Stage.RUNNING < Stage.ISOLATED < Stage.AGAIN
