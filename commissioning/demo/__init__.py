"""The demo: three invented sites of an invented firm, written through the same door as everything else.

Saltbush clinic is in the middle of its start-up; Larkmoor school was handed over three years ago and visited last
week; of Fennel Gap farm only the design is known, and not all of it. Whatever is said of the readings is computed
when the demo is made: nothing here holds a verdict.
"""

from datetime import date, timedelta

from django.utils import timezone

from commissioning.demo import fennel_gap, larkmoor, saltbush
from commissioning.demo.instruments import calibrate_all, calibrate_but_one, put_instruments
from commissioning.models import User

THREE_YEARS = timedelta(days=3 * 365 + 15)  # with the days that a start-up takes


def seed() -> None:
    """Write the demo sites. The two people exist; days are counted back from today."""
    technician, office = User.objects.get(username="technician"), User.objects.get(username="office")
    today = timezone.now().date()
    started = monday(today - THREE_YEARS)
    put_instruments()
    calibrate_all(started - timedelta(days=70))
    site = larkmoor.build(office, started - timedelta(days=21))
    larkmoor.start_up(site, technician, office, started)
    calibrate_but_one(today - timedelta(days=120), overdue_since=today - timedelta(days=20))
    larkmoor.service(site, technician, monday(today) - timedelta(days=5))
    saltbush.start_up(saltbush.build(office, today - timedelta(days=20)), technician, today - timedelta(days=1))
    fennel_gap.build(office, today - timedelta(days=3))


def monday(day: date) -> date:
    """Return the Monday of a day's week: people work on weekdays."""
    return day - timedelta(days=day.weekday())
