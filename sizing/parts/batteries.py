"""Nameplates of stored power: battery, its charger, the inverter, and what they feed."""

from typing import ClassVar

from sizing.parts.declare import Part, choice, measure, number, text
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record


@keyword_record
class BatteryBank(Part):
    """Blocks of one kind in series and parallel."""

    kind: ClassVar[str] = "battery_bank"
    title: ClassVar[str] = "Battery"
    tag_prefix: ClassVar[str] = "BA"
    ports: ClassVar[tuple[str, ...]] = ("posts",)

    chemistry: str | None = choice(
        "Chemistry",
        ("flooded", "lead-acid, flooded"),
        ("agm", "lead-acid, AGM"),
        ("gel", "lead-acid, gel"),
        ("lithium iron phosphate", "lithium iron phosphate"),
        group="Block",
    )
    block_voltage: float | None = measure(
        "Nominal voltage of a block",
        Q.VOLTAGE,
        hard=(1, 120),
        soft=(2, 51.2),
        help="a block is one case: 2, 6 or 12 V in lead-acid",
        group="Block",
    )
    cells_per_block: float | None = number(
        "Cells in a block",
        hard=(1, 60),
        soft=(1, 16),
        help="6 in a 12 V lead-acid block, 4 in 12.8 V lithium",
        group="Block",
        whole=True,
    )
    block_capacity: float | None = measure(
        "Rated capacity of a block", Q.CHARGE_AH, hard=(0.5, 10_000), soft=(5, 3_000), group="Block"
    )
    capacity_time: float | None = measure(
        "Hour rate of that capacity",
        Q.DURATION,
        hard=(1_800, 1_000_000),
        soft=(3_600, 432_000),
        help="20 h where nothing is printed is common for lead-acid",
        group="Block",
    )
    internal_resistance: float | None = measure(
        "Internal resistance of a block",
        Q.RESISTANCE,
        hard=(1e-5, 10),
        soft=(2e-4, 0.1),
        help="full and new, from the data sheet",
        group="Block",
        optional=True,
    )
    block_short_circuit_current: float | None = measure(
        "Short-circuit current of a block", Q.CURRENT, hard=(1, 100_000), soft=(100, 20_000), group="Block"
    )
    maximum_charge_current: float | None = measure(
        "Greatest charge current of the bank", Q.CURRENT, hard=(0.05, 5_000), soft=(1, 500), group="Limits"
    )
    lowest_charge_temperature: float | None = measure(
        "Lowest temperature for charging", Q.TEMPERATURE, hard=(-40, 40), soft=(-20, 10), group="Limits"
    )
    highest_charge_temperature: float | None = measure(
        "Highest temperature for charging", Q.TEMPERATURE, hard=(20, 80), soft=(35, 60), group="Limits"
    )
    discharge_share: float | None = measure(
        "Share that may be drawn",
        Q.RATIO,
        hard=(0.05, 1),
        soft=(0.2, 0.9),
        help="depth of discharge for the life promised; 50 % in lead-acid is common",
        group="Limits",
    )
    series: float | None = number("Blocks in series", hard=(1, 60), soft=(1, 24), group="Bank", whole=True)
    parallel: float | None = number("Strings in parallel", hard=(1, 20), soft=(1, 4), group="Bank", whole=True)
    enclosure: str | None = choice(
        "Where it stands",
        ("ventilated_box", "box with vent openings"),
        ("room", "room"),
        ("open", "open shelter"),
        ("sealed_box", "box without openings"),
        group="Bank",
    )
    vent_area: float | None = measure(
        "Vent opening, each of inlet and outlet", Q.AREA, hard=(0, 10), soft=(1e-4, 0.5), group="Bank"
    )
    coldest_place: float | None = measure(
        "Coldest that it gets where it stands",
        Q.TEMPERATURE,
        hard=(-60, 40),
        soft=(-30, 25),
        help="a heated or insulated room; empty counts as the air outside",
        group="Bank",
        optional=True,
    )
    hottest_place: float | None = measure(
        "Hottest that it gets where it stands",
        Q.TEMPERATURE,
        hard=(0, 80),
        soft=(15, 55),
        help="empty counts as the air outside",
        group="Bank",
        optional=True,
    )


@keyword_record
class ChargeController(Part):
    """The electronics between array and battery. Voltages per cell, at 25 °C."""

    kind: ClassVar[str] = "charge_controller"
    title: ClassVar[str] = "Charge controller"
    tag_prefix: ClassVar[str] = "CC"
    ports: ClassVar[tuple[str, ...]] = ("array", "battery", "load", "control")

    principle: str | None = choice("Kind", ("tracking", "tracks maximum power (MPPT)"), ("switching", "switches (PWM)"))
    maximum_voltage: float | None = measure("Maximum array voltage", Q.VOLTAGE, hard=(5, 2000), soft=(20, 600))
    rated_current: float | None = measure("Rated charge current", Q.CURRENT, hard=(0.5, 500), soft=(3, 120))
    efficiency: float | None = measure("Efficiency", Q.RATIO, hard=(0.3, 1), soft=(0.85, 0.995))
    absorption: float | None = measure(
        "Absorption, each cell", Q.VOLTAGE, hard=(1, 5), soft=(2.25, 3.65), help="at 25 °C", group="Set points"
    )
    float_charge: float | None = measure(
        "Float, each cell", Q.VOLTAGE, hard=(1, 5), soft=(2.15, 3.5), help="at 25 °C", group="Set points"
    )
    equalise: float | None = measure(
        "Equalise, each cell",
        Q.VOLTAGE,
        hard=(1, 5),
        soft=(2.4, 2.75),
        help="at 25 °C; flooded lead-acid only, empty where it is off",
        group="Set points",
        optional=True,
    )
    compensation: float | None = measure(
        "Compensation, each cell",
        Q.VOLTAGE_PER_KELVIN,
        hard=(-0.02, 0),
        soft=(-0.006, 0),
        help="negative: the set point falls as the battery warms; 0 for lithium",
        group="Set points",
    )
    low_voltage_disconnect: float | None = measure(
        "Low-voltage disconnect, at the posts", Q.VOLTAGE, hard=(1, 1000), soft=(10, 60), group="Set points"
    )
    low_voltage_reconnect: float | None = measure(
        "Reconnect, at the posts",
        Q.VOLTAGE,
        hard=(1, 1000),
        soft=(11, 64),
        group="Set points",
        optional=True,
    )
    load_current: float | None = measure(
        "Rated load current",
        Q.CURRENT,
        hard=(0, 500),
        soft=(3, 120),
        optional=True,
    )


@keyword_record
class Inverter(Part):
    """The electronics that make alternating current."""

    kind: ClassVar[str] = "inverter"
    title: ClassVar[str] = "Inverter"
    tag_prefix: ClassVar[str] = "IN"
    ports: ClassVar[tuple[str, ...]] = ("input", "output", "control")

    rated_power: float | None = measure("Rated output power", Q.POWER, hard=(10, 200_000), soft=(100, 20_000))
    surge_power: float | None = measure(
        "Output power for starting",
        Q.POWER,
        hard=(10, 400_000),
        soft=(150, 40_000),
        help="for a few seconds",
        optional=True,
    )
    output_voltage: float | None = measure("Output voltage", Q.VOLTAGE, hard=(20, 1000), soft=(100, 480))
    minimum_input_voltage: float | None = measure("Lowest input voltage", Q.VOLTAGE, hard=(1, 1500), soft=(10, 400))
    maximum_input_voltage: float | None = measure("Highest input voltage", Q.VOLTAGE, hard=(5, 2000), soft=(15, 1000))
    efficiency: float | None = measure("Efficiency", Q.RATIO, hard=(0.3, 1), soft=(0.8, 0.98))
    idle_power: float | None = measure("Idle draw", Q.POWER, hard=(0, 1000), soft=(0.2, 60))


@keyword_record
class Load(Part):
    """Something that takes power and is no pump of this record: lights, a radio, a controller's own draw."""

    kind: ClassVar[str] = "load"
    title: ClassVar[str] = "Load"
    tag_prefix: ClassVar[str] = "L"
    ports: ClassVar[tuple[str, ...]] = ("line",)

    what: str | None = text("What it is", help="such as: four lamps in the clinic")
    supply: str | None = choice("Supply", ("dc", "direct current"), ("ac", "alternating current, behind an inverter"))
    power: float | None = measure("Power", Q.POWER, hard=(0.01, 100_000), soft=(0.5, 5_000))
    voltage: float | None = measure("Rated voltage", Q.VOLTAGE, hard=(1, 1000), soft=(5, 400))
    daily_use: float | None = measure("Use in a day", Q.DURATION, hard=(0, 86_400), soft=(60, 86_400))
