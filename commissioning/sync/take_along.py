"""The page from which a visit is taken along: what is on the phone already, how old it is, whether it will stay."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from commissioning.htmx import HtmxHttpRequest
from commissioning.visits.lookup import visit_for


@require_GET
def take_along(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show the page of taking along; the phone itself says what it has."""
    visit = visit_for(request.user, visit_id)
    return render(request, "sync/take_along.html", {"visit": visit, "site": visit.site})
