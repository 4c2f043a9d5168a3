"""Pages on which a person settles what two phones brought, and photos that never came."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Measurement, Photo, User, Visit
from commissioning.moments import moment_words, zone_of
from commissioning.progress import Line, Progress, progress_of
from commissioning.sync.settle_forms import ChooseForm, ReasonForm
from commissioning.sync.settle_services import choose_measurement, give_photo_up
from commissioning.units.figures import typed_figure
from sizing.checks.declare import Check


@require_http_methods(["GET", "POST"])
def measurement_choose(request: HtmxHttpRequest, visit_id: UUID, owed_id: str) -> HttpResponse:
    """Show every value of one owed check that counts or was passed over; a POST chooses which counts."""
    progress, line = _line(request.user, visit_id, owed_id)
    visit, there = progress.visit, _values(progress.visit, line)
    if len(there) < 2:
        return redirect("measurement", visit.pk, owed_id)
    choices = [(str(one.pk), _value_words(line.check, one, visit)) for one in there]
    form = ChooseForm(request.POST if request.method == "POST" else None, choices=choices)
    if form.is_valid():
        chosen = next(one for one in there if one.pk == form.cleaned_data["chosen"])
        others = [one for one in there if one is not chosen]
        choose_measurement(
            visit=visit, id=form.cleaned_data["id"], chosen=chosen, others=others, reason=form.cleaned_data["reason"],
            actor=request.user,
        )  # fmt: skip
        messages.success(request, f"Chosen for {line.check.title.lower()}. The others stay on record.")
        return redirect("measurement", visit.pk, owed_id)
    return render(request, "sync/choose.html", {"visit": visit, "line": line, "form": form})


def _line(user: User, visit_id: UUID, owed_id: str) -> tuple[Progress, Line]:
    progress = progress_of(_visit(user, visit_id))
    line = progress.line(owed_id)
    if line is None or line.measurement is None:
        raise Http404
    return progress, line


def _visit(user: User, visit_id: UUID) -> Visit:
    return get_object_or_404(Visit.objects.for_user(user).select_related("site"), pk=visit_id)


def _values(visit: Visit, line: Line) -> list[Measurement]:
    """Return the values to choose from, oldest first: those that stand beside each other, and those passed over."""
    assert line.measurement is not None
    passed = visit.measurements.filter(
        superseded_by=None, check_key=line.owed.check, component=line.measurement.component_id,
        run=line.measurement.run_id,
    ).exclude(passed_over=None)  # fmt: skip
    found = {one.pk: one for one in [*passed, *line.rivals, line.measurement]}
    return sorted(found.values(), key=lambda one: one.taken_at)


def _value_words(check: Check, one: Measurement, visit: Visit) -> str:
    """Return a value as typed, what was said of it, by whom and when."""
    judgement = one.judgement()
    typed = one.answer or ", ".join(_typed(check, r) for r in one.readings.all())
    verdict = judgement.verdict if judgement else ""
    passed = "passed over so far" if hasattr(one, "passed_over") else ""
    parts = (typed, verdict, str(one.taken_by), moment_words(one.taken_at, zone_of(visit.site)), passed)
    return " · ".join(part for part in parts if part)


def _typed(check: Check, reading: Any) -> str:
    declared = check.input(reading.input)
    if declared is None or declared.options:
        return str(reading.typed)
    return typed_figure(reading.typed, declared.quantity, reading.unit)


# photos


@require_http_methods(["GET", "POST"])
def photos_awaited(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """List the photos of a visit whose files are still to come; a POST says why one never will."""
    visit = _visit(request.user, visit_id)
    form = ReasonForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        photo = get_object_or_404(visit.photos.filter(loss=None), pk=_uuid(request.POST.get("photo", "")))
        give_photo_up(photo=photo, reason=form.cleaned_data["reason"], actor=request.user)
        messages.success(request, "Noted. The mark of the photo stays on record.")
        return redirect("photos-awaited", visit.pk)
    rows = [_photo_row(one, visit) for one in progress_of(visit).awaited]
    return render(request, "sync/photos_awaited.html", {"visit": visit, "rows": rows, "form": form})


def _uuid(text: str) -> UUID:
    try:
        return UUID(text)
    except ValueError as error:
        raise Http404 from error


def _photo_row(one: Photo, visit: Visit) -> dict[str, str]:
    taken = one.measurement
    what = f"{taken.check_key.replace('_', ' ')}, {taken.subject}" if taken else "of the visit"
    return {
        "id": str(one.pk), "what": what, "who": str(one.by), "when": moment_words(one.taken_at, zone_of(visit.site)),
        "mark": one.sha256[:12],
    }  # fmt: skip
