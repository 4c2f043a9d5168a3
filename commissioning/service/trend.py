"""One value over all visits: drawn, and as a table below, from what was said on each day.

Where what it should have been is known of every day, the share of it is drawn: sun, heat and water table are out of
it then. A dashed ring is of something else than today's: a part was replaced since, or a set point moved.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from commissioning import units
from commissioning.models import Measurement
from commissioning.moments import short_day_words, zone_of
from commissioning.plots import Plot
from commissioning.plots.svg import nice_step
from commissioning.service.earlier import Former
from sizing.quantities import Quantity

FEWEST = 2
PERCENT = 100.0
APART = 0.2  # of the width: two dates nearer than that would run into each other
AIR = 0.08
LEVELS = 5
SAME = 1e-9


@dataclass(frozen=True)
class TrendRow:
    """One visit in the table: bare numbers, the unit stands in the head."""

    day: str
    value: str
    expected: str
    spread: str
    share: str
    changed: str


@dataclass(frozen=True)
class Trend:
    """One value over all visits, ready to print."""

    label: str
    unit: str
    drawing: str
    rows: tuple[TrendRow, ...]
    is_share: bool
    has_rings: bool


@dataclass(frozen=True)
class _Point:
    at: datetime
    day: str
    finding: dict[str, Any]
    changed: str

    @property
    def nominal(self) -> float | None:
        return (self.finding["expected"] or {}).get("nominal")


def trends_of(now: Measurement, past: Sequence[Former]) -> list[Trend]:
    """Return every value of a measurement over all visits; nothing where there is one visit only. No query."""
    days = [*((f.one, f.changed) for f in past if f.one), (now, "")]
    judgement = now.judgement()
    named = [(f["name"], f["repeat"]) for f in judgement.findings] if judgement else []
    found = ([p for one, changed in days for p in _points(one, changed, name)] for name in named)
    return [_trend(points, now) for points in found if len(points) >= FEWEST]


def _points(one: Measurement, changed: str, name: tuple[str, str]) -> list[_Point]:
    """Return the value of that name on one day, if it has one that is no bound."""
    judgement = one.judgement()
    rows = [f for f in judgement.findings if (f["name"], f["repeat"]) == name] if judgement else []
    day = short_day_words(one.taken_at, zone_of(one.visit.site))
    return [_Point(one.taken_at, day, f, changed) for f in rows if f["value"] is not None and not f["bound"]]


def _trend(points: list[_Point], now: Measurement) -> Trend:
    last = points[-1].finding
    quantity = Quantity(last["quantity"])
    code = units.default_unit(quantity, now.visit.site.unit_system).code
    is_share = all(p.nominal for p in points)
    label = f"{last['label']}, {last['repeat']}" if last["repeat"] else last["label"]
    return Trend(
        label=label,
        unit=units.unit(code, quantity).symbol,
        drawing=_drawn(points, label, quantity, code, is_share),
        rows=tuple(_row(p, quantity, code, is_share) for p in points),
        is_share=is_share,
        has_rings=any(p.changed for p in points),
    )


def _row(point: _Point, quantity: Quantity, code: str, is_share: bool) -> TrendRow:
    f, spread = point.finding, point.finding["spread"]
    shown = units.figure_parts(f["value"], quantity, code, u=spread)[0]
    expected = units.figure_parts(point.nominal, quantity, code, u=spread)[0] if point.nominal is not None else "—"
    symbol = units.unit(code, quantity).symbol
    around = units.plus_minus(spread, quantity, code).removesuffix(symbol).rstrip("\u00a0") if spread else "—"
    share = units.number(_share(f["value"], point), 1) if is_share else ""
    return TrendRow(point.day.replace(" ", "\u00a0"), shown, expected, around, share, point.changed)


def _share(value: float, point: _Point) -> float:
    assert point.nominal
    return PERCENT * value / point.nominal


def _drawn(points: list[_Point], label: str, quantity: Quantity, code: str, is_share: bool) -> str:
    """Return the chart over time: readings with their whiskers, dashed what should have been."""
    first = points[0].at
    xs = [(p.at - first).total_seconds() / 86_400 for p in points]
    heights = [_height(p, quantity, code, is_share) for p in points]
    around = [y + sign * u for y, u in heights for sign in (1, -1)] + ([PERCENT] if is_share else [])
    low, high = min(around), max(around)
    air, wide = (high - low or abs(high) or 1.0) * AIR, max(xs) or 1.0
    unit = "% of what it should have been" if is_share else units.unit(code, quantity).symbol
    plot = Plot(
        f"{label} at {len(points)} visits", (-AIR * wide, (1 + AIR) * wide), (low - air, high + air), "visit", unit,
        x_ticks=_ticks(xs, [p.day for p in points]), y_places=_places(high - low + 2 * air),
    )  # fmt: skip
    if is_share:
        plot.curve([(0.0, PERCENT), (wide, PERCENT)], 1.6, dash="7 4")
    for x, (y, u), point in zip(xs, heights, points, strict=True):
        plot.point(x, y, u, "unjudged" if point.changed else point.finding["verdict"] or "within")
    return plot.svg()


def _height(point: _Point, quantity: Quantity, code: str, is_share: bool) -> tuple[float, float]:
    value, spread = point.finding["value"], point.finding["spread"] or 0.0
    if is_share:
        return _share(value, point), abs(_share(spread, point))
    return units.from_core(value, code, quantity), units.scale(spread, code, quantity)


def _ticks(xs: list[float], days: list[str]) -> list[tuple[float, str]]:
    """Return the days at which there is room for a date, the last one always; a mark without one elsewhere."""
    found: list[tuple[float, str]] = []
    edge = xs[-1] * (1 + APART) + 1
    for x, day in zip(reversed(xs), reversed(days), strict=True):
        fits = edge - x >= APART * (xs[-1] or 1.0)
        found.append((x, day.split(" ", 1)[1] if fits else ""))
        edge = x if fits else edge
    return found[::-1]


def _places(width: float) -> int:
    """Return how many places the scale wants: those of the steps in which it is ruled."""
    step = nice_step(width, LEVELS)
    return next((places for places, least in enumerate((1.0, 0.1, 0.01)) if step >= least * (1 - SAME)), 3)
