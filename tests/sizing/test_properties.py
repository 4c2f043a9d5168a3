"""What holds for every formula of the core, from the ranges in its own docstring.

Inside the ranges a result is a number, never NaN nor an error of Python's; outside, OutOfRangeError names the argument;
where physics says that more gives more, it does; and what undoes another formula gives back what went in.
Sound arguments are those of the formulas' own tests (`BOUNDS`), which hold them against published values.
"""

import dataclasses
import importlib
import math
import pkgutil
import random
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

import pytest

import tests.sizing.formulas as formula_tests
from sizing.errors import OutOfRangeError
from sizing.formulas import (
    ampacity,
    atmosphere,
    battery,
    conductors,
    disinfection,
    flow,
    handpump,
    levels,
    limits,
    npsh,
    photovoltaic,
    pipes,
    pump_acceptance,
    pumps,
    state_of_charge,
    surge,
    tanks,
    uncertainty,
    vessels,
    voltage_drop,
    water,
    wells,
)
from sizing.working import describe
from tests.sizing.formulas.refusal import SOUND
from tests.sizing.ranges import Span, span_of
from tests.sizing.test_working import FORMULAS

Formula = Callable[..., Any]
FAST, LONG = 15, 1500
PLAIN = (float, int)


for module in pkgutil.iter_modules(formula_tests.__path__, "tests.sizing.formulas."):
    importlib.import_module(module.name)  # each lists there what its formulas accept and refuse
COVERED = [one for one in FORMULAS if one in SOUND]


MODULES = sorted({one.__module__ for one in FORMULAS})


def of(module: str) -> list[Formula]:
    return [one for one in COVERED if one.__module__ == module]


def spans(formula: Formula, good: dict[str, Any]) -> dict[str, Span]:
    """Return the interval of each argument that is a plain number with a range of its own."""
    ranges = {one.name: one.range for one in describe(formula).parameters}
    numbers = {name: value for name, value in good.items() if type(value) in PLAIN}
    found = {name: span_of(ranges[name]) for name in numbers}
    return {name: span for name, span in found.items() if span is not None}


def numbers_in(result: Any) -> Iterator[float]:
    """Yield every number of a result, whatever holds it."""
    if isinstance(result, float | int):
        yield result
    elif dataclasses.is_dataclass(result):
        for one in dataclasses.fields(result):
            yield from numbers_in(getattr(result, one.name))
    elif isinstance(result, tuple | list):
        for one in result:
            yield from numbers_in(one)
    elif result is not None and not isinstance(result, str):
        raise AssertionError(f"{result!r} is no number")


def drawn(formula: Formula, good: dict[str, Any], chance: random.Random) -> dict[str, Any]:
    """Return arguments inside their ranges, some or all of them moved."""
    inside = spans(formula, good)
    moved = [name for name in inside if chance.random() < 0.6]
    return {
        name: _as(value, inside[name].drawn(value, chance)) if name in moved else value for name, value in good.items()
    }


def _as(like: Any, value: float) -> Any:
    return round(value) if type(like) is int else value


def test_every_formula_has_sound_arguments_in_its_test() -> None:
    assert [one.__name__ for one in FORMULAS if one not in SOUND] == []


def hold_inside(formula: Formula, many: int) -> None:
    chance, named = random.Random(f"{formula.__name__} inside"), set()  # noqa: S311  # draws, no secret
    for good in SOUND[formula]:
        for _ in range(many):
            asked = drawn(formula, good, chance)
            try:
                result = formula(**asked)
            except OutOfRangeError as refused:
                named.add(refused.argument)  # two of them do not go together: it says so by the name of one of them
                continue
            for one in numbers_in(result):
                assert not math.isnan(one), f"{formula.__name__}{asked}"
        assert named <= set(good)


@pytest.mark.parametrize("module", MODULES)
def test_inside_its_ranges_a_formula_gives_numbers(module: str) -> None:
    for formula in of(module):
        hold_inside(formula, FAST)


@pytest.mark.long
def test_inside_their_ranges_all_formulas_give_numbers_over_many_draws(keep_record: Callable[..., None]) -> None:
    for formula in COVERED:
        hold_inside(formula, LONG)
    keep_record("properties", formulas=len(COVERED), draws_each=LONG, not_a_number=0, other_errors=0)


@pytest.mark.parametrize("module", MODULES)
def test_a_formula_refuses_by_name_what_lies_beyond_each_bound(module: str) -> None:
    for formula in of(module):
        good = SOUND[formula][0]
        for name, span in spans(formula, good).items():
            for value in span.refused():
                assert refused_by(formula, {**good, name: value}) == name, f"{formula.__name__}: {name} = {value}"


def refused_by(formula: Formula, asked: dict[str, Any]) -> str:
    """Return the argument that a formula refuses; empty if it takes them all."""
    try:
        formula(**asked)
    except OutOfRangeError as refused:
        return refused.argument
    return ""


# ---- more gives more -------------------------------------------------------------------------

UP, DOWN = 1, -1
MONOTONIC: dict[Formula, dict[str, int]] = {
    ampacity.corrected_ampacity: {"table_ampacity": UP, "ambient_factor": UP, "bundling_factor": UP},
    ampacity.ambient_factor: {"ambient_temperature": DOWN},
    atmosphere.atmospheric_pressure: {"altitude": DOWN},
    atmosphere.absolute_pressure: {"gauge_pressure": UP, "atmosphere": UP},
    battery.running_time: {"capacity": UP, "current": DOWN},
    battery.sagged_voltage: {"rest_voltage": UP, "current": DOWN, "resistance": DOWN},
    battery.capacity_fraction: {"test_time": UP, "rated_time": DOWN},
    disinfection.bleach_volume: {"water_volume": UP, "dose_mg_per_l": UP, "strength": DOWN},
    disinfection.dose_of_bleach: {"bleach_volume": UP, "strength": UP, "water_volume": DOWN},
    flow.bucket_flow: {"volume": UP, "time": DOWN},
    levels.pressure_from_surface: {"surface_elevation": UP, "elevation": DOWN, "head_lost": DOWN},
    limits.lower_limit: {"nominal": UP, "tolerance": DOWN},
    limits.upper_limit: {"nominal": UP, "tolerance": UP},
    npsh.npsh_available: {"surface_pressure": UP, "vapour_pressure": DOWN, "static_head": UP, "suction_loss": DOWN},
    photovoltaic.short_circuit_current: {"rated_current": UP, "irradiance": UP},
    photovoltaic.open_circuit_voltage: {"rated_voltage": UP, "irradiance": UP},
    pipes.pipe_head_loss: {"flow": UP, "length": UP, "inside_diameter": DOWN},
    pump_acceptance.small_pump_efficiency_tolerance: {"input_power": UP},
    pumps.hydraulic_power: {"flow": UP, "head": UP, "density": UP},
    pumps.wire_to_water_efficiency: {"flow": UP, "head": UP, "electrical_power": DOWN},
    surge.joukowsky_surge: {"density": UP, "wave_speed": UP, "velocity_change": UP},
    tanks.upright_cylinder_volume: {"diameter": UP, "depth": UP},
    uncertainty.reading_half_width: {"fraction": UP, "counts": UP, "resolution": UP},
    vessels.acceptance_volume: {"tank_volume": UP, "precharge": DOWN, "final_pressure": UP},
    vessels.tank_drawdown: {"tank_volume": UP, "precharge": UP, "cut_in": DOWN, "cut_out": UP},
    vessels.precharge_at_temperature: {"precharge": UP, "temperature": DOWN, "other_temperature": UP},
    voltage_drop.joint_resistance: {"drop": UP, "current": DOWN},
    water.vapour_pressure: {"temperature": UP},
    water.dynamic_viscosity: {"temperature": DOWN},
    wells.specific_capacity: {"flow": UP, "drawdown": DOWN},
    wells.casing_volume: {"inside_diameter": UP, "water_column": UP},
}
"""Formula → argument → which way the result goes with it, everything else standing still."""
ROUNDING = 1e-9  # share of a result below which nothing is said of its order
STEPS = 6


def hold_order(formula: Formula, argument: str, way: int, many: int) -> None:
    chance = random.Random(f"{formula.__name__} {argument}")  # noqa: S311  # draws, no secret
    compared = 0
    for _ in range(many):
        asked = drawn(formula, SOUND[formula][0], chance)
        span = spans(formula, SOUND[formula][0]).get(argument, Span())
        ladder = sorted(span.drawn(asked[argument], chance) for _ in range(STEPS))
        results = []
        for value in ladder:
            try:
                results.append(formula(**{**asked, argument: value}))
            except OutOfRangeError:
                continue
        for less, more in pairwise(results):
            compared += 1
            slack = ROUNDING * max(abs(less), abs(more))
            assert way * (more - less) >= -slack, f"{formula.__name__}: {argument} among {ladder}, {asked}"
    assert compared > many, f"{formula.__name__}: hardly ever in range"


@pytest.mark.parametrize(
    ("formula", "argument", "way"),
    [(formula, argument, way) for formula, known in MONOTONIC.items() for argument, way in known.items()],
    ids=lambda one: getattr(one, "__name__", str(one)),
)
def test_more_gives_more_where_physics_says_so(formula: Formula, argument: str, way: int, is_long: bool) -> None:
    hold_order(formula, argument, way, 300 if is_long else 8)


# ---- there and back --------------------------------------------------------------------------

Pair = tuple[str, Callable[..., float], dict[str, tuple[float, float]], str]
PAIRS: list[Pair] = [
    ("bleach and its dose", lambda water, dose, strength: disinfection.dose_of_bleach(
        disinfection.bleach_volume(water, dose, strength), strength, water),
     {"water": (0.05, 50), "dose": (1, 200), "strength": (0.01, 0.15)}, "dose"),
    ("granules and their dose", lambda water, dose, strength: disinfection.dose_of_granules(
        disinfection.granule_mass(water, dose, strength), strength, water),
     {"water": (0.05, 50), "dose": (1, 200), "strength": (0.1, 0.8)}, "dose"),
    ("a gas warmed and cooled again", lambda pressure, here, there: vessels.precharge_at_temperature(
        vessels.precharge_at_temperature(pressure, here, there), there, here),
     {"pressure": (1e5, 8e5), "here": (-20, 45), "there": (-20, 45)}, "pressure"),
    ("the tank for a drawdown", lambda tank, gas, low, high: vessels.tank_volume_for_drawdown(
        vessels.tank_drawdown(tank, gas, low, high), gas, low, high),
     {"tank": (0.01, 2), "gas": (2e5, 2.5e5), "low": (2.6e5, 3.2e5), "high": (3.5e5, 6e5)}, "tank"),
    ("the gas behind a drawdown", lambda tank, gas, low, high: vessels.precharge_from_drawdown(
        tank, vessels.tank_drawdown(tank, gas, low, high), low, high),
     {"tank": (0.01, 2), "gas": (2e5, 2.5e5), "low": (2.6e5, 3.2e5), "high": (3.5e5, 6e5)}, "gas"),
    ("head and pressure", lambda head, density: water.pressure_head(
        water.static_head_pressure(head, density), density), {"head": (0.01, 200), "density": (950, 1001)}, "head"),
    ("drawdown at a flow", lambda flow, capacity: wells.specific_capacity(
        flow, wells.drawdown_at_flow(flow, capacity)), {"flow": (1e-5, 0.02), "capacity": (1e-5, 1e-2)}, "capacity"),
    ("a joint's drop", lambda ohms, current: voltage_drop.joint_resistance(
        voltage_drop.voltage_drop(current, ohms), current), {"ohms": (1e-5, 1), "current": (0.5, 200)}, "ohms"),
    ("a sag and its resistance", lambda rest, current, ohms: battery.internal_resistance(
        rest, battery.sagged_voltage(rest, current, ohms), current),
     {"rest": (12, 60), "current": (1, 100), "ohms": (1e-4, 0.1)}, "ohms"),
    ("a sag undone", lambda rest, current, ohms: battery.unloaded_voltage(
        battery.sagged_voltage(rest, current, ohms), current, ohms),
     {"rest": (12, 60), "current": (1, 100), "ohms": (1e-4, 0.1)}, "rest"),
    ("rest voltage and charge, lead-acid", lambda charge: state_of_charge.lead_acid_state_of_charge(
        state_of_charge.lead_acid_rest_voltage(charge)), {"charge": (0.0, 1.0)}, "charge"),
    ("rest voltage and charge, lithium", lambda charge: state_of_charge.lithium_state_of_charge(
        state_of_charge.lithium_rest_voltage(charge)), {"charge": (0.2, 1.0)}, "charge"),
    ("copper warmed and cooled", lambda ohms, t: conductors.resistance_between_temperatures(
        resistance=conductors.resistance_at_temperature(ohms, "copper", t), material="copper",
        temperature=t, target_temperature=20.0), {"ohms": (1e-4, 10), "t": (-40, 90)}, "ohms"),
    ("a stroke and a bucket", lambda stroke, strokes: handpump.volume_per_stroke(stroke * strokes, strokes),
     {"stroke": (1e-4, 1e-3), "strokes": (10, 100)}, "stroke"),
    ("work of a pump", lambda flow, head, density: pumps.specific_energy(
        pumps.hydraulic_power(flow, head, density), flow) / (density * 9.80665),
     {"flow": (1e-5, 0.02), "head": (1, 200), "density": (950, 1001)}, "head"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("round_trip", "ranges", "back"), [pair[1:] for pair in PAIRS], ids=[pair[0] for pair in PAIRS]
)
def test_what_undoes_a_formula_gives_back_what_went_in(
    round_trip: Callable[..., float], ranges: dict[str, tuple[float, float]], back: str, is_long: bool
) -> None:
    chance = random.Random(back)  # noqa: S311  # draws, no secret
    for _ in range(500 if is_long else 25):
        asked = {name: chance.uniform(*ends) for name, ends in ranges.items()}
        assert round_trip(**asked) == pytest.approx(asked[back], rel=1e-9, abs=1e-12)
