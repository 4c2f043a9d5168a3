"""The open record at the desk: a whole site out to a file, and back in."""

from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Site
from commissioning.office_only import office_only
from commissioning.open_record import ExportError, LoadError, export_site, load_site

MOST_BYTES = 500 * 1024**2


class SiteFileForm(forms.Form):
    """The file of an exported site."""

    file = forms.FileField(label="File of the site", help_text="a .zip that a logbook wrote")


@require_GET
@office_only
def site_export(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Send a site with all its evidence and files as one zip."""
    site = get_object_or_404(Site.objects.for_user(request.user), pk=site_id)
    try:
        data = export_site(site)
    except ExportError as error:
        messages.error(request, str(error))
        return redirect(site)
    answer = HttpResponse(data, content_type="application/zip")
    answer["Content-Disposition"] = f'attachment; filename="{slugify(site.name) or "site"}.zip"'
    return answer


@require_http_methods(["GET", "POST"])
@office_only
def site_import(request: HtmxHttpRequest) -> HttpResponse:
    """Read an exported site: all of it, exactly, or nothing."""
    form = SiteFileForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        site = loaded(form)
        if site is not None:
            messages.success(request, f"{site.name}: {site.events.count()} pieces of evidence read.")
            return redirect(site)
    return render(request, "office/site_import.html", {"form": form})


def loaded(form: SiteFileForm) -> Site | None:
    """Return the site of the uploaded file, or say at the field why it is refused."""
    file = form.cleaned_data["file"]
    if file.size > MOST_BYTES:
        form.add_error("file", "This file is larger than 500 MB; read it on the server with import_site.")
        return None
    try:
        return load_site(file.read())
    except LoadError as error:
        form.add_error("file", str(error))
        return None
