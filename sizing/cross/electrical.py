"""Relations between electrical readings, and between them and the water they lift."""

from collections.abc import Iterator

from sizing.checks.case import Case, Reading, Value
from sizing.checks.needs import array_feeding, tank_of, well_of
from sizing.checks.pump_flow import efficiency_measured
from sizing.cross.measured import Measured, Taken
from sizing.cross.relation import Relation, Values
from sizing.errors import MissingDataError
from sizing.formulas.photovoltaic import STC_TEMPERATURE, maximum_power, spread_from_mean
from sizing.formulas.pumps import hydraulic_power
from sizing.formulas.solar_pumping import array_power, direct_current_power
from sizing.formulas.state_of_charge import GRAVITY_TO_VOLTS
from sizing.formulas.statistics import mean
from sizing.formulas.voltage_drop import voltage_drop
from sizing.parts import BatteryBank, SolarArray, SubmersiblePump
from sizing.quantities import Quantity as Q
from sizing.system import Node, System
from sizing.working import Working

# Common practice, no source, but for the strings.
LEAST_EFFICIENCY, USUAL_EFFICIENCY, MOST_EFFICIENCY = 0.15, 0.40, 0.65
MOST_OF_THE_SUN, USUAL_OF_THE_SUN = 1.1, 0.8
STRINGS_APART = 0.05  # following IEC 62446-1 (from memory)
ALL_STRINGS_HIGH = 1.15  # the tolerance of the current check itself: a maker's 3 %, instruments, colour of the light
CELL_APART = 0.03  # V between a rested cell and what its gravity says
DROP_SHARE = 0.25  # a length paced out, joints not counted
LEAST_DROP = 0.2  # V; what two meters differ by

HEAD_CONDITIONS = ("static_level", "specific_capacity", "tank_level")


def water_over_electric(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield, for each row of a well pump, the power in the water over the electric power."""
    for pump in system.of(SubmersiblePump):
        for repeat, row in taken.rows("well_pump_flow", pump.tag).items():
            yield _efficiency(system, pump, repeat, tuple(row), _around(system, taken, pump, row))


def _around(system: System, taken: Taken, pump: Node, row: list[Measured]) -> dict[str, Measured]:
    """Return the conditions that a row's head and power rest on, where they were measured."""
    subjects = {"specific_capacity": well_of, "static_level": well_of, "tank_level": tank_of}
    read = {m.name for m in row}
    wanted = {key: of for key, of in subjects.items() if not (key != "tank_level" and "level" in read)}
    if "power" not in read:
        wanted |= {"irradiance": array_feeding, "module_temperature": array_feeding}
    found = {}
    for key, of in wanted.items():
        try:
            one = taken.near(key, of(system, pump.tag), row[0].at if key not in HEAD_CONDITIONS else None)
        except MissingDataError:
            continue
        if one is not None and key not in read:
            found[key] = one
    return found


def _efficiency(
    system: System, pump: Node, repeat: str, row: tuple[Measured, ...], around: dict[str, Measured]
) -> Relation:
    keys = tuple(around)

    def balance(values: Values) -> float:
        read = tuple(Reading(m.name, v, m.repeat) for m, v in zip(row, values, strict=False))
        conditions = {key: Value(v) for key, v in zip(keys, values[len(row) :], strict=True)}
        return efficiency_measured(Case(system, pump, read, conditions, repeat, w=Working(silent=True)))

    return Relation(
        "water_over_electric",
        "The power in the water is 15 to 65 % of the power into the controller",
        (*row, *around.values()), balance, Q.RATIO, LEAST_EFFICIENCY, MOST_EFFICIENCY, USUAL_EFFICIENCY,
        other_cause="if every reading is right, the pump itself: worn, blocked, or turning backwards",
    )  # fmt: skip


def water_over_electric_of(flow: Measured, head: Measured, power: Measured, density: float) -> Relation:
    """Return the same relation for a pump whose head was read, such as a booster."""

    def balance(values: Values) -> float:
        return hydraulic_power(flow=values[0], head=values[1], density=density) / values[2]

    return Relation(
        "water_over_electric", "The power in the water is 15 to 65 % of the electric power", (flow, head, power),
        balance, Q.RATIO, LEAST_EFFICIENCY, MOST_EFFICIENCY, USUAL_EFFICIENCY,
    )  # fmt: skip


def power_over_sun(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield, for each power read at a pump's controller, its share of what the array gives in that sun."""
    for pump in system.of(SubmersiblePump):
        try:
            array = system.node(array_feeding(system, pump.tag))
        except MissingDataError:
            continue
        for check in ("well_pump_power", "well_pump_flow"):
            for row in taken.rows(check, pump.tag).values():
                power = _powers(row)
                sun = next((m for m in row if m.name == "irradiance"), None)
                sun = sun or taken.near("irradiance", array.tag, row[0].at)
                if power and sun is not None:
                    yield power_against_sun(array, power, sun)


def _powers(row: list[Measured]) -> tuple[Measured, ...]:
    """Return the reading of power, or those of voltage and current."""
    by_name = {m.name: m for m in row}
    if "power" in by_name:
        return (by_name["power"],)
    return (by_name["voltage"], by_name["current"]) if {"voltage", "current"} <= set(by_name) else ()


def power_against_sun(array: Node, power: tuple[Measured, ...], sun: Measured) -> Relation:
    """Return the relation of a power, or of volts and amperes, to the array's power in the sun of the moment."""

    def balance(values: Values) -> float:
        read = direct_current_power(voltage=values[0], current=values[1]) if len(power) == 2 else values[0]
        module = maximum_power(
            rated_power=array.need("module_power"),
            irradiance=values[-1],
            cell_temperature=STC_TEMPERATURE,
            coefficient=0.0,
        )
        return read / array_power(module, modules_in_series=array.need("series"), strings=array.need("parallel"))

    return Relation(
        "power_over_sun",
        "The power is at most 1.1 times what the array gives in that sun at standard conditions",
        (*power, sun), balance, Q.RATIO, None, MOST_OF_THE_SUN, USUAL_OF_THE_SUN,
        other_cause="the sun meter lay out of the array's plane, was dirty or in shade",
    )  # fmt: skip


def strings_apart(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield how far the strings of one array lie from their mean, in voltage and in current."""
    for array in system.of(SolarArray):
        for check, name in (("open_circuit_voltage", "voltage"), ("short_circuit_current", "current")):
            strings = taken.readings(check, array.tag, name)
            if len(strings) > 1:
                yield Relation(
                    "strings_apart", "Strings of one array in one light lie within 5 % of their mean", tuple(strings),
                    lambda values: spread_from_mean(values), Q.RATIO, None, STRINGS_APART, 0.0,
                    other_cause="if the readings are right, the odd string: shade, dirt, a module too few, a bad joint",
                )  # fmt: skip


def all_strings_high(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield whether every string of an array gives more than its nameplate can: then the sun was read wrong."""
    for array in system.of(SolarArray):
        currents = [m for m in taken.results("short_circuit_current", array.tag, "current") if m.nominal]
        sun = taken.near("irradiance", array.tag, currents[0].at) if currents else None
        if sun is not None and sun.value > 0:
            yield _all_high(tuple(currents), sun)


def _all_high(currents: tuple[Measured, ...], sun: Measured) -> Relation:
    def balance(values: Values) -> float:
        lighter = values[-1] / sun.value  # a short-circuit current goes with the light
        return min(v / ((m.nominal or 0.0) * lighter) for m, v in zip(currents, values, strict=False))

    return Relation(
        "all_strings_high", "No array gives more than its nameplate in every string at once", (*currents, sun),
        balance, Q.RATIO, None, ALL_STRINGS_HIGH, 1.0,
        other_cause="the sun was read too low: meter out of the array's plane, dirty, or in shade",
    )  # fmt: skip


def cable_drop(source: Measured, load: Measured, current: Measured, loop_resistance: float) -> Relation:
    """Return the voltage lost on a cable, read at both ends, against current times resistance."""

    def balance(values: Values) -> float:
        return values[0] - values[1] - voltage_drop(current=values[2], loop_resistance=loop_resistance)

    room = max(DROP_SHARE * voltage_drop(current=current.value, loop_resistance=loop_resistance), LEAST_DROP)
    return Relation(
        "cable_drop", "The volts lost on a cable are its amperes times its ohms", (source, load, current), balance,
        Q.VOLTAGE, -room, room, 0.0,
        other_cause="if the readings are right, the cable: thinner or longer than recorded, or a bad joint in it",
    )  # fmt: skip


def gravity_against_voltage(system: System, taken: Taken) -> Iterator[Relation]:
    """Yield, for each bank with open cells, its rest voltage for one cell against the mean gravity of its acid."""
    for bank in system.of(BatteryBank):
        volts = taken.result("battery_rest_voltage", bank.tag)
        gravities = taken.readings("specific_gravity", bank.tag)
        block, series = getattr(bank.part, "cells_per_block", None), getattr(bank.part, "series", None)
        if volts and gravities and block and series and getattr(bank.part, "chemistry", "") == "flooded":
            yield rest_voltage_of(volts, tuple(gravities), block * series)


def rest_voltage_of(volts: Measured, gravities: tuple[Measured, ...], cells: float) -> Relation:
    """Return the relation of a rested bank's voltage, for one cell, to the gravity of its acid."""

    def balance(values: Values) -> float:
        return values[0] / cells - mean(values[1:]) - GRAVITY_TO_VOLTS

    return Relation(
        "gravity_against_voltage", "A rested cell's volts are its gravity and 0.84 more, within 0.03 V",
        (volts, *gravities), balance, Q.VOLTAGE, -CELL_APART, CELL_APART, 0.0,
        other_cause="the battery was not at rest, water was just added, or the gravity is not brought to temperature",
    )  # fmt: skip
