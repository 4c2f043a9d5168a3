"""The owner's pack at the desk: as a page and as PDF."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Site
from commissioning.owner.pack import pack_context, pack_pdf
from commissioning.pdf import PdfError


@require_safe
def owner_pack(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Show the pack that the record makes today."""
    site = site_for(request, site_id)
    way = {"back": site.get_absolute_url(), "pdf_url": reverse("owner-pack-file", args=[site.pk])}
    return render(request, "owner/pack_page.html", {**pack_context(site), **way})


@require_safe
def owner_pack_file(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Return the pack as PDF."""
    site = site_for(request, site_id)
    try:
        return as_pdf(pack_pdf(site), "owners-pack.pdf")
    except PdfError as problem:
        messages.error(request, str(problem))
        return redirect("owner-pack", site.pk)


def site_for(request: HtmxHttpRequest, site_id: UUID) -> Site:
    return get_object_or_404(Site.objects.for_user(request.user), pk=site_id)


def as_pdf(data: bytes, name: str) -> HttpResponse:
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(data, content_type="application/pdf", headers=headers)
