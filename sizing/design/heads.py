"""The greatest heads that stand in pipes: from full tanks, and from pumps against a shut valve."""

from sizing.checks.water_way import water_temperature
from sizing.design.declare import Ask
from sizing.design.reach import Origin, can_be_dead_headed, origins_reaching, reach, reliefs_behind
from sizing.errors import MissingDataError
from sizing.formulas.levels import pressure_from_surface
from sizing.formulas.shut_off import head_behind_pump, relief_head, shut_off_head
from sizing.formulas.water import pressure_head, water_density
from sizing.lift import LiftCurve, booster_curve, pump_rows, well_pump_curve
from sizing.parts import (
    BoosterPump,
    SpringOrRoof,
    StorageTank,
    SubmersiblePump,
    Well,
)
from sizing.pumping import rest_elevation
from sizing.system import End, Node, Run

OVERPRESSURE = 0.10  # share above its setting at which a relief valve carries its capacity; ISO 4126-1 (from memory)
DISPLACEMENT = "positive_displacement"


def density(ask: Ask) -> float:
    """Return the density of the site's water, as a step."""
    return ask.w.call("ρ", water_density, temperature=water_temperature(ask.system))


def elevation_of(ask: Ask, end: End) -> float | None:
    """Return how high an end of a pipe lies; None where its component has no height of its own.

    A pump in a well counts at the water at rest: below it, the water outside holds against that inside.
    """
    node = ask.system.nodes[end.tag]
    if isinstance(node.part, SubmersiblePump):
        well = ask.system.host_of(node, Well)
        return rest_elevation(well, well.need("static_level"))
    if isinstance(node.part, StorageTank):
        return node.need(f"{end.port or 'outlet'}_elevation")
    if "elevation" not in node.part.declarations():
        return None
    return node.need("elevation")


def lowest_elevation(ask: Ask, part: Node | Run) -> float:
    """Return the lowest point of a pipe by its ends, or the height of a component."""
    if isinstance(part, Node):
        return part.need("elevation")
    known = [height for end in (part.start, part.end) if (height := elevation_of(ask, end)) is not None]
    if not known:
        raise MissingDataError(part.tag, "elevation", f"{part.tag}: neither end has a recorded height")
    return min(known)


def surface_head(origin: Origin, node: Node) -> float:
    """Return the head of a full tank or a running spring, above the datum."""
    if isinstance(node.part, SpringOrRoof):
        return node.need("elevation")
    full = node.need("overflow_elevation")
    return max(full, node.need("inlet_elevation")) if origin.port == "inlet" else full


def greatest_head(ask: Ask, origin: Origin, seen: frozenset[str] = frozenset()) -> float:
    """Return the greatest head that an origin can bring, as steps: a pump's is that at shut-off, or at its relief."""
    node = ask.system.nodes[origin.tag]
    if isinstance(node.part, StorageTank | SpringOrRoof):
        return surface_head(origin, node)
    reliefs = [at_relief(ask, one) for one in reliefs_behind(ask.system, origin)]
    if _has_no_top(node) and not reliefs:
        words = f"{node.tag}: a positive displacement pump has no greatest pressure, and no relief valve is recorded"
        raise MissingDataError(node.tag, "relief", words)
    if _has_no_top(node):
        return min(reliefs)
    alone = ask.w.call(
        f"H {node.tag}",
        head_behind_pump,
        head_before=head_before(ask, node, seen),
        pump_head=shut_off(ask, node),
    )
    return min([alone, *reliefs])


def at_relief(ask: Ask, relief: Node) -> float:
    """Return the head at which a relief valve carries its capacity, as a step."""
    return ask.w.call(
        f"H {relief.tag}",
        relief_head,
        set_pressure_gauge=relief.need("set_pressure"),
        overpressure=OVERPRESSURE,
        elevation=relief.need("elevation"),
        density=density(ask),
    )


def _has_no_top(pump: Node) -> bool:
    """Whether a pump's pressure grows until something gives; one whose own switch or bypass opens has a top."""
    if getattr(pump.part, "shut_off_pressure", None) is not None:
        return False
    return pump.need_text("principle") == DISPLACEMENT


def head_before(ask: Ask, pump: Node, seen: frozenset[str] = frozenset()) -> float:
    """Return the greatest head before a pump: of the water at rest in its well, or of all that feeds its suction."""
    if isinstance(pump.part, SubmersiblePump):
        well = ask.system.host_of(pump, Well)
        return rest_elevation(well, well.need("static_level"))
    feeding = [one for one in _feeding(ask, pump) if one.tag not in seen]
    if not feeding:
        raise MissingDataError(pump.tag, "pipe", f"{pump.tag}: no pipe leads to its suction from a tank or a pump")
    return max(greatest_head(ask, one, seen | {pump.tag}) for one in feeding)


def _feeding(ask: Ask, booster: Node) -> list[Origin]:
    """Return the origins whose pressure arrives at a booster's suction side."""
    pipes = {run.tag for run in ask.system.runs_at(booster.tag, "pipe", "suction")}
    return [
        one
        for one in origins_reaching(ask.system, booster.tag)
        if one.tag != booster.tag and _comes_by(ask, one, pipes)
    ]


def _comes_by(ask: Ask, origin: Origin, pipes: set[str]) -> bool:
    return not pipes or bool(set(reach(ask.system, origin)) & pipes)


def shut_off(ask: Ask, pump: Node) -> float:
    """Return the head that a pump adds without flow, as a step: printed, or by its curve carried on to no flow."""
    printed: float | None = getattr(pump.part, "shut_off_pressure", None)
    if printed is not None:
        return ask.w.call("H₀", pressure_head, pressure=printed, density=density(ask))
    curve = curve_at_most(ask, pump)
    (q1, h1), (q2, h2) = curve.points[0], curve.points[1]
    return ask.w.call("H₀", shut_off_head, flow=q1, head=h1, next_flow=q2, next_head=h2)


def curve_at_most(ask: Ask, pump: Node) -> LiftCurve:
    """Return a booster's curve at rated voltage, or a well pump's at the most power that its table holds."""
    if isinstance(pump.part, BoosterPump):
        return booster_curve(pump, density(ask.silent()))
    return well_pump_curve(pump, power=most_power(pump))


def most_power(pump: Node) -> float:
    """Return the greatest power of a well pump: rated, or the top of its table where that is less."""
    rated = pump.need("rated_power")
    if getattr(pump.part, "performance", None) is None:
        return rated
    return min(rated, max(row[0] for row in pump_rows(pump)))


def pressure_at(ask: Ask, head: float, elevation: float, symbol: str = "p") -> float:
    """Return the gauge pressure that a head makes at an elevation, as a step."""
    return ask.w.call(
        symbol,
        pressure_from_surface,
        surface_elevation=head,
        elevation=elevation,
        head_lost=0.0,
        density=density(ask),
    )


def presses_on(ask: Ask, origin: Origin, tag: str) -> bool:
    """Whether an origin's greatest head can come to stand in a part.

    That of a pump cannot, where the water beyond the part always runs free.
    """
    node = ask.system.nodes[origin.tag]
    if isinstance(node.part, StorageTank | SpringOrRoof):
        return True
    return can_be_dead_headed(ask.system, origin, tag)
