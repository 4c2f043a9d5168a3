"""The sheets at the desk: drafted, issued, shown, printed and withdrawn."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from commissioning.handover import services
from commissioning.handover.forms import IssueForm, WithdrawForm
from commissioning.handover.paper_file import GoneError, paper_of
from commissioning.handover.shown import address_of_token, draft_context, sheet_context, sheet_rows
from commissioning.handover.visit_record import NotKeptError, visit_record
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Sheet, SheetState, Site, User, Visit
from commissioning.office_only import office_only
from commissioning.pdf import PdfError, pdf_available
from commissioning.projections.sheet import PAPERS

A_PAGE = 50
CHANGED = "Something was added to this site since the draft was shown, or a verdict changed. Look at it again below."


@require_safe
def sheet_list(request: HtmxHttpRequest) -> HttpResponse:
    """List every sheet, the latest number first."""
    page = Paginator(_sheets(request.user), A_PAGE).get_page(request.GET.get("page"))
    return render(request, "handover/sheet_list.html", {"page": page, "rows": sheet_rows(page.object_list)})


@require_http_methods(["GET", "POST"])
def sheet_draft(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show exactly what a sheet would say; a POST of the office issues it."""
    visits = Visit.objects.for_user(request.user).select_related("site")
    visit = get_object_or_404(visits, pk=visit_id)
    if request.method == "POST" and not request.user.is_office:
        raise Http404
    draft = services.draft_of(visit)
    form = IssueForm(request.POST if request.method == "POST" else None, draft=draft)
    if request.method == "POST" and form.is_valid():
        sheet, error = _issue(request, visit, form)
        if sheet is not None:
            messages.success(request, f"Issued: {sheet.number}, revision {sheet.revision}.")
            return redirect("sheet-detail", sheet.pk)
        draft = services.draft_of(visit)
        form = IssueForm(request.POST, draft=draft)
        form.add_error(None, error)
    context = {**draft_context(draft), "form": form, "no_pdf": pdf_available()}
    return render(request, "handover/sheet_draft.html", context)


def _issue(request: HtmxHttpRequest, visit: Visit, form: IssueForm) -> tuple[Sheet | None, str]:
    """Return the sheet issued, or why it was not."""
    entry = form.entry(request.POST.get("shown_hash", ""))
    try:
        address = address_of_token(request)
        return services.issue_sheet(visit=visit, entry=entry, actor=request.user, address=address), ""
    except services.ChangedError:
        return None, CHANGED
    except services.NotIssuedError as problem:
        return None, str(problem)
    except PdfError as problem:
        return None, f"The PDF could not be made, so nothing was issued: {problem}"


@require_safe
def sheet_detail(request: HtmxHttpRequest, sheet_id: UUID) -> HttpResponse:
    """Show one sheet as issued, how it stands, and its other revisions."""
    sheet = _sheet(request.user, sheet_id)
    return render(request, "handover/sheet_detail.html", {**sheet_context(sheet), "no_pdf": pdf_available()})


@require_http_methods(["GET", "POST"])
def sheet_file(request: HtmxHttpRequest, sheet_id: UUID, paper: str) -> HttpResponse:
    """Return a sheet's file as it lies. A POST of the office makes the one on a paper that has none yet."""
    sheet = _sheet(request.user, sheet_id)
    found = next((one for one in PAPERS if one == paper), None)
    if found is None or (request.method == "POST" and not request.user.is_office):
        raise Http404
    try:
        if request.method == "POST":
            services.print_sheet(sheet=sheet, paper=found, actor=request.user)
            return redirect("sheet-detail", sheet.pk)
        data = paper_of(sheet, found)
    except (GoneError, PdfError, services.NotIssuedError) as problem:
        messages.error(request, str(problem))
        return redirect("sheet-detail", sheet.pk)
    name = f"sheet-{sheet.number}-revision-{sheet.revision}-{paper}.pdf"
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return HttpResponse(data, content_type="application/pdf", headers=headers)


@require_safe
def visit_record_file(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Return what was signed on site, as PDF."""
    visit = get_object_or_404(Visit.objects.for_user(request.user).select_related("site"), pk=visit_id)
    try:
        made = visit_record(visit)
    except (NotKeptError, PdfError) as problem:
        messages.error(request, str(problem))
        return redirect("acceptance-detail", visit.pk)
    headers = {"Content-Disposition": 'inline; filename="visit-record.pdf"'}
    return HttpResponse(made, content_type="application/pdf", headers=headers)


@office_only
@require_http_methods(["GET", "POST"])
def sheet_withdraw(request: HtmxHttpRequest, sheet_id: UUID) -> HttpResponse:
    """Ask why a sheet is withdrawn; a POST withdraws it."""
    sheet = _sheet(request.user, sheet_id)
    form = WithdrawForm(request.POST if request.method == "POST" else None)
    refused = "" if sheet.state == SheetState.ISSUED else f"This sheet is {sheet.state} already."
    if request.method == "POST" and not refused and form.is_valid():
        services.withdraw_sheet(sheet=sheet, reason=form.cleaned_data["reason"], actor=request.user)
        messages.success(request, f"Withdrawn: {sheet.number}, revision {sheet.revision}.")
        return redirect("sheet-detail", sheet.pk)
    context: dict[str, Any] = {"sheet": sheet, "form": form, "refused": refused}
    return render(request, "handover/sheet_withdraw.html", context)


def _sheets(user: User) -> QuerySet[Sheet]:
    sites = Site.objects.for_user(user)
    return Sheet.objects.filter(site__in=sites).select_related("site", "visit", "issued_by").defer("body")


def _sheet(user: User, sheet_id: UUID) -> Sheet:
    return get_object_or_404(_sheets(user).defer(None), pk=sheet_id)
