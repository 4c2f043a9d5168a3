"""Nameplates of where the water comes from, and of what lifts it out."""

from typing import ClassVar

from sizing.parts.declare import Column, Part, Row, choice, measure, number, table, text
from sizing.parts.levels import POSSIBLE_LEVEL, USUAL_LEVEL
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record


@keyword_record
class Well(Part):
    """A drilled or dug well; depths are below its marked measuring point."""

    kind: ClassVar[str] = "well"
    title: ClassVar[str] = "Well"
    tag_prefix: ClassVar[str] = "W"
    ports: ClassVar[tuple[str, ...]] = ()

    depth: float | None = measure("Depth", Q.DEPTH, hard=(0.5, 1000), soft=(3, 400), help="measuring point to bottom")
    casing_diameter: float | None = measure("Casing inside diameter", Q.DIAMETER, hard=(0.02, 5), soft=(0.05, 2))
    measuring_point_height: float | None = measure(
        "Measuring point above datum",
        Q.ELEVATION,
        hard=(-5, 5),
        soft=(-1, 2),
        help="the mark on the casing that every level is read from",
    )
    static_level: float | None = measure(
        "Static level on the driller's log", Q.DEPTH, hard=(-5, 800), soft=(0, 250), group="Well test"
    )
    static_level_date: str | None = text(
        "Date of that level",
        help="as on the log: year, month, day",
        group="Well test",
        optional=True,
    )
    tested_yield: float | None = measure("Tested yield", Q.FLOW, hard=(1e-6, 0.5), soft=(5e-6, 0.05), group="Well test")
    drawdown_at_yield: float | None = measure(
        "Drawdown at that yield", Q.DEPTH, hard=(0.01, 500), soft=(0.05, 150), group="Well test"
    )
    pump_setting: float | None = measure("Pump intake depth", Q.DEPTH, hard=(0.5, 1000), soft=(3, 350))
    screen_top: float | None = measure("Top of screen depth", Q.DEPTH, hard=(0.5, 1000), soft=(3, 400))


@keyword_record
class SpringOrRoof(Part):
    """A spring box, or a roof with its gutter: water that comes by itself."""

    kind: ClassVar[str] = "spring_or_roof"
    title: ClassVar[str] = "Spring or roof"
    tag_prefix: ClassVar[str] = "SR"
    ports: ClassVar[tuple[str, ...]] = ("outlet",)

    source: str | None = choice("Source", ("spring", "spring"), ("roof", "roof and gutter"))
    elevation: float | None = measure(
        "Water surface above datum",
        Q.ELEVATION,
        hard=POSSIBLE_LEVEL,
        soft=USUAL_LEVEL,
        help="in the spring box when it runs over, or at the gutter's outlet",
    )
    dry_season_yield: float | None = measure(
        "Yield in the dry season",
        Q.FLOW,
        hard=(1e-7, 1),
        soft=(1e-5, 0.05),
        help="spring: the least measured",
        optional=True,
    )
    catchment_area: float | None = measure(
        "Catchment area",
        Q.AREA,
        hard=(0.5, 100_000),
        soft=(5, 5_000),
        help="roof: seen from above, slope left out",
        optional=True,
    )


PUMP_TABLE = (
    Column("power", "Power into the pump", Q.POWER, (0.1, 100_000)),
    Column("head", "Head", Q.HEAD, (0, 1000)),
    Column("flow", "Flow", Q.FLOW, (0, 1)),
    Column("current", "Current", Q.CURRENT, (0, 500), optional=True),
)
VOLTAGE_TABLE = (
    Column("voltage", "Voltage at the motor", Q.VOLTAGE, (0.5, 1500)),
    Column("head", "Head", Q.HEAD, (0, 1000)),
    Column("flow", "Flow", Q.FLOW, (0, 1)),
    Column("current", "Current", Q.CURRENT, (0, 500), optional=True),
)
PRINCIPLES = (
    ("centrifugal", "centrifugal"),
    ("positive_displacement", "positive displacement (helical rotor, diaphragm)"),
)
MOTORS = (
    ("dc_brushed", "DC, brushed"),
    ("dc_brushless", "DC, electronically commutated"),
    ("ac_three_phase", "AC, three-phase"),
    ("ac_single_phase", "AC, single-phase"),
)


@keyword_record
class SubmersiblePump(Part):
    """A pump under water in a well."""

    kind: ClassVar[str] = "submersible_pump"
    title: ClassVar[str] = "Submersible pump"
    tag_prefix: ClassVar[str] = "PU"
    ports: ClassVar[tuple[str, ...]] = ("discharge", "motor")
    hosts: ClassVar[tuple[str, ...]] = ("well",)

    principle: str | None = choice("Principle", *PRINCIPLES)
    motor: str | None = choice("Motor", *MOTORS)
    rated_power: float | None = measure(
        "Rated power", Q.POWER, hard=(1, 100_000), soft=(30, 15_000), help="electrical power the motor may take"
    )
    rated_voltage: float | None = measure("Rated voltage", Q.VOLTAGE, hard=(1, 1500), soft=(10, 700))
    rated_current: float | None = measure("Rated current", Q.CURRENT, hard=(0.05, 500), soft=(0.5, 60))
    performance: tuple[Row, ...] | None = table(
        "Performance table", *PUMP_TABLE, help="from the pump's own data sheet; at least two powers, three heads each"
    )
    performance_by_voltage: tuple[Row, ...] | None = table(
        "Performance table by voltage",
        *VOLTAGE_TABLE,
        help="where the data sheet goes by voltage, not by power; leave empty otherwise",
        optional=True,
    )
    duty_flow: float | None = measure(
        "Flow at the duty point",
        Q.FLOW,
        hard=(1e-6, 1),
        soft=(1e-5, 0.02),
        help="where the data sheet prints one point and no table, at rated power",
        group="Duty point",
        optional=True,
    )
    duty_head: float | None = measure(
        "Head at the duty point",
        Q.HEAD,
        hard=(0.5, 1000),
        soft=(3, 350),
        group="Duty point",
        optional=True,
    )
    minimum_submergence: float | None = measure("Minimum submergence", Q.LENGTH, hard=(0, 20), soft=(0.1, 5))
    winding_resistance: float | None = measure(
        "Winding resistance, lead to lead",
        Q.RESISTANCE,
        hard=(0.001, 1000),
        soft=(0.05, 60),
        help="at 20 °C, without the drop cable",
    )


@keyword_record
class HandPump(Part):
    """A lever pump on a well, for the days without sun."""

    kind: ClassVar[str] = "hand_pump"
    title: ClassVar[str] = "Hand pump"
    tag_prefix: ClassVar[str] = "HP"
    ports: ClassVar[tuple[str, ...]] = ("discharge",)
    hosts: ClassVar[tuple[str, ...]] = ("well",)

    bore: float | None = measure("Cylinder bore", Q.DIAMETER, hard=(0.01, 0.3), soft=(0.03, 0.12))
    stroke: float | None = measure("Stroke of the piston", Q.LENGTH, hard=(0.01, 1), soft=(0.05, 0.4))
    handle_ratio: float | None = number("Handle ratio", hard=(1, 30), soft=(3, 12), help="hand travel over rod travel")
    setting: float | None = measure("Cylinder depth", Q.DEPTH, hard=(0, 150), soft=(1, 60))
    outlet_elevation: float | None = measure("Spout above datum", Q.ELEVATION, hard=(-5, 10), soft=(0, 2))
    riser_diameter: float | None = measure(
        "Rising main inside diameter", Q.DIAMETER, hard=(0.01, 0.3), soft=(0.02, 0.1)
    )
