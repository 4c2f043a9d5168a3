"""Acceptance of a visit: read by everybody of the firm, acted upon by the office."""

from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from commissioning import evidence
from commissioning.acceptance.forms import ConcessionForm, QuestionForm
from commissioning.acceptance.services import ask_question, grant_concession, why_not_conceded
from commissioning.acceptance.shown import acceptance_context, asked_context
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Visit
from commissioning.office_only import office_only
from commissioning.open_items import check_words
from commissioning.progress import Progress, progress_of

STILL_OPEN = "A question on this check is still open. Wait for its answer, or answer it yourself."


@require_safe
def acceptance_detail(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show what a visit has found and what still blocks its sheet."""
    return render(
        request, "acceptance/acceptance_detail.html", acceptance_context(_progress(request, visit_id), request.user)
    )


@office_only
@require_http_methods(["GET", "POST"])
def concession_grant(request: HtmxHttpRequest, visit_id: UUID, owed_id: str) -> HttpResponse:
    """Ask for the reason of a concession; a POST grants it."""
    progress = _progress(request, visit_id)
    line = progress.line(owed_id)
    if line is None:
        raise Http404
    refused = why_not_conceded(line)
    form = ConcessionForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and not refused and form.is_valid():
        grant_concession(visit=progress.visit, line=line, actor=request.user, **form.cleaned_data)
        messages.success(request, f"Conceded: {check_words(line)}.")
        return redirect("acceptance-detail", visit_id)
    said = line.verdict or line.status.value
    context = {"visit": progress.visit, "what": check_words(line), "said": said, "refused": refused, "form": form}
    return render(request, "acceptance/concession_grant.html", context)


@office_only
@require_http_methods(["GET", "POST"])
def question_ask(request: HtmxHttpRequest, visit_id: UUID, owed_id: str) -> HttpResponse:
    """Ask for one question about an owed check; a POST sends it back to the technician."""
    progress = _progress(request, visit_id)
    line = progress.line(owed_id)
    if line is None:
        raise Http404
    form = QuestionForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            ask_question(visit=progress.visit, line=line, actor=request.user, **form.cleaned_data)
        except evidence.RefusedError:
            form.add_error("words", STILL_OPEN)
        else:
            messages.success(request, f"Asked: {check_words(line)}.")
            return redirect("acceptance-detail", visit_id)
    context = {"visit": progress.visit, "what": check_words(line), "form": form, **asked_context(progress, line)}
    return render(request, "acceptance/question_ask.html", context)


def _progress(request: HtmxHttpRequest, visit_id: UUID) -> Progress:
    visits = Visit.objects.for_user(request.user).select_related("site")
    return progress_of(get_object_or_404(visits, pk=visit_id))
