"""The pages that a technician needs on site, rendered for one person, to be kept on the phone.

They are the same templates as those of the rooms, made from one reading of the database. No page carries a token: what
is kept on the phone goes out through the phone's own entrance. A check's page also carries its empty forms, one a way,
from which the phone draws the page again after it has kept something.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from django.db.models import prefetch_related_objects
from django.template.loader import render_to_string
from django.urls import reverse

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Measurement, Visit
from commissioning.progress import Line, Progress
from commissioning.service.comparison import comparison_urls
from commissioning.sync.declared import more_steps, ways_of
from commissioning.visits.defect_views import defect_context
from commissioning.visits.fields import steps_shown
from commissioning.visits.forms import (
    DefectForm,
    EndForm,
    PutRightForm,
    ReleaseForm,
    SetAsideForm,
    SignForm,
    VisitPhotoForm,
)
from commissioning.visits.hold_views import hold_context
from commissioning.visits.measurement_form import MeasurementForm
from commissioning.visits.measurement_page import Page, Shared, context_of, form_of
from commissioning.visits.sections import hold_url, is_by_itself, measurement_url
from commissioning.visits.signing import shown_at_signing, signatures_shown
from commissioning.visits.views import visit_context
from sizing.checks.declare import Way

CHOSEN = ("choices__by", "choices__passed_over__measurement__readings")
Pages = Iterator[tuple[str, str]]


class SharedByAll(Shared):
    """What the pages of a visit share, with every comparison's address found at once."""

    def __init__(self, visit: Visit) -> None:
        super().__init__(visit)
        self.addresses = comparison_urls(visit)

    def comparison_url(self, one: Measurement) -> str:
        return self.addresses.get(one.pk, "")


class Renderer:
    """Renders templates for one person, without token and without messages."""

    def __init__(self, request: HtmxHttpRequest) -> None:
        self.request = request

    def page(self, template: str, context: dict[str, Any]) -> str:
        return render_to_string(template, {**context, "csrf_token": "", "messages": []}, self.request)


def visit_pages(request: HtmxHttpRequest, progress: Progress) -> Pages:
    """Yield address and text of every page of a visit."""
    render, visit = Renderer(request).page, progress.visit
    yield visit.get_absolute_url(), render("visits/visit_detail.html", visit_context(progress))
    yield from _check_pages(request, progress)
    for hold in progress.holds:
        yield hold_url(visit, hold), render("visits/hold_detail.html", hold_context(progress, hold, ReleaseForm()))
    for defect in progress.defects:
        url = reverse("defect-detail", args=[visit.pk, defect.pk])
        yield url, render("visits/defect_detail.html", defect_context(visit, defect, PutRightForm()))
    yield from _other_pages(request, progress)


def _other_pages(request: HtmxHttpRequest, progress: Progress) -> Pages:
    """Yield the pages that a visit has once: raising a defect, photos, signing, ending."""
    render, visit = Renderer(request).page, progress.visit
    shown = shown_at_signing(progress)
    initial = {"shown_hash": shown.hash, "printed_name": str(request.user), "role": request.user.role}
    signing = {
        "visit": visit, "shown": shown, "form": SignForm(initial=initial), "shown_hash": shown.hash,
        "signatures": signatures_shown(visit, shown),
    }  # fmt: skip
    ending = {"visit": visit, "form": EndForm(), "owed_count": progress.owed_count, "blocks": progress.blocks}
    there = {"visit": visit, "line": None, "measurement": None}
    for name, template, context in (
        ("defect-raise", "visits/defect_raise.html", {**there, "form": DefectForm()}),
        ("visit-photos", "visits/photos.html", {**there, "form": VisitPhotoForm()}),
        ("visit-sign", "visits/visit_sign.html", signing),
        ("visit-end", "visits/visit_end.html", ending),
    ):
        yield reverse(name, args=[visit.pk]), render(template, context)


# checks


def _check_pages(request: HtmxHttpRequest, progress: Progress) -> Pages:
    shared = SharedByAll(progress.visit)
    _fetch_at_once(progress)
    for line in (*progress.lines, *progress.offered):
        yield measurement_url(progress.visit, line), _check_page(request, progress, line, shared)


def _fetch_at_once(progress: Progress) -> None:
    """Fetch what the pages of all checks print, so that no page asks for its own."""
    taken = [line.measurement for line in progress.lines if line.measurement]
    prefetch_related_objects(taken, "readings__instrument", "event", "supersedes", *CHOSEN)
    earlier = Measurement.objects.filter(visit=progress.visit).prefetch_related("readings")
    by_id = {one.pk: one for one in earlier}
    for one in [*taken, *by_id.values()]:
        if one.supersedes_id:
            one.supersedes = by_id[one.supersedes_id]


def _check_page(request: HtmxHttpRequest, progress: Progress, line: Line, shared: Shared) -> str:
    page = Page(progress, line, line.measurement.way if line.measurement else "", None, False, False, "", shared=shared)
    url = measurement_url(progress.visit, line)
    context = context_of(request, page, form_of(page) if page.asks else None)
    empty = [] if is_by_itself(line) else [_empty_form(request, page, way, url) for way in ways_of(line.check)]
    context |= {
        "action": url, "aside_form": SetAsideForm(), "forms": [one for one in empty if one],
        "can_be_aside": not is_by_itself(line),
    }  # fmt: skip
    return Renderer(request).page("sync/measurement.html", context)


def _empty_form(request: HtmxHttpRequest, page: Page, way: Way, url: str) -> dict[str, Any] | None:
    """Return the form of one way as it is before anything is taken; None where nobody knows how many readings."""
    line = replace(page.line, measurement=None, judgement=None)
    bare = replace(page, line=line, way=way.key)
    form = form_of(bare)
    if form is None:
        return None
    further = _further(form, bare, way)
    return {
        "way": way,
        "form": form,
        "steps": steps_shown(form),
        "ways": _way_links(page, way, url),
        "further": further,
    }


def _further(form: MeasurementForm, page: Page, way: Way) -> list[Any]:
    """Return the step of one more row, ready to print; none where a check has no rows."""
    assert page.progress.system is not None
    found = more_steps(page.line.check, way, page.progress.system, page.line.owed.subject)
    if not found:
        return []
    usual = page.beside.usual.get(page.line.owed.check, {})
    return steps_shown(
        MeasurementForm(
            check=page.line.check, way=way, steps=found, visit=page.visit, instruments=form.instruments, usual=usual
        )
    )


def _way_links(page: Page, chosen: Way, url: str) -> list[dict[str, Any]]:
    ways = page.line.check.ways
    if len(ways) < 2:
        return []
    return [{"label": w.label, "url": f"{url}?way={w.key}", "is_chosen": w is chosen} for w in ways]
