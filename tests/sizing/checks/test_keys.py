"""The keys of the water side are stable: records, exports and fault tables name them."""

import pytest

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import COMMON, Kind
from sizing.checks.keys import PART_OF, check_and_value

# key, of the must set, repeated at service
KEYS = [
    ("water_temperature", False, True), ("hours_since_pumping", False, True), ("tank_level", True, True),
    ("static_level", True, True), ("well_depth_measured", False, False), ("buried_line_test", True, False),
    ("cover_depth", True, False), ("photographs", True, False), ("turbidity", True, True), ("sand", True, True),
    ("conductivity", False, True), ("pumping_level", True, True), ("well_drawdown", True, True),
    ("specific_capacity", True, True), ("recovery_time", False, True), ("time_to_water", True, True),
    ("well_pump_flow", True, True), ("wellhead_pressure", False, True), ("well_pump_shutoff_pressure", False, True),
    ("rising_main_loss", False, True), ("well_pump_starts", False, True), ("low_water_trips", False, True),
    ("air_at_outlet", False, True), ("well_pump_noise", False, True), ("fill_balance", False, False),
    ("fill_stop_level", True, True), ("fill_restart_level", False, False), ("low_water_stop", True, True),
    ("booster_low_stop", True, False), ("level_switch_state", False, True),
    ("overflow_carries_full_flow", True, False), ("overflow_events", False, True),
    ("tank_overnight_loss", False, True), ("frost_and_drain_down", True, False), ("precharge", True, True),
    ("low_pressure_fill", True, False), ("pressure_switch_dry", True, False), ("relief_opens", True, True),
    ("relief_discharge", False, True), ("booster_suction_vacuum", False, True), ("npsh_margin", True, False),
    ("booster_prime_time", False, True), ("filter_drop", True, True), ("booster_flow", True, True),
    ("booster_shutoff_pressure", False, True), ("cut_in", True, True), ("cut_out", True, True),
    ("switch_contact_drop", False, True), ("tank_drawdown", True, True), ("booster_run_time", False, True),
    ("starts_at_fixed_draw", True, True), ("starts_with_taps_shut", True, True), ("pressure_at_rest", False, True),
    ("tightness_whole", True, True), ("tightness_house_side", True, True), ("delivery_flow", True, True),
    ("strokes_to_water", True, True), ("volume_per_stroke", True, True), ("hand_pump_late_yield", False, True),
    ("handle_force", False, True), ("handle_play", False, True), ("hand_pump_leak", False, True),
    ("cannot_backflow", True, False), ("chlorine_dose", True, False), ("contact_time", False, False),
    ("residual_after_contact", False, False), ("residual_at_sampling", True, False), ("sample_taken", True, False),
    ("coliform", True, True), ("as_found", True, True), ("as_left", True, True), ("owner_unaided", True, False),
]  # fmt: skip
WATER = {
    "Before cover", "Well", "Storage", "Booster and pressure", "Tightness", "Delivery", "Hand pump", "Water safety",
    "Handing over",
}  # fmt: skip


@pytest.mark.parametrize(("key", "is_must", "at_service"), KEYS, ids=lambda one: str(one))
def test_key_stands_with_its_tier_and_its_service_flag(key: str, is_must: bool, at_service: bool) -> None:
    check = CHECKS[key]
    assert (check.tier == "must", check.at_service) == (is_must, at_service)


def test_the_pressure_at_a_tap_is_judged_within_its_delivery() -> None:
    check, value = check_and_value("delivery_pressure")
    assert check.key == "delivery_flow"
    assert value is not None
    assert value.name == "delivery_pressure"
    assert check_and_value("delivery_flow") == (CHECKS["delivery_flow"], None)
    with pytest.raises(KeyError):
        check_and_value("nothing")
    assert not set(PART_OF) & set(CHECKS)


@pytest.mark.parametrize("check", [c for c in CHECKS.values() if c.group in WATER], ids=lambda one: one.key)
def test_every_limit_names_its_owner(check) -> None:
    for limit in check.limits:
        said = limit.source
        assert said == COMMON or any(
            word in said.lower()
            for word in ("memory", "common practice", "nameplate", "printed", "awwa", "astm", "code", "log", "mil-hdbk",
                         "comar", "guide", "government", "cfr", "title", "directive", "iso", "rating", "moment")
        ), said  # fmt: skip


def test_whoever_has_not_seen_it_is_told_what_normal_looks_like() -> None:
    told = [c for c in CHECKS.values() if c.group in WATER and c.kind is Kind.MEASURED and not c.is_condition]
    silent = {c.key for c in told if not c.normal}
    # a laboratory's figure looks like nothing; a bottle's label and a level's tape speak for themselves
    assert silent <= {"coliform", "nitrate", "arsenic", "fluoride", "iron", "manganese", "lead", "ph",
                      "booster_low_stop", "low_water_stop"}  # fmt: skip
