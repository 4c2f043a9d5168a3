"""The table of causes is sound, and what it says agrees with what handbooks say of the same signs."""

import re

import pytest

from sizing.causes import PRIOR, Cause, Sign, causes, likely, of_system
from sizing.checks.catalogue import CHECKS
from sizing.checks.keys import check_and_value
from sizing.system import build
from tests.sizing.systems import quince_ridge

DIRECTIONS = {"up", "down", "same", "unsteady", "either"}
UP, DOWN, SAME, NIL = Sign.UP, Sign.DOWN, Sign.SAME, Sign.NIL


def by_key() -> dict[str, Cause]:
    return {one.key: one for one in causes()}


def test_table_holds_every_part_and_each_key_once() -> None:
    assert len(by_key()) == len(causes()) == 134
    assert {"well_pump", "well", "battery", "pv_array", "booster", "hand_pump", "measurement"} <= {
        one.part for one in causes()
    }


@pytest.mark.parametrize("one", causes(), ids=lambda one: one.key)
def test_row_names_checks_that_there_are_and_its_source(one: Cause) -> None:
    for key in one.signs:
        assert check_and_value(key)[0].key in CHECKS
    assert set(one.signs.values()) <= DIRECTIONS
    assert any(sign != "same" for sign in one.signs.values())
    assert set(one.nil) <= {key for key, sign in one.signs.items() if sign == "down"}
    assert set(one.alike) <= set(by_key())
    assert one.prior in PRIOR
    assert one.urgency in {"fix_soon", "stop_and_make_safe", "plan"}
    assert one.confirm
    assert one.source
    assert not re.search(r"\(|SEEN|MEMORY|withheld", re.sub(r"\([^()]*\)", "", one.source))


# Each with the words of print, put into signs; sources as the rows name them.
PRINTED = [
    (
        {"static_level": SAME, "well_drawdown": UP, "specific_capacity": DOWN, "recovery_time": UP},
        "well_well_screen_or_fracture_clogging",
        "UFC 3-230-02, 4.5.2: less specific capacity at an unchanged static level is the screen's",
    ),
    (
        {"static_level": UP, "pumping_level": UP, "specific_capacity": SAME, "well_pump_flow": DOWN},
        "well_regional_or_seasonal_water_table",
        "UFC 3-230-02, 3.5.6: a falling static level at an unchanged specific capacity is the water table's",
    ),
    (
        {"well_pump_flow": SAME, "pump_cable_insulation": DOWN, "pump_cable_loop_resistance": SAME},
        "well_pump_splice_or_cable_insulation_failing",
        "TM 5-3820-256-24-6, table 4-1: leak to earth",
    ),
    (
        {"open_circuit_voltage": SAME, "short_circuit_current": DOWN, "array_power": DOWN, "string_spread": UP},
        "pv_array_parallel_string_lost",
        "IEC 62446-1:2016, 6.4 to 6.5: volts hold and amperes fall by a string (from memory)",
    ),
    (
        {"strokes_to_water": UP, "volume_per_stroke": SAME},
        "hand_pump_foot_valve_leaking",
        "University of Twente, water lifting: a leaking foot valve loses the prime, not the stroke",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("seen", "cause", "source"), PRINTED)
def test_printed_signs_lead_to_the_printed_cause(seen: dict[str, Sign], cause: str, source: str) -> None:
    found = [one for one in likely(seen) if one.cause.part != "measurement"]
    assert found[0].cause.key == cause, source


def test_every_row_is_found_by_its_own_signs() -> None:
    for one in causes():
        seen = {k: NIL if k in one.nil else Sign(s) for k, s in one.signs.items() if s in ("up", "down", "same")}
        if any(s in ("up", "down") for s in one.signs.values()):
            assert one.key in [found.cause.key for found in likely(seen)], one.key


def test_nothing_moved_has_no_cause() -> None:
    assert likely({"well_pump_flow": SAME, "static_level": SAME}) == []
    assert likely({}) == []


def test_a_contradicted_row_falls_behind() -> None:
    flow_less = {"well_pump_flow": DOWN, "well_pump_power": SAME, "well_pump_specific_energy": UP}
    with_shut_off = likely({**flow_less, "well_pump_shutoff_pressure": SAME})
    worn = "well_pump_worn_impellers_or_diffusers_sand"
    assert worn in [one.cause.key for one in likely(flow_less)]
    assert worn not in [one.cause.key for one in with_shut_off][:2]


def test_a_pump_of_the_other_principle_is_left_out() -> None:
    seen = {"well_pump_flow": DOWN, "well_pump_shutoff_pressure": DOWN, "well_pump_power": SAME}
    keys = [one.cause.key for one in likely(seen, {"well_pump": "positive_displacement"})]
    assert "well_pump_worn_impellers_or_diffusers_sand" not in keys


def test_a_part_that_the_system_lacks_is_left_out() -> None:
    principles, parts = of_system(build(quince_ridge()))
    assert {"well", "well_pump", "hand_pump"} <= parts
    assert set(principles.values()) <= {"centrifugal", "positive_displacement"}
    seen = {"strokes_to_water": UP, "volume_per_stroke": SAME}
    assert likely(seen, principles, parts)
    assert not likely(seen, principles, parts - {"hand_pump"})


def test_look_alikes_are_shown_with_what_parts_them() -> None:
    found = likely(
        {"short_circuit_current": DOWN, "open_circuit_voltage": SAME, "array_power": DOWN, "string_spread": SAME}
    )
    keys = [one.cause.key for one in found]
    assert {"pv_array_even_soiling", "pv_array_ageing"} <= set(keys)
    assert all(one.cause.confirm for one in found)


def test_a_slip_of_measuring_stands_before_a_fault() -> None:
    parts = [one.cause.part for one in likely({"precharge": UP})]
    assert parts[0] == "measurement"
    assert set(parts) > {"measurement"}


def test_a_reading_that_goes_the_other_way_speaks_against() -> None:
    seen = {"well_pump_flow": DOWN, "well_pump_shutoff_pressure": DOWN, "well_pump_specific_energy": UP}
    worn = "well_pump_worn_impellers_or_diffusers_sand"
    assert worn in [one.cause.key for one in likely(seen)]
    contradicted = likely({**seen, "well_pump_specific_energy": DOWN, "well_pump_shutoff_pressure": UP})
    assert worn not in [one.cause.key for one in contradicted]
