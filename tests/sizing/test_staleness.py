"""What a change of the record makes stale; every line of the table is common practice, no source."""

from typing import Any

import pytest

from sizing.checks.catalogue import CHECKS
from sizing.parts import COMPONENT_KINDS, RUN_KINDS
from sizing.staleness import CHANGES, ENDS, HOST, retagged, stale_checks
from sizing.system import System, build
from tests.sizing.systems import component, plate, quince_ridge, run

# Checks that are not taken yet in every layout: of boosters, pressure tanks, batteries and fuses.
OF_OTHER_LAYOUTS = {
    "array_power", "display_difference", "load_energy", "low_voltage_disconnect", "operating_current",
    "relief_discharge", "terminal_torque",
}  # fmt: skip


def owed(before: dict[str, Any], after: dict[str, Any]) -> set[str]:
    """Return the ids of what is owed again between two documents."""
    return {f"{one.check}:{one.subject}" for one in stale_checks(build(before), build(after))}


def changed(tag: str, **fields: Any) -> dict[str, Any]:
    document = quince_ridge()
    plate(document, tag).update(fields)
    return document


def swapped(tag: str, new: str) -> dict[str, Any]:
    """Return the document in which a part has gone and another of its kind, `new`, has come in its place."""
    document = quince_ridge()
    for one in [*document["components"], *document["runs"]]:
        one["tag"] = new if one["tag"] == tag else one["tag"]
        for end in ("host", "start", "end"):
            if one.get(end) == tag:
                one[end] = new
    return document


def test_nothing_is_stale_where_nothing_changed() -> None:
    assert owed(quince_ridge(), quince_ridge()) == set()


def test_every_line_names_fields_and_checks_that_exist() -> None:
    kinds = {**COMPONENT_KINDS, **RUN_KINDS}
    for change in CHANGES:
        for kind in change.kinds:
            assert set(change.fields) <= {*kinds[kind].declarations(), HOST, ENDS}, change
        named = {key for repeat in change.repeats for key in repeat.checks}
        assert named <= {*CHECKS, *OF_OTHER_LAYOUTS}, change


def test_a_moved_float_is_tried_again_and_no_other() -> None:
    again = owed(quince_ridge(), changed("LS1", set_elevation=17.9))
    assert again == {"level_switch_dry:LS1", "fill_stop_level:LS1", "fill_restart_level:LS1"}


def test_the_reason_names_part_and_field() -> None:
    (first, *_) = stale_checks(build(quince_ridge()), build(changed("LS1", set_elevation=17.9)))
    assert first.reason == "level switch LS1: set level above datum changed"


@pytest.mark.parametrize(
    ("tag", "fields"),
    [
        ("A1", {"module_power": 105.0}),  # a corrected nameplate is judged again, not measured again
        ("PU1", {"rated_current": 12.0}),
        ("P5", {"length": 118.0}),
        ("LS1", {"set_elevation": 18.05 * (1 + 1e-9)}),  # typed in feet, the same height
    ],
)
def test_a_corrected_nameplate_makes_nothing_stale(tag: str, fields: dict[str, Any]) -> None:
    assert owed(quince_ridge(), changed(tag, **fields)) == set()


def test_a_field_first_recorded_makes_nothing_stale() -> None:
    assert owed(changed("LS1", set_elevation=None), quince_ridge()) == set()


def test_rewired_strings_are_measured_again() -> None:
    again = owed(quince_ridge(), changed("A1", series=2, parallel=3))
    assert {"string_polarity:A1", "open_circuit_voltage:A1", "short_circuit_current:A1", "well_pump_power:PU1"} <= again
    assert "string_spread:A1" not in again  # derived: it follows its readings
    assert "rotation:PU1" not in again


def test_a_replaced_pump_opens_the_well() -> None:
    again = owed(quince_ridge(), swapped("PU1", "PU2"))
    assert {"turbidity:W1", "pumping_level:W1", "low_water_guard_dry:LS2", "coliform:O1", "sample_taken:O1"} <= again
    assert "rotation:PU2" in again  # its leads end elsewhere now
    assert "fill_stop_level:LS1" not in again


def test_a_cable_to_the_array_says_nothing_of_the_motor() -> None:
    assert owed(quince_ridge(), swapped("K1", "K9")) == {"string_polarity:A1"}


def test_a_cable_to_the_motor_says_nothing_of_the_strings() -> None:
    again = owed(quince_ridge(), swapped("K3", "K9"))
    assert again == {"pump_cable_insulation:PU1", "pump_cable_loop_resistance:PU1", "rotation:PU1"}


def test_a_replaced_pipe_is_tight_and_clean_again() -> None:
    again = owed(quince_ridge(), swapped("P6", "P9"))
    assert {"tightness_whole:T1", "coliform:O1"} <= again


def test_a_valve_added_to_the_record_makes_nothing_stale() -> None:
    after = quince_ridge()
    after["components"].append(component("V3", "valve", function="drain", elevation=0.5))
    after["runs"].append(run("P7", "pipe", "J1", "V3"))
    assert owed(quince_ridge(), after) == set()


def test_other_taps_open_are_another_delivery() -> None:
    assert owed(quince_ridge(), changed("O1", open_together="")) == set()  # emptied: nothing to compare with
    assert owed(quince_ridge(), changed("O1", open_together="O2 O3")) == {"delivery_flow:O1"}


def test_a_new_tag_is_no_change() -> None:
    before: System = retagged(build(quince_ridge()), {"LS1": "LS7", "K3": "K7", "W1": "W7"})
    assert before.nodes["PU1"].host == "W7"
    assert before.runs["K7"].start.tag == "C1"
    after = swapped("LS1", "LS7")
    for old, new in (("K3", "K7"), ("W1", "W7")):
        for one in [*after["components"], *after["runs"]]:
            for end in ("tag", "host", "start", "end"):
                one[end] = new if one.get(end) == old else one.get(end)
    assert stale_checks(before, build(after)) == []
