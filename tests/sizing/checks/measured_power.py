"""One sound measurement of each check of array, battery and cables beside the must set, with its system."""

from collections.abc import Callable
from typing import Any

from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.judgement import Assessment, assess
from sizing.system import build
from tests.sizing.checks.measured import Taken, readings
from tests.sizing.more_systems import sallow_clinic
from tests.sizing.systems import plate, quince_ridge

NOON = 1_782_072_000.0  # 2026-06-21 20:00 UTC, 13:00 by the clock at 106.5° W
SUN = {"irradiance": Value(900.0, 26.0), "module_temperature": Value(50.0, 1.2)}
BLOCKS = {f"battery_rest_voltage/block {i}": Value(volts, 0.03) for i, volts in ((1, 12.52), (2, 12.50))}
HOURS = {"array_power/row 1": Value(0.97, 0.03), "array_power/row 2": Value(0.93, 0.03)}


def clinic() -> dict[str, Any]:
    """Return the clinic with its day's water."""
    document = sallow_clinic()
    plate(document, "site")["daily_demand"] = 0.6
    return document


OF_RIDGE: tuple[Taken, ...] = (
    Taken(
        "operating_current", "A1", {"current@string 1": (4.85, 0.06), "current@string 2": (4.79, 0.06)}, SUN,
    ),
    Taken("array_operating_voltage", "A1", {"voltage": (48.6, 0.26)}, SUN),
    Taken("array_power", "A1", {"voltage@row 1": (48.9, 0.26), "current@row 1": (9.7, 0.14)}, SUN, "meters"),
    Taken("array_power", "A1", {"power@row 1": (478.0, 5.5)}, SUN, "display"),
    Taken("loss_tied_to_hour", "A1", {}, HOURS),
    Taken("joint_temperature_rise", "A1", {"rise@connectors": (2.0, 0.6), "current": (9.5, 0.14)}),
    Taken("splice_insulation", "PU1", {"insulation": (2e9, 0.0, ">"), "test_voltage": 500.0}),
    Taken("cable_loop_resistance", "K1", {"resistance": (0.0515, 0.0006), "temperature": (25.0, 0.9)}),
    Taken(
        "cable_loop_resistance", "K1",
        {"drop": (0.232, 0.0009), "current": (4.5, 0.08), "temperature": (25.0, 0.9)}, {}, "current",
    ),
)  # fmt: skip
OF_CLINIC: tuple[Taken, ...] = (
    Taken("charge_temperature", "BA1", {}, {"battery_temperature": Value(18.0, 0.9)}),
    Taken("state_of_charge", "BA1", {}, BLOCKS),
    Taken("dawn_voltage", "BA1", {"voltage": (24.9, 0.08), "current": (2.5, 0.06)}),
    Taken("night_draw", "BA1", {"current": (0.04, 0.012)}),
    Taken("load_energy", "BA1", {"energy": (1.5e6, 4e4), "time": 86_400.0}, {}, "counter"),
    Taken("load_energy", "BA1", {"energy": (1.2e6, 1e5), "time": 86_400.0}, {}, "survey"),
    Taken("battery_water_use", "BA1", {"water": (4.5e-4, 1e-5), "time": (30 * 86_400.0, 4e4)}),
    Taken("joint_drop", "BA1", {"drop@plus post": (0.002, 0.0003), "current@plus post": (12.0, 0.15)}),
    Taken("display_difference", "CC1", {"display": 27.2, "posts": (27.1, 0.05), "current": (9.0, 0.12)}),
    Taken("low_voltage_disconnect", "CC1", {"voltage": (22.75, 0.07)}),
    Taken("time_to_absorption", "CC1", {"time": (26_000.0, 350.0)}),
    Taken("sun_carries_booster", "B1", {}, {"booster_current": Value(9.0, 0.2)}),
    Taken(
        "tank_chlorine_dose", "T1", {"bleach": (0.0065, 2e-4)},
        {"tank_level": Value(1.5, 0.003), "bleach_strength": Value(0.05, 0.003)},
    ),
)  # fmt: skip
SYSTEM_OF: dict[str, Callable[[], dict[str, Any]]] = {
    **{one.check: quince_ridge for one in OF_RIDGE},
    **{one.check: clinic for one in OF_CLINIC},
}
POWER_GOOD = OF_RIDGE + OF_CLINIC


def judged(taken: Taken, document: dict[str, Any] | None = None, **conditions: Any) -> Assessment:
    """Return the assessment of a measurement on its own system, or on another, some conditions changed."""
    around = {**taken.conditions, **conditions}
    return assess(
        CHECKS[taken.check],
        build(document or SYSTEM_OF[taken.check]()),
        taken.subject,
        readings=readings(taken.typed),
        conditions={k: v for k, v in around.items() if v is not None},
        way=taken.way,
        moment=NOON,
    )
