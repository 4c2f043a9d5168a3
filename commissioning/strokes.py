"""A drawn signature: numbers from the phone, checked here and drawn here.

The phone sends points, never a picture, so that nothing it says is printed unread. What is
stored is `Strokes.text`; the drawing is made from it whenever it is shown.
"""

import json
from dataclasses import dataclass
from html import escape
from math import isfinite
from typing import Any

from commissioning.plots.svg import printable

MOST_POINTS = 5000
MOST_STROKES = 400
MOST_CHARACTERS = 200_000
FARTHEST = 4000.0  # CSS px; no screen is wider
LONGEST = 3_600_000.0  # ms, one hour
SMALLEST = 8.0  # px: below that in both directions it is a slip of the finger
PAD = 4.0  # px of room for the pen's width

Point = tuple[float, float]


class StrokesError(ValueError):
    """Strokes that are refused, with words for the person who signs."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


@dataclass(frozen=True, slots=True)
class Strokes:
    """A signature: `text` as it came, and its lines in CSS pixels."""

    text: str
    lines: tuple[tuple[Point, ...], ...]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Return left, top, width and height."""
        xs = [x for line in self.lines for x, _ in line]
        ys = [y for line in self.lines for _, y in line]
        return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def parse_strokes(text: str) -> Strokes:
    """Return the strokes in `text`, JSON of [[[x, y, t], …], …] with t optional, or raise StrokesError."""
    if not text.strip():
        raise StrokesError("Sign in the field, or type your name.")
    if len(text) > MOST_CHARACTERS:
        raise StrokesError("The drawing is too long. Clear it and sign again.")
    lines = _lines(_decoded(text))
    made = Strokes(text, lines)
    if max(made.box[2:]) < SMALLEST:
        raise StrokesError("That is only a dot. Clear it and sign again.")
    return made


def _decoded(text: str) -> Any:
    try:
        return json.loads(text, parse_constant=_refuse)
    except (ValueError, RecursionError):
        raise _unreadable() from None


def _refuse(word: str) -> None:
    raise ValueError(word)


def _unreadable() -> StrokesError:
    return StrokesError("The drawing could not be read. Clear it and sign again.")


def _lines(value: Any) -> tuple[tuple[Point, ...], ...]:
    if not isinstance(value, list) or not 0 < len(value) <= MOST_STROKES:
        raise _unreadable()
    if not all(isinstance(stroke, list) and stroke for stroke in value):
        raise _unreadable()
    if sum(len(stroke) for stroke in value) > MOST_POINTS:
        raise StrokesError("The drawing is too long. Clear it and sign again.")
    return tuple(tuple(_point(point) for point in stroke) for stroke in value)


def _point(value: Any) -> Point:
    if not isinstance(value, list) or len(value) not in {2, 3}:
        raise _unreadable()
    if not all(_is_number(part) for part in value):
        raise _unreadable()
    x, y, *time = (float(part) for part in value)
    if not (0 <= x <= FARTHEST and 0 <= y <= FARTHEST) or any(not 0 <= t <= LONGEST for t in time):
        raise _unreadable()
    return x, y


def _is_number(value: Any) -> bool:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    return abs(value) <= LONGEST and isfinite(value)


def strokes_svg(strokes: Strokes, title: str = "Signature") -> str:
    """Return the signature as inline SVG in the colour of the text around it."""
    left, top, width, height = strokes.box
    box = f"{left - PAD:.1f} {top - PAD:.1f} {width + 2 * PAD:.1f} {height + 2 * PAD:.1f}"
    pen = max(width / 90, height / 24, 1.2)  # looks the same, drawn large or small
    d = "".join(_path(line) for line in strokes.lines)
    head = f'<svg class="signature" viewBox="{box}" role="img" preserveAspectRatio="xMinYMax meet">'
    ink = f'stroke="currentColor" stroke-width="{pen:.4g}" stroke-linecap="round" stroke-linejoin="round"'
    return f'{head}<title>{escape(printable(title))}</title><path d="{d}" fill="none" {ink}/></svg>'


def _path(line: tuple[Point, ...]) -> str:
    if len(line) == 1:  # a dot: a line of next to no length, made round by its caps
        return f"M{line[0][0]:.1f} {line[0][1]:.1f}h.1"
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in line)
