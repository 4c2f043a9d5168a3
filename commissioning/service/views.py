"""Pages of the return: a visit's measurements beside the baseline."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_safe

from commissioning.baseline import baseline_of
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Visit, VisitKind
from commissioning.moments import day_words, short_day_words, zone_of
from commissioning.pdf import PdfError
from commissioning.progress import Line, Progress, progress_of
from commissioning.service.arrival import arrival_of
from commissioning.service.causes import causes_of
from commissioning.service.comparison import Comparison, comparisons
from commissioning.service.record import service_record
from commissioning.service.trend import trends_of


@require_GET
def arrival(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show how the system was left, what is open and due, before anything is touched."""
    return render(request, "service/arrival.html", arrival_of(_visit(request, visit_id)))


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
