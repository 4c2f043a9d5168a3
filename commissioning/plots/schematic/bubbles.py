"""Level switches: a symbol outside the wall, with a leader to the level at which it acts."""

from dataclasses import dataclass, replace

from commissioning.plots.schematic.grid import CLEAR, STUB
from commissioning.plots.schematic.joints import FINE
from commissioning.plots.schematic.setting import Setting, frame_at, sign_at, symbol_name
from commissioning.plots.schematic.shapes import Block, Box, Point, Spot, Stroke
from commissioning.plots.schematic.words import label
from sizing.system import Node

RADIUS, SCALE = 14.0, 0.9
AWAY = 46.0  # from the wall to the middle of the symbol
ROOM = 10.0  # between one and the next, for a control line


@dataclass(frozen=True)
class Bubble:
    """A switch and where its level is drawn."""

    node: Node
    y: float


@dataclass(frozen=True)
class Side:
    """A wall at x, the way out from it (−1 left, 1 right), from where to where, and what is fixed there."""

    wall: float
    way: int
    top: float
    bottom: float
    fixed: tuple[Box, ...] = ()


def bubbles(setting: Setting, block: Block, items: list[Bubble], side: Side) -> None:
    """Draw switches beside a wall, from the top down, clear of what is fixed there."""
    lines = {one.node.tag: setting.lines(one.node) for one in items}
    if len(items) > 2:
        lines = {tag: found[:1] for tag, found in lines.items()}
    tall = max((label(0, 0, found, setting.size).height for found in lines.values()), default=0.0)
    half = max(RADIUS, tall / 2)
    ordered = sorted(items, key=lambda one: (one.y, one.node.tag))
    for k, (one, y) in enumerate(zip(ordered, _spread([one.y for one in ordered], half, side), strict=True)):
        ways = _ways(k, len(ordered), y + 13 * SCALE + STUB + CLEAR < side.bottom)
        x = side.wall + side.way * AWAY
        _leader(setting, block, one, (x, y), side, 8 + 5 * (k % 4))
        _join(setting, block, one.node, (x, y), ways)
        beside = label(x + side.way * (RADIUS + 5), 0, lines[one.node.tag], setting.size)
        anchor = "start" if side.way > 0 else "end"
        block.marks.append(replace(beside, top=y - beside.height / 2, anchor=anchor))


def _spread(wanted: list[float], half: float, side: Side) -> list[float]:
    """Return places as near as may be to those wanted, in order, each clear of the last and of what is fixed."""
    made: list[float] = []
    least = side.top + half
    for y in wanted:
        at = max(y, least)
        for box in sorted(side.fixed, key=lambda one: one.top):
            if at - half < box.bottom + 4 and at + half > box.top - 4:
                at = box.bottom + 4 + half
        made.append(at)
        least = at + 2 * half + (ROOM if len(wanted) < 3 else 3 * ROOM)
    over = made[-1] + half - side.bottom if made else 0.0
    may_rise = over > 0 and not side.fixed and made[0] - over - half >= side.top
    return [at - over for at in made] if may_rise else made


def _ways(k: int, count: int, is_room_below: bool) -> list[int]:
    """Return whether a control line may leave upwards (−1) or downwards (1): never into the next switch."""
    if count == 1:
        return [-1, 1] if is_room_below else [-1]
    return [-1] if k == 0 else [1] if k == count - 1 else [-1, 1]


def _leader(setting: Setting, block: Block, one: Bubble, at: Point, side: Side, reach: float) -> None:
    """Draw the symbol, and the line from it to the level on the wall; `reach` is how far out that turns."""
    x, y = at
    edge, turn = x - side.way * 13 * SCALE, side.wall + side.way * reach
    ends = ((side.wall, one.y), (edge, y))
    points = ends if abs(one.y - y) < 1 else (ends[0], (turn, one.y), (turn, y), ends[1])
    block.marks.append(Stroke(points, 1.0, "leader"))
    name = symbol_name(one.node)
    is_round = name in ("level_switch", "meter", "pressure_switch")
    block.marks.append(sign_at(name, x, y, SCALE) if is_round else frame_at("", x, y, 22, 22))


def _join(setting: Setting, block: Block, node: Node, at: Point, up_or_down: list[int]) -> None:
    x, y = at
    runs = setting.plan.runs_of(node.tag, "control", "cable", "pipe", "seat")
    reach = 13 * SCALE
    ways = [Spot(x, y + dy * reach, 0, dy) for dy in up_or_down]
    offsets = [0.0, *(sign * FINE * n for n in range(1, len(runs)) for sign in (-1, 1))]
    spots = [Spot(way.x + offset, way.y, way.dx, way.dy) for offset in offsets[: max(1, len(runs))] for way in ways]
    for run in runs:
        block.spots[run.tag] = spots
