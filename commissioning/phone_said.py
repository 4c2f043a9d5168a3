"""What a phone said with a measurement: the verdict it showed, and what its clock leaves in doubt.

What was recorded stays as it was recorded. These are remarks beside it, for the office and for the paper.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.dateparse import parse_datetime

from commissioning.models import Event, Judgement

LATE = timedelta(hours=72)  # between keeping and arriving; ours
OFF = timedelta(minutes=5)  # between the phone's clock and the server's; ours
BACKWARDS = timedelta(minutes=1)  # between two items in the phone's own order; ours
DAY = timedelta(days=1)


@dataclass(frozen=True)
class Clock:
    """A phone's clock when something was kept: what it said, and how far the server's was ahead of it, if known."""

    wall: datetime
    ahead: timedelta | None
    bound: timedelta

    @property
    def right(self) -> datetime:
        """The time as well as it is known."""
        return self.wall + (self.ahead or timedelta(0))


def clock_of(event: Event) -> Clock | None:
    """Return the clock of an event; None for one that no phone kept."""
    if not event.clock:
        return None
    said = json.loads(event.clock)
    wall = parse_datetime(said["wall"])
    if wall is None:
        return None
    return Clock(wall, _span(said["ahead_ms"]), _span(said["bound_ms"]) or timedelta(0))


def _span(milliseconds: str | None) -> timedelta | None:
    try:
        return None if milliseconds is None else timedelta(milliseconds=int(milliseconds))
    except OverflowError:
        return timedelta.max


def shown_words(event: Event, judgement: Judgement | None) -> str:
    """Return both verdicts where the one that the phone showed is not the server's; else nothing."""
    shown = json.loads(event.shown) if event.shown else None
    if shown is None or judgement is None or shown["verdict"] in ("", judgement.verdict):
        return ""
    window = f" ({shown['window']})" if shown.get("window") else ""
    return f"The phone showed {shown['verdict']}{window}; the server says {judgement.verdict or 'nothing'}."


def clock_words(event: Event) -> list[str]:
    """Return what the clock of one event leaves in doubt, each as a sentence."""
    clock = clock_of(event)
    if clock is None:
        return []
    found = []
    if clock.ahead is not None and abs(clock.ahead) - clock.bound > OFF:
        side = "slow" if clock.ahead > timedelta(0) else "fast"
        found.append(f"The phone's clock was {span_words(abs(clock.ahead))} {side}.")
    if _right(clock) - event.received_at > OFF + clock.bound:
        found.append("By the phone's clock it was kept after it had arrived here.")
    elif event.received_at - _right(clock) > LATE:
        found.append(f"It arrived {span_words(event.received_at - _right(clock))} after it was kept.")
    return found


def _right(clock: Clock) -> datetime:
    """Return the best time; a clock so wrong that the sum leaves the calendar is taken as it stands."""
    try:
        return clock.right
    except OverflowError:
        return clock.wall


def span_words(span: timedelta) -> str:
    """Return a span in the largest unit that fits: "4 days", "3 h", "12 min"."""
    if span >= 2 * DAY:
        return f"{span.days} days"
    minutes = round(span.total_seconds() / 60)
    return f"{round(minutes / 60)} h" if minutes >= 120 else f"{minutes} min"


def backwards(events: Iterable[Event]) -> list[Event]:
    """Return the events whose phone's clock stood earlier than at the one before in that phone's own count."""
    found: list[Event] = []
    last: dict[str, datetime] = {}
    for event in sorted((e for e in events if e.device), key=lambda e: (e.device, e.device_sequence or 0)):
        clock = clock_of(event)
        if clock is None:
            continue
        if event.device in last and last[event.device] - clock.wall > BACKWARDS:
            found.append(event)
        last[event.device] = clock.wall
    return found
