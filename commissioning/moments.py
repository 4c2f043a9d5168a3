"""Days and times as they stand on a desk page and on paper: in the zone of the site, written out."""

from datetime import UTC, date, datetime, tzinfo
from zoneinfo import ZoneInfo

from commissioning.models import Site


def zone_of(site: Site) -> tzinfo:
    """Return the time zone of a site; UTC where the one recorded is not known on this machine."""
    try:
        return ZoneInfo(site.zone)
    except (KeyError, ValueError, OSError):
        return UTC


def day_words(moment: date | datetime, zone: tzinfo = UTC) -> str:
    """Return the day in full: 14 April 2027."""
    here = moment.astimezone(zone) if isinstance(moment, datetime) else moment
    return f"{here.day} {here:%B %Y}"


def short_day_words(moment: datetime, zone: tzinfo) -> str:
    """Return the day for the head of a narrow column: 14 Apr 2027."""
    here = moment.astimezone(zone)
    return f"{here.day} {here:%b %Y}"


def moment_words(moment: datetime, zone: tzinfo) -> str:
    """Return day and time of day: 14 April 2027, 10:02."""
    return f"{day_words(moment, zone)}, {moment.astimezone(zone):%H:%M}"


def days_words(moments: list[datetime], zone: tzinfo) -> str:
    """Return the days on which something happened, from first to last: 14 April 2027 to 15 April 2027."""
    if not moments:
        return ""
    first, last = day_words(min(moments), zone), day_words(max(moments), zone)
    return first if first == last else f"{first} to {last}"
