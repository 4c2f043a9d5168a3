"""The page on which a person says what instruments are along, and sees which owed checks that is enough for."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.progress import progress_of
from commissioning.visits.forms import KitForm
from commissioning.visits.kit import keep_kit, kit_context
from commissioning.visits.lookup import visit_for
from commissioning.visits.times import zone_of


@require_http_methods(["GET", "POST"])
def visit_instruments(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show what can be taken with the instruments at hand; a POST remembers them for this person."""
    visit = visit_for(request.user, visit_id)
    form = KitForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        keep_kit(request.user, form.cleaned_data["kind"])
        return redirect("visit-instruments", visit.pk)
    context = {"visit": visit, "form": form, **kit_context(progress_of(visit), request.user, zone_of(visit.site))}
    return render(request, "visits/visit_instruments.html", context)
