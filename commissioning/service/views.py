"""Pages of the return: a visit's measurements beside the baseline."""

from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Visit
from commissioning.progress import progress_of
from commissioning.service.comparison import baseline_of, comparisons


@require_GET
def comparison_list(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show every measurement of a visit beside the baseline, those that moved first."""
    visit = get_object_or_404(Visit.objects.for_user(request.user).select_related("site"), pk=visit_id)
    found = comparisons(visit)
    moved = [c for c in found if any(pair.has_moved for pair in c.compared)]
    context = {
        "visit": visit,
        "baseline": baseline_of(visit),
        "moved": moved,
        "still": [c for c in found if c.then and c not in moved],
        "first": [c for c in found if c.then is None],
    }
    return render(request, "service/comparison_list.html", context)


@require_GET
def comparison(request: HtmxHttpRequest, visit_id: UUID, check: str, subject: str) -> HttpResponse:
    """Show one check of a visit beside its baseline, with the conditions of both days."""
    visit = get_object_or_404(Visit.objects.for_user(request.user).select_related("site"), pk=visit_id)
    found = next((c for c in comparisons(visit) if (c.check.key, c.now.subject) == (check, subject)), None)
    if found is None:
        raise Http404
    progress = progress_of(visit)
    context = {
        "visit": visit,
        "baseline": baseline_of(visit),
        "comparison": found,
        "line": progress.line(f"{check}:{subject}"),
        "owed_count": progress.owed_count,
    }
    return render(request, "service/comparison.html", context)
