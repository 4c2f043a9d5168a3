"""The whole picture: tries spacings and sizes of letters until everything has its place."""

from dataclasses import dataclass
from math import ceil

from commissioning.plots import svg
from commissioning.plots.schematic.draw import casing_break, inked, line_break, stroke
from commissioning.plots.schematic.graph import Plan, plan_of
from commissioning.plots.schematic.heights import Heights, heights_of
from commissioning.plots.schematic.lettering import Lettered, lettered
from commissioning.plots.schematic.place import Spacing, placed_blocks
from commissioning.plots.schematic.route import Led, led_runs
from commissioning.plots.schematic.scale import ABOVE_ROOM, scale_of
from commissioning.plots.schematic.setting import CABLE, PIPE, Setting, shared_levels
from commissioning.plots.schematic.shapes import Block, Box, Label, Line, Mark, Point, Stroke, around
from commissioning.plots.schematic.staff import bands, staff_marks
from sizing.system import System

SCREEN_SIZE, PRINT_SIZE = 13.0, 13.0  # user units, at the usual width
UNITS_PER_170_MM = 74.1  # widths of a picture over its letters at which they are 6.5 pt on 170 mm
DESK_RATIO = 88.0  # the same for 13 px at about 72 rem
LARGEST = 19.0  # beyond that, letters only make the picture wider
LEAST_WIDTH = 960.0
MOST_ROOM = 400.0  # for all above ground, where a long system makes a wide picture
A_LISTED_RUN, A_BEND, A_TOO_WIDE = 60.0, 15.0, 3.0  # faults that a layout is chosen by, against one another
LIKELY = 15.0  # size to which the letters of a long system grow without harm
SPACINGS = (
    Spacing(14, 34), Spacing(14, 30, words="lines"), Spacing(12, 28, 10, words="tag"), Spacing(22, 50),
    Spacing(32, 84),
    Spacing(32, 90, is_apart=True), Spacing(60, 150, is_apart=True), Spacing(120, 260, 30, is_apart=True),
)  # fmt: skip
RUN_LOOK = {"pipe": (PIPE, "run pipe", ""), "cable": (CABLE, "run", ""), "control": (CABLE, "run", "5 4")}


@dataclass
class Laid:
    """A finished layout: everything has its place."""

    setting: Setting
    blocks: dict[str, Block]
    led: list[Led]
    words: Lettered

    @property
    def box(self) -> Box:
        points = [Box(x, y, x, y) for one in self.led for x, y in one.points]
        boxes = [box for block in self.blocks.values() for box in block.boxes]
        return around([*boxes, *points, *(one.box for one in self.words.labels)])


def schematic(system: System, *, unit_system: str, print: bool = False) -> str:
    """Return the as-built graph of a system as one static picture, for screen or for paper."""
    plan = plan_of(system)
    if not plan.system.nodes:
        return svg.drawing("sch", LEAST_WIDTH, 60, "No component is recorded yet.", [_nothing()])
    heights = heights_of(system, plan.hosted)
    size, ratio = (PRINT_SIZE, UNITS_PER_170_MM) if print else (SCREEN_SIZE, DESK_RATIO)
    laid = _laid(plan, heights, unit_system, size, ratio)
    for _ in range(3):
        wanted = _width(laid, size) / ratio
        if wanted <= size or size >= LARGEST:
            break
        size = min(ceil(wanted * 2 + 0.5) / 2, LARGEST)
        laid = _laid(plan, heights, unit_system, size, ratio)
    return _drawn(laid, size, print)


def _nothing() -> str:
    return svg.text(20, 36, "No component is recorded yet.", SCREEN_SIZE, "start")


def _width(laid: Laid, size: float) -> float:
    return max(LEAST_WIDTH, laid.box.right - laid.box.left + 5 * size + 40)


def _laid(plan: Plan, heights: Heights, unit_system: str, size: float, ratio: float) -> Laid:
    """Return the first layout that holds everything, and is wide enough for its height if one such is found."""
    fitting: Laid | None = None
    for spacing in SPACINGS:
        if spacing.is_apart and fitting is not None:
            break
        laid = _try(plan, heights, unit_system, size, spacing)
        if laid is not None and (fitting is None or _faults(laid, size, ratio) < _faults(fitting, size, ratio)):
            fitting = laid
        if fitting is not None and _faults(fitting, size, ratio) <= A_BEND * len(fitting.led):
            break
    if fitting is None:
        raise RuntimeError("no way was found for a run, though the blocks stand far apart")
    return fitting


def _faults(laid: Laid, size: float, ratio: float) -> float:
    """Return how far a layout is from the wanted one: words without room, needless bends, too great a width."""
    bends = sum(max(0, len(one.points) - 3) for one in laid.led)
    too_wide = max(0.0, _width(laid, size) - ratio * max(size, LIKELY))
    return A_LISTED_RUN * len(laid.words.listed) + A_BEND * bends + A_TOO_WIDE * too_wide


def _try(plan: Plan, heights: Heights, unit_system: str, size: float, spacing: Spacing) -> Laid | None:
    room = min(MOST_ROOM, ABOVE_ROOM + 14 * max(0, len(plan.water) - 8))
    scale = scale_of(heights.values(), _least_tank(heights), room)
    setting = Setting(plan, heights, scale, unit_system, size, shared_levels(heights, scale))
    blocks = placed_blocks(setting, spacing)
    whole = around([box for block in blocks.values() for box in block.boxes]).grown(200)
    led = led_runs(plan, blocks, bands(scale, whole.left, whole.right))
    if led is None:
        return None
    bars = [Box(x - 9, at - 9, x + 9, at + 9) for x, at in _broken_runs(led, scale.breaks)]
    bars += [Box(one.body.left - 9, at - 9, one.body.right + 9, at + 9) for one in _broken(setting, blocks) for at in scale.breaks]
    return Laid(setting, blocks, led, lettered(led, list(blocks.values()), bars, unit_system, size))


def _least_tank(heights: Heights) -> float:
    tanks = [tag for tag, name in heights.places if name == "floor"]
    return min((heights.places[tag, "overflow"] - heights.places[tag, "floor"] for tag in tanks), default=2.0)


def _broken(setting: Setting, blocks: dict[str, Block]) -> list[Block]:
    return [one for one in blocks.values() if setting.node(one.tag).kind == "well"]


def _broken_runs(led: list[Led], breaks: list[float]) -> list[Point]:
    """Return where upright pipes cross a break of the staff."""
    return [
        (one[0], at)
        for run in led
        if run.run.kind == "pipe"
        for one, other in zip(run.points, run.points[1:], strict=False)
        for at in breaks
        if one[0] == other[0] and min(one[1], other[1]) < at < max(one[1], other[1])
    ]


def _drawn(laid: Laid, size: float, is_print: bool) -> str:
    setting = laid.setting
    box, staff_x = laid.box, min(laid.box.left, 14.0) - 14.0
    marks: list[Mark] = list(staff_marks(setting.scale, staff_x, size, setting.unit_system, setting.heights.is_any_known))
    marks += _levels(laid, staff_x)
    drawn = [inked(one, is_print) for one in marks]
    drawn += [stroke(Stroke(one.points, *_look(one)), is_print) for one in laid.led]
    drawn += [inked(one, is_print) for block in laid.blocks.values() for one in _in_order(block)]
    for at in setting.scale.breaks:
        drawn += [casing_break(one, at) for one in _broken(setting, laid.blocks) if one.body.top < at < one.body.bottom]
    drawn += [line_break(x, at) for x, at in _broken_runs(laid.led, setting.scale.breaks)]
    drawn += [inked(one, is_print) for one in laid.words.labels]
    return _framed(laid, drawn, Box(staff_x - 4.2 * size, box.top, box.right, box.bottom), size, is_print)


def _look(one: Led) -> tuple[float, str, str]:
    return RUN_LOOK.get(one.run.kind, RUN_LOOK["cable"])


def _in_order(block: Block) -> list[Mark]:
    """Return a block's marks with its symbols over its lines, and its words over both."""
    rank = {Stroke: 0, Label: 2}
    return sorted(block.marks, key=lambda mark: rank.get(type(mark), 1))


def _levels(laid: Laid, staff_x: float) -> list[Stroke]:
    """Return a dotted line from the staff to the floor of each tank where nothing stands in between."""
    made = []
    boxes = [box for block in laid.blocks.values() for box in block.boxes] + [one.box for one in laid.words.labels]
    for tag, block in laid.blocks.items():
        if (tag, "floor") not in laid.setting.heights.places:
            continue
        y = block.body.bottom
        line = Box(staff_x + 3, y - 2, block.body.left - 6, y + 2)
        upright = [run for run in laid.led for a, b in zip(run.points, run.points[1:], strict=False) if a[1] == b[1] and abs(a[1] - y) < 5]
        if not any(line.hits(one) for one in boxes) and not upright:
            made.append(Stroke(((line.left, y), (line.right, y)), 0.8, "level", "1 5"))
    return made


def _framed(laid: Laid, drawn: list[str], box: Box, size: float, is_print: bool) -> str:
    """Return the picture moved into its frame, with what found no room listed below."""
    scale = laid.setting.scale
    top, bottom = min(box.top, scale.top - 2 * size) - 10, max(box.bottom, scale.bottom) + 12
    width = round(max(LEAST_WIDTH, box.right - box.left + 16))
    unknown = [] if laid.setting.heights.is_any_known else ["No height is recorded: not to scale."]
    lines = [*unknown, *_list_lines(laid.words.listed, width / (0.6 * size))]
    below = Label(box.left + 8, bottom + 4, tuple(Line(one) for one in lines), size)
    height = round(bottom - top + (below.height + 12 if lines else 0))
    words = inked(below, is_print) if lines else ""
    move = f'<g transform="translate({8 - box.left:.1f} {-top:.1f})">{"".join(drawn)}{words}</g>'
    cls = "sch wide" if width > DESK_RATIO * size * 1.15 else "sch"
    return svg.drawing(cls, width, height, _title(laid), [move])


def _list_lines(listed: list[str], most: float) -> list[str]:
    lines: list[str] = []
    for one in listed:
        if lines and len(lines[-1]) + 3 + len(one) <= most:
            lines[-1] += f" · {one}"
        else:
            lines.append(one)
    return lines


def _title(laid: Laid) -> str:
    plan = laid.setting.plan
    nodes = [laid.setting.node(tag) for tag in [*plan.water, *sorted(plan.hosted), *plan.perches, *plan.loose]]
    named = ", ".join(f"{one.tag} {one.name or one.part.title.lower()}" for one in nodes)
    ways = ", ".join(f"{one.run.tag} {one.run.start.tag} to {one.run.end.tag}" for one in laid.led if one.run.kind == "pipe")
    return f"Section of the system as built, heights to scale, lengths not. Components: {named}." + (
        f" Pipes: {ways}." if ways else ""
    )
