"""The as-built graph: what a document becomes, where things sit, and how far a walk over runs goes."""

import pytest

from sizing.errors import MissingDataError, SystemShapeError
from sizing.parts import BatteryBank, OvercurrentDevice, PowerCable, StorageTank, SurgeProtector, Well
from sizing.system import THROUGH, build, passes_through
from tests.sizing.boosted import hollow_house
from tests.sizing.systems import component, quince_ridge, run


def with_fuse(host: str | None) -> dict[str, object]:
    document = quince_ridge()
    document["components"].append(component("FU1", "overcurrent_device", host, rated_current=15.0))
    return document


def test_a_fuse_sits_on_its_cable() -> None:
    system = build(with_fuse("K2"))
    fuse = system.node("FU1")
    assert system.run_under(fuse).tag == "K2"
    assert isinstance(system.run_under(fuse).part, PowerCable)
    assert [node.tag for node in system.hosted_on("K2", OvercurrentDevice)] == ["FU1"]
    assert not system.hosted_on("K1", OvercurrentDevice)


@pytest.mark.parametrize("host", [None, "A1", "K99"])
def test_a_fuse_on_no_run_says_so(host: str | None) -> None:
    system = build(with_fuse(host))
    with pytest.raises(MissingDataError) as missing:
        system.run_under(system.node("FU1"))
    assert (missing.value.owner, missing.value.field) == ("FU1", "host")


def test_a_component_on_a_run_sits_in_no_component() -> None:
    system = build(with_fuse("K2"))
    with pytest.raises(MissingDataError, match="where it sits"):
        system.host_of(system.node("FU1"), Well)


def test_an_arrester_sits_in_a_component() -> None:
    document = quince_ridge()
    document["components"].append(component("SP1", "surge_protector", "C1", continuous_voltage=100.0))
    system = build(document)
    assert [node.tag for node in system.hosted_on("C1", SurgeProtector)] == ["SP1"]


def test_a_walk_passes_a_booster_and_its_vessels_and_ends_at_the_tank() -> None:
    system = build(hollow_house())
    tank, path = system.path_between("O1", None, StorageTank, "pipe")
    assert tank.tag == "T1"
    assert [one.tag for one in path] == ["P7", "P6", "P5", "P4", "P3", "P2", "P1"]


def test_a_walk_over_cables_passes_a_fuse_between_two_cables_and_ends_at_the_battery() -> None:
    document = {
        "components": [
            component("BA1", "battery_bank"),
            component("FU1", "overcurrent_device"),
            component("IN1", "inverter"),
        ],
        "runs": [
            run("K1", "cable", "BA1.posts", "FU1.line"),
            run("K2", "cable", "FU1.load", "IN1.input"),
        ],
    }
    found, path = build(document).path_between("IN1", "input", BatteryBank, "cable")
    assert found.tag == "BA1"
    assert [one.tag for one in path] == ["K2", "K1"]


def test_what_stores_converts_or_uses_ends_a_walk() -> None:
    ends = {"storage_tank", "battery_bank", "pump_controller", "charge_controller", "inverter", "outlet", "load"}
    assert not ends & THROUGH
    assert not passes_through(build(quince_ridge()).node("T1"))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"components": [component("X1", "windmill")]}, "unknown kind of component"),
        ({"components": [component("X1", "well", colour=1.0)]}, "has no field colour"),
        ({"components": [component("X1", "well"), component("X1", "well")]}, "stands twice"),
        ({"runs": [run("P1", "pipe", "X1", "X2")]}, "not in the record"),
        ({"runs": [run("P1", "river", "X1", "X2")]}, "unknown kind of run"),
    ],
)
def test_a_document_out_of_shape_is_refused(change: dict[str, object], words: str) -> None:
    with pytest.raises(SystemShapeError, match=words):
        build({"components": [], "runs": [], **change})
