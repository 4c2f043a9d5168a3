"""What the whole job types: Quince Ridge's nameplates on the starter layout's tags, and one day's readings.

The readings are invented; they are what Quince Ridge could give around noon on a clear day. The names are those of
the form's fields, in which the place of a repeat counts from 0.
"""

from typing import Any

from sizing.parts import SiteData
from tests.commissioning.worlds import typed_plate
from tests.sizing.systems import quince_ridge

GOOD = "as it should be"

# The starter layout numbers the pipes from the pump on; Quince Ridge numbers them as they were dug.
LAID_RUNS = {"P1": "P1", "P2": "P5", "P3": "P2", "P4": "P6", "P5": "P3", "P6": "P4"}


def plates(unit_system: str = "metric") -> dict[str, dict[str, Any]]:
    """Return tag → nameplate as typed, for every component and run of the starter layout; `site` is the site."""
    known = quince_ridge()
    there = {one["tag"]: one for one in [*known["components"], *known["runs"]]}
    back = {old: new for new, old in LAID_RUNS.items()}
    found = {back.get(tag, tag): typed_plate(one["kind"], one["nameplate"], unit_system) for tag, one in there.items()}
    return {"site": typed_plate(SiteData.kind, known["site"], unit_system), **found}


def repeated(name: str, *texts: str) -> dict[str, str]:
    """Return the fields of one input at each of its repeats."""
    return {f"r-{name}-{place}": text for place, text in enumerate(texts)}


READINGS: dict[str, dict[str, str]] = {
    "static_level:W1": repeated("level", "24.10", "24.11"),
    "well_depth_measured:W1": {"r-depth": "59.8"},
    "irradiance:A1": {"r-irradiance": "812"},
    "module_temperature:A1": {"r-back_temperature": "44.0", "r-irradiance": "812"},
    "electrode_resistance:EE1": repeated("resistance", "306", "310", "313"),
    "bond_resistance:EE1": repeated("resistance", "0.18", "0.21"),
    "pump_cable_loop_resistance:PU1": repeated("resistance", "0.47") | {"r-temperature": "15"},
    "pump_cable_insulation:PU1": {"r-insulation": "> 999", "r-test_voltage": "500"},
    "array_insulation:A1": {"r-insulation": "420", "r-test_voltage": "250"},
    "turbidity:W1": {"r-turbidity": "0.8"},
    "sand:W1": {"r-sand": "0.0"},
    "pumping_level:W1": {"r-level": "26.4", "r-flow": "36", "r-minutes": "45"},
    "open_circuit_voltage:A1": repeated("voltage", "63.6", "62.9"),
    "short_circuit_current:A1": repeated("current", "4.79", "4.75"),
    "time_to_water:PU1": {"r-time": "58"},
    "well_pump_power:PU1": {"r-voltage": "47.5", "r-current": "8.9"},
    "well_pump_current:PU1": {"r-current": "8.9"},
    "phase_unbalance:PU1": {"r-lead_1": "8.90", "r-lead_2": "8.84", "r-lead_3": "8.97"},
    "tank_level:T1": {"r-level": "1.30"},
    "wellhead_pressure:PU1": {"r-pressure": "183", "r-flow": "22.3"},
    "fill_stop_level:LS1": {"r-depth": "2.05"},
    "fill_restart_level:LS1": {"r-depth": "1.64"},
    "fill_balance:T1": {"r-start_level": "0.90", "r-end_level": "1.30", "r-flow": "22.3", "r-time": "81"},
    "tightness_whole:T1": repeated("pressure", "166", "164", "163.5") | repeated("temperature", "14", "14", "14"),
    "delivery_flow:O1": repeated("volume", "20", "20", "20") | repeated("time", "81", "80.5", "81.5")
    | {"r-pressure": "132"},
    "delivery_flow:O2": repeated("volume", "20", "20", "20") | repeated("time", "74", "73.5", "74.5")
    | {"r-pressure": "105"},
    "strokes_to_water:HP1": {"r-strokes": "4"},
    "volume_per_stroke:HP1": repeated("volume", "15", "15.1", "15") | repeated("strokes", "40", "40", "40"),
    "bleach_strength:site": {"r-available": "5.5"},
    "chlorine_dose:W1": {"r-bleach": "12.4"},
    "residual_at_sampling:O1": {"r-residual": "0.0"},
    "coliform:O1": {"r-colonies": "0"},
}  # fmt: skip

ROWS: tuple[dict[str, str], ...] = (
    {"flow": "21.4", "power": "410", "irradiance": "790", "level": "26.1"},
    {"flow": "22.3", "power": "423", "irradiance": "812", "level": "26.2"},
    {"flow": "23.1", "power": "436", "irradiance": "830", "level": "26.3"},
)
"""The pump's flow through the day, one row at a time."""
