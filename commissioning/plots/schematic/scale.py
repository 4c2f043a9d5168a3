"""Height to scale on a levelling staff, broken where nothing is drawn for a long stretch.

Above ground all stretches share one scale; the stretches deep in a well may share another. The
figures on the staff stay true everywhere.
"""

from dataclasses import dataclass

ABOVE_ROOM, DEEP_ROOM = 300.0, 170.0  # user units for all that is above ground, and deep in wells
MOST, LEAST_TANK = 34.0, 42.0  # user units a metre; height of the smallest tank worth having
EDGE, BURIED, BREAK = 12.0, 46.0, 30.0  # room around a stretch, under the ground, and for the break itself
NEARLY = 0.85  # of the wanted scale is good enough to do without a break
DEEP = -0.5  # m: a stretch wholly below this is deep in a well
LEAST_GAP, WORTH = 4.0, 0.12  # m; share of all that is above ground: what a break must save


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the staff without a break: elevations, and where they are drawn."""

    low: float
    high: float
    y_high: float
    per_metre: float
    top: float
    bottom: float

    def y(self, elevation: float) -> float:
        return self.y_high + (self.high - elevation) * self.per_metre


@dataclass(frozen=True, slots=True)
class Scale:
    """The whole staff, from the top down."""

    stretches: tuple[Stretch, ...]

    def y(self, elevation: float) -> float:
        """Return where an elevation is drawn; one inside a break is moved to its edge."""
        holding = [one for one in self.stretches if one.low <= elevation <= one.high]
        if holding:
            return holding[0].y(elevation)
        nearest = min(self.stretches, key=lambda one: min(abs(one.low - elevation), abs(one.high - elevation)))
        return nearest.y(min(max(elevation, nearest.low), nearest.high))

    @property
    def breaks(self) -> list[float]:
        """Return the middle of each break."""
        pairs = zip(self.stretches, self.stretches[1:], strict=False)
        return [(upper.bottom + lower.top) / 2 for upper, lower in pairs]

    @property
    def top(self) -> float:
        return self.stretches[0].top

    @property
    def bottom(self) -> float:
        return self.stretches[-1].bottom


def scale_of(values: list[float], least_tank: float, room: float = ABOVE_ROOM) -> Scale:
    """Return the staff for the elevations that are drawn.

    `least_tank` is the height of the lowest tank [m], `room` what all above ground may take.
    """
    clusters = [sorted({*values, 0.0}, reverse=True)]
    wanted = min(MOST, LEAST_TANK / max(least_tank, 0.1))
    while _above(clusters, room) < NEARLY * wanted:
        cut = _cut(clusters)
        if cut is None:
            break
        clusters = cut
    return Scale(tuple(_laid(clusters, room)))


def _is_deep(cluster: list[float]) -> bool:
    return cluster[0] < DEEP


def _above(clusters: list[list[float]], room: float) -> float:
    span = sum(one[0] - one[-1] for one in clusters if not _is_deep(one))
    return min(MOST, room / span) if span > 0 else MOST


def _deep(clusters: list[list[float]], room: float) -> float:
    span = sum(one[0] - one[-1] for one in clusters if _is_deep(one))
    return min(_above(clusters, room), DEEP_ROOM / span) if span > 0 else MOST


def _cut(clusters: list[list[float]]) -> list[list[float]] | None:
    """Return the clusters with the longest empty stretch above ground cut out, or None if it is not worth it."""
    gaps = [
        (one[at] - one[at + 1], where, at)
        for where, one in enumerate(clusters)
        if not _is_deep(one)
        for at in range(len(one) - 1)
    ]
    longest, where, at = max(gaps, default=(0.0, 0, 0))
    span = sum(one[0] - one[-1] for one in clusters if not _is_deep(one))
    if longest < max(LEAST_GAP, WORTH * span):
        return None
    one = clusters[where]
    return [*clusters[:where], one[: at + 1], one[at + 1 :], *clusters[where + 1 :]]


def _laid(clusters: list[list[float]], room: float) -> list[Stretch]:
    above, deep = _above(clusters, room), _deep(clusters, room)
    made: list[Stretch] = []
    y = 0.0
    for cluster in clusters:
        per_metre = deep if _is_deep(cluster) else above
        y_high = y + EDGE
        y_low = y_high + (cluster[0] - cluster[-1]) * per_metre
        under = BURIED if not _is_deep(cluster) and cluster[-1] <= 1.0 else EDGE
        made.append(Stretch(cluster[-1], cluster[0], y_high, per_metre, y, y_low + under))
        y = y_low + under + BREAK
    return made
