"""Defects: raised from a check or from the visit, and put right."""

from datetime import tzinfo
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Defect, Visit
from commissioning.progress import Line, progress_of
from commissioning.visits.forms import DefectForm, PutRightForm
from commissioning.visits.lookup import visit_for
from commissioning.visits.services import put_defect_right, raise_defect
from commissioning.visits.times import clock_and_day, day, zone_of


@require_http_methods(["GET", "POST"])
def defect_raise(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Raise a defect; `check` in the address names the owed check that showed it."""
    visit = visit_for(request.user, visit_id)
    line = progress_of(visit).line(request.GET.get("check", ""))
    note = line.measurement.note if line and line.measurement else ""
    form = DefectForm(request.POST if request.method == "POST" else None, initial={"words": note})
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        defect = raise_defect(
            visit=visit, id=data["id"], words=data["words"], is_unsafe=data["is_unsafe"], who=data["who"],
            due=data["due"], actor=request.user, **_of(line),
        )  # fmt: skip
        messages.success(request, f"Defect {defect.number} is raised.")
        return redirect("measurement", visit.pk, line.owed.id) if line else redirect(visit)
    return render(request, "visits/defect_raise.html", {"form": form, "visit": visit, "line": line})


def _of(line: Line | None) -> dict[str, str]:
    return {"check": line.owed.check, "subject": line.owed.subject} if line else {}


@require_http_methods(["GET", "POST"])
def defect_detail(request: HtmxHttpRequest, visit_id: UUID, defect_id: UUID) -> HttpResponse:
    """Show a defect of the site; a POST says how it was put right."""
    visit = visit_for(request.user, visit_id)
    people = Defect.objects.select_related("raised_by", "put_right_by", "site")
    defect = get_object_or_404(people, pk=defect_id, site=visit.site)
    form = PutRightForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        put_defect_right(defect=defect, words=form.cleaned_data["words"], actor=request.user)
        messages.success(request, f"Defect {defect.number} is put right.")
        return redirect(visit)
    return render(request, "visits/defect_detail.html", defect_context(visit, defect, form))


def defect_context(visit: Visit, defect: Defect, form: PutRightForm) -> dict[str, object]:
    """Return what the page of a defect prints."""
    zone = zone_of(visit.site)
    return {
        "visit": visit,
        "defect": defect,
        "form": form,
        "raised": f"Raised {clock_and_day(defect.raised_at, zone)}, {defect.raised_by}",
        "due": day(defect.due, zone) if defect.due else "",
        "put_right": _put_right(defect, zone),
    }


def _put_right(defect: Defect, zone: tzinfo) -> str:
    if defect.put_right_at is None:
        return ""
    return f"Put right {clock_and_day(defect.put_right_at, zone)}, {defect.put_right_by}"
