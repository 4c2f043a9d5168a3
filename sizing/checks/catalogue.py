"""Every check, by key, in the order in which a practised person takes them."""

from sizing.checks import (
    as_found,
    battery,
    before_cover,
    booster,
    booster_suction,
    charging,
    conditions,
    contact,
    dead,
    delivery,
    hand_pump,
    hand_pump_wear,
    laboratory,
    leaving,
    pressure,
    pressure_rest,
    pump,
    pump_log,
    rising_main,
    storage,
    sun,
    tank_keeping,
    tightness,
    walk_round,
    water_conditions,
    water_safety,
    well,
    well_recovery,
)
from sizing.checks.declare import Check

CHECKS: dict[str, Check] = {
    check.key: check
    for module in (
        as_found,
        conditions,
        water_conditions,
        walk_round,
        before_cover,
        well,
        well_recovery,
        dead,
        battery,
        sun,
        charging,
        pump,
        rising_main,
        pump_log,
        storage,
        tank_keeping,
        pressure,
        pressure_rest,
        booster,
        booster_suction,
        tightness,
        delivery,
        hand_pump,
        hand_pump_wear,
        water_safety,
        contact,
        laboratory,
        leaving,
    )
    for check in module.CHECKS
}
"""Key → check. A module's order is the order within its part of the system."""
