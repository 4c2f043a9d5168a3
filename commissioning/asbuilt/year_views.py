"""A year of operation: what the record's sun, pumps, tanks and battery do with a year's demand."""

from functools import lru_cache
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from commissioning import snapshot
from commissioning.asbuilt.shown import item_url
from commissioning.asbuilt.views import site_of
from commissioning.asbuilt.year_shown import year_shown
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Site
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.operation.year import Year, year_of_operation
from sizing.system import SITE


@require_safe
def record_year(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Show a mean year hour by hour: the answer first, then the months."""
    site = site_of(request, site_id)
    context: dict[str, object] = {"site": site}
    try:
        year = computed(snapshot.text_now(site))
        context["year"] = year_shown(year, site.unit_system)
        context["has_air"] = bool(year.plant.air)
    except MissingDataError as problem:
        context |= {"lacking": problem.words, "url": _place_of(site, problem.owner)}
    except (OutOfRangeError, SystemShapeError) as problem:
        context |= {"lacking": str(problem), "url": reverse("record-detail", args=[site.pk])}
    return render(request, "asbuilt/year.html", context)


@lru_cache(maxsize=32)
def computed(text: str) -> Year:
    """Return the year of a record, computed once for each."""
    return year_of_operation(snapshot.system_of_text(text))


def _place_of(site: Site, owner: str) -> str:
    """Return where what is missing is put in: the form of the part, or of the site."""
    if owner == SITE:
        return reverse("site-edit", args=[site.pk])
    one = site.components.standing().filter(tag=owner).first() or site.runs.standing().filter(tag=owner).first()
    return item_url(one) if one else reverse("record-detail", args=[site.pk])
