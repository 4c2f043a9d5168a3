"""Pages of the return: a visit's measurements beside the baseline."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_safe

from commissioning import snapshot
from commissioning.baseline import baseline_of
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Visit, VisitKind
from commissioning.moments import day_words, short_day_words, zone_of
from commissioning.pdf import PdfError
from commissioning.progress import Line, Progress, progress_of
from commissioning.said_on import said_on
from commissioning.service.arrival import arrival_of
from commissioning.service.causes import causes_of
from commissioning.service.comparison import Comparison, comparisons
from commissioning.service.forms import SaidForm
from commissioning.service.record import service_record
from commissioning.service.services import keep_saying
from commissioning.service.trend import trends_of
from sizing.errors import SystemShapeError


@require_http_methods(["GET", "POST"])
def arrival(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show how the system was left, what is open and due; a POST keeps what the owner says."""
    visit = _visit(request, visit_id)
    form = said_form(visit, request.POST if request.method == "POST" else None)
    if request.method == "POST" and form is None:
        messages.error(request, "Nothing more can be kept on this visit.")
        return redirect("arrival", visit.pk)
    if form and form.is_bound and form.is_valid():
        keep_saying(visit=visit, actor=request.user, **form.cleaned_data)
        messages.success(request, "What the owner says is kept.")
        return redirect("arrival", visit.pk)
    return render(request, "service/arrival.html", {**arrival_of(visit), "said_form": form})


def said_form(visit: Visit, data: Any = None) -> SaidForm | None:
    """Return the form for what the owner says; None where there is nobody to ask any more."""
    if visit.kind != VisitKind.SERVICE or visit.ended_at is not None:
        return None
    try:
        system = snapshot.system_now(visit.site)
    except SystemShapeError:
        system = None
    return SaidForm(data, system=system, said=said_on(visit))


@require_safe
def service_record_file(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Return what was found and done on a service visit, as PDF."""
    visit = _visit(request, visit_id)
    if visit.kind != VisitKind.SERVICE:
        raise Http404
    try:
        made = service_record(visit)
    except PdfError as problem:
        messages.error(request, str(problem))
        return redirect("comparison-list", visit.pk)
    headers = {"Content-Disposition": 'inline; filename="service-record.pdf"'}
    return HttpResponse(made, content_type="application/pdf", headers=headers)


@require_GET
def comparison_list(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show every measurement of a visit beside the baseline, those that moved first."""
    return render(request, "service/comparison_list.html", list_context(_visit(request, visit_id)))


def list_context(visit: Visit, progress: Progress | None = None) -> dict[str, Any]:
    """Return what the page of all comparisons prints."""
    found = comparisons(visit)
    return {
        **days(visit),
        "causes": causes_of(visit, progress or progress_of(visit), found),
        "moved": [c for c in found if c.moved],
        "still": [c for c in found if c.then and not c.moved and c.is_comparable],
        "apart": [c for c in found if c.then and not c.moved and not c.is_comparable],
        "first": [c for c in found if c.then is None],
    }


@require_GET
def comparison(request: HtmxHttpRequest, visit_id: UUID, check: str, subject: str) -> HttpResponse:
    """Show one check of a visit beside its baseline, with the conditions of both days."""
    visit = _visit(request, visit_id)
    found = next((c for c in comparisons(visit) if (c.check.key, c.now.subject) == (check, subject)), None)
    progress = progress_of(visit)
    line = progress.line(f"{check}:{subject}")
    if found is None or line is None:
        raise Http404
    context = comparison_context(found, line, progress) | days(visit)
    return render(request, "service/comparison.html", context)


def comparison_context(found: Comparison, line: Line, progress: Progress) -> dict[str, Any]:
    """Return what the page of one comparison prints, but for the days of both visits."""
    then = found.then.visit if found.then else None
    return {
        "comparison": found,
        "trends": trends_of(found.now, found.past),
        "then_kind": then.get_kind_display() if then else "",
        "then_day": day_words(then.started_at, zone_of(then.site)) if then else "",
        "then_column": short_day_words(then.started_at, zone_of(then.site)) if then else "",
        "only": found.compared[0] if len(found.compared) == 1 else None,
        "line": line,
        "owed_count": progress.owed_count,
    }


def _visit(request: HtmxHttpRequest, visit_id: UUID) -> Visit:
    return get_object_or_404(Visit.objects.for_user(request.user).select_related("site"), pk=visit_id)


def days(visit: Visit) -> dict[str, Any]:
    """Return both visits with the days on which they began at the site."""
    zone, baseline = zone_of(visit.site), baseline_of(visit)
    return {
        "visit": visit,
        "baseline": baseline,
        "day_now": day_words(visit.started_at, zone),
        "day_then": day_words(baseline.started_at, zone) if baseline else "",
        "column_now": short_day_words(visit.started_at, zone),
        "column_then": short_day_words(baseline.started_at, zone) if baseline else "",
    }
