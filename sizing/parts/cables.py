"""Nameplates of the edges that carry power and signals."""

from typing import ClassVar

from sizing.parts.declare import RunPart, choice, measure, number, text
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record


@keyword_record
class PowerCable(RunPart):
    """A cable between two components; length is one way."""

    kind: ClassVar[str] = "cable"
    title: ClassVar[str] = "Cable"
    tag_prefix: ClassVar[str] = "K"

    length: float | None = measure("One-way length", Q.LENGTH, hard=(0.05, 5_000), soft=(0.3, 500))
    section: float | None = measure(
        "Conductor section",
        Q.CONDUCTOR_SECTION,
        hard=(1e-7, 1e-3),
        soft=(5e-7, 2.5e-4),
        help="choose the size below, or type the section",
    )
    size: str | None = text("Size as printed", help="such as 4 mm² or 10 AWG")
    material: str | None = choice("Conductor", ("copper", "copper"), ("aluminium", "aluminium"))
    insulation_rating: float | None = measure(
        "Insulation temperature rating", Q.TEMPERATURE, hard=(40, 250), soft=(60, 125)
    )
    method: str | None = choice(
        "How it is laid",
        ("free_air", "in free air"),
        ("raceway", "in a raceway or conduit"),
        ("buried", "in the ground"),
        ("water", "in a well, under water"),
        group="Installation",
        optional=True,
    )
    conductors_together: float | None = number(
        "Loaded conductors together",
        hard=(1, 60),
        soft=(2, 20),
        help="all that carry current in one raceway or bundle, this cable's own counted",
        group="Installation",
        optional=True,
        whole=True,
    )
    ambient: float | None = measure(
        "Hottest surroundings",
        Q.TEMPERATURE,
        hard=(-40, 120),
        soft=(10, 75),
        help="where it lies: a roof in the sun is well above the air",
        group="Installation",
        optional=True,
    )


@keyword_record
class ControlLine(RunPart):
    """A line that carries a signal."""

    kind: ClassVar[str] = "control"
    title: ClassVar[str] = "Control line"
    tag_prefix: ClassVar[str] = "N"

    length: float | None = measure("One-way length", Q.LENGTH, hard=(0.05, 5_000), soft=(0.3, 500))
    carries: str | None = text("What it carries", help="such as: float contact, shuts when full")
