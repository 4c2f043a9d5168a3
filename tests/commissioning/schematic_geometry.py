"""Reads a drawn section back from its SVG and finds what overlaps: an outside eye, which knows nothing of the layout.

The room of a text is reckoned at 0.56 em a character, a mean of common sans serif faces (from memory).
"""

import re
from dataclasses import dataclass, field
from itertools import combinations
from xml.etree import ElementTree

from commissioning.plots.schematic.setting import EXTENTS
from commissioning.plots.symbols import SYMBOLS

EM, ASCENT, DESCENT = 0.56, 0.74, 0.2
TOUCH = 2.0  # user units by which two things may touch
NAME_OF = {title: name for name, (title, _) in SYMBOLS.items()}
SVG = "{http://www.w3.org/2000/svg}"

Rect = tuple[float, float, float, float]  # left, top, right, bottom
Segment = tuple[float, float, float, float]


@dataclass
class Drawn:
    """What a picture holds, in its own user units."""

    texts: list[tuple[str, Rect]] = field(default_factory=list)
    signs: list[tuple[str, Rect]] = field(default_factory=list)
    riders: list[tuple[str, Rect]] = field(default_factory=list)  # signs that their own run goes through
    frames: list[Rect] = field(default_factory=list)
    lines: list[tuple[str, float, list[Segment]]] = field(default_factory=list)  # class, width, segments

    def of(self, cls: str) -> list[list[Segment]]:
        """Return the lines that have a class."""
        return [segments for name, _, segments in self.lines if cls in name.split()]


def read(svg: str) -> Drawn:
    """Return what is drawn."""
    root = ElementTree.fromstring(svg)  # noqa: S314  our own drawing
    made = Drawn()
    _walk(root, 0.0, 0.0, made)
    return made


def _walk(element: ElementTree.Element, dx: float, dy: float, made: Drawn) -> None:
    for one in element:
        tag, cls = one.tag.removeprefix(SVG), one.get("class", "").split()
        if tag == "g" and "sign" in cls:
            (made.riders if "rider" in cls else made.signs).append(_sign(one, dx, dy))
        elif tag == "g":
            x, y = (float(n) for n in re.findall(r"-?[\d.]+", one.get("transform", "translate(0 0)"))[:2])
            _walk(one, dx + x, dy + y, made)
        elif tag == "text":
            made.texts.append(_text(one, dx, dy))
        elif tag == "rect":
            made.frames.append(_rect(one, dx, dy))
        elif tag == "path" and one.get("stroke") != "none":
            width = float(one.get("stroke-width", "1"))
            made.lines.append((one.get("class", ""), width, _segments(one.get("d", ""), dx, dy)))


def _sign(one: ElementTree.Element, dx: float, dy: float) -> tuple[str, Rect]:
    numbers = [float(n) for n in re.findall(r"-?[\d.]+", one.get("transform", ""))]
    across, down = (numbers[2], numbers[3]) if len(numbers) == 4 else (1.0, 1.0)
    title = next(child.text for child in one if child.tag.removeprefix(SVG) == "title")
    name = NAME_OF[str(title)]
    left, top, right, bottom = EXTENTS[name]
    x, y = numbers[0] + 40 * across + dx, numbers[1] + 40 * down + dy
    ends = sorted((x - left * across, x + right * across))
    return name, (ends[0], y - top * down, ends[1], y + bottom * down)


def _text(one: ElementTree.Element, dx: float, dy: float) -> tuple[str, Rect]:
    words, size = one.text or "", float(one.get("font-size", "13"))
    x, y, width = float(one.get("x", "0")) + dx, float(one.get("y", "0")) + dy, EM * size * len(words)
    left = {"start": x, "middle": x - width / 2, "end": x - width}[one.get("text-anchor", "start")]
    return words, (left, y - ASCENT * size, left + width, y + DESCENT * size)


def _rect(one: ElementTree.Element, dx: float, dy: float) -> Rect:
    x, y, width, height = (float(one.get(name, "0")) for name in ("x", "y", "width", "height"))
    return x + dx, y + dy, x + dx + width, y + dy + height


def _segments(d: str, dx: float, dy: float) -> list[Segment]:
    made, x, y = [], 0.0, 0.0
    for letter, rest in re.findall(r"([MLHV])([^MLHVZ]*)", d):
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", rest)]
        to = {"H": (numbers[0], y), "V": (x, numbers[0])}.get(letter, tuple(numbers[:2]))
        if letter != "M":
            made.append((x + dx, y + dy, to[0] + dx, to[1] + dy))
        x, y = to
    return made


def hits(one: Rect, other: Rect, slack: float = 0.0) -> bool:
    """Whether two rectangles share more than `slack` both ways."""
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > slack and min(one[3], other[3]) - max(one[1], other[1]) > slack
    )


def crosses(segment: Segment, rect: Rect, slack: float = 0.0) -> bool:
    """Whether a straight piece enters a rectangle by more than `slack`."""
    x1, y1, x2, y2 = segment
    inner = (rect[0] + slack, rect[1] + slack, rect[2] - slack, rect[3] - slack)
    if inner[0] >= inner[2] or inner[1] >= inner[3]:
        return False
    across = max(x1, x2) > inner[0] and min(x1, x2) < inner[2]
    return across and max(y1, y2) > inner[1] and min(y1, y2) < inner[3]


def overlaps(svg: str) -> list[str]:
    """Return what overlaps that should not, in words."""
    drawn = read(svg)
    return [*_texts(drawn), *_signs(drawn), *_runs(drawn)]


def _texts(drawn: Drawn) -> list[str]:
    made = [f"text {a!r} over text {b!r}" for (a, one), (b, two) in combinations(drawn.texts, 2) if hits(one, two)]
    for words, box in drawn.texts:
        signs = [*drawn.signs, *drawn.riders]
        made += [f"text {words!r} over {name}" for name, sign in signs if hits(box, sign, TOUCH)]
        frames = [one for one in drawn.frames if not _holds(one, box)]
        made += [f"text {words!r} over a frame" for frame in frames if hits(box, frame, TOUCH)]
        made += [
            f"text {words!r} on a line of {cls!r}"
            for cls, _, segments in drawn.lines
            if any(crosses(one, box, 0.5) for one in segments)
        ]
    return made


def _holds(frame: Rect, box: Rect) -> bool:
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    return frame[0] < middle[0] < frame[2] and frame[1] < middle[1] < frame[3]


def _signs(drawn: Drawn) -> list[str]:
    boxes = [*drawn.signs, *drawn.riders, *(("frame", one) for one in drawn.frames)]
    return [f"{a} over {b}" for (a, one), (b, two) in combinations(boxes, 2) if hits(one, two, TOUCH)]


def _runs(drawn: Drawn) -> list[str]:
    runs = drawn.of("run")
    boxes = [*drawn.signs, *(("frame", one) for one in drawn.frames)]
    boxes += [("wall", _around(segments)) for segments in drawn.of("wall")]
    made = [f"run through {name}" for run in runs for one in run for name, box in boxes if _enters(one, name, box)]
    for a, b in combinations(runs, 2):
        made += [f"run along run at {one}" for one in a for two in b if _lie_along(one, two)]
    made += [f"slanting run {one}" for run in runs for one in run if one[0] != one[2] and one[1] != one[3]]
    return made


def _enters(segment: Segment, name: str, box: Rect) -> bool:
    return crosses(segment, box, 5.5 if name == "junction" else 4.0)


def _around(segments: list[Segment]) -> Rect:
    xs = [x for one in segments for x in (one[0], one[2])]
    ys = [y for one in segments for y in (one[1], one[3])]
    return min(xs), min(ys), max(xs), max(ys)


def _lie_along(one: Segment, two: Segment) -> bool:
    for a, b in ((0, 1), (1, 0)):
        if one[b] == one[b + 2] and two[b] == two[b + 2] and abs(one[b] - two[b]) < 4:
            low = max(min(one[a], one[a + 2]), min(two[a], two[a + 2]))
            high = min(max(one[a], one[a + 2]), max(two[a], two[a + 2]))
            if high - low > 0.5:
                return True
    return False
