"""Blocks of the electrical side, and loose ones: they stand where there is room, at no height of their own."""

from commissioning.plots.schematic.graph import EARTH
from commissioning.plots.schematic.joints import join_end, join_side
from commissioning.plots.schematic.setting import CABLE, Setting, frame_at, sign_at, symbol_name
from commissioning.plots.schematic.shapes import Block, Sign, Spot, Stroke, text_width
from commissioning.plots.schematic.words import label, short, standing
from sizing.system import Node, Run

SOCKET = {"solar_array": 14.0}  # where the cable joins, right of the middle


def row_pitch(size: float) -> float:
    """Return how far one row of electrical components is above the next: symbol, two cable labels' room."""
    return 44 + 3.3 * size


def power_block(setting: Setting, tag: str, y: float) -> Block:
    """Return an electrical component with its cable in the line x = 0."""
    node = setting.node(tag)
    sign = _sign(setting, node, y)
    block = Block(tag, sign.box, [sign])
    above, below = _split(setting, tag)
    if above and sign.name == "solar_array":  # its frame is lower than its arrows
        block.marks.append(Stroke(((0, y - 17), (0, sign.box.top)), CABLE, "header"))
    join_end(block, above, 0, sign.box.top, -1, CABLE)
    join_end(block, below, 0, sign.box.bottom, 1, CABLE)
    _join_controls(setting, block, sign, y)
    lines = setting.lines(node) if sign.name else setting.lines(node)[1:]
    if lines:
        block.marks.append(standing(sign.box.right + 6, y + 6, lines, setting.size))
    return block


def _sign(setting: Setting, node: Node, y: float) -> Sign:
    name = symbol_name(node)
    if name == "solar_array":
        return sign_at(name, -SOCKET[name], y - 12)
    if name:
        return sign_at(name, 0, y)
    tag = short(node.tag)
    return frame_at(tag, 0, y, max(34.0, text_width(tag, setting.size, True) + 10), 30)


def _split(setting: Setting, tag: str) -> tuple[list[Run], list[Run]]:
    """Return the cables from what hangs higher, and those to what is lower."""
    perches = setting.plan.perches
    mine = perches[tag].layer
    above: list[Run] = []
    below: list[Run] = []
    for run in setting.plan.runs_of(tag, "cable"):
        perch = perches.get(run.far(tag).tag)
        is_above = perch is not None and (perch.layer, run.far(tag).tag) > (mine, tag)
        (above if is_above else below).append(run)
    return above, below


def _join_controls(setting: Setting, block: Block, sign: Sign, y: float) -> None:
    runs = setting.plan.runs_of(block.tag, "control", "seat")
    if len(runs) > 4:
        join_side(block, runs, sign.box.left, y, -1, CABLE)
        return
    left, right = sign.box.left + 1, sign.box.right - 1
    spots = [Spot(left, y, -1, 0), Spot(right, y + 12, 1, 0), Spot(left, y + 12, -1, 0), Spot(left, y - 12, -1, 0)]
    for run in runs:
        block.spots[run.tag] = spots


def loose_block(setting: Setting, tag: str, level: float) -> Block:
    """Return a component that no pipe reaches: an earth electrode in the ground, or whatever stands at a level."""
    node = setting.node(tag)
    name = symbol_name(node)
    is_earth = node.kind == EARTH
    y = setting.y(0) + 20 if is_earth else level
    if name:
        sign = sign_at(name, 0, y)
    else:
        words = short(tag)
        sign = frame_at(words, 0, y, max(34.0, text_width(words, setting.size, True) + 10), 28)
    block = Block(tag, sign.box, [sign])
    seats = setting.plan.runs_of(tag, "seat")
    join_end(block, setting.plan.runs_of(tag, "cable", "control"), 0, sign.box.top, -1, CABLE)
    if is_earth:
        join_side(block, seats, sign.box.left, y, -1, CABLE)
    else:
        join_end(block, seats, 0, sign.box.bottom, 1, CABLE)
    lines = setting.lines(node) if sign.name else setting.lines(node)[1:]
    if lines:
        block.marks.append(label(sign.box.right + 5, sign.box.top + (8 if is_earth else 0), lines, setting.size))
    return block
