"""Sites: the list, a new one, one site's page, its place and its people."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe
from django.views.decorators.vary import vary_on_headers

from commissioning.asbuilt import services
from commissioning.asbuilt.forms import ContactForm, NewSiteForm, SiteDescriptionForm
from commissioning.asbuilt.layouts import LAYOUTS, SOLAR_WELL, Layout, with_hand_pump
from commissioning.asbuilt.plate_form import PlateForm
from commissioning.asbuilt.site_rows import begin_url, owner_of, rows_of, sheets_of, visits_of
from commissioning.asbuilt.site_search import sites_found
from commissioning.htmx import HtmxHttpRequest, wants_fragment
from commissioning.models import Site
from sizing.parts import SiteData

PER_PAGE = 30
DESCRIBED = ("name", "place", "unit_system", "zone", "covered", "not_covered")


def site_of(request: HtmxHttpRequest, site_id: UUID) -> Site:
    """Return a site that the person asking may see; to anybody else it does not exist."""
    return get_object_or_404(Site.objects.for_user(request.user), pk=site_id)


@require_safe
@vary_on_headers("HX-Request")
def site_list(request: HtmxHttpRequest) -> HttpResponse:
    """List the sites with what is open on each; `q` searches place, owner, parts and sheets."""
    words = request.GET.get("q", "").strip()[:80].replace("\x00", "")
    page = Paginator(sites_found(request.user, words), PER_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "rows": rows_of(page.object_list), "q": words}
    name = "_site_rows" if wants_fragment(request) else "site_list"
    return render(request, f"asbuilt/{name}.html", context)


@require_http_methods(["GET", "POST"])
def site_new(request: HtmxHttpRequest) -> HttpResponse:
    """Begin a site from a starter layout."""
    latest = Site.objects.for_user(request.user).order_by("-opened_at").first()
    usual = {"unit_system": latest.unit_system, "zone": latest.zone} if latest else {"zone": "UTC"}
    form = NewSiteForm(request.POST or None, initial={"layout": SOLAR_WELL.key, **usual}, user=request.user)
    if form.is_valid():
        place = {name: form.cleaned_data[name] for name in ("name", "place", "unit_system", "zone")}
        key = form.cleaned_data["like"]
        like = site_of(request, UUID(key)) if key else None
        site = services.open_site(**place, layout=_layout_of(form.cleaned_data), actor=request.user, like=like)
        return redirect("record-detail", site.pk)
    return render(request, "asbuilt/site_new.html", {"form": form})


def _layout_of(entry: dict[str, Any]) -> Layout:
    chosen = LAYOUTS[entry["layout"]]
    return with_hand_pump(chosen) if entry["hand_pump"] else chosen


@require_safe
def site_detail(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Show one site: the way to its record, its visits and its sheets."""
    site = site_of(request, site_id)
    context = {
        "site": site,
        "owner": owner_of(site),
        "visits": visits_of(site),
        "sheets": sheets_of(site),
        "begin_url": begin_url(site),
    }
    return render(request, "asbuilt/site_detail.html", context)


@require_http_methods(["GET", "POST"])
def site_edit(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Change what is known of the place, its climate and what the work covers."""
    site = site_of(request, site_id)
    data = request.POST if request.method == "POST" else None
    form = SiteDescriptionForm(data, initial={name: getattr(site, name) for name in DESCRIBED})
    plate = PlateForm(SiteData, unit_system=site.unit_system, stored=site.plate, data=data)
    if data is not None and all([form.is_valid(), plate.is_valid()]):
        services.describe_site(site=site, described=form.cleaned_data, plate=plate.plate(), actor=request.user)
        messages.success(request, f"{form.cleaned_data['name']} is kept.")
        return redirect(site)
    return render(request, "asbuilt/site_edit.html", {"site": site, "form": form, "plate": plate})


@require_http_methods(["GET", "POST"])
def contact_edit(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Change whom the site belongs to."""
    site = site_of(request, site_id)
    owner = owner_of(site)
    there = {name: getattr(owner, name) for name in ("owner", "telephone", "address")} if owner else {}
    form = ContactForm(request.POST if request.method == "POST" else None, initial=there)
    if form.is_valid():
        services.keep_contact(site=site, entry=form.cleaned_data)
        messages.success(request, "The owner is kept.")
        return redirect(site)
    return render(request, "asbuilt/contact_edit.html", {"site": site, "form": form})
