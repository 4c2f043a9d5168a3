"""Photos: served to people who are signed in, and added to a visit or to a measurement."""

from uuid import UUID

from django.contrib import messages
from django.http import FileResponse, Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from commissioning import photo_copies
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Measurement, Photo, Visit
from commissioning.photos import DERIVATIVE_TYPE, PhotoError
from commissioning.visits.forms import VisitPhotoForm
from commissioning.visits.lookup import visit_for
from commissioning.visits.services import tie_photos

FOR_EVER = "private, max-age=31536000, immutable"  # the address names the content


@require_GET
def photo_file(request: HtmxHttpRequest, photo_id: UUID, size: str) -> HttpResponseBase:
    """Hand out a small copy of a photo. The file as it came leaves with an export only."""
    photo = get_object_or_404(Photo, pk=photo_id, visit__in=Visit.objects.for_user(request.user))
    try:
        path = photo_copies.path_of(photo.sha256, size)
    except (ValueError, FileNotFoundError, PhotoError) as error:
        raise Http404 from error
    return FileResponse(path.open("rb"), content_type=DERIVATIVE_TYPE, headers={"Cache-Control": FOR_EVER})


@require_http_methods(["GET", "POST"])
def visit_photos(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Add photos to a visit, or to the measurement named by `measurement`."""
    visit = visit_for(request.user, visit_id)
    measurement = _measurement(visit, request.GET.get("measurement", ""))
    form = VisitPhotoForm(request.POST, request.FILES) if request.method == "POST" else VisitPhotoForm()
    if request.method == "POST" and form.is_valid():
        tied = tie_photos(
            visit=visit, measurement=measurement, photos=form.kept_photos(), actor=request.user, taken_at=timezone.now()
        )
        messages.success(request, "1 photo kept." if len(tied) == 1 else f"{len(tied)} photos kept.")
        return redirect("measurement", visit.pk, measurement.owed_id) if measurement else redirect(visit)
    return render(request, "visits/photos.html", {"form": form, "visit": visit, "measurement": measurement})


def _measurement(visit: Visit, text: str) -> Measurement | None:
    if not text:
        return None
    try:
        return get_object_or_404(visit.measurements, pk=UUID(text))
    except ValueError as error:
        raise Http404 from error
