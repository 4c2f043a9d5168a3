"""Nameplates of what protects people and equipment: fuses, arresters, electrodes."""

from typing import ClassVar

from sizing.parts.declare import Part, choice, measure, number
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record


@keyword_record
class EarthElectrode(Part):
    """A rod or other electrode in the ground."""

    kind: ClassVar[str] = "earth_electrode"
    title: ClassVar[str] = "Earth electrode"
    tag_prefix: ClassVar[str] = "EE"
    ports: ClassVar[tuple[str, ...]] = ("bond",)

    form: str | None = choice("Kind", ("rod", "rod"), ("other", "other"))
    length: float | None = measure("Length in the ground", Q.LENGTH, hard=(0.1, 50), soft=(1, 6))
    diameter: float | None = measure("Diameter", Q.DIAMETER, hard=(0.003, 0.2), soft=(0.01, 0.03))
    soil: str | None = choice(
        "Soil",
        ("fill", "fill: ashes, cinders, brine waste"),
        ("clay", "clay, shale, loam"),
        ("mixed", "clay or loam with sand and gravel"),
        ("gravel", "gravel, sand, stones, little clay"),
        group="Ground",
        optional=True,
    )
    soil_resistivity: float | None = measure(
        "Soil resistivity",
        Q.RESISTIVITY,
        hard=(0.5, 100_000),
        soft=(5, 5_000),
        help="measured with four probes; leave empty if it was not",
        group="Ground",
        optional=True,
    )


@keyword_record
class OvercurrentDevice(Part):
    """A fuse or breaker. It sits on the cable that it protects, or between two cables."""

    kind: ClassVar[str] = "overcurrent_device"
    title: ClassVar[str] = "Fuse or breaker"
    tag_prefix: ClassVar[str] = "FU"
    ports: ClassVar[tuple[str, ...]] = ("line", "load")
    hosts: ClassVar[tuple[str, ...]] = ("cable", "combiner", "isolator")

    form: str | None = choice("Kind", ("fuse", "fuse"), ("breaker", "breaker"))
    rated_current: float | None = measure("Rated current", Q.CURRENT, hard=(0.1, 5_000), soft=(1, 400))
    rated_voltage: float | None = measure(
        "Rated DC voltage",
        Q.VOLTAGE,
        hard=(1, 2000),
        soft=(24, 1500),
        help="for direct current: an AC rating does not count",
    )
    interrupting_rating: float | None = measure(
        "Interrupting rating",
        Q.CURRENT,
        hard=(10, 1e6),
        soft=(500, 200_000),
        help="for direct current at that voltage; the battery's fault current must lie below it",
    )
    number_of: float | None = number(
        "How many alike",
        hard=(1, 100),
        soft=(1, 24),
        help="such as one for each string; empty counts as one",
        optional=True,
        whole=True,
    )


@keyword_record
class SurgeProtector(Part):
    """An arrester between conductors and earth."""

    kind: ClassVar[str] = "surge_protector"
    title: ClassVar[str] = "Surge protector"
    tag_prefix: ClassVar[str] = "SP"
    ports: ClassVar[tuple[str, ...]] = ("line", "bond")
    hosts: ClassVar[tuple[str, ...]] = (
        "combiner",
        "isolator",
        "pump_controller",
        "charge_controller",
        "inverter",
        "well",
    )

    protects: str | None = choice("Protects", ("dc", "direct current side"), ("ac", "alternating current side"))
    continuous_voltage: float | None = measure(
        "Maximum continuous voltage", Q.VOLTAGE, hard=(1, 3000), soft=(30, 1500), help="not below the array's highest"
    )
    lead_length: float | None = measure(
        "Length of its leads", Q.LENGTH, hard=(0, 20), soft=(0.05, 1), help="both together; 0.5 m at most is the aim"
    )
    indicator: str | None = choice(
        "Shows its state by", ("window", "a coloured window"), ("contact", "a contact"), ("none", "nothing")
    )
