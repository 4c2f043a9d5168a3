"""Where each block stands sideways: in the order of the water, as far left as there is room."""

from dataclasses import dataclass, field

from commissioning.plots.schematic.blocks import water_block
from commissioning.plots.schematic.grid import CLEAR
from commissioning.plots.schematic.power import loose_block, power_block, row_pitch
from commissioning.plots.schematic.setting import Setting
from commissioning.plots.schematic.shapes import Block, Box, around, text_width
from commissioning.plots.schematic.words import run_words
from sizing.system import Run

MARGIN = 14.0  # between the staff and the first block
STEP = 6.0  # of the search for room
TALL = 1e5
WAY_OUT = 18.0
UPRIGHT = 50.0  # a pipe that rises or falls by more has an upright piece for its words


@dataclass(frozen=True)
class Spacing:
    """How much room is left between blocks.

    `is_apart` lets nothing stand under or over anything; `words` says for what a level pipe must
    have the length: its words in a "line", in two "lines", or its "tag" alone.
    """

    across: float
    along: float
    down: float = 12.0
    is_apart: bool = False
    words: str = "line"


@dataclass
class Ground:
    """The picture while it is being filled."""

    setting: Setting
    spacing: Spacing
    blocks: dict[str, Block] = field(default_factory=dict)
    taken: list[Box] = field(default_factory=list)

    def put(self, block: Block, x: float) -> None:
        made = block.moved(x)
        self.blocks[block.tag] = made
        self.taken += [self._claim(one) for one in [*made.boxes, *_ways_out(made)]]

    def _claim(self, box: Box) -> Box:
        return Box(box.left, -TALL, box.right, TALL) if self.spacing.is_apart else box

    def is_free(self, block: Block, x: float) -> bool:
        """Whether a block could stand at x with the room that spacing asks for."""
        grown = [one.moved(x).grown(self.spacing.across, self.spacing.down) for one in block.boxes]
        ways = [one.moved(x) for one in _ways_out(block)]
        return not any(one.hits(other) for one in [*grown, *ways] for other in self.taken)

    def first_free(self, block: Block, least: float) -> float:
        """Return the least x from `least` on at which there is room."""
        x = least
        while not self.is_free(block, x):
            x += STEP
        return x

    def nearest_free(self, block: Block, wanted: float, least: float) -> float:
        """Return the x nearest to `wanted`, and not left of `least`, at which there is room."""
        for k in range(4000):
            for x in (wanted + k * STEP, wanted - k * STEP):
                if x + around(block.boxes).left >= least and self.is_free(block, x):
                    return x
        return self.first_free(block, max(one.right for one in self.taken) + TALL)


def _ways_out(block: Block) -> list[Box]:
    """Return the room in front of each spot that a run needs to leave and turn."""
    spots = {spot for spots in block.spots.values() for spot in spots}
    ends = [(one, one.x + one.dx * WAY_OUT, one.y + one.dy * WAY_OUT) for one in spots]
    return [around([Box(one.x, one.y, one.x, one.y), Box(x, y, x, y)]).grown(CLEAR / 2) for one, x, y in ends]


def placed_blocks(setting: Setting, spacing: Spacing) -> dict[str, Block]:
    """Return every block in its place, the leftmost at x = MARGIN or right of it."""
    ground = Ground(setting, spacing)
    waters = {tag: water_block(setting, tag) for tag in setting.plan.water}
    roof = _roof(setting, waters)
    for tag in setting.plan.water:
        _put_water(ground, waters[tag])
        _put_power(ground, tag, roof)
    _put_power(ground, "", roof)
    for tag in setting.plan.loose:
        _put_loose(ground, tag)
    return ground.blocks


def _roof(setting: Setting, waters: dict[str, Block]) -> float:
    """Return the height over which the first electrical row hangs: above all that it feeds."""
    fed = {perch.consumer for perch in setting.plan.perches.values()}
    tops = [around(waters[tag].boxes).top for tag in fed if tag in waters]
    return min([*tops, setting.y(0) - 30])


def _put_water(ground: Ground, block: Block) -> None:
    setting, least = ground.setting, MARGIN - around(block.boxes).left
    for run_tag in block.spots:
        run = setting.plan.system.runs[run_tag]
        for end in (run.start.tag, run.end.tag):
            up = ground.blocks.get(setting.plan.block_of(end))
            if up is not None and run.kind == "pipe":
                least = max(least, up.body.right + _reach(ground, up, block, run) - block.body.left)
    ground.put(block, ground.first_free(block, least))


def _reach(ground: Ground, up: Block, block: Block, run: Run) -> float:
    """Return how far a block stands behind another: a nearly level pipe is as long as its words."""
    drop = abs(up.spots[run.tag][0].y - block.spots[run.tag][0].y)
    if drop > UPRIGHT:
        return ground.spacing.along
    tag, words = run_words(run, ground.setting.unit_system)
    line = {"line": f"{tag} {words}".strip(), "lines": max(tag, words, key=len)}.get(ground.spacing.words, tag)
    return max(ground.spacing.along, text_width(line, ground.setting.size) + 16)


def _put_power(ground: Ground, consumer: str, roof: float) -> None:
    setting = ground.setting
    perches = setting.plan.perches
    mine = [tag for tag, perch in perches.items() if perch.consumer == consumer]
    for tag in sorted(mine, key=lambda one: perches[one].layer):
        y = roof - 44 - (perches[tag].layer - 1) * row_pitch(setting.size)
        block = power_block(setting, tag, y)
        ground.put(block, ground.nearest_free(block, _over(ground, tag), MARGIN))


def _over(ground: Ground, tag: str) -> float:
    """Return the x of the cable that leads down from an electrical component."""
    system = ground.setting.plan.system
    for run in system.runs_at(tag, "cable"):
        block = ground.blocks.get(ground.setting.plan.block_of(run.far(tag).tag))
        if block is not None and run.tag in block.spots:
            spots = block.spots[run.tag]
            sharing = [one for one, found in block.spots.items() if found == spots]
            return spots[min(sharing.index(run.tag), len(spots) - 1)].x
    return max((block.body.right for block in ground.blocks.values()), default=MARGIN) + 2 * MARGIN


def _corridors(ground: Ground) -> list[Box]:
    """Return the straight ways of level pipes, which a loose component would only force round itself."""
    made, blocks = [], ground.blocks
    for run in ground.setting.plan.system.runs.values():
        ends = [blocks.get(ground.setting.plan.block_of(end.tag)) for end in (run.start, run.end)]
        spots = [one.spots[run.tag][0] for one in ends if one is not None and run.tag in one.spots]
        if run.kind == "pipe" and len(spots) == 2 and abs(spots[0].y - spots[1].y) < 1:
            xs = sorted(spot.x for spot in spots)
            made.append(Box(xs[0], spots[0].y - 2, xs[1], spots[0].y + 2))
    return made


def _put_loose(ground: Ground, tag: str) -> None:
    near = [run.far(tag).tag for run in ground.setting.plan.runs_of(tag, "seat", "cable", "control")]
    beside = [ground.blocks[found] for one in near if (found := ground.setting.plan.block_of(one)) in ground.blocks]
    ground.taken += _corridors(ground)
    if beside:
        block = loose_block(ground.setting, tag, around(beside[0].boxes).top - 44)
        ground.put(block, ground.nearest_free(block, beside[0].body.left, MARGIN))
    else:
        block = loose_block(ground.setting, tag, ground.setting.y(0) - 24)
        ground.put(block, ground.first_free(block, MARGIN - around(block.boxes).left))
