"""Needs that several checks share: conditions and earlier results, each with how long it stays good."""

from sizing.checks.declare import Need, Needed
from sizing.checks.pocket import Axis
from sizing.errors import MissingDataError
from sizing.parts import PumpController, SolarArray, StorageTank, SubmersiblePump, Well
from sizing.quantities import Quantity as Q
from sizing.system import System

MINUTE = 60.0


def array_feeding(system: System, tag: str) -> str:
    """Return the array whose sun counts for a subject: itself, or the one that feeds it over cables."""
    if tag in system.nodes and isinstance(system.nodes[tag].part, SolarArray):
        return tag
    if tag in system.nodes and isinstance(system.nodes[tag].part, Well):
        for pump in system.hosted_on(tag, SubmersiblePump):
            return array_feeding(system, pump.tag)
    if tag in system.nodes:
        for node, _ in system.reached(tag, "cable"):
            if isinstance(node.part, SolarArray):
                return node.tag
            if isinstance(node.part, PumpController):
                return system.path_between(node.tag, "array", SolarArray, "cable")[0].tag
    raise MissingDataError(tag, "cable", f"{tag}: no cable leads to a solar array")


def well_of(system: System, tag: str) -> str:
    """Return the well that a subject is, or sits in."""
    node = system.node(tag)
    return tag if isinstance(node.part, Well) else system.host_of(node, Well).tag


def pump_in(system: System, tag: str) -> str:
    """Return the submersible pump in the subject's well."""
    found = system.hosted_on(well_of(system, tag), SubmersiblePump)
    if not found:
        raise MissingDataError(tag, "host", f"{tag}: no submersible pump is recorded in this well")
    return found[0].tag


def tank_of(system: System, tag: str) -> str:
    """Return the tank that a subject is, or that its pump fills, or that feeds it."""
    node = system.node(tag)
    if isinstance(node.part, StorageTank):
        return tag
    if isinstance(node.part, Well):
        return tank_of(system, pump_in(system, tag))
    port = "discharge" if isinstance(node.part, SubmersiblePump) else None
    return system.path_between(tag, port, StorageTank, "pipe")[0].tag


IRRADIANCE = Need(
    "irradiance",
    Needed.WEATHER,
    "Irradiance in the array's plane",
    Q.IRRADIANCE,
    array_feeding,
    max_age=5 * MINUTE,
    bracket=0.05,
)
MODULE_TEMPERATURE = Need(
    "module_temperature", Needed.WEATHER, "Module temperature", Q.TEMPERATURE, array_feeding, max_age=15 * MINUTE
)
STATIC_LEVEL = Need("static_level", Needed.EARLIER, "Static level, pump at rest", Q.DEPTH, well_of)
TANK_LEVEL = Need(
    "tank_level", Needed.WEATHER, "Water surface in the tank, above its floor", Q.LENGTH, tank_of, max_age=60 * MINUTE
)

# For the phone's tables; the kinks are the least sun by which voltages and currents are judged.
SUN_AND_HEAT = (Axis("irradiance", (0, 1400), kinks=(200.0, 400.0)), Axis("module_temperature", (-20, 90)))
