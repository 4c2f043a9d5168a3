"""What a schematic is made of before it is ink: boxes, signs, strokes, labels, and blocks of them.

Everything is in user units of the picture; x may still move, y comes from the scale and may not.
"""

from dataclasses import dataclass, field, replace
from functools import cache
from unicodedata import east_asian_width

Point = tuple[float, float]

NARROW, WIDE = " .,:;'|!ijlItf()[]·", "mwMW@%—…×²³"
LEADING = 1.26  # of the size, from one line of a label to the next


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle."""

    left: float
    top: float
    right: float
    bottom: float

    def moved(self, dx: float) -> "Box":
        """Return the box moved sideways."""
        return Box(self.left + dx, self.top, self.right + dx, self.bottom)

    def grown(self, x: float, y: float | None = None) -> "Box":
        """Return the box with a margin all round."""
        tall = x if y is None else y
        return Box(self.left - x, self.top - tall, self.right + x, self.bottom + tall)

    def hits(self, other: "Box") -> bool:
        """Whether two boxes share more than an edge."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


@dataclass(frozen=True, slots=True)
class Sign:
    """A symbol of the standard set around its middle, or a plain frame with words where there is none."""

    name: str
    x: float
    y: float
    box: Box
    scale: float = 1.0
    is_mirrored: bool = False
    words: str = ""
    is_rider: bool = False  # sits on a line that runs through it

    def moved(self, dx: float) -> "Sign":
        return replace(self, x=self.x + dx, box=self.box.moved(dx))


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points; `cls` says what it is (run, wall, leader…)."""

    points: tuple[Point, ...]
    width: float
    cls: str = ""
    dash: str = ""

    def moved(self, dx: float) -> "Stroke":
        return replace(self, points=tuple((x + dx, y) for x, y in self.points))

    def segments(self) -> list[tuple[Point, Point]]:
        """Return the straight pieces."""
        return list(zip(self.points, self.points[1:], strict=False))

    @property
    def box(self) -> Box:
        """Return the least box around the line."""
        return around([Box(x, y, x, y) for x, y in self.points])


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a label."""

    text: str
    is_bold: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of text under one another; `x` is where the anchor is, `top` the upper edge."""

    x: float
    top: float
    lines: tuple[Line, ...]
    size: float
    anchor: str = "start"

    def moved(self, dx: float) -> "Label":
        return replace(self, x=self.x + dx)

    @property
    def width(self) -> float:
        return max((text_width(one.text, self.size, one.is_bold) for one in self.lines), default=0.0)

    @property
    def height(self) -> float:
        return len(self.lines) * LEADING * self.size

    @property
    def box(self) -> Box:
        """Return the room that the words take."""
        start = {"start": self.x, "middle": self.x - self.width / 2, "end": self.x - self.width}[self.anchor]
        return Box(start, self.top, start + self.width, self.top + self.height)


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a run may join a block, and the way out from there."""

    x: float
    y: float
    dx: int
    dy: int

    def moved(self, dx: float) -> "Spot":
        return replace(self, x=self.x + dx)


Mark = Sign | Stroke | Label


@dataclass
class Block:
    """A component with all that is drawn with it, and where its runs may join."""

    tag: str
    body: Box
    marks: list[Mark] = field(default_factory=list)
    solids: list[Box] = field(default_factory=list)
    spots: dict[str, list[Spot]] = field(default_factory=dict)

    def moved(self, dx: float) -> "Block":
        """Return the block moved sideways."""
        return Block(
            self.tag,
            self.body.moved(dx),
            [one.moved(dx) for one in self.marks],
            [one.moved(dx) for one in self.solids],
            {run: [spot.moved(dx) for spot in spots] for run, spots in self.spots.items()},
        )

    @property
    def labels(self) -> list[Label]:
        return [one for one in self.marks if isinstance(one, Label)]

    @property
    def boxes(self) -> list[Box]:
        """Return all the room that the block takes."""
        signs = [one.box for one in self.marks if isinstance(one, Sign)]
        return [self.body, *self.solids, *signs, *(one.box for one in self.labels)]


def around(boxes: list[Box]) -> Box:
    """Return the least box around all."""
    return Box(
        min(one.left for one in boxes),
        min(one.top for one in boxes),
        max(one.right for one in boxes),
        max(one.bottom for one in boxes),
    )


@cache
def text_width(text: str, size: float, is_bold: bool = False) -> float:
    """Return the room that a text needs in any common sans serif face, rather too much than too little."""
    ems = max(sum(_ems(one) for one in text), 0.56 * len(text))
    return ems * size * (1.07 if is_bold else 1.0)


def _ems(letter: str) -> float:
    if letter in NARROW:
        return 0.36
    if east_asian_width(letter) in "WF":
        return 1.05
    if letter in WIDE:
        return 0.9
    return 0.7 if letter.isupper() else 0.58
