"""A small chart: ruled and ticked like an instrument's scale, labelled on the lines themselves."""

from collections.abc import Sequence

from commissioning.plots import svg

Point = tuple[float, float]
Range = tuple[float, float]
Tick = tuple[float, str]
DIGIT, GAP = 8, 6  # of the drawing: room for one figure of a tick, and from the last one to the axis


class Plot:
    """A chart that is built up line by line. Coordinates are values in the units shown."""

    def __init__(
        self,
        title: str,
        xs: Range,
        ys: Range,
        x_label: str,
        y_label: str,
        width: int = 340,
        height: int = 220,
        x_ticks: Sequence[Tick] | None = None,
        y_places: int = 0,
        x_places: int = 0,
    ) -> None:
        self.title = title
        self.width, self.height = width, height
        self.xs, self.ys = _range("x", xs), _range("y", ys)
        longest = max((len(words) for _, words in _ticks(self.ys, y_places)), default=0)
        self.left, self.right, self.top, self.bottom = max(38, GAP + DIGIT * longest), width - 10, 26, height - 36
        self.parts: list[str] = []
        self._levels(y_places)
        self._x_axis(_ticks(self.xs, x_places) if x_ticks is None else x_ticks)
        self._labels(x_label, y_label)

    def x(self, value: float) -> float:
        """Return where a value stands across the chart."""
        svg.finite("x", value)
        return self.left + (value - self.xs[0]) / (self.xs[1] - self.xs[0]) * (self.right - self.left)

    def y(self, value: float) -> float:
        """Return where a value stands up the chart."""
        svg.finite("y", value)
        return self.bottom - (value - self.ys[0]) / (self.ys[1] - self.ys[0]) * (self.bottom - self.top)

    def curve(self, points: Sequence[Point], width: float = 2.0, cls: str = "", dash: str = "") -> None:
        """Draw a line through the points; dashed means expected."""
        if points:
            self.parts.append(svg.path("M" + self._through(points), width, cls, dash))

    def band(self, low: Sequence[Point], high: Sequence[Point], cls: str = "pl-band") -> None:
        """Draw two limits as thin lines with a light tint between them."""
        if not (low and high):
            return
        outline = f"M{self._through(high)}L{self._through(list(reversed(low)))}Z"
        self.parts.append(svg.path(outline, 0, cls, fill="currentColor", opacity=0.13))
        self.curve(low, 1.2, "pl-edge")
        self.curve(high, 1.2, "pl-edge")

    def point(
        self,
        a: float,
        b: float,
        spread: float = 0.0,
        verdict: str = "within",
        label: str = "",
        dx: float = 9,
        dy: float = -8,
        anchor: str = "start",
    ) -> None:
        """Draw a reading with its whiskers; a dashed ring cannot be judged or compared."""
        x, y, cls = self.x(a), self.y(b), f"is-{verdict}"
        if spread:
            self.parts.append(self._whisker(x, b, spread, cls))
        is_ring = verdict == "unjudged"
        self.parts.append(
            svg.ring(x, y, 6, 2, "3.6 2.6", f"{cls} ring") if is_ring else svg.dot(x, y, 4.5, f"{cls} dot")
        )
        if label:
            self.text(x + dx, y + dy, label, anchor=anchor, bold=True, cls="halo")

    def text(
        self, x: float, y: float, words: str, size: float = 13, anchor: str = "start", bold: bool = False, cls: str = ""
    ) -> None:
        """Write at a place of the drawing, not at a value."""
        self.parts.append(svg.text(x, y, words, size, anchor, bold, cls))

    def svg(self) -> str:
        """Return the picture."""
        return svg.drawing("plot", self.width, self.height, self.title, self.parts)

    def _through(self, points: Sequence[Point]) -> str:
        return "L".join(f"{self.x(a):.1f} {self.y(b):.1f}" for a, b in points)

    def _whisker(self, x: float, b: float, spread: float, cls: str) -> str:
        low, high, level = self.y(b - spread), self.y(b + spread), self.y(b)
        caps = f"M{x - 5:.1f} {low:.1f}h10M{x - 5:.1f} {high:.1f}h10" if low - level > 8 else ""
        return svg.path(f"M{x:.1f} {low:.1f}V{high:.1f}{caps}", 2, cls)

    def _levels(self, places: int) -> None:
        for value, words in _ticks(self.ys, places):
            self.parts.append(svg.path(f"M{self.left} {self.y(value):.1f}H{self.right}", 0.6, "pl-grid"))
            self.text(self.left - 6, self.y(value) + 4.5, words, anchor="end")

    def _x_axis(self, ticks: Sequence[Tick]) -> None:
        self.parts.append(svg.path(f"M{self.left} {self.bottom}H{self.right}", 1.2))
        for value, words in ticks:
            self.parts.append(svg.path(f"M{self.x(value):.1f} {self.bottom}v5", 1.2))
            self.text(self.x(value), self.bottom + 18, words, anchor="middle")

    def _labels(self, x_label: str, y_label: str) -> None:
        self.text(0, 13, y_label, bold=True)
        self.text(self.right, self.height - 3, x_label, anchor="end", bold=True)


def _range(name: str, ends: Range) -> Range:
    """Return the range, widened around a single value so that there is a scale at all."""
    low, high = sorted(ends)
    svg.finite(name, low)
    svg.finite(name, high)
    if high > low:
        return low, high
    half = abs(low) / 10 or 1.0
    return low - half, high + half


def _ticks(ends: Range, places: int) -> list[Tick]:
    step = svg.nice_step(ends[1] - ends[0], 5)
    return [(k * step, svg.number(k * step, places)) for k in svg.ticks(*ends, step)]
