"""Where water runs out: past a drain that nobody recorded as shut, and through a standing booster or not."""

import pytest

from sizing.running.isolate import bring_back
from sizing.running.steps import Act
from sizing.running.water import is_normally_shut, runs_out_at
from sizing.system import System, build
from tests.sizing.systems import component, run


def line(principle: str) -> System:
    """A tank, a booster, a tap; and a drain of which only the function is recorded."""
    return build(
        {
            "site": {},
            "components": [
                component("T1", "storage_tank"),
                component("B1", "booster_pump", principle=principle),
                component("O1", "outlet"),
                component("V1", "valve", function="drain"),
                component("V2", "valve", function="isolation"),
                component("J1", "junction"),
            ],
            "runs": [
                run("P1", "pipe", "T1.outlet", "B1.suction"),
                run("P2", "pipe", "B1.discharge", "J1"),
                run("P3", "pipe", "J1", "O1"),
                run("P4", "pipe", "J1", "V1"),
                run("P5", "pipe", "J1", "V2"),
            ],
        }
    )


@pytest.mark.parametrize(("principle", "ways"), [("centrifugal", ["O1", "V1"]), ("positive_displacement", [])])
def test_water_runs_through_a_standing_centrifugal_booster_alone(principle: str, ways: list[str]) -> None:
    assert sorted(one.tag for one in runs_out_at(line(principle), ("B1", "suction"), ())) == ways


@pytest.mark.parametrize("principle", ["centrifugal", "positive_displacement"])
def test_nothing_runs_back_through_a_booster(principle: str) -> None:
    document = line(principle)
    assert "O1" in {one.tag for one in runs_out_at(document, ("B1", "discharge"), ())}
    assert runs_out_at(document, ("B1", "discharge"), ("J1",)) == []


def test_a_drain_is_shut_and_an_isolation_valve_open_unless_recorded_otherwise() -> None:
    system = line("centrifugal")
    assert is_normally_shut(system.node("V1"))
    assert not is_normally_shut(system.node("V2"))


def test_what_is_normally_shut_is_not_opened_when_a_filter_comes_back() -> None:
    system = build(
        {
            "site": {},
            "components": [
                component("T1", "storage_tank"),
                component("F1", "filter", side="pressure"),
                component("V1", "valve", function="isolation", normal_position="open"),
                component("V2", "valve", function="isolation", normal_position="shut"),
                component("O1", "outlet"),
                component("O2", "outlet"),
                component("J1", "junction"),
            ],
            "runs": [
                run("P1", "pipe", "T1.outlet", "V1"),
                run("P2", "pipe", "V1", "F1.inlet"),
                run("P3", "pipe", "F1.outlet", "J1"),
                run("P4", "pipe", "J1", "V2"),
                run("P5", "pipe", "V2", "O2"),
                run("P6", "pipe", "J1", "O1"),
            ],
        }
    )
    opened = {step.tag for step in bring_back(system, "F1") if step.act is Act.OPEN}
    assert "V1" in opened
    assert "V2" not in opened
