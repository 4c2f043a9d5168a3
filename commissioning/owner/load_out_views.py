"""The load-out list: from a visit that goes on, and from a site before one begins."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Visit
from commissioning.owner import load_out
from commissioning.owner.views import as_pdf, site_for
from commissioning.pdf import PdfError

Others = list[tuple[str, str]]


@require_safe
def visit_load_out(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show what to take along for what a visit still owes; `?as=pdf` as PDF."""
    visits = Visit.objects.for_user(request.user).select_related("site")
    visit = get_object_or_404(visits, pk=visit_id)
    return _answer(request, load_out.of_visit(visit), visit.get_absolute_url(), [])


@require_safe
def site_load_out(request: HtmxHttpRequest, site_id: UUID, kind: str) -> HttpResponse:
    """Show what to take along for a visit that has not begun; `?as=pdf` as PDF."""
    if kind not in load_out.KINDS:
        raise Http404
    site = site_for(request, site_id)
    others = [(words, reverse("site-load-out", args=[site.pk, key])) for key, words in load_out.KINDS.items()]
    return _answer(request, load_out.of_site(site, kind), site.get_absolute_url(), others)


def _answer(
    request: HtmxHttpRequest, context: load_out.Plain, back: str, others: list[tuple[str, str]]
) -> HttpResponse:
    if request.GET.get("as") == "pdf":
        try:
            return as_pdf(load_out.load_out_pdf(context), "load-out.pdf")
        except PdfError as problem:
            messages.error(request, str(problem))
            return redirect(request.path)
    return render(request, "owner/load_out.html", {**context, "back": back, "others": others})
