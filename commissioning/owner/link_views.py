"""The office's page of an owner's link: made, shown once, revoked."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import OwnerLink
from commissioning.moments import moment_words, zone_of
from commissioning.office_only import office_only
from commissioning.owner import services
from commissioning.owner.views import site_for


@office_only
@require_http_methods(["GET", "POST"])
def owner_link(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Show how the link stands; a POST makes one and shows its address this once, or revokes the one that stands."""
    site = site_for(request, site_id)
    standing = OwnerLink.objects.standing().filter(site=site).select_related("made_by", "site").first()
    if request.method == "POST" and "revoke" in request.POST:
        if standing is not None:
            services.revoke_link(link=standing, actor=request.user)
        return redirect("owner-link", site.pk)
    address = ""
    if request.method == "POST":
        token = services.make_link(site=site, actor=request.user)
        address = request.build_absolute_uri(reverse("owner-link-page", args=[token]))
        standing = OwnerLink.objects.standing().select_related("made_by", "site").get(site=site)
    made = f"made {moment_words(standing.made_at, zone_of(site))} by {standing.made_by}" if standing else ""
    answer = render(request, "owner/link_detail.html", {"site": site, "made": made, "address": address})
    answer.headers["Cache-Control"] = "no-store"
    return answer
