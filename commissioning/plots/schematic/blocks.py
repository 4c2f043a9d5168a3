"""Blocks of the water side: tanks, outlets, valves, junctions, and anything else in a pipe."""

from commissioning.plots.schematic.bubbles import Bubble, Side, bubbles
from commissioning.plots.schematic.joints import PITCH, join_end, join_side
from commissioning.plots.schematic.setting import CABLE, PIPE, Setting, frame_at, sign_at, symbol_name
from commissioning.plots.schematic.shapes import Block, Box, Sign, Spot, Stroke, text_width
from commissioning.plots.schematic.wells import well_block
from commissioning.plots.schematic.words import label, short, standing
from sizing.system import Node, Run

TANK_WIDTH, LEAST_TANK = 84.0, 26.0
WALL = 2.4
FROM_BELOW = {"pressure_tank", "relief_valve", "pressure_switch", "meter"}
BELOW = {"pump", "filter", "spring_box"}  # whose words stand under them


def water_block(setting: Setting, tag: str) -> Block:
    """Return the block of a component of the water side, drawn around x = 0."""
    node = setting.node(tag)
    if node.kind == "well":
        return well_block(setting, node)
    if node.kind == "storage_tank":
        return tank_block(setting, node)
    return joint_block(setting, node) if node.kind == "junction" else inline_block(setting, node)


def tank_block(setting: Setting, node: Node) -> Block:
    """Return an open tank between floor and overflow, full; its pipes at their own heights."""
    ins, outs = setting.upstream(node.tag), setting.downstream(node.tag)
    out_y = setting.level_y(setting.heights.places[node.tag, "outlet"])
    floor = max(setting.place_y(node.tag, "floor"), out_y + 3)
    overflow = min(setting.place_y(node.tag, "overflow"), floor - LEAST_TANK)
    out_y = max(out_y, overflow + 14)
    in_y = min(setting.level_y(setting.heights.places[node.tag, "inlet"]), floor - 4)
    rim = min(overflow, in_y) - 8
    width = max(TANK_WIDTH, 50 + PITCH * max(len(ins), len(outs)))
    block = Block(node.tag, Box(0, rim, width, floor))
    _box(block, width, rim, floor, overflow)
    _inlets(block, ins, width, rim, in_y)
    _outlets(block, outs, width, out_y, floor)
    wires = setting.wires(node.tag)
    if len(ins) > 1:
        block.marks.append(label(-8, rim + 2, setting.lines(node), setting.size, "end"))
    elif wires:
        block.marks.append(standing(width - 20 - 6 * len(wires), rim - 7, setting.lines(node), setting.size, "end"))
    elif setting.plan.inside.get(node.tag):  # keeps clear of the control lines of its switches
        block.marks.append(standing(width + 8, rim - 7, setting.lines(node), setting.size, "end"))
    else:
        block.marks.append(standing(0, rim - 7, setting.lines(node), setting.size))
    join_end(block, wires, width - 8, rim, -1, CABLE)
    _switches(setting, block, node, in_y, out_y if outs else floor + 40)
    return block


def _switches(setting: Setting, block: Block, node: Node, in_y: float, out_y: float) -> None:
    """Set the upper switches right of the tank, above its outlet, and the lower ones left of it, under its inlet."""
    inside = setting.plan.inside.get(node.tag, [])
    at = sorted((Bubble(one, setting.place_y(one.tag, "level")) for one in inside), key=lambda one: one.y)
    half = (len(at) + 1) // 2
    limit = out_y - 10
    top = min(block.body.top - 4, limit - 80 - 4 * setting.size * half)
    bubbles(setting, block, at[:half], Side(block.body.right, 1, top, limit))
    fixed = tuple(one.box for one in block.labels if one.box.right < 0)
    bubbles(setting, block, at[half:], Side(0, -1, in_y + 14, block.body.bottom + 80, fixed))


def _box(block: Block, width: float, rim: float, floor: float, overflow: float) -> None:
    block.marks.append(Stroke(((0, rim), (0, floor), (width, floor), (width, rim)), WALL, "wall"))
    middle = width / 2
    ends = ((0.0, middle - 12), (middle + 12, width))
    block.marks += [Stroke(((left, overflow), (right, overflow)), 1.0, "surface") for left, right in ends]
    block.marks.append(sign_at("water_surface", middle, overflow - 4))


def _inlets(block: Block, runs: list[Run], width: float, rim: float, y: float) -> None:
    """Let the first pipe in through the left wall, further ones over the rim; each turns down inside."""
    if not runs:
        return
    if len(runs) == 1:
        block.marks.append(Stroke(((0, y), (9, y), (9, y + 7)), PIPE, "riser pipe"))
        block.spots[runs[0].tag] = [Spot(0, y, -1, 0)]
        return
    spots = []
    for k in range(len(runs)):
        x = 10 + PITCH * k
        block.marks.append(Stroke(((x, rim), (x, rim + 9)), PIPE, "riser pipe"))
        spots.append(Spot(x, rim, 0, -1))
    for run in runs:
        block.spots[run.tag] = spots


def _outlets(block: Block, runs: list[Run], width: float, y: float, floor: float) -> None:
    if not runs:
        return
    spots = [Spot(width, y, 1, 0), *(Spot(width - 12 - PITCH * k, floor, 0, 1) for k in range(len(runs) - 1))]
    for run in runs:
        block.spots[run.tag] = spots if len(runs) > 1 else spots[:1]


def joint_block(setting: Setting, node: Node) -> Block:
    """Return a junction: a dot that up to four pipes reach from any side, or a header for more."""
    y = setting.level_y(setting.heights.at.get(node.tag, 0.0))
    sign = sign_at("junction", 0, y)
    block = Block(node.tag, sign.box, [sign])
    ups, downs = setting.upstream(node.tag), setting.downstream(node.tag)
    wires = setting.wires(node.tag)
    _meet(block, ups, downs, y, [Spot(0, y, 0, 1)] if wires else [Spot(0, y, 0, 1), Spot(0, y, 0, -1)])
    join_end(block, wires, 0, y - 5, -1, CABLE)
    tag = setting.lines(node)[:1]
    hung = label(-6, y + 4, tag, setting.size, "end") if wires else standing(-6, y - 5, tag, setting.size, "end")
    block.marks.append(hung)
    return block


def _meet(block: Block, ups: list[Run], downs: list[Run], y: float, ends: list[Spot]) -> None:
    """Let pipes meet at (0, y): water comes from the left, leaves to the right, either may use an upright end."""
    spare = 2 + len(ends) - len(ups) - len(downs)
    if spare < 0 or max(len(ups), len(downs)) > 1 + len(ends):
        join_side(block, ups, 0, y, -1, PIPE)
        join_side(block, downs, 0, y, 1, PIPE)
        return
    before = ends[::-1] if spare else ends[::-1][: max(0, len(ups) - 1)]
    after = ends if spare else [one for one in ends if one not in before]
    block.spots |= {run.tag: [Spot(0, y, -1, 0), *before] for run in ups}
    block.spots |= {run.tag: [Spot(0, y, 1, 0), *after] for run in downs}


def inline_block(setting: Setting, node: Node) -> Block:
    """Return anything else that pipes lead to: water in at the left, out at the right."""
    y = setting.level_y(setting.heights.at.get(node.tag, 0.0))
    sign = _sign(setting, node, y)
    block = Block(node.tag, sign.box, [sign])
    ups, downs = setting.upstream(node.tag), setting.downstream(node.tag)
    if sign.name in FROM_BELOW:
        _stand(block, sign, ups, downs, y)
    else:
        join_side(block, ups, sign.box.left, y, -1, PIPE)
        join_side(block, downs, sign.box.right, y, 1, PIPE)
    wires = setting.wires(node.tag)
    join_end(block, wires, sign.x, sign.box.top, -1, CABLE)
    _inline_words(setting, block, node, sign, bool(wires))
    return block


def _stand(block: Block, sign: Sign, ups: list[Run], downs: list[Run], y: float) -> None:
    """Stand a symbol on its pipe: a stem down to the level at which the pipe passes."""
    block.marks.append(Stroke(((0, sign.box.bottom), (0, y)), PIPE, "riser pipe"))
    block.solids.append(Box(-5, sign.box.bottom, 5, y + 5))
    if len(ups) + len(downs) > 1:
        block.marks.append(sign_at("junction", 0, y))
    _meet(block, ups, downs, y, [Spot(0, y, 0, 1)])


def _sign(setting: Setting, node: Node, y: float) -> Sign:
    name = symbol_name(node)
    if name == "outlet":  # its pipe enters 6 above the middle of the symbol
        return sign_at(name, 0, y + 6)
    if name in FROM_BELOW:
        return sign_at(name, 0, y - sign_at(name, 0, 0).box.bottom - 18)
    if name:
        return sign_at(name, 0, y)
    tag = short(node.tag)
    return frame_at(tag, 0, y, max(34.0, text_width(tag, setting.size, True) + 10), 28)


def _inline_words(setting: Setting, block: Block, node: Node, sign: Sign, is_wired: bool) -> None:
    """Set the words over a small symbol, under a large one, beside one that a cable reaches from above."""
    lines = setting.lines(node)
    if not sign.name:
        lines = lines[1:]
    if not lines:
        return
    if sign.name.startswith(("valve", "check")) and not node.name:
        lines = lines[:1]
    x, size = sign.box.left, setting.size
    if sign.name in FROM_BELOW:
        block.marks.append(standing(sign.box.right + 6, sign.box.bottom, lines, size))
    elif sign.name in BELOW or is_wired:
        bottom = max([sign.box.bottom, *(one.bottom for one in block.solids)])
        block.marks.append(label(x, bottom + 5, lines, size))
    else:
        block.marks.append(standing(x, sign.box.top - 4, lines, size))
