"""Ink: marks to SVG."""

from html import escape

from commissioning.plots import svg
from commissioning.plots.schematic.shapes import Block, Box, Label, Line, Mark, Point, Sign, Stroke
from commissioning.plots.schematic.staff import HALF_GAP, SLANT
from commissioning.plots.symbols import CENTRE, SYMBOLS

BOLD_MORE = 1.0  # user units by which a bold tag is larger
BASELINE = 0.97  # of the size, from the top of a line to its foot
PIPE_CLASSES = {"run pipe", "riser pipe"}


def inked(mark: Mark, is_print: bool) -> str:
    """Return a mark as SVG."""
    if isinstance(mark, Sign):
        return _sign(mark)
    return _label(mark) if isinstance(mark, Label) else stroke(mark, is_print)


def stroke(mark: Stroke, is_print: bool) -> str:
    """Return a line; on paper a pipe has no colour of its own."""
    cls = " ".join(one for one in mark.cls.split() if one != "pipe") if is_print else mark.cls
    (x, y), *rest = mark.points
    d = f"M{x:.1f} {y:.1f}" + "".join(_on(one, other) for one, other in zip(mark.points, rest, strict=False))
    return svg.path(d, mark.width, cls, mark.dash).replace("/>", ' stroke-linejoin="round"/>')


def _on(start: Point, end: Point) -> str:
    if start[1] == end[1]:
        return f"H{end[0]:.1f}"
    return f"V{end[1]:.1f}" if start[0] == end[0] else f"L{end[0]:.1f} {end[1]:.1f}"


def _sign(mark: Sign) -> str:
    if not mark.name:
        return _frame(mark)
    title, inner = SYMBOLS[mark.name]
    across = -mark.scale if mark.is_mirrored else mark.scale
    move = f"translate({mark.x - CENTRE * across:.1f} {mark.y - CENTRE * mark.scale:.1f})"
    size = f" scale({across:.3g} {mark.scale:.3g})" if mark.scale != 1 or mark.is_mirrored else ""
    cls = "sign rider" if mark.is_rider else "sign"
    return f'<g class="{cls}" transform="{move}{size}"><title>{escape(title)}</title>{inner}</g>'


def _frame(mark: Sign) -> str:
    box = mark.box
    size = f'width="{box.right - box.left:.1f}" height="{box.bottom - box.top:.1f}"'
    shape = f'x="{box.left:.1f}" y="{box.top:.1f}" {size}'
    drawn = f'<rect class="ground sign" {shape} fill="#fff" stroke="currentColor" stroke-width="2"/>'
    return drawn + (_label(centred(mark)) if mark.words else "")


def centred(mark: Sign) -> Label:
    """Return the tag inside a plain box."""
    size = 13.0
    return Label(mark.x, mark.y - 0.63 * size, (Line(mark.words, True),), size, "middle")


def _label(mark: Label) -> str:
    step = mark.height / max(len(mark.lines), 1)
    return "".join(
        svg.text(
            mark.x, mark.top + k * step + BASELINE * mark.size, one.text,
            mark.size + (BOLD_MORE if one.is_bold else 0), mark.anchor, one.is_bold,
        )
        for k, one in enumerate(mark.lines)
    )  # fmt: skip


def casing_break(block: Block, at: float) -> str:
    """Return the break across a well: a strip of paper over casing and risers between two slanting strokes."""
    left, right = block.body.left - 6, block.body.right + 6
    up, low = at - HALF_GAP, at + HALF_GAP
    tilt = SLANT / 2
    strip = f"M{left:.1f} {up + tilt:.1f}L{right:.1f} {up - tilt:.1f}V{low - tilt:.1f}L{left:.1f} {low + tilt:.1f}Z"
    paper = f'<path d="{strip}" fill="#fff" stroke="none" class="ground"/>'
    ends = [((left, y + tilt), (right, y - tilt)) for y in (up, low)]
    return paper + "".join(stroke(Stroke(one, 1.2, "break"), False) for one in ends)


def line_break(x: float, at: float) -> str:
    """Return the break across a single upright line."""
    box = Box(x - 6, at, x + 6, at)
    return casing_break(Block("", Box(box.left + 3, at, box.right - 3, at)), at)
