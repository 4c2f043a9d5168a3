"""Choosing a layout: spacings and sizes of letters are tried until everything has its place."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import ceil

from commissioning.plots.schematic.graph import Plan
from commissioning.plots.schematic.heights import Heights
from commissioning.plots.schematic.lettering import Lettered, lettered, room_of
from commissioning.plots.schematic.place import Spacing, placed_blocks
from commissioning.plots.schematic.riders import riders
from commissioning.plots.schematic.route import Led, drawn_runs, led_runs
from commissioning.plots.schematic.scale import ABOVE_ROOM, scale_of
from commissioning.plots.schematic.setting import Setting, shared_levels
from commissioning.plots.schematic.shapes import Block, Box, Point, Sign, around
from commissioning.plots.schematic.staff import bands
from commissioning.plots.schematic.words import short
from sizing.parts import RUN_KINDS

SIZE = 13.0  # of the letters, in user units, unless a wide picture asks for more
GROWS = 1.06  # larger letters make a picture wider in their turn
LEAST_WIDTH = 960.0
MOST_ROOM = 400.0  # for all above ground, where a long system makes a wide picture
A_LISTED_RUN, A_BEND, A_TOO_WIDE = 60.0, 15.0, 3.0  # faults that a layout is chosen by, against one another
LIKELY = 15.0  # size to which the letters of a long system grow without harm

USUAL = (Spacing(20, 34), Spacing(20, 30, words="lines"), Spacing(20, 28, words="tag"))
WIDER = (Spacing(22, 50), Spacing(32, 84), Spacing(32, 90, is_apart=True), Spacing(60, 150, is_apart=True))
LAST = Spacing(120, 260, 30, is_apart=True)


@dataclass(frozen=True)
class Board:
    """What a layout starts from; `ratio` is the width of the picture over the size of its letters that is wanted."""

    plan: Plan
    heights: Heights
    unit_system: str
    ratio: float
    largest: float
    size: float = SIZE


@dataclass
class Laid:
    """A finished layout: everything has its place."""

    board: Board
    spacing: Spacing
    setting: Setting
    blocks: dict[str, Block]
    led: list[Led]
    words: Lettered
    signs: list[Sign]

    @property
    def size(self) -> float:
        return self.board.size

    @property
    def box(self) -> Box:
        points = [Box(x, y, x, y) for one in self.led for x, y in one.points]
        boxes = [box for block in self.blocks.values() for box in block.boxes]
        return around([*boxes, *points, *(one.box for one in self.words.labels), *(one.box for one in self.signs)])

    @property
    def width(self) -> float:
        """Return about how wide the picture is, staff and margins included."""
        return max(LEAST_WIDTH, self.box.right - self.box.left + 5 * self.size + 40)

    @property
    def wells(self) -> list[Block]:
        return [one for one in self.blocks.values() if self.setting.node(one.tag).kind == "well"]

    @property
    def is_wide(self) -> bool:
        """Whether even the largest letters are smaller than wanted when the picture is as wide as a page."""
        return self.width > self.board.ratio * self.size * 1.02


def layout(board: Board) -> Laid:
    """Return the best layout, with letters as large as its width asks for."""
    laid = _best(board, USUAL) or _first(board, WIDER) or _leaving(board)
    for _ in range(3):
        wanted = laid.width / board.ratio
        if wanted <= laid.size or laid.size >= board.largest:
            break
        grown = replace(board, size=min(ceil(wanted * GROWS * 2) / 2, board.largest))
        laid = _best(grown, USUAL) or _first(grown, WIDER) or _leaving(grown)
    return laid


def _best(board: Board, spacings: Iterable[Spacing]) -> Laid | None:
    """Return the layout with the least faults, or the first that is good enough."""
    best: Laid | None = None
    for spacing in spacings:
        laid = _try(board, spacing)
        if laid is not None and (best is None or _faults(laid) < _faults(best)):
            best = laid
        if best is not None and _faults(best) <= A_BEND * len(best.led):
            break
    return best


def _first(board: Board, spacings: Iterable[Spacing]) -> Laid | None:
    return next((laid for one in spacings if (laid := _try(board, one)) is not None), None)


def _leaving(board: Board) -> Laid:
    """Return a layout in which a run without a way is told in words instead: a picture there must be."""
    laid = _try(board, LAST, may_leave=True)
    assert laid is not None
    led = {one.run.tag for one in laid.led}
    left = [run for run in drawn_runs(board.plan) if run.tag not in led and run.kind in RUN_KINDS]
    laid.words.listed += [f"{short(run.tag)} from {short(run.start.tag)} to {short(run.end.tag)}" for run in left]
    return laid


def _faults(laid: Laid) -> float:
    """Return how far a layout is from the wanted one: words without room, needless bends, too great a width."""
    bends = sum(max(0, len(one.points) - 3) for one in laid.led)
    too_wide = max(0.0, laid.width - laid.board.ratio * max(laid.size, LIKELY))
    return A_LISTED_RUN * len(laid.words.listed) + A_BEND * bends + A_TOO_WIDE * too_wide


def _try(board: Board, spacing: Spacing, may_leave: bool = False) -> Laid | None:
    """Return the layout with one spacing, or None if a run finds no way."""
    setting = _setting(board)
    blocks = placed_blocks(setting, spacing)
    whole = around([box for block in blocks.values() for box in block.boxes]).grown(200)
    broken = [] if spacing.is_apart else bands(setting.scale, whole.left, whole.right)
    led = led_runs(board.plan, blocks, broken, may_leave)
    if led is None:
        return None
    laid = Laid(board, spacing, setting, blocks, led, Lettered(), [])
    _letter(laid)
    return laid


def _setting(board: Board) -> Setting:
    plan, heights = board.plan, board.heights
    has_wells = any(name == "mark" for _, name in heights.places)
    room = ABOVE_ROOM if has_wells else min(MOST_ROOM, ABOVE_ROOM + 14 * max(0, len(plan.water) - 8))
    tanks = [tag for tag, name in heights.places if name == "floor"]
    least = min((heights.places[tag, "overflow"] - heights.places[tag, "floor"] for tag in tanks), default=2.0)
    scale = scale_of(heights.values(), least, room)
    return Setting(plan, heights, scale, board.unit_system, board.size, shared_levels(heights, scale))


def _letter(laid: Laid) -> None:
    """Set what sits on runs, then the words on them."""
    scale = laid.setting.scale
    taken = [Box(x - 9, at - 9, x + 9, at + 9) for x, at in broken_runs(laid)]
    taken += [Box(one.body.left - 9, at - 9, one.body.right + 9, at + 9) for one in laid.wells for at in scale.breaks]
    taken += room_of(list(laid.blocks.values()))
    ridden = riders(laid.setting, laid.led, taken)
    laid.signs = ridden.signs
    laid.words = lettered(laid.led, taken, laid.board.unit_system, laid.size)
    laid.words.labels += ridden.labels
    laid.words.listed = sorted([*laid.words.listed, *ridden.listed])


def broken_runs(laid: Laid) -> list[Point]:
    """Return where upright pipes cross a break of the staff."""
    return [
        (one[0], at)
        for led in laid.led
        if led.run.kind == "pipe"
        for one, other in led.pieces
        for at in laid.setting.scale.breaks
        if one[0] == other[0] and min(one[1], other[1]) < at < max(one[1], other[1])
    ]
