"""A visit's laboratory work at the desk: what was sent, what came back, and whether the water may be drunk."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from commissioning import files
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Contact, LaboratoryReport, LaboratorySample, Visit
from commissioning.moments import day_words
from commissioning.office import laboratory_services as services
from commissioning.office.laboratory_forms import ReportForm, SampleForm
from commissioning.office_only import office_only
from commissioning.open_items import check_words
from commissioning.progress import Line, Progress, progress_of
from commissioning.water_now import AUTHORITY, DRINK, TODO, bad_results
from sizing.holds import Standing

ENDINGS = {"application/pdf": "pdf", "image/jpeg": "jpg", "image/png": "png"}


@office_only
@require_http_methods(["GET", "POST"])
def laboratory(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show what a visit's samples came to; a POST keeps that one was sent."""
    visit = _visit(request, visit_id)
    form = SampleForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        services.send_sample(visit=visit, actor=request.user, **form.cleaned_data)
        messages.success(request, "The sample is kept as sent.")
        return redirect("laboratory", visit.pk)
    progress = progress_of(visit)
    context = {
        "visit": visit, "site": visit.site, "form": form, "samples": [_sample(one) for one in _samples(visit)],
        "lines": [_line(one, visit) for one in progress.lines if one.check.from_laboratory],
        "drink": drink_words(progress),
    }  # fmt: skip
    return render(request, "office/laboratory.html", context)


@office_only
@require_http_methods(["GET", "POST"])
def laboratory_report(request: HtmxHttpRequest, sample_id: UUID) -> HttpResponse:
    """Ask for a report on a sample; a POST keeps it with its file."""
    there = LaboratorySample.objects.filter(visit__in=Visit.objects.for_user(request.user))
    sample = get_object_or_404(there.select_related("visit__site"), pk=sample_id)
    is_sent = request.method == "POST"
    form = ReportForm(request.POST if is_sent else None, request.FILES if is_sent else None)
    if is_sent and form.is_valid():
        typed = {name: form.cleaned_data[name] for name in ("number", "method", "received_on")}
        services.keep_report(sample=sample, data=form.cleaned_data["file"], actor=request.user, **typed)
        messages.success(request, "The report is kept. Now type its values at their checks.")
        return redirect("laboratory", sample.visit_id)
    context = {"sample": _sample(sample), "visit": sample.visit, "form": form}
    return render(request, "office/laboratory_report.html", context)


@require_safe
@office_only
def laboratory_file(request: HtmxHttpRequest, report_id: UUID) -> HttpResponse:
    """Hand out a report's file as it came, to be saved and not shown: it was made elsewhere."""
    there = LaboratoryReport.objects.filter(sample__visit__in=Visit.objects.for_user(request.user))
    report = get_object_or_404(there, pk=report_id)
    try:
        data = files.read(report.sha256)
    except FileNotFoundError as error:
        raise Http404 from error
    headers = {"Content-Disposition": f'attachment; filename="report-{report.sha256[:8]}.{ENDINGS[report.media_type]}"'}
    return HttpResponse(data, content_type=report.media_type, headers=headers)


@require_safe
@office_only
def water_notice(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Print for the owner whether the water may be drunk, as the hold stands now."""
    visit = _visit(request, visit_id)
    context = {
        "visit": visit, "site": visit.site, "drink": drink_words(progress_of(visit)), "samples": _samples(visit),
        "owner": Contact.objects.filter(site=visit.site).first(), "todo": TODO, "authority": AUTHORITY,
    }  # fmt: skip
    return render(request, "office/water_notice.html", context)


def drink_words(progress: Progress) -> dict[str, Any] | None:
    """Return how the hold on drinking stands; None where nobody is to drink from this site.

    A bad result of another visit, or of another thing than germs, keeps it from being called settled.
    """
    hold = progress.hold(DRINK)
    if hold is None:
        return None
    bad = [one.words for one in bad_results(progress.visit.site_id)]
    return {
        "is_settled": hold.standing is Standing.SETTLED and not bad,
        "owed": [check_words(one) for one in hold.still_owed],
        "bad": bad,
    }


def _visit(request: HtmxHttpRequest, visit_id: UUID) -> Visit:
    return get_object_or_404(Visit.objects.for_user(request.user).select_related("site"), pk=visit_id)


def _samples(visit: Visit) -> list[LaboratorySample]:
    return list(LaboratorySample.objects.filter(visit=visit).select_related("by").prefetch_related("reports__by"))


def _sample(one: LaboratorySample) -> dict[str, Any]:
    return {
        "id": one.pk, "laboratory": one.laboratory, "sent": day_words(one.sent_on), "words": one.words,
        "by": one.by.get_full_name(), "reports": [_report(report) for report in one.reports.all()],
    }  # fmt: skip


def _report(one: LaboratoryReport) -> dict[str, Any]:
    return {
        "id": one.pk, "number": one.number, "method": one.method, "received": day_words(one.received_on),
        "by": one.by.get_full_name(), "hash": one.sha256[:16],
    }  # fmt: skip


def _line(line: Line, visit: Visit) -> dict[str, str]:
    said = line.verdict or (line.measurement.answer if line.measurement else line.status.value)
    link = "To the result" if line.measurement else "Enter the result"
    url = reverse("measurement", args=[visit.pk, line.owed.id])
    return {"what": check_words(line), "said": said, "url": url, "link": link}
