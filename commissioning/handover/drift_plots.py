"""Drift on the sheet: values over all visits since the baseline, where the visit has one before it."""

from typing import Any

from commissioning.models import Visit
from commissioning.service.comparison import comparisons
from commissioning.service.trend import Trend, trends_of

Plain = dict[str, Any]
MOST = 8
SHARE = "Each in per cent of what it should have been on its day. Dashed: 100 %."
RINGS = "Dashed ring: of what was there before, not to be compared."


def drift_plots(visit: Visit) -> list[Plain]:
    """Return the trends of a visit, what has moved first; nothing on the visit that is the first."""
    found = [one for one in comparisons(visit) if one.then is not None]
    moved_first = sorted(found, key=lambda one: not one.moved)
    drawn = [(one, trend) for one in moved_first for trend in trends_of(one.now, one.past)]
    return [
        {
            "title": f"{one.check.title}, {one.now.subject}: {trend.label.lower()} over all visits",
            "note": _note(trend),
            "drawing": trend.drawing,
        }
        for one, trend in drawn[:MOST]
    ]


def _note(trend: Trend) -> str:
    parts = (SHARE if trend.is_share else "", "Whiskers: uncertainty, k = 2.", RINGS if trend.has_rings else "")
    return " ".join(part for part in parts if part)
