"""The whole picture: a layout in ink, in its frame, with a title that tells what is drawn."""

from commissioning.plots import svg
from commissioning.plots.schematic.draw import casing_break, inked, line_break
from commissioning.plots.schematic.graph import plan_of
from commissioning.plots.schematic.heights import heights_of
from commissioning.plots.schematic.layout import LEAST_WIDTH, SIZE, Board, Laid, broken_runs, layout
from commissioning.plots.schematic.route import Led
from commissioning.plots.schematic.setting import CABLE, PIPE
from commissioning.plots.schematic.shapes import Block, Box, Label, Line, Mark, Stroke
from commissioning.plots.schematic.staff import staff_marks
from sizing.system import System

PAPER_RATIO = 74.1  # width over letters at which they are 6.5 pt on 170 mm: 170 mm / (6.5 / 72 × 25.4 mm)
DESK_RATIO = 88.0  # the same for about 14 px on a page of 78 rem
PAPER_LARGEST, DESK_LARGEST = 30.0, 19.0  # user units; beyond, letters only make the picture wider
RUN_LOOK = {
    "pipe": (PIPE, "run pipe", ""),
    "cable": (CABLE, "run", ""),
    "control": (CABLE, "run", "5 4"),
    "seat": (1.0, "run", ""),
}
NOTHING = "No component is recorded yet."
NO_HEIGHT = "No height is recorded: not to scale."


def schematic(system: System, *, unit_system: str, print: bool = False) -> str:
    """Return the as-built graph of a system as one static picture, for screen or for paper."""
    plan = plan_of(system)
    if not system.nodes:
        return svg.drawing("sch", LEAST_WIDTH, 60, NOTHING, [svg.text(20, 36, NOTHING, SIZE, "start")])
    heights = heights_of(system, plan.hosted)
    ratio, largest = (PAPER_RATIO, PAPER_LARGEST) if print else (DESK_RATIO, DESK_LARGEST)
    laid = layout(Board(plan, heights, unit_system, ratio, largest))
    return _framed(laid, print)


def _framed(laid: Laid, is_print: bool) -> str:
    """Return the picture moved into its frame, with what found no room listed below."""
    size, scale = laid.size, laid.setting.scale
    staff_x = min(laid.box.left, 14.0) - 14.0
    left, right = staff_x - 4.2 * size, laid.box.right
    top, bottom = min(laid.box.top, scale.top - 2 * size) - 10, max(laid.box.bottom, scale.bottom) + 12
    width = round(max(LEAST_WIDTH, right - left + 16))
    lines = _below(laid, width / (0.6 * size))
    words = Label(left + 8, bottom + 4, tuple(Line(one) for one in lines), size)
    height = round(bottom - top + (words.height + 12 if lines else 0))
    drawn = [*_drawn(laid, staff_x, is_print), inked(words, is_print)]
    move = f'<g transform="translate({8 - left:.1f} {-top:.1f})">{"".join(drawn)}</g>'
    return svg.drawing("sch wide" if laid.is_wide else "sch", width, height, _title(laid), [move])


def _drawn(laid: Laid, staff_x: float, is_print: bool) -> list[str]:
    setting, blocks = laid.setting, list(laid.blocks.values())
    known = setting.heights.is_any_known
    marks: list[Mark] = [*staff_marks(setting.scale, staff_x, laid.size, setting.unit_system, known)]
    marks += _levels(laid, staff_x)
    marks += [Stroke(one.points, *_look(one)) for one in laid.led]
    marks += [mark for block in blocks for mark in _in_order(block)]
    drawn = [inked(one, is_print) for one in marks]
    over: list[Mark] = [*laid.signs, *laid.words.labels]
    return [*drawn, *_breaks(laid), *(inked(one, is_print) for one in over)]


def _look(one: Led) -> tuple[float, str, str]:
    return RUN_LOOK.get(one.run.kind, RUN_LOOK["cable"])


def _in_order(block: Block) -> list[Mark]:
    """Return a block's marks with its symbols over its lines, and its words over both."""
    rank = {Stroke: 0, Label: 2}
    return sorted(block.marks, key=lambda mark: rank.get(type(mark), 1))


def _breaks(laid: Laid) -> list[str]:
    """Return the breaks of wells, and of upright pipes where no words stand close."""
    breaks = laid.setting.scale.breaks
    drawn = [casing_break(one, at) for one in laid.wells for at in breaks if one.body.top < at < one.body.bottom]
    boxes = [box for block in laid.blocks.values() for box in block.boxes]
    for x, at in broken_runs(laid):
        if not any(Box(x - 9, at - 9, x + 9, at + 9).hits(one) for one in boxes):
            drawn.append(line_break(x, at))
    return drawn


def _levels(laid: Laid, staff_x: float) -> list[Stroke]:
    """Return a dotted line from the staff to the floor of each tank where nothing stands in between."""
    if not laid.setting.heights.is_any_known:
        return []
    solid = [box for block in laid.blocks.values() for box in block.boxes]
    solid += [one.box for one in laid.words.labels] + [one.box for one in laid.signs]
    level = [around for one in laid.led for around, (a, b) in zip(one.boxes, one.pieces, strict=True) if a[1] == b[1]]
    made = []
    for tag, block in laid.blocks.items():
        y = block.body.bottom
        line = Box(staff_x + 3, y - 3, block.body.left - 6, y + 3)
        is_tank = (tag, "floor") in laid.setting.heights.places
        if is_tank and not any(line.hits(one) for one in [*solid, *level]):
            made.append(Stroke(((line.left, y), (line.right, y)), 0.8, "level", "1 5"))
    return made


def _below(laid: Laid, most: float) -> list[str]:
    """Return the lines under the picture: that it has no scale, and the words for which there was no room."""
    lines: list[str] = []
    for one in laid.words.listed:
        if lines and len(lines[-1]) + 3 + len(one) <= most:
            lines[-1] += f" · {one}"
        else:
            lines.append(one)
    return lines if laid.setting.heights.is_any_known else [NO_HEIGHT, *lines]


def _title(laid: Laid) -> str:
    """Return in a sentence or two what is drawn, for who cannot see it."""
    plan = laid.setting.plan
    tags = [*plan.water, *sorted(plan.hosted), *plan.perches, *plan.loose, *plan.riders]
    named = ", ".join(f"{tag} {_name(laid, tag)}" for tag in tags)
    pipes = [one.run for one in laid.led if one.run.kind == "pipe"]
    ways = ", ".join(f"{run.tag} {run.start.tag} to {run.end.tag}" for run in pipes)
    told = f"Section of the system as built, heights to scale, lengths not. Components: {named}."
    return f"{told} Pipes: {ways}." if ways else told


def _name(laid: Laid, tag: str) -> str:
    node = laid.setting.node(tag)
    return node.name or node.part.title.lower()
