"""Every check, by key, in the order in which a practised person takes them."""

from sizing.checks import (
    battery,
    booster,
    charging,
    conditions,
    dead,
    delivery,
    hand_pump,
    leaving,
    pressure,
    pump,
    storage,
    sun,
    tightness,
    walk_round,
    water_safety,
    well,
)
from sizing.checks.declare import Check

CHECKS: dict[str, Check] = {
    check.key: check
    for module in (
        conditions,
        walk_round,
        well,
        dead,
        battery,
        sun,
        charging,
        pump,
        storage,
        pressure,
        booster,
        tightness,
        delivery,
        hand_pump,
        water_safety,
        leaving,
    )
    for check in module.CHECKS
}
"""Key → check. A module's order is the order within its part of the system."""
