"""Nameplates of tanks with a free surface, and of what watches their level."""

from typing import ClassVar

from sizing.parts.declare import Part, choice, measure
from sizing.parts.levels import POSSIBLE_LEVEL, USUAL_LEVEL
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record


@keyword_record
class StorageTank(Part):
    """A tank with a free water surface."""

    kind: ClassVar[str] = "storage_tank"
    title: ClassVar[str] = "Storage tank"
    tag_prefix: ClassVar[str] = "T"
    ports: ClassVar[tuple[str, ...]] = ("inlet", "outlet", "overflow")

    shape: str | None = choice("Shape", ("vertical_cylinder", "upright cylinder"), ("rectangular", "rectangular"))
    diameter: float | None = measure(
        "Inside diameter", Q.LENGTH, hard=(0.2, 60), soft=(0.5, 12), help="upright cylinder", optional=True
    )
    length: float | None = measure(
        "Inside length", Q.LENGTH, hard=(0.2, 60), soft=(0.5, 12), help="rectangular", optional=True
    )
    width: float | None = measure(
        "Inside width", Q.LENGTH, hard=(0.2, 60), soft=(0.5, 12), help="rectangular", optional=True
    )
    floor_elevation: float | None = measure("Floor above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)
    outlet_elevation: float | None = measure("Outlet above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)
    inlet_elevation: float | None = measure(
        "Inlet above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL, help="where the water falls in"
    )
    overflow_elevation: float | None = measure(
        "Overflow above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL
    )


@keyword_record
class LevelSwitch(Part):
    """A float or probe that starts or stops something at a water level."""

    kind: ClassVar[str] = "level_switch"
    title: ClassVar[str] = "Level switch"
    tag_prefix: ClassVar[str] = "LS"
    ports: ClassVar[tuple[str, ...]] = ("control",)
    hosts: ClassVar[tuple[str, ...]] = ("storage_tank", "well")

    purpose: str | None = choice(
        "Purpose",
        ("stops_fill", "stops the filling"),
        ("starts_fill", "starts the filling"),
        ("guards_low_water", "guards the pump against low water"),
        ("stops_booster", "stops the booster"),
    )
    set_elevation: float | None = measure(
        "Set level above datum",
        Q.ELEVATION,
        hard=(-1000, 500),
        soft=(-350, 150),
        help="a level in a well is below the datum: negative",
    )
    differential: float | None = measure(
        "Differential", Q.LENGTH, hard=(0, 20), soft=(0.02, 3), help="between stop and restart"
    )
