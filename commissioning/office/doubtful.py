"""Readings that an instrument found bad puts in doubt, with the page on which each is taken again or conceded."""

from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse

from commissioning.calibrated import bad_on
from commissioning.models import Instrument, Measurement
from commissioning.moments import moment_words, zone_of
from commissioning.office.waiting import check_title


@dataclass(frozen=True)
class Doubtful:
    """One measurement in doubt: what, where, when, and its page."""

    what: str
    site: str
    when: str
    url: str
    at: datetime


def doubtful_readings(instrument: Instrument) -> list[Doubtful]:
    """Return the measurements that count and were taken while an instrument read wrong, latest first."""
    since = min((one.since for one in instrument.found_bad.all()), default=None)
    if since is None:
        return []
    taken = Measurement.objects.current().filter(readings__instrument=instrument, readings__at__year__gte=since.year)
    rows = taken.distinct().select_related("visit__site").prefetch_related("readings")
    found = [_doubtful(one) for one in rows if _is_doubtful(one, instrument)]
    return sorted(found, key=lambda one: one.at, reverse=True)


def _is_doubtful(one: Measurement, instrument: Instrument) -> bool:
    zone = zone_of(one.visit.site)
    mine = [r for r in one.readings.all() if r.instrument_id == instrument.pk]
    return any(bad_on(instrument, r.at, zone) for r in mine)


def _doubtful(one: Measurement) -> Doubtful:
    site = one.visit.site
    return Doubtful(
        check_title(one.check_key, one.subject), site.name, moment_words(one.taken_at, zone_of(site)),
        reverse("measurement", args=[one.visit_id, one.owed_id]), one.taken_at,
    )  # fmt: skip
