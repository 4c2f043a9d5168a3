"""The as-built record of a site: what is there, what is missing, and the forms that change it."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe
from django.views.decorators.vary import vary_on_headers
from django_htmx.http import HttpResponseClientRedirect

from commissioning import evidence, units
from commissioning.asbuilt import services
from commissioning.asbuilt.copying import nameplate_like, offered_for
from commissioning.asbuilt.forms import ComponentForm, RetireForm, RunForm, called, end_value
from commissioning.asbuilt.gaps import gaps_of
from commissioning.asbuilt.going_on import AGAIN, NEXT, again_url, goes_on_from, onward_from
from commissioning.asbuilt.history import history_of
from commissioning.asbuilt.moved import CHANGED, CORRECTED, question_about, what_stood
from commissioning.asbuilt.plate_form import PlateForm
from commissioning.asbuilt.section import section_of
from commissioning.asbuilt.shown import component_sections, gap_rows, nameplate_line, run_sections
from commissioning.asbuilt.site_rows import begin_url, day
from commissioning.asbuilt.views import site_of
from commissioning.htmx import HtmxHttpRequest, wants_fragment
from commissioning.models import Component, Run, Site
from commissioning.nameplates import NameplateError, core_values, part_of
from sizing.parts import COMPONENT_KINDS, RUN_KINDS, SiteData
from sizing.quantities import Quantity

REFUSALS = (evidence.RefusedError, ValidationError, NameplateError)
FIRST_GAPS = 6


@require_safe
def record_detail(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Show the whole record: what cannot be computed yet, then every component and run."""
    return render(request, "asbuilt/record_detail.html", record_context(site_of(request, site_id)))


def record_context(site: Site) -> dict[str, Any]:
    """Return what the page of a record prints."""
    gaps = gaps_of(site)
    rows = gap_rows(site, gaps)
    return {
        "site": site,
        "head": _head(site),
        "section": section_of(site),
        "lacks": gaps.lacks,
        "gaps": rows[:FIRST_GAPS],
        "more_gaps": rows[FIRST_GAPS:],
        "more_gaps_count": len(rows[FIRST_GAPS:]),
        "sections": [*component_sections(site), *run_sections(site)],
        "component_kinds": [(kind, part.title) for kind, part in COMPONENT_KINDS.items()],
        "run_kinds": [(kind, part.title) for kind, part in RUN_KINDS.items()],
        "begin_url": begin_url(site),
    }


@require_safe
def record_print(request: HtmxHttpRequest, site_id: UUID) -> HttpResponse:
    """Show the record for paper: the section, and every component and run with all that is recorded of it."""
    site = site_of(request, site_id)
    context = {
        "site": site,
        "head": _head(site),
        "section": section_of(site, is_print=True),
        "place": nameplate_line(SiteData, site.plate, site.unit_system, most=None),
        "sections": [*component_sections(site, most=None), *run_sections(site, most=None)],
    }
    return render(request, "asbuilt/record_print.html", context)


def _head(site: Site) -> str:
    altitude = core_values(SiteData, site.plate).get("altitude")
    code = units.default_unit(Quantity.ELEVATION, site.unit_system).code
    words = [f"Altitude {units.figure(altitude, Quantity.ELEVATION, code)}"] if altitude is not None else []
    changed = site.events.filter(kind="record.changed").order_by("-sequence").first()
    words.append("datum: the ground at the wellhead")
    words.append(f"changed {day(changed.recorded_at, site)} by {changed.actor}" if changed else "nothing recorded yet")
    return " · ".join(words)


@require_http_methods(["GET", "POST"])
@vary_on_headers("HX-Request")
def component_new(request: HtmxHttpRequest, site_id: UUID, kind: str) -> HttpResponse:
    """Add a component of a kind."""
    site = site_of(request, site_id)
    if kind not in COMPONENT_KINDS:
        raise Http404
    return _component(request, site, kind, None)


@require_http_methods(["GET", "POST"])
@vary_on_headers("HX-Request")
def component_edit(request: HtmxHttpRequest, site_id: UUID, item_id: UUID) -> HttpResponse:
    """Show a component with its nameplate; a POST keeps the change."""
    site = site_of(request, site_id)
    there = get_object_or_404(site.components.standing(), pk=item_id)
    return _component(request, site, there.kind, there)


def _component(request: HtmxHttpRequest, site: Site, kind: str, there: Component | None) -> HttpResponse:
    initial: dict[str, Any] = {"tag": _next_tag(site, COMPONENT_KINDS[kind].tag_prefix)}
    if there:
        initial = {name: getattr(there, name) for name in ("tag", "name", "maker", "model", "serial")}
        initial["host"] = str(there.host_id or there.host_run_id or "")
    data = request.POST if request.method == "POST" else None
    form = ComponentForm(data, initial=initial, site=site, item=there, kind=kind)

    def keep(plate: dict[str, Any], was: dict[str, Any]) -> None:
        services.put_component(
            site=site, kind=kind, entry=form.cleaned_data, plate=plate, actor=request.user, component=there, was=was
        )

    return _item_page(request, site, kind, there, form, keep)


@require_http_methods(["GET", "POST"])
@vary_on_headers("HX-Request")
def run_new(request: HtmxHttpRequest, site_id: UUID, kind: str) -> HttpResponse:
    """Add a run of a kind."""
    site = site_of(request, site_id)
    if kind not in RUN_KINDS:
        raise Http404
    return _run(request, site, kind, None)


@require_http_methods(["GET", "POST"])
@vary_on_headers("HX-Request")
def run_edit(request: HtmxHttpRequest, site_id: UUID, item_id: UUID) -> HttpResponse:
    """Show a run with its nameplate; a POST keeps the change."""
    site = site_of(request, site_id)
    there = get_object_or_404(site.runs.standing().select_related("start", "end"), pk=item_id)
    return _run(request, site, there.kind, there)


def _run(request: HtmxHttpRequest, site: Site, kind: str, there: Run | None) -> HttpResponse:
    initial: dict[str, Any] = {"tag": _next_tag(site, RUN_KINDS[kind].tag_prefix)}
    if there:
        initial = {"tag": there.tag, "name": there.name}
        initial["start"] = end_value(there.start, there.start_port)
        initial["end"] = end_value(there.end, there.end_port)
    data = request.POST if request.method == "POST" else None
    form = RunForm(data, initial=initial, site=site, item=there, kind=kind)

    def keep(plate: dict[str, Any], was: dict[str, Any]) -> None:
        services.put_run(
            site=site, kind=kind, entry=form.cleaned_data, plate=plate, actor=request.user, run=there, was=was
        )

    return _item_page(request, site, kind, there, form, keep)


def _item_page(
    request: HtmxHttpRequest, site: Site, kind: str, there: Component | Run | None, form: Any, keep: Any
) -> HttpResponse:
    """Show the form of a component or run, or keep what was typed and go back to the record."""
    stored = there.nameplate if there else None
    data = request.POST if form.is_bound else None
    like = None if form.is_bound else _like(request, site, kind)
    if like:
        stored = nameplate_like(part_of(kind), like.nameplate, stored or {})
        form.initial.update({name: word for name in ("maker", "model") if (word := getattr(like, name, ""))})
        if isinstance(like, Run) and there is None:
            form.initial["start"] = goes_on_from(like)
    plate = PlateForm(part_of(kind), unit_system=site.unit_system, stored=stored, data=data)
    question = None
    if form.is_bound and not plate.wants_more_rows and all([form.is_valid(), plate.is_valid()]):
        typed, how = plate.plate(), request.POST.get("how", "")
        question = None if how in (CORRECTED, CHANGED) else question_about(site, there, typed)
        if question is None and _kept(form, keep, typed, what_stood(there, typed, how)):
            messages.success(request, f"{form.cleaned_data['tag']} is kept.")
            return _to(request, _way_on(request, site, kind, form.cleaned_data["tag"]))
    name = "_item_form" if wants_fragment(request) else "item_form"
    context = {**_item_context(request, site, kind, there, form, plate), "question": question}
    return render(request, f"asbuilt/{name}.html", context)


def _kept(form: Any, keep: Any, plate: dict[str, Any], was: dict[str, Any]) -> bool:
    """Keep a component or run; what is refused stands on the form."""
    try:
        keep(plate, was)
    except REFUSALS as problem:
        form.add_error(None, "; ".join(getattr(problem, "messages", [str(problem)])))
        return False
    return True


def _like(request: HtmxHttpRequest, site: Site, kind: str) -> Component | Run | None:
    """Return the component or run whose nameplate is to fill the form, if one was chosen."""
    chosen = request.GET.get("like", "")
    if not chosen or chosen not in dict(offered_for(request.user, site, kind, None)):
        return None
    model = Run if kind in RUN_KINDS else Component
    return model.objects.get(pk=chosen)


def _way_on(request: HtmxHttpRequest, site: Site, kind: str, tag: str) -> str:
    """Return where the button that kept a form leads: on to the next open one, to another like it, or to the record."""
    there = site.runs if kind in RUN_KINDS else site.components
    kept, wanted = there.standing().get(tag=tag), request.POST.get("then", "")
    if wanted == AGAIN:
        return again_url(site, kept)
    coming = onward_from(site, kept) if wanted == NEXT else None
    return coming.url if coming else reverse("record-detail", args=[site.pk])


def _item_context(
    request: HtmxHttpRequest, site: Site, kind: str, there: Component | Run | None, form: Any, plate: PlateForm
) -> dict[str, Any]:
    part = part_of(kind)
    noun = "component" if kind in COMPONENT_KINDS else "run"
    return {
        "site": site,
        "part": part,
        "title": f"{there.tag} {there.name or part.title.lower()}" if there else f"Add: {part.title.lower()}",
        "form": form,
        "plate": plate,
        "faults": plate.faults,
        "url": request.path,
        "likes": offered_for(request.user, site, kind, there),
        "onward": onward_from(site, there),
        "is_new": there is None,
        "again_url": again_url(site, there) if there else "",
        "replace_url": reverse("component-replace", args=[site.pk, there.pk]) if isinstance(there, Component) else "",
        "history": history_of(there) if there else [],
        "retire_url": reverse(f"{noun}-retire", args=[site.pk, there.pk]) if there else "",
    }


def _to(request: HtmxHttpRequest, url: str) -> HttpResponse:
    return HttpResponseClientRedirect(url) if wants_fragment(request) else redirect(url)


def _next_tag(site: Site, prefix: str) -> str:
    """Return the next free tag of a kind, counting retired ones: what was measured on them keeps theirs."""
    used = {*site.components.values_list("tag", flat=True), *site.runs.values_list("tag", flat=True)}
    return next(tag for n in range(1, len(used) + 2) if (tag := f"{prefix}{n}") not in used)


@require_http_methods(["GET", "POST"])
def component_retire(request: HtmxHttpRequest, site_id: UUID, item_id: UUID) -> HttpResponse:
    """Take a component out of the record, with a reason."""
    site = site_of(request, site_id)
    there = get_object_or_404(site.components.standing(), pk=item_id)
    return _retire(request, site, there, called(there), "component-edit")


@require_http_methods(["GET", "POST"])
def run_retire(request: HtmxHttpRequest, site_id: UUID, item_id: UUID) -> HttpResponse:
    """Take a run out of the record, with a reason."""
    site = site_of(request, site_id)
    there = get_object_or_404(site.runs.standing(), pk=item_id)
    return _retire(request, site, there, called(there), "run-edit")


def _retire(request: HtmxHttpRequest, site: Site, there: Component | Run, title: str, edit: str) -> HttpResponse:
    form = RetireForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        try:
            services.retire(item=there, reason=form.cleaned_data["reason"], actor=request.user)
        except services.StillNeededError as problem:
            form.add_error(None, str(problem))
        else:
            messages.success(request, f"{there.tag} is retired.")
            return redirect("record-detail", site.pk)
    context = {
        "site": site, "title": title, "form": form, "needed": services.hanging_on(there),
        "back_url": reverse(edit, args=[site.pk, there.pk]),
    }  # fmt: skip
    return render(request, "asbuilt/item_retire.html", context)
