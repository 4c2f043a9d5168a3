"""Nameplates of what makes and keeps pressure: booster, tank, switch, relief, and the filters on the way."""

from typing import ClassVar

from sizing.parts.declare import Column, Part, Row, choice, measure, table
from sizing.parts.levels import POSSIBLE_LEVEL, USUAL_LEVEL
from sizing.parts.wells import MOTORS, PRINCIPLES
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record

BOOSTER_TABLE = (
    Column("pressure_rise", "Pressure rise", Q.PRESSURE_DIFFERENCE, (0, 5e6)),
    Column("flow", "Flow", Q.FLOW, (0, 1)),
    Column("current", "Current", Q.CURRENT, (0, 500), optional=True),
)


@keyword_record
class Filter(Part):
    """A strainer, cartridge or media filter in the pipe."""

    kind: ClassVar[str] = "filter"
    title: ClassVar[str] = "Filter"
    tag_prefix: ClassVar[str] = "F"
    ports: ClassVar[tuple[str, ...]] = ("inlet", "outlet")

    side: str | None = choice("Where it sits", ("suction", "before a pump"), ("pressure", "under pressure"))
    rating: float | None = measure(
        "Rating of the element",
        Q.DIAMETER,
        hard=(1e-8, 0.01),
        soft=(2e-7, 2e-3),
        help="size of the grains it holds back: 0.05 mm is 50 µm",
    )
    clean_drop: float | None = measure(
        "Drop when clean", Q.PRESSURE_DIFFERENCE, hard=(1, 500_000), soft=(200, 60_000), group="Loss"
    )
    drop_flow: float | None = measure(
        "Flow to which both drops refer", Q.FLOW, hard=(1e-6, 1), soft=(2e-5, 0.01), group="Loss"
    )
    change_out_drop: float | None = measure(
        "Drop at which the element is changed",
        Q.PRESSURE_DIFFERENCE,
        hard=(1, 1e6),
        soft=(5_000, 200_000),
        group="Loss",
    )
    pressure_rating: float | None = measure(
        "Pressure rating of the housing", Q.GAUGE_PRESSURE, hard=(10_000, 1e7), soft=(200_000, 2.5e6)
    )
    elevation: float | None = measure("Above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)


@keyword_record
class BoosterPump(Part):
    """A pump above ground that takes water from a tank and gives it pressure."""

    kind: ClassVar[str] = "booster_pump"
    title: ClassVar[str] = "Booster pump"
    tag_prefix: ClassVar[str] = "B"
    ports: ClassVar[tuple[str, ...]] = ("suction", "discharge", "motor")

    principle: str | None = choice("Principle", *PRINCIPLES)
    motor: str | None = choice("Motor", *MOTORS)
    rated_voltage: float | None = measure("Rated voltage", Q.VOLTAGE, hard=(1, 1500), soft=(10, 450))
    rated_power: float | None = measure(
        "Rated power", Q.POWER, hard=(1, 100_000), soft=(30, 5_000), help="electrical power the motor may take"
    )
    rated_current: float | None = measure("Rated current", Q.CURRENT, hard=(0.05, 500), soft=(0.5, 60))
    performance: tuple[Row, ...] | None = table(
        "Performance table", *BOOSTER_TABLE, help="at rated voltage, from the pump's own data sheet; three rows or more"
    )
    shut_off_pressure: float | None = measure(
        "Pressure rise at shut-off",
        Q.PRESSURE_DIFFERENCE,
        hard=(1_000, 5e6),
        soft=(100_000, 1.2e6),
        help="without flow, or where its own switch or bypass opens",
        group="Performance",
        optional=True,
    )
    npsh_required: float | None = measure(
        "NPSH required",
        Q.HEAD,
        hard=(0, 15),
        soft=(0.3, 6),
        help="net positive suction head at the duty flow",
        group="Suction",
    )
    maximum_suction_lift: float | None = measure(
        "Greatest suction lift",
        Q.HEAD,
        hard=(0, 10),
        soft=(0, 8),
        help="as printed, at sea level",
        group="Suction",
        optional=True,
    )
    pressure_rating: float | None = measure(
        "Pressure rating", Q.GAUGE_PRESSURE, hard=(10_000, 1e7), soft=(200_000, 2.5e6)
    )
    elevation: float | None = measure("Above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)


@keyword_record
class PressureTank(Part):
    """A shell with a gas cushion behind a bladder or diaphragm."""

    kind: ClassVar[str] = "pressure_tank"
    title: ClassVar[str] = "Pressure tank"
    tag_prefix: ClassVar[str] = "PT"
    ports: ClassVar[tuple[str, ...]] = ("any",)

    volume: float | None = measure("Volume of the shell", Q.VOLUME, hard=(1e-4, 20), soft=(5e-3, 1))
    maximum_pressure: float | None = measure(
        "Maximum pressure", Q.GAUGE_PRESSURE, hard=(50_000, 1e7), soft=(300_000, 1.6e6)
    )
    precharge: float | None = measure(
        "Precharge",
        Q.GAUGE_PRESSURE,
        hard=(0, 2e6),
        soft=(70_000, 500_000),
        help="to be set, read with no water in the tank",
    )
    precharge_temperature: float | None = measure(
        "Precharge set at",
        Q.TEMPERATURE,
        hard=(-30, 60),
        soft=(-5, 45),
        help="temperature of the gas when it was set",
        optional=True,
    )
    elevation: float | None = measure("Connection above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)


@keyword_record
class PressureSwitch(Part):
    """A switch or sensor that starts and stops a pump by pressure."""

    kind: ClassVar[str] = "pressure_switch"
    title: ClassVar[str] = "Pressure switch"
    tag_prefix: ClassVar[str] = "PS"
    ports: ClassVar[tuple[str, ...]] = ("any", "line", "load", "control")
    hosts: ClassVar[tuple[str, ...]] = ("pressure_tank", "booster_pump", "junction")

    cut_in: float | None = measure("Cut-in", Q.GAUGE_PRESSURE, hard=(1_000, 2e6), soft=(80_000, 500_000))
    cut_out: float | None = measure("Cut-out", Q.GAUGE_PRESSURE, hard=(2_000, 3e6), soft=(150_000, 800_000))
    rated_voltage: float | None = measure("Rated DC voltage of the contacts", Q.VOLTAGE, hard=(1, 1500), soft=(10, 450))
    rated_current: float | None = measure(
        "Rated current of the contacts",
        Q.CURRENT,
        hard=(0.05, 500),
        soft=(1, 60),
        help="for direct current if it breaks direct current: an AC rating does not count",
    )
    elevation: float | None = measure("Above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)


@keyword_record
class ReliefValve(Part):
    """A valve that opens by itself before something bursts."""

    kind: ClassVar[str] = "relief_valve"
    title: ClassVar[str] = "Relief valve"
    tag_prefix: ClassVar[str] = "RV"
    ports: ClassVar[tuple[str, ...]] = ("inlet", "outlet")

    set_pressure: float | None = measure("Set pressure", Q.GAUGE_PRESSURE, hard=(5_000, 1e7), soft=(200_000, 1.2e6))
    capacity: float | None = measure(
        "Capacity",
        Q.FLOW,
        hard=(1e-6, 1),
        soft=(5e-5, 0.02),
        help="flow it passes at 10 % above the set pressure",
    )
    elevation: float | None = measure("Above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)
