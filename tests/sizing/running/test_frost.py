"""What keeps water in the winter, and what of it the frost reaches: by where pipes lie and what lies above them."""

from typing import Any

import pytest

from sizing.running.frost import batteries_kept, is_in_reach, staying_full, what_freezes
from sizing.system import System, build
from tests.sizing.more_systems import sallow_clinic
from tests.sizing.systems import component, plate, quince_ridge, run


def hollow(tap: float, low: float, **pipe: Any) -> System:
    """A tank, a pipe down to a joint at `low`, and one up again to a tap."""
    return build(
        {
            "site": {"frost_depth": 0.9},
            "components": [
                component("T1", "storage_tank"),
                component("V1", "valve", function="isolation", normal_position="open", elevation=low),
                component("J1", "junction", elevation=low),
                component("O1", "outlet", elevation=tap),
            ],
            "runs": [
                run("P1", "pipe", "T1.outlet", "V1"),
                run("P2", "pipe", "V1", "J1", **pipe),
                run("P3", "pipe", "J1", "O1"),
            ],
        }
    )


@pytest.mark.parametrize(("tap", "low", "stays"), [(1.0, -0.5, True), (1.0, 3.0, False), (1.0, 1.0, False)])
def test_a_pipe_below_its_lowest_opening_stays_full(tap: float, low: float, stays: bool) -> None:
    assert ("P2" in staying_full(hollow(tap, low), frozenset({"V1"}))) is stays


@pytest.mark.parametrize(
    ("pipe", "frost", "reached"),
    [
        ({"cover": 0.6}, 0.9, True), ({"cover": 1.2}, 0.9, False), ({"cover": 0.9}, 0.9, False),
        ({"cover": 0.6}, None, None), ({}, 0.9, None), ({"lies": "open"}, None, True), ({"lies": "inside"}, 0.9, False),
    ],
)  # fmt: skip
def test_frost_reaches_what_lies_open_or_shallower_than_it_goes(
    pipe: dict[str, Any], frost: float | None, reached: bool | None
) -> None:
    document = quince_ridge()
    plate(document, "site")["frost_depth"] = frost
    plate(document, "P3").update(pipe)
    system = build(document)
    assert is_in_reach(system, system.runs["P3"]) is reached


def test_pipes_that_stay_full_are_told_apart_by_what_is_known_of_them() -> None:
    reached = what_freezes(hollow(1.0, -0.5, cover=0.3), frozenset({"V1"}))
    unknown = what_freezes(hollow(1.0, -0.5), frozenset({"V1"}))
    assert any("P2" in step.words and "frost reaches them" in step.words for step in reached)
    assert any("P2" in step.words and "the record does not say" in step.words for step in unknown)
    deep = what_freezes(hollow(1.0, -0.5, cover=2.0), frozenset({"V1"}))
    assert not any("P2" in step.words for step in deep)


def test_lead_acid_winters_on_charge_and_lithium_as_its_maker_says() -> None:
    document = sallow_clinic()
    assert "on charge" in batteries_kept(build(document))[0].words
    plate(document, "BA1")["chemistry"] = "lithium iron phosphate"
    assert "as its maker says" in batteries_kept(build(document))[0].words
