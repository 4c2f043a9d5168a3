"""Another one of its kind in the place of a component, under the same tag and with the same connections."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from commissioning.asbuilt import services
from commissioning.asbuilt.forms import ReplaceForm, called
from commissioning.asbuilt.views import site_of
from commissioning.htmx import HtmxHttpRequest
from commissioning.warranty import warranty_of


@require_http_methods(["GET", "POST"])
def component_replace(request: HtmxHttpRequest, site_id: UUID, item_id: UUID) -> HttpResponse:
    """Retire a component and put another in its place; one of another model is then read afresh."""
    site = site_of(request, site_id)
    there = get_object_or_404(site.components.standing(), pk=item_id)
    today = timezone.localdate()
    usual = {"maker": there.maker, "model": there.model, "installed_on": today.isoformat()}
    form = ReplaceForm(request.POST if request.method == "POST" else None, initial=usual)
    if form.is_valid():
        new = services.replace(component=there, entry=form.cleaned_data, actor=request.user)
        messages.success(request, f"{there.tag} is replaced.")
        if form.cleaned_data["is_same"]:
            return redirect("record-detail", site.pk)
        return redirect("component-edit", site.pk, new)
    old = warranty_of(there)
    context = {
        "site": site, "title": called(there), "there": there, "form": form,
        "warranty": old.words(today) if old.runs_on(today) else "",
    }  # fmt: skip
    return render(request, "asbuilt/item_replace.html", context)
