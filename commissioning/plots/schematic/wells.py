"""A well: casing to its depth, ground line, water surface, and what hangs in it."""

from dataclasses import dataclass, field

from commissioning.plots.schematic.bubbles import Bubble, Side, bubbles
from commissioning.plots.schematic.grid import STUB
from commissioning.plots.schematic.joints import join_end, join_side
from commissioning.plots.schematic.setting import CABLE, PIPE, Setting, frame_at, sign_at, symbol_name
from commissioning.plots.schematic.shapes import Block, Box, Label, Line, Stroke
from commissioning.plots.schematic.words import figure, label, standing
from sizing.quantities import Quantity as Q
from sizing.system import Node

WALL = 2.0
LEAST_WIDTH = 34.0
SMALL = 0.6  # scale of a pump inside the casing
HAND = 0.8
GROUND_REACH = 26.0


@dataclass
class Lanes:
    """Which x inside the casing belongs to what."""

    width: float
    riser: dict[str, float] = field(default_factory=dict)
    cable: dict[str, float] = field(default_factory=dict)


def well_block(setting: Setting, node: Node) -> Block:
    """Return a well with its ground line at x = 0 … casing width."""
    inside = setting.plan.inside.get(node.tag, [])
    hands = [one for one in inside if one.kind == "hand_pump"]
    switches = [one for one in inside if one.kind == "level_switch" or _is_signal_only(setting, one)]
    pumps = [one for one in inside if one not in hands and one not in switches]
    lanes = _lanes(setting, hands, pumps)
    top, bottom = _top(setting, node, inside), setting.place_y(node.tag, "bottom")
    block = Block(node.tag, Box(0, top, lanes.width, bottom + WALL))
    _casing(setting, block, node, lanes.width)
    _surface(setting, block, node, lanes.width)
    for one in hands:
        _hand_pump(setting, block, one, lanes.riser[one.tag], top)
    for one in pumps:
        _pump(setting, block, one, lanes, top)
    join_end(block, setting.plan.runs_of(node.tag, "pipe"), lanes.width / 2, top, -1, PIPE)
    join_end(block, setting.wires(node.tag), lanes.width - 4, top, -1, CABLE)
    _right_labels(setting, block, node, pumps, lanes.width)
    at = [Bubble(one, setting.place_y(one.tag, "level")) for one in switches]
    fixed = [one.box for one in block.labels if one.box.right < 0 and one.box.bottom > setting.y(0) + 4]
    bubbles(setting, block, at, Side(0.0, -1, setting.y(0) + 12, setting.scale.bottom, tuple(fixed)))
    return block


def _top(setting: Setting, node: Node, inside: list[Node]) -> float:
    """Return the top of the casing, a little lower where a pipe leaves just above it."""
    mark, ground = setting.place_y(node.tag, "mark"), setting.y(0)
    runs = [run for one in (node, *inside) for run in setting.plan.runs_of(one.tag, "pipe")]
    ends = [end.tag for run in runs for end in (run.start, run.end) if end.tag in setting.heights.at]
    levels = [setting.level_y(setting.heights.at[tag]) for tag in ends]
    near = [level + STUB for level in levels if level < ground and mark - STUB < level]
    return min(max([mark, *near]), ground - 1)


def _is_signal_only(setting: Setting, node: Node) -> bool:
    runs = setting.plan.system
    return not runs.runs_at(node.tag, "pipe") and not runs.runs_at(node.tag, "cable") and "pump" not in node.kind


def _lanes(setting: Setting, hands: list[Node], pumps: list[Node]) -> Lanes:
    made, x = Lanes(0.0), 0.0
    for one in hands:
        made.riser[one.tag] = x + 14
        x += 46 if setting.plan.runs_of(one.tag, "pipe") else 32
    for one in pumps:
        wires, pipes = (max(1, len(found)) for found in (setting.wires(one.tag), setting.plan.runs_of(one.tag, "pipe")))
        made.cable[one.tag] = x + 3 + 6 * wires
        made.riser[one.tag] = x + 10 + 12 * wires + 3 * (wires - 1) + 9 * (pipes - 1) + 3
        x = made.riser[one.tag] + 15 + 9 * (pipes - 1)
    made.width = max(x, LEAST_WIDTH)
    return made


def _casing(setting: Setting, block: Block, node: Node, width: float) -> None:
    top, bottom = block.body.top, setting.place_y(node.tag, "bottom")
    ground = setting.y(0)
    block.marks.append(Stroke(((0, top), (0, bottom), (width, bottom), (width, top)), WALL, "wall"))
    for x, reach in ((0.0, -GROUND_REACH), (width, GROUND_REACH)):
        block.marks.append(Stroke(((x, ground), (x + reach, ground)), 1.6, "ground-line"))
        for k in (0.35, 0.65, 0.95):
            foot = x + reach * k
            block.marks.append(Stroke(((foot, ground), (foot - 5, ground + 5)), 1.0, "ground-line"))
    block.solids += [Box(-GROUND_REACH - 3, ground - 2, 0, ground + 6), Box(width, ground - 2, width + 27, ground + 6)]
    _screen(setting, block, node, width, bottom)


def _screen(setting: Setting, block: Block, node: Node, width: float, bottom: float) -> None:
    if (node.tag, "screen") not in setting.heights.places:
        return
    y = setting.place_y(node.tag, "screen") + 4
    while y < bottom - 2:
        block.marks += [Stroke(((x - 4, y), (x + 4, y)), 1.1, "screen") for x in (0.0, width)]
        y += 5


def _surface(setting: Setting, block: Block, node: Node, width: float) -> None:
    if (node.tag, "static") not in setting.heights.places:
        return
    y = setting.place_y(node.tag, "static")
    block.marks.append(Stroke(((-34, y), (width, y)), 1.0, "surface"))
    block.marks.append(sign_at("water_surface", -18, y - 4))
    words = figure(node.part, "static_level", Q.DEPTH, setting.unit_system)
    size = setting.size
    block.marks.append(standing(-38, y + 0.5 * size, (Line(f"static {words}"),), size, "end"))


def _hand_pump(setting: Setting, block: Block, node: Node, lane: float, top: float) -> None:
    ground = setting.y(0)
    elevation = setting.heights.places.get((node.tag, "spout"), 0.9)
    y = min(setting.y(elevation), top - 18 * HAND - 6, ground - 18 * HAND - 6)
    cylinder = setting.place_y(node.tag, "level")
    sign = sign_at("hand_pump", lane, y, HAND, is_mirrored=True)
    block.marks.append(Stroke(((lane, y + 17 * HAND), (lane, cylinder - 14)), 2.2, "riser"))
    block.marks.append(Stroke(_rectangle(lane, cylinder - 14, 9, 14), 1.6, "cylinder"))
    block.marks.append(sign)
    over = [mark for mark in block.marks[:-1] if not isinstance(mark, Stroke) and mark.box.bottom < ground]
    bottom = min([y + 16, ground - 5, *(one.box.top - 6 for one in over)])  # over those of another hand pump
    block.marks.append(standing(sign.box.left - 5, bottom, setting.lines(node), setting.size, "end"))
    join_side(block, setting.plan.runs_of(node.tag, "pipe"), lane + 17 * HAND, y, 1, PIPE)
    join_end(block, setting.wires(node.tag), sign.box.left + 2, sign.box.top, -1, CABLE)


def _rectangle(x: float, top: float, width: float, height: float) -> tuple[tuple[float, float], ...]:
    left, right, bottom = x - width / 2, x + width / 2, top + height
    return ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))


def _pump(setting: Setting, block: Block, node: Node, lanes: Lanes, top: float) -> None:
    """Draw a pump at its setting, its riser and its cable up to the top of the casing."""
    y = min(setting.place_y(node.tag, "level"), block.body.bottom - 14)
    riser, cable = lanes.riser[node.tag], lanes.cable[node.tag]
    name, reach = symbol_name(node), 18 * SMALL
    pipes = setting.plan.runs_of(node.tag, "pipe")
    wires = setting.wires(node.tag)
    block.marks.append(Stroke(((riser, y - reach), (riser, top)), PIPE, "riser pipe"))
    if wires:
        block.marks.append(Stroke(((riser - reach, y), (cable, y), (cable, top)), CABLE, "riser"))
    block.marks.append(sign_at(name, riser, y, SMALL) if name == "pump" else frame_at("", riser, y, 18, 18))
    join_end(block, pipes, riser, top, -1, PIPE)
    join_end(block, wires, cable, top, -1, CABLE)


def _right_labels(setting: Setting, block: Block, node: Node, pumps: list[Node], width: float) -> None:
    """Set the well's label under the ground, each pump's beside it, none over another."""
    x, size = width + 9, setting.size
    made: list[Label] = [label(x, setting.y(0) + 11, setting.lines(node), size)]
    for one in sorted(pumps, key=lambda one: -setting.heights.places[one.tag, "level"]):
        words = label(x, 0, setting.lines(one), size)
        top = setting.place_y(one.tag, "level") - words.height / 2
        made.append(label(x, max(top, made[-1].box.bottom + 6), setting.lines(one), size))
    block.marks += made
