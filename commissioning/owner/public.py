"""What an owner's link opens: how the sheet stands, whether the water is safe, whom to call, and the pack.

A revoked link and one that never was get one and the same answer.
"""

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from commissioning.canonical import digest
from commissioning.errors import not_found
from commissioning.models import OwnerLink, Site
from commissioning.owner.pack import pack_context, pack_pdf
from commissioning.pdf import PdfError, pdf_available

HEADERS = {
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}


@login_not_required
@require_safe
def owner_page(request: HttpRequest, token: str) -> HttpResponse:
    """Show what the owner of a link may see."""
    site = _site(token)
    if site is None:
        return _closed(not_found(request, Http404()))
    pdf_url = "" if pdf_available() else reverse("owner-link-pack", args=[token])
    return _closed(render(request, "owner/link_page.html", {**pack_context(site), "pdf_url": pdf_url}))


@login_not_required
@require_safe
def owner_page_file(request: HttpRequest, token: str) -> HttpResponse:
    """Return the owner's pack as PDF."""
    site = _site(token)
    try:
        made = pack_pdf(site) if site else None
    except PdfError:
        made = None
    if made is None:
        return _closed(not_found(request, Http404()))
    headers = {"Content-Disposition": 'inline; filename="owners-pack.pdf"'}
    return _closed(HttpResponse(made, content_type="application/pdf", headers=headers))


def _site(token: str) -> Site | None:
    link = OwnerLink.objects.standing().filter(token_hash=digest(token)).select_related("site").first()
    return link.site if link else None


def _closed(answer: HttpResponse) -> HttpResponse:
    for name, value in HEADERS.items():
        answer.headers[name] = value
    return answer
