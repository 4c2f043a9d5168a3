"""The field sheet of a visit, to print before the phone dies."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET

from commissioning.htmx import HtmxHttpRequest
from commissioning.pdf import PdfError
from commissioning.progress import progress_of
from commissioning.visits.field_sheet import render_field_sheet
from commissioning.visits.lookup import visit_for


@require_GET
def visit_field_sheet(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Return the PDF of what the visit still owes."""
    visit = visit_for(request.user, visit_id)
    try:
        made = render_field_sheet(progress_of(visit))
    except PdfError as problem:
        messages.error(request, str(problem))
        return redirect(visit)
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="field-sheet.pdf"'
    return answer
