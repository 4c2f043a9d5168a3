"""One question of the office: shown with its answers, and answered, also when the visit has ended."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissioning import evidence
from commissioning.asked import shown
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Measurement, Question, Reply
from commissioning.progress import Line, progress_of
from commissioning.visits.forms import ReplyForm
from commissioning.visits.lookup import visit_for
from commissioning.visits.sections import measurement_url
from commissioning.visits.services import answer_question
from commissioning.visits.times import zone_of


@require_http_methods(["GET", "POST"])
def question_detail(request: HtmxHttpRequest, visit_id: UUID, question_id: UUID) -> HttpResponse:
    """Show a question of the office; a POST answers it."""
    visit = visit_for(request.user, visit_id)
    question = get_object_or_404(visit.questions.select_related("by", "visit__site"), pk=question_id)
    line = progress_of(visit).line(f"{question.check_key}:{question.subject}")
    form = ReplyForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid() and (made := _answered(request, question, form)):
        messages.success(request, f"Answered: {made.words or 'by the new reading'}")
        return redirect(measurement_url(visit, line)) if line else redirect(visit)
    taken = line.measurement if line else None
    context = {
        "visit": visit, "line": line, "one": shown(question, zone_of(visit.site), taken), "form": form,
        "back_url": measurement_url(visit, line) if line else visit.get_absolute_url(), "what": _what(question, line),
    }  # fmt: skip
    return render(request, "visits/question_detail.html", context)


def _answered(request: HtmxHttpRequest, question: Question, form: ReplyForm) -> Reply | None:
    """Return the answer as kept; None, with the reason at the form, where it was refused."""
    data = form.cleaned_data
    reading = Measurement.objects.filter(pk=data["reading"], visit=question.visit_id).first()
    if data["reading"] and reading is None:
        form.add_error("words", "That reading is not there any more. Answer in words.")
        return None
    try:
        return answer_question(
            question=question, id=data["id"], words=data["words"].strip(), measurement=reading, actor=request.user
        )
    except evidence.RefusedError as error:
        for words in error.faults.values():
            form.add_error("words", words[:1].upper() + words[1:] + ".")
        return None


def _what(question: Question, line: Line | None) -> str:
    if line is None:
        return f"{question.check_key}, {question.subject}, no longer owed"
    return f"{line.owed.number} {line.check.title}, {line.subject_words}"
