"""The interval picture of one measurement, after the figures of JCGM 106.

A ruled line, a bracket at each limit, the reading as a dot with its whiskers. Limits keep
fixed places on the line, so that the eye learns them.
"""

from dataclasses import dataclass
from typing import Literal

from commissioning.plots import svg

Verdict = Literal["within", "outside", "borderline", "unjudged"]


@dataclass(frozen=True, slots=True)
class Size:
    """Measures of the drawing, in units of its view box."""

    width: int
    height: int
    left: float
    right: float
    axis: float  # y of the ruled line
    level: float  # y of the dot
    top: float  # upper end of a limit's bar
    foot: float  # length of a bracket's foot
    radius: float
    heavy: float
    thin: float
    cap: float
    drop: float
    triangle: float
    is_small: bool


FULL = Size(340, 96, 8, 332, 62, 40, 24, 8, 6.5, 3.2, 1.2, 6, 8, 5.5, is_small=False)
SMALL = Size(104, 26, 2, 102, 19, 9, 3, 4, 3.6, 2.2, 1, 3, 5, 3.2, is_small=True)
LABEL_Y = 90
TINY = 1e-12
LABEL_ROOM = 52  # an expected value nearer to a limit than this gives up its figure


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale: `value` stands at x = `at`, and one unit is `per` long."""

    value: float
    at: float
    per: float

    def x(self, value: float) -> float:
        return self.at + (value - self.value) * self.per

    def at_x(self, pixel: float) -> float:
        return self.value + (pixel - self.at) / self.per


@dataclass(frozen=True, slots=True)
class Picture:
    """What is to be drawn, in the unit shown, with its scale."""

    size: Size
    unit: str
    verdict: Verdict
    reading: float | None
    spread: float
    lower: float | None
    upper: float | None
    expected: float | None
    places: int
    note: str
    bound: str
    typed: str

    @property
    def limits(self) -> list[float]:
        return [limit for limit in (self.lower, self.upper) if limit is not None]

    @property
    def figure(self) -> str:
        shown = self.typed or svg.number(self.reading or 0.0, self.places)
        return f"{self.bound} {shown}".strip() if not shown.startswith(("<", ">")) else shown

    @property
    def reading_class(self) -> str:
        return f"ip-reading is-{self.verdict}"


def interval(
    *,
    unit: str,
    verdict: Verdict,
    reading: float | None = None,
    spread: float = 0.0,
    lower: float | None = None,
    upper: float | None = None,
    expected: float | None = None,
    places: int = 1,
    small: bool = False,
    note: str = "",
    bound: str = "",
    typed: str = "",
) -> str:
    """Return the picture as SVG.

    `spread` is the expanded uncertainty; `bound` is ">" or "<" where the reading is a
    bound, `typed` its text; `note` replaces the labels where there are no limits.
    """
    for name, value in (("reading", reading), ("spread", spread), ("lower", lower), ("upper", upper)):
        svg.finite(name, value)
    svg.finite("expected", expected)
    size = SMALL if small else FULL
    one = Picture(size, unit, verdict, reading, abs(spread), lower, upper, expected, places, note, bound, typed)
    return svg.drawing("ip ip-small" if small else "ip", size.width, size.height, sentence(one), _parts(one))


def _parts(one: Picture) -> list[str]:
    scale = scale_of(one)
    parts = [*_line(one), *_ticks(one, scale), *_allowed(one, scale), *_limits(one, scale)]
    return [*parts, *_expected(one, scale), *_reading(one, scale), *_note(one)]


# ---- scale -------------------------------------------------------------------------------


def scale_of(one: Picture) -> Scale:
    """Return the scale. Two limits stand at 1/4 and 3/4, one at 1/3 (lower) or 2/3 (upper)."""
    left, width = one.size.left, one.size.right - one.size.left
    if one.lower is not None and one.upper is not None and one.upper > one.lower:
        return Scale(one.lower, left + width / 4, _per(width / 2, one.upper - one.lower))
    if one.limits:
        part = 1 / 2 if len(one.limits) == 2 else (1 / 3 if one.lower is not None else 2 / 3)
        return _around(one, one.limits[0], left + width * part)
    points = _points(one) or [0.0, 1.0]
    span = (max(points) - min(points)) or abs(points[0]) or 1.0
    return Scale(min(points), left + width / 4, _per(width / 2, span))


def _per(length: float, distance: float) -> float:
    """Return length per unit; a distance too small to be a difference is drawn as none."""
    return length / max(abs(distance), TINY)


def _points(one: Picture) -> list[float]:
    points = [point for point in (one.reading, one.expected) if point is not None]
    if one.reading is not None:
        points += [one.reading - one.spread, one.reading + one.spread]
    return points


def _around(one: Picture, limit: float, at: float) -> Scale:
    """Stretch so that reading, whiskers and expected reach at most 9/10 of their side of the limit."""
    size = one.size
    rooms = [
        _per(((size.right - at) if point > limit else (at - size.left)) * 0.9, point - limit)
        for point in _points(one)
        if point != limit
    ]
    fallback = _per((size.right - size.left) / 4, limit or 1.0)
    return Scale(limit, at, min(rooms, default=fallback))


# ---- line, ticks, limits -----------------------------------------------------------------


def _line(one: Picture) -> list[str]:
    size = one.size
    return [svg.line(size.left, size.axis, size.right, size.axis, size.thin, "ip-axis", "" if one.limits else "4 4")]


def _ticks(one: Picture, scale: Scale) -> list[str]:
    size = one.size
    if not one.limits or size.is_small:
        return []
    step = svg.nice_step((size.right - size.left) / scale.per, 18)
    found = svg.ticks(scale.at_x(size.left), scale.at_x(size.right), step)
    return [_tick(scale.x(k * step), size.axis, 7 if k % 5 == 0 else 4) for k in found]


def _tick(x: float, axis: float, length: int) -> str:
    return svg.line(x, axis, x, axis + length, 1, "ip-tick")


def _allowed(one: Picture, scale: Scale) -> list[str]:
    if not one.limits:
        return []
    size = one.size
    start = size.left if one.lower is None else scale.x(one.lower)
    end = size.right if one.upper is None else scale.x(one.upper)
    parts = [svg.line(start, size.axis, end, size.axis, size.heavy, "ip-allowed")]
    parts += [_arrow(size, size.right, -1)] if one.upper is None else []
    return parts + ([_arrow(size, size.left, 1)] if one.lower is None else [])


def _arrow(size: Size, tip: float, way: int) -> str:
    """Return the head at the open end of the allowed stretch."""
    back, half = tip + way * size.foot, size.foot * 0.7
    d = f"M{back:.1f} {size.axis - half:.1f}L{tip:.1f} {size.axis}L{back:.1f} {size.axis + half:.1f}"
    return svg.path(d, size.heavy * 0.8, "ip-allowed")


def _limits(one: Picture, scale: Scale) -> list[str]:
    sides = ((one.lower, 1), (one.upper, -1))
    return [part for limit, side in sides if limit is not None for part in _limit(one, scale.x(limit), limit, side)]


def _limit(one: Picture, x: float, limit: float, side: int) -> list[str]:
    """Return a bracket whose feet turn to the allowed side, with its figure."""
    size, foot = one.size, x + side * one.size.foot
    bar = svg.path(f"M{foot:.1f} {size.top}H{x:.1f}V{size.axis + size.drop - 3}H{foot:.1f}", size.heavy, "ip-limit")
    if size.is_small or (side < 0 and one.lower == one.upper):
        return [bar]
    return [bar, svg.text(x, LABEL_Y, svg.number(limit, one.places), 15, bold=True)]


def _expected(one: Picture, scale: Scale) -> list[str]:
    size = one.size
    if one.expected is None or not size.left <= scale.x(one.expected) <= size.right:
        return []
    x, half = scale.x(one.expected), size.triangle
    foot = size.axis + half * 2
    d = f"M{x - half:.1f} {foot:.1f}L{x:.1f} {size.axis + 1.5}L{x + half:.1f} {foot:.1f}Z"
    mark = svg.path(d, 1 if size.is_small else 1.5, "ip-expected")
    is_crowded = any(abs(x - scale.x(limit)) <= LABEL_ROOM for limit in one.limits)
    if size.is_small or is_crowded or one.note:
        return [mark]
    return [mark, svg.text(x, LABEL_Y, svg.number(one.expected, one.places), 15)]


def _note(one: Picture) -> list[str]:
    if not one.note or one.size.is_small:
        return []
    return [svg.text(one.size.width / 2, LABEL_Y, one.note, 14)]


# ---- reading -----------------------------------------------------------------------------


def _reading(one: Picture, scale: Scale) -> list[str]:
    if one.reading is None:
        return []
    size, true = one.size, scale.x(one.reading)
    radius = size.radius + (1 if one.verdict == "unjudged" else 0)
    is_off = not size.left <= true <= size.right
    x = min(max(true, size.left + size.radius + 6), size.right - size.radius - 6) if is_off else true
    parts = [] if is_off else _whiskers(one, scale, x, radius)
    parts += _bound(one, x, radius) + (_beyond(one, x, true, radius) if is_off else [_drop(one, x, radius)])
    return parts + _mark(one, x, radius) + _figure(one, x)


def _dash(one: Picture) -> str:
    if one.verdict != "unjudged":
        return ""
    return "2.4 1.8" if one.size.is_small else "4 3"


def _whiskers(one: Picture, scale: Scale, x: float, radius: float) -> list[str]:
    size = one.size
    ends = [scale.x((one.reading or 0.0) + way * one.spread) for way in (-1, 1)]
    low, high = max(ends[0], size.left), min(ends[1], size.right)
    if not high - low > 2 * radius + 3:  # a shorter whisker is hidden by the dot
        return []
    width = size.heavy * 0.7
    caps = [_cap(one, end) for end in ends if size.left <= end <= size.right]
    if one.verdict != "unjudged":
        return [svg.line(low, size.level, high, size.level, width, one.reading_class), *caps]
    gap = radius + 1.5  # the line stops at the ring, which stays open
    halves = ((low, min(x - gap, high)), (max(x + gap, low), high))
    dashed = [svg.line(a, size.level, b, size.level, width, one.reading_class, _dash(one)) for a, b in halves if b > a]
    return dashed + caps


def _cap(one: Picture, x: float) -> str:
    size = one.size
    return svg.line(x, size.level - size.cap, x, size.level + size.cap, size.heavy * 0.7, one.reading_class)


def _bound(one: Picture, x: float, radius: float) -> list[str]:
    """Return the arrow of a bound such as "> 999": the true value lies beyond the dot."""
    size = one.size
    if one.bound not in {"<", ">"} or size.is_small:
        return []
    way, step = (1 if one.bound == ">" else -1), radius * 0.8
    start = f"M{x + way * (radius + 2):.1f} {size.level - step:.1f}"
    d = f"{start}l{way * step:.1f} {step:.1f}l{-way * step:.1f} {step:.1f}"
    return [svg.path(d, size.heavy * 0.6, one.reading_class)]


def _beyond(one: Picture, x: float, true: float, radius: float) -> list[str]:
    """Return the arrow head of a reading off the line, and the two strokes through the line."""
    size, way = one.size, (-1 if true < one.size.left else 1)
    back, tip = x + way * (radius + 1), x + way * (radius + 6)
    d = f"M{back:.1f} {size.level - 5}L{tip:.1f} {size.level}L{back:.1f} {size.level + 5}"
    head = svg.path(d, 2, one.reading_class)
    if size.is_small:
        return [head]
    edge, foot = (size.right - 26 if way > 0 else size.left + 20), size.axis + 6
    return [head, svg.path(f"M{edge:.1f} {foot}l6 -12M{edge + 6:.1f} {foot}l6 -12", 1.5)]


def _drop(one: Picture, x: float, radius: float) -> str:
    return svg.line(x, one.size.level + radius, x, one.size.axis, 1, one.reading_class)


def _mark(one: Picture, x: float, radius: float) -> list[str]:
    size = one.size
    if one.verdict == "unjudged":
        width = 1.5 if size.is_small else 2
        return [svg.ring(x, size.level, radius, width, _dash(one), f"{one.reading_class} ring")]
    halo = radius + (1 if size.is_small else 1.6)
    return [svg.ground(x, size.level, halo), svg.dot(x, size.level, radius, f"{one.reading_class} dot")]


def _figure(one: Picture, x: float) -> list[str]:
    if one.size.is_small:
        return []
    half = max(34.0, len(one.figure) * 5.0)  # keeps a long figure inside the picture
    at = min(max(x, min(half, one.size.width / 2)), max(one.size.width - half, one.size.width / 2))
    return [svg.text(at, 15, one.figure, 17, bold=True)]


# ---- in words ----------------------------------------------------------------------------


def sentence(one: Picture) -> str:
    """Return the picture in words, for its title."""
    parts = [_reading_words(one)] if one.reading is not None else []
    parts.append(_limit_words(one))
    if one.expected is not None:
        parts.append(f"expected {svg.number(one.expected, one.places)}")
    words = ", ".join(parts) + f": {one.verdict}."
    return words[0].upper() + words[1:]


def _reading_words(one: Picture) -> str:
    spread = f" ± {svg.number(one.spread, one.places)}" if one.spread else ""
    return f"Reading {one.figure}{spread} {one.unit}".rstrip()


def _limit_words(one: Picture) -> str:
    if not one.limits:
        return "no limits"
    figures = [svg.number(limit, one.places) for limit in one.limits]
    if len(figures) == 2:
        return f"limits {figures[0]} to {figures[1]}"
    return f"not below {figures[0]}" if one.lower is not None else f"not above {figures[0]}"
