"""What falls due: service of sites, by the one rule of `service/due.py`, and calibration of instruments."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.urls import reverse

from commissioning.models import Instrument, Site, User
from commissioning.service.due import services_due

AHEAD = timedelta(days=60)
"""How long before its day a thing is listed: a visit is planned, an instrument sent in. Our own choice."""


@dataclass(frozen=True)
class Due:
    """One thing that falls due: on which day, what, why then, and where it is seen to."""

    on: date
    what: str
    why: str
    url: str
    link: str


def due_until(user: User, today: date) -> list[Due]:
    """Return what is overdue or falls due soon, the earliest first; the queries do not grow with the sites."""
    found = [*_services(user), *_calibrations()]
    return sorted((one for one in found if one.on <= today + AHEAD), key=lambda one: (one.on, one.what))


def _services(user: User) -> Iterator[Due]:
    sites = {one.pk: one for one in Site.objects.for_user(user)}
    for key, due in services_due(sites.values()).items():
        site = sites[key]
        yield Due(due.on, f"Service, {site.name}", due.why, site.get_absolute_url(), "To the site")


def _calibrations() -> Iterator[Due]:
    for one in Instrument.objects.filter(retired_at=None).exclude(calibration_due=None):
        assert one.calibration_due is not None
        why = "readings taken with it after that day are marked wherever they are printed"
        url = reverse("instrument-detail", args=[one.pk])
        yield Due(one.calibration_due, f"Calibration, {one}", why, url, "To the instrument")
