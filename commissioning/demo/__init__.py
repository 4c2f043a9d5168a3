"""The demo: six invented sites of an invented firm, written through the same door as everything else.

Fennel Gap farm is designed, with gaps. At Sorrel Creek ranch the trenches are open. Saltbush clinic is in the middle
of its start-up. Pandanus Point clinic waits for the laboratory. Juniper Shelf house was handed over five weeks ago with
a concession. Larkmoor school was handed over three years ago and visited twice since, while a fault grew. Whatever is
said of the readings is computed when the demo is made: nothing here holds a verdict.
"""

from datetime import UTC, date, datetime, time, timedelta

from django.utils import timezone

from commissioning.demo import fennel_gap, juniper, larkmoor, larkmoor_service, pandanus, saltbush, sorrel
from commissioning.demo.handing import give_link
from commissioning.demo.instruments import OVERDUE, YEAR, calibrate, put_instruments
from commissioning.demo.scribe import moment_of
from commissioning.models import Site, User

THREE_YEARS = timedelta(days=3 * 365 + 15)  # with the days that a start-up takes
A_YEAR_AND_A_HALF = timedelta(days=560)
OVERDUE_SINCE = timedelta(days=20)


def seed(today: date | None = None) -> str:
    """Write the demo sites; return the secret of the owner's link that is made. The two people exist.

    Days are counted back from today.
    """
    today = today or timezone.now().date()
    technician, office = User.objects.get(username="technician"), User.objects.get(username="office")
    school = serve_larkmoor(technician, office, today)
    house = juniper.build(office, today - timedelta(days=75))
    handed_over = monday(today) - timedelta(days=42)
    juniper.hand_over(house, technician, office, handed_over)
    larkmoor_service.second(school, technician, monday(today) - timedelta(days=7))
    pandanus.start_up(pandanus.build(office, today - timedelta(days=30)), technician, office, today - timedelta(days=3))
    saltbush.start_up(saltbush.build(office, today - timedelta(days=20)), technician, today - timedelta(days=1))
    sorrel.before_cover(sorrel.build(office, today - timedelta(days=12)), technician, today - timedelta(days=1))
    fennel_gap.build(office, today - timedelta(days=3))
    return give_link(house, office, moment_of(house, handed_over + timedelta(days=8), "10:00"))


def serve_larkmoor(technician: User, office: User, today: date) -> Site:
    """Write what was done at the school before this year's visit, and the calibrations from then to today."""
    started, returned = monday(today - THREE_YEARS), monday(today - A_YEAR_AND_A_HALF)
    put_instruments(office, morning(started - timedelta(days=400)))
    calibrate(office, morning(started - timedelta(days=70)))
    site = larkmoor.build(office, started - timedelta(days=21))
    larkmoor.start_up(site, technician, office, started)
    calibrate(office, morning(returned - timedelta(days=90)))
    larkmoor_service.first(site, technician, returned)
    calibrate(office, morning(today - OVERDUE_SINCE) - YEAR, only=OVERDUE)
    calibrate(office, morning(today - timedelta(days=120)), but=OVERDUE)
    return site


def monday(day: date) -> date:
    """Return the Monday of a day's week: people work on weekdays."""
    return day - timedelta(days=day.weekday())


def morning(day: date) -> datetime:
    """Return when the office opens."""
    return datetime.combine(day, time(8), UTC)
