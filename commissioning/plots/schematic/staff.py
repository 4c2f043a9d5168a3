"""The levelling staff at the left, with true figures, and the marks where it is broken."""

from commissioning import units
from commissioning.plots.schematic.scale import BREAK, Scale, Stretch
from commissioning.plots.schematic.shapes import Box, Label, Line, Point, Stroke
from commissioning.plots.svg import nice_step, ticks
from sizing.quantities import Quantity as Q

ROOM = 4.6  # sizes of letters, between the left edge and the staff
LEAST_APART = 1.7  # sizes, from figure to figure
FINE_APART = 5.0
SLANT, HALF_GAP = 5.0, 3.5


def staff_marks(scale: Scale, x: float, size: float, unit_system: str, is_known: bool) -> list[Stroke | Label]:
    """Return the staff; without any known height it has no figures."""
    marks: list[Stroke | Label] = []
    edges = [scale.top, *(edge for at in scale.breaks for edge in (at - HALF_GAP, at + HALF_GAP)), scale.bottom]
    for top, bottom in zip(edges[::2], edges[1::2], strict=True):
        marks.append(Stroke(((x, top), (x, bottom)), 1.2, "staff"))
    for at in scale.breaks:
        marks += break_strokes(x, at, 8)
    if not is_known:
        return marks
    code = units.default_unit(Q.ELEVATION, unit_system).code
    for stretch in scale.stretches:
        marks += _ticks(stretch, x, size, code)
    return [*marks, Label(x, scale.top - 1.6 * size, (Line(units.unit(code, Q.ELEVATION).symbol),), size, "end")]


def _ticks(stretch: Stretch, x: float, size: float, code: str) -> list[Stroke | Label]:
    """Return ticks by the 1-2-5 rule over what a stretch shows, figures where there is room."""
    per_unit = stretch.per_metre * units.to_core(1.0, code, Q.ELEVATION)
    reach = [stretch.high + (stretch.y_high - stretch.top) / stretch.per_metre, stretch.low - _under(stretch)]
    high, low = (units.from_core(one, code, Q.ELEVATION) for one in reach)
    step = nice_step(LEAST_APART * size / per_unit, 1)
    fine = next((step / part for part in (10, 5, 2) if step / part * per_unit >= FINE_APART), step)
    marks: list[Stroke | Label] = []
    for k in ticks(low, high, fine):
        y = stretch.y(units.to_core(k * fine, code, Q.ELEVATION))
        is_figured = abs(k * fine / step - round(k * fine / step)) < 1e-6
        marks.append(Stroke(((x - (10 if is_figured else 5), y), (x, y)), 1.0, "tick"))
        if is_figured:
            words = Line(units.number(k * fine, 0 if step >= 1 else 1))
            marks.append(Label(x - 13, y - 0.63 * size, (words,), size, "end"))
    return marks


def _under(stretch: Stretch) -> float:
    return (stretch.bottom - 6 - stretch.y(stretch.low)) / stretch.per_metre


def break_strokes(x: float, y: float, reach: float) -> list[Stroke]:
    """Return the two slanting strokes of a break."""
    ends: list[tuple[Point, Point]] = [
        ((x - reach, at + SLANT / 2), (x + reach, at - SLANT / 2)) for at in (y - HALF_GAP, y + HALF_GAP)
    ]
    return [Stroke(one, 1.2, "break") for one in ends]


def bands(scale: Scale, left: float, right: float) -> list[Box]:
    """Return the strip of each break across the picture."""
    return [Box(left, at - BREAK / 2, right, at + BREAK / 2) for at in scale.breaks]
