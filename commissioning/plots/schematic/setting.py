"""What every block needs to draw itself: the plan, the scale, the size of the letters, and shared levels."""

from dataclasses import dataclass, field

from commissioning.plots.schematic.graph import Plan, natural
from commissioning.plots.schematic.heights import Heights
from commissioning.plots.schematic.scale import Scale
from commissioning.plots.schematic.shapes import Box, Line, Sign
from commissioning.plots.schematic.words import lines_of
from commissioning.plots.symbols import OF_KIND, SYMBOLS
from sizing.system import Node, Run

ABOUT_LEVEL = 10.0  # user units within which pipes are drawn at one level: about 2 mm on paper
PIPE, CABLE = 3.4, 1.5
EXTENTS = {  # how far a symbol's ink reaches from its middle: left, top, right, bottom
    "battery": (17, 21, 17, 21),
    "check_valve": (12, 9, 12, 9),
    "combiner": (17, 17, 17, 17),
    "converter": (18, 18, 18, 18),
    "earth": (12, 18, 12, 13),
    "filter": (15, 15, 15, 15),
    "fuse": (7, 22, 7, 22),
    "hand_pump": (18, 35, 22, 18),
    "junction": (5, 5, 5, 5),
    "level_switch": (14, 14, 14, 14),
    "load": (15, 9, 15, 9),
    "meter": (14, 14, 14, 14),
    "motor": (16, 16, 16, 16),
    "outlet": (10, 8, 12, 10),
    "pressure_switch": (14, 14, 14, 14),
    "pressure_tank": (17, 39, 17, 29),
    "pump": (18, 18, 18, 18),
    "relief_valve": (9, 17, 15, 20),
    "solar_array": (33, 26, 39, 30),
    "spring_box": (33, 17, 27, 13),
    "surge_protector": (14, 22, 14, 22),
    "switch": (11, 19, 6, 19),
    "valve_open": (12, 9, 12, 9),
    "valve_shut": (12, 9, 12, 9),
    "water_surface": (12, 7, 12, 9),
}


@dataclass
class Setting:
    """The drawing board of one picture."""

    plan: Plan
    heights: Heights
    scale: Scale
    unit_system: str
    size: float
    levels: dict[float, float] = field(default_factory=dict)

    def y(self, elevation: float) -> float:
        return self.scale.y(elevation)

    def place_y(self, tag: str, name: str) -> float:
        """Return where a place in a well or tank is drawn."""
        return self.scale.y(self.heights.places[tag, name])

    def level_y(self, elevation: float) -> float:
        """Return where a pipe at an elevation is drawn; nearly equal levels share one line."""
        return self.levels.get(elevation, self.scale.y(elevation))

    def wires(self, tag: str) -> list[Run]:
        """Return what reaches a component of the water side from above: cables, control lines, what is seated on it."""
        return self.plan.runs_of(tag, "cable", "control", "seat")

    def node(self, tag: str) -> Node:
        return self.plan.system.nodes[tag]

    def lines(self, node: Node) -> tuple[Line, ...]:
        return lines_of(node, self.unit_system)

    def upstream(self, tag: str) -> list[Run]:
        """Return the pipes that bring water to a component, by the order of drawing."""
        return [run for run in self._pipes(tag) if self._is_before(run.far(tag).tag, tag)]

    def downstream(self, tag: str) -> list[Run]:
        return [run for run in self._pipes(tag) if not self._is_before(run.far(tag).tag, tag)]

    def _pipes(self, tag: str) -> list[Run]:
        return sorted(self.plan.runs_of(tag, "pipe"), key=lambda run: natural(run.tag))

    def _is_before(self, one: str, other: str) -> bool:
        order = self.plan.water
        return order.index(self.plan.block_of(one)) < order.index(self.plan.block_of(other))


def shared_levels(heights: Heights, scale: Scale) -> dict[float, float]:
    """Return elevation of a pipe → where it is drawn, so that no pipe steps by less than can be seen."""
    pipes = [found for (_, name), found in heights.places.items() if name in ("inlet", "outlet")]
    ys = sorted((scale.y(one), one) for one in {*heights.at.values(), *pipes})
    groups: list[list[tuple[float, float]]] = []
    for y, elevation in ys:
        if groups and y - groups[-1][0][0] <= ABOUT_LEVEL:
            groups[-1].append((y, elevation))
        else:
            groups.append([(y, elevation)])
    return {elevation: (group[0][0] + group[-1][0]) / 2 for group in groups for _, elevation in group}


def symbol_name(node: Node) -> str:
    """Return the name of a component's symbol, or nothing where the standard's set has none for it."""
    if node.kind == "valve":
        if getattr(node.part, "function", None) == "check":
            return "check_valve"
        return "valve_shut" if getattr(node.part, "normal_position", None) == "shut" else "valve_open"
    name = OF_KIND.get(node.kind, "")
    return name if name in SYMBOLS and name in EXTENTS else ""


def sign_at(name: str, x: float, y: float, scale: float = 1.0, is_mirrored: bool = False) -> Sign:
    """Return a symbol with the room that it takes."""
    left, top, right, bottom = (one * scale for one in EXTENTS[name])
    if is_mirrored:
        left, right = right, left
    return Sign(name, x, y, Box(x - left, y - top, x + right, y + bottom), scale, is_mirrored)


def frame_at(words: str, x: float, y: float, width: float, height: float) -> Sign:
    """Return a plain box for a kind without a symbol."""
    box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
    return Sign("", x, y, box, words=words)
