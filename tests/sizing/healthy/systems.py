"""The starter layouts as recorded, and as they really stand there: each nameplate off by what the record allows."""

import copy
import json
import random
from functools import cache
from pathlib import Path
from typing import Any

from commissioning.snapshot import core_document
from sizing.system import System, build
from tests.sizing.more_systems import heron_farm, sallow_clinic
from tests.sizing.systems import quince_ridge

ROOT = Path(__file__).resolve().parents[3]
MADE = {"quince_ridge": quince_ridge, "sallow_clinic": sallow_clinic, "heron_farm": heron_farm}
NAMES = (
    "solar_well_gravity", "solar_well_booster", "battery_well_pressure", "spring_roof_booster", "solar_well_high_tank",
    "two_tanks_in_line", "two_wells_one_tank", *MADE,
)  # fmt: skip
DAY, YEAR_2027 = 86_400, 20_819  # s; days from 1970-01-01 to 2027-01-01

# How far a sound part may lie from its print, as a share.
SHARES: dict[str, dict[str, float]] = {
    # the voltage of a module is half as loose as its power: both are in the power tolerance of the record
    "solar_array": {"module_open_circuit_voltage": 0.015, "module_maximum_power_voltage": 0.015},
    "well": {"drawdown_at_yield": 0.1},
    "submersible_pump": {"winding_resistance": 0.03},
    # a conductor is made a little better than the greatest resistance of IEC 60228, and laid a little longer
    "cable": {"length": 0.02},
    "battery_bank": {"internal_resistance": 0.15},
    "pressure_tank": {"volume": 0.03},
    # a controller holds its set point to half a hundredth (common practice, no source)
    "charge_controller": {"absorption": 0.005, "float_charge": 0.005, "efficiency": 0.01},
    "storage_tank": {"diameter": 0.003, "length": 0.003},
}
# The same as an amount: how well somebody with a tape or a gauge sets a switch (common practice, no source).
AMOUNTS: dict[str, dict[str, float]] = {
    "level_switch": {"set_elevation": 0.02},
    "pressure_switch": {"cut_in": 7e3, "cut_out": 7e3},
    "pressure_tank": {"precharge": 2e3},
}
PUMP_FLOW = 0.10  # ISO 9906:2012, 4.4.2: what a maker of pumps up to 10 kW promises of the flow


def within(chance: random.Random, tolerance: float) -> float:
    """Return how far a sound part is off: it keeps its tolerance, at three standard deviations."""
    return max(-tolerance, min(tolerance, chance.gauss(0, tolerance / 3)))


@cache
def recorded(name: str) -> dict[str, Any]:
    """Return a filled layout in core units."""
    if name in MADE:
        return MADE[name]()
    text = (ROOT / "tests/published/as_built" / f"{name}.json").read_text(encoding="utf-8")
    return core_document(json.loads(text))


# How far a system made up by chance lies from its layout, as factors; one factor for all fields of a line.
VARIED: tuple[tuple[str, tuple[str, ...], float, float], ...] = (
    ("pipe", ("length",), 0.6, 1.2),
    ("cable", ("length",), 0.6, 1.3),
    ("storage_tank", ("diameter",), 0.9, 1.4),
    ("well", ("drawdown_at_yield",), 0.6, 1.3),
    ("well", ("static_level",), 0.7, 1.1),
    ("outlet", ("required_flow",), 0.5, 0.8),
    ("outlet", ("required_pressure",), 0.5, 0.8),
    ("solar_array", ("module_power", "module_short_circuit_current", "module_maximum_power_current"), 0.95, 1.3),
    ("battery_bank", ("block_capacity",), 0.7, 1.0),
    ("pressure_tank", ("volume",), 0.9, 1.6),
    ("hand_pump", ("bore", "stroke"), 0.9, 1.1),
)


def made_up(name: str, chance: random.Random) -> dict[str, Any]:
    """Return a record of its own with the shape of a layout: another place, other sizes, other lengths."""
    made = copy.deepcopy(recorded(name))
    site = made["site"]
    site["latitude"] = chance.choice((-1, 1)) * chance.uniform(5, 45)
    site["altitude"] = chance.uniform(0, 2500)
    for one in made["components"]:
        if one["kind"] == "solar_array":
            one["nameplate"]["azimuth"] = 180.0 if site["latitude"] > 0 else 0.0
            one["nameplate"]["tilt"] = max(10.0, abs(site["latitude"]))
    for kind, fields, low, high in VARIED:
        for plate in (one["nameplate"] for one in [*made["components"], *made["runs"]] if one["kind"] == kind):
            factor = chance.uniform(low, high)
            for field in fields:
                if plate.get(field) is not None:
                    plate[field] *= factor
    return made


def as_it_stands(document: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    """Return the document with every nameplate as the part really is."""
    made = copy.deepcopy(document)
    for one in [*made["components"], *made["runs"]]:
        plate = one["nameplate"]
        for field, share in SHARES.get(one["kind"], {}).items():
            if plate.get(field) is not None:
                plate[field] *= 1 + within(chance, share)
        for field, amount in AMOUNTS.get(one["kind"], {}).items():
            if plate.get(field) is not None:
                plate[field] += within(chance, amount)
        _made(one["kind"], plate, chance)
    return made


def _made(kind: str, plate: dict[str, Any], chance: random.Random) -> None:
    """Change what belongs together: a module's currents and power, a pump's whole table."""
    if kind == "solar_array":
        share = 1 + within(chance, plate.get("power_tolerance") or 0.0)
        for field in ("module_short_circuit_current", "module_maximum_power_current", "module_power"):
            plate[field] *= share
    if kind == "submersible_pump" and plate.get("performance"):
        share = 1 + within(chance, PUMP_FLOW)
        plate["performance"] = [[row[0], row[1], row[2] * share, *row[3:]] for row in plate["performance"]]


def noon(system: System, chance: random.Random) -> float:
    """Return a moment around solar noon of a day on which the sun stands well on this latitude, Unix time [s]."""
    latitude, longitude = system.site.latitude or 0.0, system.site.longitude or 0.0
    middle = 172 if latitude >= 0 else 355  # the solstice of its summer
    day = YEAR_2027 + middle + chance.randint(-70, 70)
    return day * DAY + (12 - longitude / 15 + chance.uniform(-1, 1)) * 3_600


def system_of(document: dict[str, Any]) -> System:
    return build(document)
