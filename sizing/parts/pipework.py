"""Nameplates of pipes, and of what joins, shuts and ends them."""

from typing import ClassVar

from sizing.parts.declare import Part, RunPart, choice, counts, measure, text
from sizing.parts.levels import POSSIBLE_LEVEL, USUAL_LEVEL
from sizing.quantities import Quantity as Q
from sizing.records import keyword_record


@keyword_record
class Junction(Part):
    """A point where pipes meet."""

    kind: ClassVar[str] = "junction"
    title: ClassVar[str] = "Junction"
    tag_prefix: ClassVar[str] = "J"
    is_bought: ClassVar[bool] = False
    ports: ClassVar[tuple[str, ...]] = ("any",)

    elevation: float | None = measure("Above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)


@keyword_record
class Valve(Part):
    """A valve in a pipe, with the number on its tag."""

    kind: ClassVar[str] = "valve"
    title: ClassVar[str] = "Valve"
    tag_prefix: ClassVar[str] = "V"
    ports: ClassVar[tuple[str, ...]] = ("any",)

    function: str | None = choice(
        "Function", ("isolation", "isolation"), ("check", "check (one way)"), ("drain", "drain")
    )
    body: str | None = choice(
        "Body",
        ("ball", "ball"),
        ("gate", "gate"),
        ("globe", "globe"),
        ("swing_check", "swing check"),
        ("spring_check", "spring check"),
    )
    normal_position: str | None = choice("Normal position", ("open", "open"), ("shut", "shut"))
    elevation: float | None = measure("Above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)


@keyword_record
class Outlet(Part):
    """A tap or pipe end where water is used: what the system promises."""

    kind: ClassVar[str] = "outlet"
    title: ClassVar[str] = "Outlet"
    tag_prefix: ClassVar[str] = "O"
    ports: ClassVar[tuple[str, ...]] = ("inlet",)

    elevation: float | None = measure("Above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)
    required_flow: float | None = measure("Required flow", Q.FLOW, hard=(1e-6, 0.1), soft=(1e-5, 0.01), group="Duty")
    required_pressure: float | None = measure(
        "Required pressure at that flow",
        Q.GAUGE_PRESSURE,
        hard=(0, 2e6),
        soft=(2_000, 800_000),
        help="gauge, in front of the tap",
        group="Duty",
    )
    flow_coefficient: float | None = measure(
        "Flow coefficient, fully open",
        Q.FLOW_COEFFICIENT,
        hard=(1e-6, 1),
        soft=(5e-5, 0.02),
        help="from the tap's data sheet; leave empty if unknown",
        optional=True,
    )
    open_together: str | None = text(
        "Tested with these taps open",
        help="tags of the other taps of its named test set, such as O2, O3",
        group="Duty",
        optional=True,
    )
    drinking: str | None = choice("Use", ("drinking", "drinking water"), ("other", "not for drinking"), group="Duty")


FITTINGS = (
    ("elbow_90", "elbows 90°"),
    ("elbow_45", "elbows 45°"),
    ("tee_run", "tees, straight through"),
    ("tee_branch", "tees, into the branch"),
    ("entrance", "entrances"),
    ("exit", "exits"),
    ("check_valve", "check valves not tagged"),
    ("gate_valve", "gate valves not tagged"),
    ("ball_valve", "ball valves not tagged"),
)


@keyword_record
class Pipe(RunPart):
    """A pipe between two components."""

    kind: ClassVar[str] = "pipe"
    title: ClassVar[str] = "Pipe"
    tag_prefix: ClassVar[str] = "P"

    material: str | None = choice(
        "Material",
        ("pe", "polyethylene"),
        ("pvc", "PVC"),
        ("steel", "steel"),
        ("galvanized", "galvanized steel"),
        ("copper", "copper"),
    )
    nominal: str | None = text("Nominal size and class", help="as printed on the pipe")
    inside_diameter: float | None = measure("Inside diameter", Q.DIAMETER, hard=(0.003, 1), soft=(0.01, 0.2))
    length: float | None = measure("Length", Q.LENGTH, hard=(0.01, 20_000), soft=(0.1, 3_000))
    fittings: tuple[tuple[str, float], ...] | None = counts("Fittings", *FITTINGS)
    pressure_rating: float | None = measure(
        "Pressure rating", Q.GAUGE_PRESSURE, hard=(10_000, 2e7), soft=(200_000, 6.5e6)
    )
    joints: str | None = choice(
        "Joints",
        ("fused", "fused"),
        ("solvent", "solvent-welded"),
        ("threaded", "threaded or compression"),
        ("gasketed", "gasketed"),
    )
    lies: str | None = choice(
        "Where it lies",
        ("ground", "in the ground"),
        ("inside", "inside, where it never freezes"),
        ("open", "in the open air"),
        optional=True,
    )
    cover: float | None = measure(
        "Ground over it",
        Q.LENGTH,
        hard=(0, 10),
        soft=(0.2, 2.5),
        help="least, over its whole length; 0 for a pipe that lies open",
        optional=True,
    )
