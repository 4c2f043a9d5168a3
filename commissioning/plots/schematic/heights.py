"""How high everything is: what the nameplates say, and a guess from the neighbours where they say nothing.

A guessed height is drawn so that the picture holds together; no label ever prints it.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from commissioning.plots.schematic.words import value
from sizing.system import Node, System

USUAL = {"storage_tank": 6.0, "outlet": 1.0, "hand_pump": 0.9, "spring_or_roof": 12.0}  # m above the datum
USUAL_REST = 0.6
TANK_HEIGHT, TANK_STAND, WELL_DEPTH = 2.0, 4.0, 12.0  # m, drawn where nothing is recorded
FREEBOARD = 0.15  # m, inlet above overflow
GROUND = 0.0
FIELDS = ("elevation", "outlet_elevation", "floor_elevation", "inlet_elevation", "overflow_elevation")


@dataclass
class Heights:
    """Elevation of each component's pipes (`at`), and of the places in tanks and wells, by tag and name."""

    at: dict[str, float] = field(default_factory=dict)
    places: dict[tuple[str, str], float] = field(default_factory=dict)
    is_any_known: bool = False

    def values(self) -> list[float]:
        """Return every elevation that is drawn."""
        return sorted({*self.at.values(), *self.places.values()})


def recorded(node: Node) -> float | None:
    """Return the elevation that a nameplate gives a component, or None."""
    found = (value(node.part, one) for one in FIELDS)
    return next((one for one in found if one is not None), None)


def heights_of(system: System, in_wells: set[str]) -> Heights:
    """Return how high everything is drawn. What sits in a well takes its height from the well."""
    made = Heights()
    outside = [node for node in system.nodes.values() if node.tag not in in_wells and node.kind != "well"]
    made.at = {node.tag: found for node in outside if (found := recorded(node)) is not None}
    wells = [node for node in system.nodes.values() if node.kind == "well"]
    made.is_any_known = bool(made.at) or any(value(one.part, "depth") is not None for one in wells)
    known = {**made.at, **dict.fromkeys([*in_wells, *(one.tag for one in wells)], USUAL_REST)}
    for node in sorted(outside, key=lambda one: (one.kind == "storage_tank", one.tag)):
        if node.tag not in made.at and _has_height(system, node):
            made.at[node.tag] = _guess(system, node, known)
            known[node.tag] = made.at[node.tag]
    for node in system.nodes.values():
        made.places.update(_places(node, made.at.get(node.tag)))
    for node in system.nodes.values():
        made.places.update(_hosted(system, node, made))
    return made


def _has_height(system: System, node: Node) -> bool:
    return node.kind == "storage_tank" or bool(system.runs_at(node.tag, "pipe"))


def _guess(system: System, node: Node, known: dict[str, float]) -> float:
    """Return the height of the nearest known neighbour; a tank stands above what it feeds."""
    near = list(_nearest(system, node.tag, known))
    if node.kind == "storage_tank":
        return max([*near, USUAL["storage_tank"] - TANK_STAND]) + TANK_STAND
    usual = USUAL.get(node.kind, USUAL_REST)
    return min(near, key=lambda one: abs(one - usual)) if near else usual


def _nearest(system: System, tag: str, known: dict[str, float]) -> Iterator[float]:
    """Yield the heights of the known components at the least distance over pipes."""
    seen, ring = {tag}, [tag]
    while ring:
        beyond = [run.far(at).tag for at in ring for run in system.runs_at(at, "pipe")]
        ring = [one for one in dict.fromkeys(beyond) if one not in seen and one in system.nodes]
        seen.update(ring)
        found = [known[one] for one in ring if one in known]
        if found:
            yield from found
            return


def _places(node: Node, at: float | None) -> dict[tuple[str, str], float]:
    if node.kind == "well":
        return _well_places(node)
    return _tank_places(node, at) if node.kind == "storage_tank" and at is not None else {}


def _tank_places(node: Node, at: float) -> dict[tuple[str, str], float]:
    floor, overflow = value(node.part, "floor_elevation"), value(node.part, "overflow_elevation")
    outlet, inlet = value(node.part, "outlet_elevation"), value(node.part, "inlet_elevation")
    if floor is None:
        floor = outlet if outlet is not None else overflow - TANK_HEIGHT if overflow is not None else at
    if overflow is None or overflow <= floor:
        overflow = floor + TANK_HEIGHT
    made = {"floor": floor, "overflow": overflow}
    made["outlet"] = floor if outlet is None else outlet
    made["inlet"] = overflow + FREEBOARD if inlet is None else inlet
    return {(node.tag, name): found for name, found in made.items()}


def _well_places(node: Node) -> dict[tuple[str, str], float]:
    """Return the places of a well, which its nameplate counts down from the measuring point."""
    mark = value(node.part, "measuring_point_height") or GROUND
    depths = {
        "static": value(node.part, "static_level"),
        "setting": value(node.part, "pump_setting"),
        "screen": value(node.part, "screen_top"),
    }
    deepest = max([one for one in depths.values() if one is not None], default=None)
    depth = value(node.part, "depth")
    least = WELL_DEPTH if deepest is None else max(deepest * 1.15, deepest + 1)
    depths["bottom"] = max(depth, deepest or 0.0) if depth is not None else least
    made = {name: mark - found for name, found in depths.items() if found is not None}
    return {(node.tag, name): found for name, found in {**made, "mark": max(mark, GROUND), "ground": GROUND}.items()}


def _hosted(system: System, node: Node, made: Heights) -> dict[tuple[str, str], float]:
    """Return the level of what sits in a well or tank."""
    host = system.nodes.get(node.host or "")
    if host is None or host.kind not in ("well", "storage_tank"):
        return {}
    if host.kind == "storage_tank":
        return {(node.tag, "level"): _tank_level(node, made, host.tag)}
    spout = value(node.part, "outlet_elevation") if node.kind == "hand_pump" else None
    found = {(node.tag, "level"): _well_level(node, made, host)}
    return found if spout is None else {**found, (node.tag, "spout"): spout}


def _tank_level(node: Node, made: Heights, host: str) -> float:
    found = value(node.part, "set_elevation")
    floor, overflow = made.places[host, "floor"], made.places[host, "overflow"]
    if found is not None:
        return min(max(found, floor), overflow)
    is_low = getattr(node.part, "purpose", "") in ("guards_low_water", "stops_booster")
    return floor + 0.3 * (overflow - floor) if is_low else overflow


def _well_level(node: Node, made: Heights, host: Node) -> float:
    bottom, mark = made.places[host.tag, "bottom"], made.places[host.tag, "mark"]
    setting = made.places.get((host.tag, "setting"), bottom + 0.2 * (mark - bottom))
    if node.kind == "level_switch":
        found = value(node.part, "set_elevation")
    else:
        depth = value(node.part, "setting")
        found = setting if depth is None else mark - depth
    if found is None:
        found = setting + 0.15 * (mark - bottom)
    return min(max(found, bottom), mark)
