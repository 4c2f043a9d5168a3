"""The visits: which there are, how one begins, and the order of checks of one visit."""

from uuid import UUID

from django.core.paginator import Paginator
from django.db.models import F
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from commissioning.doubts import doubts_in
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Site, Visit, VisitKind
from commissioning.progress import Progress, progress_of
from commissioning.service.comparison import baseline_url
from commissioning.told import owner_words
from commissioning.visits.before_cover import buried_words
from commissioning.visits.forms import BeginVisitForm
from commissioning.visits.lookup import visit_for
from commissioning.visits.sections import asked_lines, measurement_url, next_line, owed_sentence, sections_of
from commissioning.visits.services import begin_visit
from commissioning.visits.signing import signatures_shown
from commissioning.visits.times import clock_and_day, day, visit_day, zone_of

A_PAGE = 30


@require_GET
def visit_list(request: HtmxHttpRequest) -> HttpResponse:
    """List the visits, those that still go on first."""
    visits = Visit.objects.for_user(request.user).select_related("site").prefetch_related("technicians")
    asked = _uuid(request.GET.get("site", ""))
    site = Site.objects.for_user(request.user).filter(pk=asked).first() if asked else None
    if site:
        visits = visits.filter(site=site)
    going_first = visits.order_by(F("ended_at").desc(nulls_first=True), "-started_at")
    page = Paginator(going_first, A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "visits": [_listed(v) for v in page], "site": site}
    return render(request, "visits/visit_list.html", context)


def _uuid(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None


def _listed(visit: Visit) -> dict[str, object]:
    """Return a visit as the list prints it."""
    zone = zone_of(visit.site)
    ended = f"ended {clock_and_day(visit.ended_at, zone)}" if visit.ended_at else "goes on"
    return {
        "visit": visit,
        "words": f"{visit.get_kind_display().capitalize()} visit · {day(visit.started_at, zone)}",
        "people": ", ".join(str(p) for p in visit.technicians.all()),
        "standing": f"{ended}, left isolated: do not use" if visit.left_isolated else ended,
        "url": visit.get_absolute_url(),
    }


@require_http_methods(["GET", "POST"])
def visit_begin(request: HtmxHttpRequest) -> HttpResponse:
    """Begin a visit on a site."""
    initial = {"site": request.GET.get("site", ""), "kind": request.GET.get("kind", "start_up")}
    form = BeginVisitForm(request.POST or None, user=request.user, initial=initial)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        visit = begin_visit(site=data["site"], id=data["id"], kind=data["kind"], actor=request.user)
        return redirect(visit)
    return render(request, "visits/visit_begin.html", {"form": form})


@require_GET
def visit_detail(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show the order of checks: what is owed, what waits behind which hold, what is taken."""
    progress = progress_of(visit_for(request.user, visit_id))
    return render(request, "visits/visit_detail.html", visit_context(progress))


def visit_context(progress: Progress) -> dict[str, object]:
    """Return what the page of a visit prints."""
    visit, zone, now = progress.visit, zone_of(progress.visit.site), timezone.now()
    coming = next_line(progress)
    return {
        "visit": visit,
        "site": visit.site,
        "head": head_words(visit),
        "said": owner_words(visit),
        "ended": f"Ended {clock_and_day(visit.ended_at, zone, now)}" if visit.ended_at else "",
        "problem": progress.problem,
        "owed_count": progress.owed_count,
        "owed_words": owed_sentence(progress),
        "buried": buried_words(progress),
        "asked": asked_lines(progress, zone),
        "sections": sections_of(progress, zone),
        "defects": progress.defects,
        "doubts": doubts_in(progress),
        "signatures": signatures_shown(visit, None),
        "photos": visit.photos.filter(measurement=None),
        "baseline_url": baseline_url(visit),
        "arrival_url": reverse("arrival", args=[visit.pk]) if visit.kind == VisitKind.SERVICE else "",
        "next": coming,
        "next_url": measurement_url(visit, coming) if coming else "",
    }


def head_words(visit: Visit) -> str:
    """Return which visit it is, when, and who is on it: "Start-up visit, day 1 · Wed 14 April 2027 · T. Marsh"."""
    zone, now = zone_of(visit.site), timezone.now()
    shown = visit.ended_at or now
    which = f"{visit.get_kind_display().capitalize()} visit, day {visit_day(visit.started_at, shown, zone)}"
    people = ", ".join(str(p) for p in visit.technicians.all())
    return " · ".join(part for part in (which, day(shown, zone), people) if part)
