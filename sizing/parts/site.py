"""What the core must know of the place."""

from typing import ClassVar

from sizing.parts.declare import Column, Part, Row, choice, measure, number, table, text
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record

SUN_TABLE = (
    Column("month", "Month", Q.COUNT, (1, 12)),
    Column("sun_hours", "Sun hours in a day", Q.DURATION, (0, 86_400)),
)
AIR_TABLE = (
    Column("month", "Month", Q.COUNT, (1, 12)),
    Column("temperature", "Mean of the month", Q.TEMPERATURE, (-50, 50)),
)


@keyword_record
class SiteData(Part):
    """Place and climate. The datum of all elevations is the ground at the wellhead unless said."""

    kind: ClassVar[str] = "site"
    title: ClassVar[str] = "Site"
    tag_prefix: ClassVar[str] = "site"
    is_bought: ClassVar[bool] = False

    latitude: float | None = measure("Latitude", Q.LATITUDE, hard=(-90, 90), help="north is positive", group="Place")
    longitude: float | None = measure(
        "Longitude", Q.LONGITUDE, hard=(-180, 180), help="east is positive", group="Place"
    )
    altitude: float | None = measure(
        "Altitude", Q.ELEVATION, hard=(-430, 6000), soft=(-50, 4500), help="of the datum above sea level", group="Place"
    )
    record_low: float | None = measure(
        "Record-low temperature",
        Q.TEMPERATURE,
        hard=(-60, 40),
        soft=(-45, 25),
        help="for the highest array voltage",
        group="Climate",
    )
    design_high: float | None = measure(
        "Design-high temperature", Q.TEMPERATURE, hard=(0, 60), soft=(15, 52), group="Climate"
    )
    ground_temperature: float | None = measure(
        "Ground or well-water temperature",
        Q.TEMPERATURE,
        hard=(-5, 45),
        soft=(2, 32),
        help="at depth it stays near the yearly mean",
        group="Climate",
    )
    frost_depth: float | None = measure(
        "Depth to which the ground freezes",
        Q.LENGTH,
        hard=(0, 5),
        soft=(0.1, 2.5),
        help="in the coldest winter on record; empty where it never freezes",
        group="Climate",
        optional=True,
    )
    code_family: str | None = choice(
        "Code family",
        ("US", "US code (NEC)"),
        ("IEC", "IEC standards"),
        help="sets standard sizes and defaults",
        group="Place",
    )
    daily_demand: float | None = measure(
        "Water wanted in a day",
        Q.VOLUME,
        hard=(1e-3, 10_000),
        soft=(0.05, 200),
        group="Duty",
        optional=True,
    )
    autonomy: float | None = number(
        "Days without sun",
        hard=(0, 60),
        soft=(1, 14),
        help="that storage or battery must bridge",
        group="Duty",
        optional=True,
    )
    sun_hours: tuple[Row, ...] | None = table(
        "Sun by month",
        *SUN_TABLE,
        help="in the plane of the array: a sun hour is 1 kWh on each square metre; a row for each month, 1 to 12",
        group="Duty",
        optional=True,
    )
    air_temperature: tuple[Row, ...] | None = table(
        "Air by month",
        *AIR_TABLE,
        help="mean air temperature, a row for each month; without it heat is one allowance in the year of operation",
        group="Climate",
        optional=True,
    )
    driller_log: str | None = text(
        "Number of the driller's log",
        group="Papers",
        optional=True,
    )
    permit: str | None = text(
        "Permit number",
        group="Papers",
        optional=True,
    )
    licence: str | None = text(
        "Licence number",
        help="of whoever answers for the work",
        group="Papers",
        optional=True,
    )
