"""Times as people on a site read them: in the zone of the site, without seconds where none matter."""

from datetime import UTC, date, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo

from django.utils import timezone

from commissioning.models import Site

MINUTE = 60
HOUR = 60 * MINUTE
DAY = 24 * HOUR


def zone_of(site: Site) -> tzinfo:
    """Return the time zone of a site; UTC where the one recorded is not known on this machine."""
    try:
        return ZoneInfo(site.zone)
    except (KeyError, ValueError, OSError):
        return UTC


def clock(moment: datetime, zone: tzinfo) -> str:
    """Return the time of day: 10:44."""
    return f"{moment.astimezone(zone):%H:%M}"


def day(moment: datetime | date, zone: tzinfo) -> str:
    """Return the day in full: Wed 14 April 2027."""
    here = moment.astimezone(zone) if isinstance(moment, datetime) else moment
    return f"{here:%a} {here.day} {here:%B %Y}"


def clock_and_day(moment: datetime, zone: tzinfo, now: datetime | None = None) -> str:
    """Return the time of day, and the day where it is not today."""
    here, today = moment.astimezone(zone), (now or timezone.now()).astimezone(zone)
    if here.date() == today.date():
        return clock(moment, zone)
    year = "" if here.year == today.year else f" {here:%Y}"
    return f"{here.day} {here:%B}{year}, {here:%H:%M}"


def ago(moment: datetime, now: datetime) -> str:
    """Return in words how long ago a moment was."""
    seconds = max((now - moment).total_seconds(), 0)
    if seconds < MINUTE:
        return "just now"
    if seconds < 2 * HOUR:
        return f"{_counted(round(seconds / MINUTE), 'minute')} ago"
    if seconds < 2 * DAY:
        return f"{_counted(round(seconds / HOUR), 'hour')} ago"
    return f"{_counted(round(seconds / DAY), 'day')} ago"


def lasting(seconds: float) -> str:
    """Return a span in words, in the largest unit that leaves a whole number of two or more."""
    if seconds < 2 * HOUR:
        return _counted(max(round(seconds / MINUTE), 1), "minute")
    if seconds < 2 * DAY:
        return _counted(round(seconds / HOUR), "hour")
    return _counted(round(seconds / DAY), "day")


def _counted(many: int, noun: str) -> str:
    return f"{many} {noun}" + ("" if many == 1 else "s")


def visit_day(started: datetime, now: datetime, zone: tzinfo) -> int:
    """Return which day of a visit it is, from 1."""
    return max((now.astimezone(zone).date() - started.astimezone(zone).date()) // timedelta(days=1), 0) + 1
