"""Nameplate of an instrument that stays with the system."""

from typing import ClassVar

from sizing.parts.declare import Part, choice, measure, text
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record


@keyword_record
class Meter(Part):
    """A built-in gauge or meter: a reading can come from it."""

    kind: ClassVar[str] = "meter"
    title: ClassVar[str] = "Meter or gauge"
    tag_prefix: ClassVar[str] = "M"
    ports: ClassVar[tuple[str, ...]] = ("any", "line", "load")
    hosts: ClassVar[tuple[str, ...]] = (
        "pipe",
        "cable",
        "well",
        "junction",
        "storage_tank",
        "pressure_tank",
        "booster_pump",
        "filter",
        "pump_controller",
        "charge_controller",
        "battery_bank",
        "inverter",
    )

    reads: str | None = choice(
        "Reads",
        ("flow", "flow"),
        ("volume", "volume, counted up"),
        ("pressure", "pressure"),
        ("level", "level"),
        ("voltage", "voltage"),
        ("current", "current"),
        ("power", "power"),
        ("energy", "energy, counted up"),
        ("temperature", "temperature"),
        ("hours", "running hours"),
        ("starts", "starts"),
    )
    range_printed: str | None = text("Range as printed", help="such as: 0 to 600 kPa")
    accuracy: float | None = measure(
        "Accuracy, share of full scale or reading", Q.RATIO, hard=(0, 0.5), soft=(0.001, 0.1)
    )
    resolution: str | None = text(
        "Smallest step",
        help="such as: 1 L a turn of the small hand",
        optional=True,
    )
    pressure_drop: float | None = measure(
        "Pressure drop",
        Q.PRESSURE_DIFFERENCE,
        hard=(1, 500_000),
        soft=(500, 100_000),
        help="a water meter in the pipe; leave empty for all others",
        group="Loss",
        optional=True,
    )
    drop_flow: float | None = measure(
        "Flow of that drop",
        Q.FLOW,
        hard=(1e-6, 1),
        soft=(2e-5, 0.02),
        group="Loss",
        optional=True,
    )
