"""What was found when the system was handed over, for a service visit on the phone: values, and the pages beside it."""

from collections.abc import Iterator
from typing import Any

from django.urls import reverse

from commissioning import showing
from commissioning.baseline import baseline_of
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Measurement, Visit, VisitKind
from commissioning.moments import day_words, zone_of
from commissioning.progress import Progress
from commissioning.service.arrival import arrival_of
from commissioning.service.views import comparison_context, days, list_context, said_form
from commissioning.sync.pages import Renderer


def baseline_data(progress: Progress) -> dict[str, Any]:
    """Return, by owed check, the values found at the baseline with what they should have been; empty without one."""
    baseline = baseline_of(progress.visit)
    if baseline is None:
        return {}
    day = day_words(baseline.started_at, zone_of(baseline.site))
    rows = baseline.measurements.current().select_related("component", "run").prefetch_related("judgements", "readings")
    found = {_owed_id(one): _values(one, baseline) for one in rows}
    there = {line.owed.id for line in (*progress.lines, *progress.offered)}
    return {key: {"day": day, "values": values} for key, values in found.items() if values and key in there}


def _owed_id(one: Measurement) -> str:
    tag = one.component.tag if one.component else one.run.tag if one.run else one.subject
    return f"{one.check_key}:{tag}"


def _values(one: Measurement, baseline: Visit) -> list[dict[str, str]]:
    if one.answer:
        return [{"label": "Answer", "value": one.answer, "expected": ""}]
    shown = showing.show(one.judgement(), baseline.site.unit_system, list(one.readings.all()))
    return [
        {
            "label": f"{f.label}, {f.repeat}" if f.repeat else f.label, "value": f.value,
            "expected": "" if f.expected == showing.EM_DASH else f.expected,
        }
        for f in shown
    ]  # fmt: skip


def comparison_pages(request: HtmxHttpRequest, progress: Progress) -> Iterator[tuple[str, str]]:
    """Yield the arrival, and the pages that lay a visit beside its baseline as far as it was measured by then."""
    visit = progress.visit
    if visit.kind == VisitKind.SERVICE:
        context = {**arrival_of(visit), "said_form": said_form(visit)}
        yield reverse("arrival", args=[visit.pk]), Renderer(request).page("service/arrival.html", context)
    if baseline_of(visit) is None:
        return
    render = Renderer(request).page
    context, both = list_context(visit, progress), days(visit)
    yield reverse("comparison-list", args=[visit.pk]), render("service/comparison_list.html", context)
    for one in [*context["moved"], *context["still"], *context["apart"]]:
        url = reverse("comparison", args=[visit.pk, one.check.key, one.now.subject])
        line = progress.line(f"{one.check.key}:{one.now.subject}")
        if line is not None:
            yield url, render("service/comparison.html", comparison_context(one, line, progress) | both)
