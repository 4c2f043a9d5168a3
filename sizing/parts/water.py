"""Nameplates of the water side."""

from dataclasses import dataclass
from typing import ClassVar

from sizing.parts.declare import Column, Part, Row, RunPart, choice, counts, measure, number, table, text
from sizing.quantities import Quantity as Q

POSSIBLE_LEVEL = (-500.0, 500.0)
USUAL_LEVEL = (-150.0, 150.0)


@dataclass(frozen=True, kw_only=True)
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
    tested_yield: float | None = measure("Tested yield", Q.FLOW, hard=(1e-6, 0.5), soft=(5e-6, 0.05), group="Well test")
    drawdown_at_yield: float | None = measure(
        "Drawdown at that yield", Q.DEPTH, hard=(0.01, 500), soft=(0.05, 150), group="Well test"
    )
    pump_setting: float | None = measure("Pump intake depth", Q.DEPTH, hard=(0.5, 1000), soft=(3, 350))
    screen_top: float | None = measure("Top of screen depth", Q.DEPTH, hard=(0.5, 1000), soft=(3, 400))


PUMP_TABLE = (
    Column("power", "Power into the pump", Q.POWER, (0.1, 100_000)),
    Column("head", "Head", Q.HEAD, (0, 1000)),
    Column("flow", "Flow", Q.FLOW, (0, 1)),
    Column("current", "Current", Q.CURRENT, (0, 500), optional=True),
)


@dataclass(frozen=True, kw_only=True)
class SubmersiblePump(Part):
    """A pump under water in a well."""

    kind: ClassVar[str] = "submersible_pump"
    title: ClassVar[str] = "Submersible pump"
    tag_prefix: ClassVar[str] = "PU"
    ports: ClassVar[tuple[str, ...]] = ("discharge", "motor")
    hosts: ClassVar[tuple[str, ...]] = ("well",)

    principle: str | None = choice(
        "Principle",
        ("centrifugal", "centrifugal"),
        ("positive_displacement", "positive displacement (helical rotor, diaphragm)"),
    )
    motor: str | None = choice(
        "Motor",
        ("dc_brushed", "DC, brushed"),
        ("dc_brushless", "DC, electronically commutated"),
        ("ac_three_phase", "AC, three-phase"),
        ("ac_single_phase", "AC, single-phase"),
    )
    rated_power: float | None = measure(
        "Rated power", Q.POWER, hard=(1, 100_000), soft=(30, 15_000), help="electrical power the motor may take"
    )
    rated_voltage: float | None = measure("Rated voltage", Q.VOLTAGE, hard=(1, 1500), soft=(10, 700))
    rated_current: float | None = measure("Rated current", Q.CURRENT, hard=(0.05, 500), soft=(0.5, 60))
    performance: tuple[Row, ...] | None = table(
        "Performance table", *PUMP_TABLE, help="from the pump's own data sheet; at least two powers, three heads each"
    )
    minimum_submergence: float | None = measure("Minimum submergence", Q.LENGTH, hard=(0, 20), soft=(0.1, 5))
    winding_resistance: float | None = measure(
        "Winding resistance, lead to lead",
        Q.RESISTANCE,
        hard=(0.001, 1000),
        soft=(0.05, 60),
        help="at 20 °C, without the drop cable",
    )


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
class StorageTank(Part):
    """A tank with a free water surface."""

    kind: ClassVar[str] = "storage_tank"
    title: ClassVar[str] = "Storage tank"
    tag_prefix: ClassVar[str] = "T"
    ports: ClassVar[tuple[str, ...]] = ("inlet", "outlet", "overflow")

    shape: str | None = choice("Shape", ("vertical_cylinder", "upright cylinder"), ("rectangular", "rectangular"))
    diameter: float | None = measure(
        "Inside diameter", Q.LENGTH, hard=(0.2, 60), soft=(0.5, 12), help="upright cylinder"
    )
    length: float | None = measure("Inside length", Q.LENGTH, hard=(0.2, 60), soft=(0.5, 12), help="rectangular")
    width: float | None = measure("Inside width", Q.LENGTH, hard=(0.2, 60), soft=(0.5, 12), help="rectangular")
    floor_elevation: float | None = measure("Floor above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)
    outlet_elevation: float | None = measure("Outlet above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)
    inlet_elevation: float | None = measure(
        "Inlet above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL, help="where the water falls in"
    )
    overflow_elevation: float | None = measure(
        "Overflow above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL
    )


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
class Junction(Part):
    """A point where pipes meet."""

    kind: ClassVar[str] = "junction"
    title: ClassVar[str] = "Junction"
    tag_prefix: ClassVar[str] = "J"
    ports: ClassVar[tuple[str, ...]] = ("any",)

    elevation: float | None = measure("Above datum", Q.ELEVATION, hard=POSSIBLE_LEVEL, soft=USUAL_LEVEL)


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
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
    )
    open_together: str | None = text(
        "Tested with these taps open", help="tags of the other taps of its named test set, such as O2, O3", group="Duty"
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


@dataclass(frozen=True, kw_only=True)
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
    length: float | None = measure("Length", Q.LENGTH, hard=(0.01, 20_000), soft=(0.2, 3_000))
    fittings: tuple[tuple[str, float], ...] | None = counts("Fittings", *FITTINGS)
    pressure_rating: float | None = measure(
        "Pressure rating", Q.GAUGE_PRESSURE, hard=(10_000, 2e7), soft=(200_000, 2.5e6)
    )
    joints: str | None = choice(
        "Joints",
        ("fused", "fused"),
        ("solvent", "solvent-welded"),
        ("threaded", "threaded or compression"),
        ("gasketed", "gasketed"),
    )
