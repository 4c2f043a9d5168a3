"""The design check of a site: does the record meet the duty and the rules of safety, before anything is switched on."""

import json
from functools import lru_cache
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from commissioning import snapshot
from commissioning.asbuilt.design_shown import head_words, sections
from commissioning.asbuilt.shown import item_url
from commissioning.asbuilt.views import site_of
from commissioning.canonical import canonical_json
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Site
from sizing.design.judge import Result, design_check
from sizing.errors import SystemShapeError
from sizing.system import SITE, System


@require_safe
def record_design(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Show every rule of the design check: what is not met, what cannot be said, what is met, each with its working."""
    site = site_of(request, site_id)
    try:
        system, results = checked(canonical_json(snapshot.document_of(site)))
    except SystemShapeError as problem:
        return render(request, "asbuilt/design.html", {"site": site, "problem": str(problem), "head": ""})
    context = {
        "site": site,
        "head": head_words(results),
        "sections": sections(results, system, site.unit_system, _urls(site)),
    }
    return render(request, "asbuilt/design.html", context)


@lru_cache(maxsize=32)
def checked(text: str) -> tuple[System, list[Result]]:
    """Return the system of a document and its design check, computed once for each record."""
    system = snapshot.system_of(json.loads(text))
    return system, design_check(system)


def _urls(site: Site) -> dict[str, str]:
    """Return the address of the form of each tag, and of the site's own."""
    return {
        **{one.tag: item_url(one) for one in site.components.standing()},
        **{one.tag: item_url(one) for one in site.runs.standing()},
        SITE: reverse("site-edit", args=[site.pk]),
    }
