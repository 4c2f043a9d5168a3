"""Nameplates from the modules to the electronics of a pump that the sun drives."""

from typing import ClassVar

from sizing.parts.declare import Column, Part, Row, choice, measure, number, table
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record

HORIZON_TABLE = (
    Column("azimuth", "Azimuth", Q.ANGLE, (0, 360)),
    Column("height", "Height above the horizontal", Q.ANGLE, (0, 90)),
)


@keyword_record
class SolarArray(Part):
    """Modules of one kind in series and parallel. Module values at standard test conditions."""

    kind: ClassVar[str] = "solar_array"
    title: ClassVar[str] = "Solar array"
    tag_prefix: ClassVar[str] = "A"
    ports: ClassVar[tuple[str, ...]] = ("output",)

    module_power: float | None = measure("Module Pmax", Q.POWER, hard=(1, 1500), soft=(20, 700), group="Module")
    module_open_circuit_voltage: float | None = measure(
        "Module Voc", Q.VOLTAGE, hard=(1, 300), soft=(10, 80), group="Module"
    )
    module_short_circuit_current: float | None = measure(
        "Module Isc", Q.CURRENT, hard=(0.05, 50), soft=(0.5, 20), group="Module"
    )
    module_maximum_power_voltage: float | None = measure(
        "Module Vmp", Q.VOLTAGE, hard=(1, 300), soft=(8, 70), group="Module"
    )
    module_maximum_power_current: float | None = measure(
        "Module Imp", Q.CURRENT, hard=(0.05, 50), soft=(0.5, 20), group="Module"
    )
    current_coefficient: float | None = measure(
        "Temperature coefficient of Isc",
        Q.TEMPERATURE_COEFFICIENT,
        hard=(-0.002, 0.005),
        soft=(0.0001, 0.001),
        group="Module",
    )
    voltage_coefficient: float | None = measure(
        "Temperature coefficient of Voc",
        Q.TEMPERATURE_COEFFICIENT,
        hard=(-0.01, 0),
        soft=(-0.0045, -0.0018),
        group="Module",
    )
    power_coefficient: float | None = measure(
        "Temperature coefficient of Pmax",
        Q.TEMPERATURE_COEFFICIENT,
        hard=(-0.01, 0),
        soft=(-0.006, -0.002),
        group="Module",
    )
    power_tolerance: float | None = measure(
        "Power tolerance, ±",
        Q.RATIO,
        hard=(0, 0.2),
        soft=(0, 0.1),
        help="as printed; 3 % where nothing is printed is common",
        group="Module",
    )
    cells_in_series: float | None = number(
        "Cells in series in a module",
        hard=(1, 300),
        soft=(30, 144),
        help="a half-cut 120-cell module has 60 in series",
        group="Module",
        whole=True,
    )
    operating_cell_temperature: float | None = measure(
        "NOCT", Q.TEMPERATURE, hard=(20, 80), soft=(38, 52), help="nominal operating cell temperature", group="Module"
    )
    series_fuse_maximum: float | None = measure(
        "Series fuse maximum", Q.CURRENT, hard=(1, 100), soft=(5, 40), group="Module"
    )
    series: float | None = number("Modules in series", hard=(1, 60), soft=(1, 24), group="Array", whole=True)
    parallel: float | None = number("Strings in parallel", hard=(1, 100), soft=(1, 16), group="Array", whole=True)
    tilt: float | None = measure("Tilt from horizontal", Q.ANGLE, hard=(0, 90), soft=(0, 75), group="Array")
    azimuth: float | None = measure(
        "Azimuth", Q.ANGLE, hard=(0, 360), help="clockwise from true north: 90 east, 180 south", group="Array"
    )
    mounting: str | None = choice(
        "Mounting", ("open_rack", "open rack, air behind"), ("close_roof", "close to a roof"), group="Array"
    )
    horizon: tuple[Row, ...] | None = table(
        "Horizon",
        *HORIZON_TABLE,
        help="hills, trees, walls as seen from the middle of the array; an empty table is a free horizon",
        group="Horizon shading",
        optional=True,
    )


@keyword_record
class Combiner(Part):
    """A box in which strings are paralleled."""

    kind: ClassVar[str] = "combiner"
    title: ClassVar[str] = "String combiner"
    tag_prefix: ClassVar[str] = "CB"
    ports: ClassVar[tuple[str, ...]] = ("strings", "output", "bond")

    strings: float | None = number("Places for strings", hard=(1, 100), soft=(2, 24), whole=True)
    rated_voltage: float | None = measure("Rated DC voltage", Q.VOLTAGE, hard=(1, 2000), soft=(24, 1500))
    rated_current: float | None = measure("Rated output current", Q.CURRENT, hard=(0.1, 2000), soft=(5, 400))
    string_current: float | None = measure(
        "Rated current of a string's place", Q.CURRENT, hard=(0.1, 200), soft=(5, 40)
    )


@keyword_record
class Isolator(Part):
    """A DC switch-disconnector."""

    kind: ClassVar[str] = "isolator"
    title: ClassVar[str] = "DC isolator"
    tag_prefix: ClassVar[str] = "S"
    ports: ClassVar[tuple[str, ...]] = ("line", "load")

    rated_voltage: float | None = measure("Rated DC voltage", Q.VOLTAGE, hard=(1, 2000), soft=(24, 1500))
    rated_current: float | None = measure("Rated current", Q.CURRENT, hard=(0.1, 1000), soft=(5, 250))


@keyword_record
class PumpController(Part):
    """The electronics between array and pump."""

    kind: ClassVar[str] = "pump_controller"
    title: ClassVar[str] = "Pump controller"
    tag_prefix: ClassVar[str] = "C"
    ports: ClassVar[tuple[str, ...]] = ("array", "motor", "control")

    principle: str | None = choice("Kind", ("tracking", "tracks maximum power"), ("direct", "connects directly"))
    maximum_voltage: float | None = measure("Maximum input voltage", Q.VOLTAGE, hard=(5, 2000), soft=(20, 1000))
    maximum_current: float | None = measure("Maximum input current", Q.CURRENT, hard=(0.1, 500), soft=(2, 80))
    start_voltage: float | None = measure("Start voltage", Q.VOLTAGE, hard=(1, 1500), soft=(10, 500))
    efficiency: float | None = measure("Efficiency", Q.RATIO, hard=(0.3, 1), soft=(0.8, 0.995))
    restart_delay: float | None = measure(
        "Restart delay after low water", Q.DURATION, hard=(0, 86_400), soft=(60, 7_200)
    )
