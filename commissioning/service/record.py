"""The service record: what was found, done and left on one service visit, as its own PDF."""

from typing import Any

from django.template.loader import render_to_string

from commissioning.baseline import baseline_of
from commissioning.handover.services import usual_paper
from commissioning.models import Defect, SetAside, Visit, VisitKind
from commissioning.moments import day_words, moment_words, zone_of
from commissioning.pdf import render_pdf
from commissioning.progress import Progress, progress_of
from commissioning.service.arrival import changes_between, last_before
from commissioning.service.causes import causes_of
from commissioning.service.comparison import Comparison, comparisons
from commissioning.service.due import due_after
from commissioning.service.trend import Trend, trends_of
from commissioning.told import owner_words

MOST_PLOTS = 8
LIMITS = (
    "Values of the day, as read, beside those of the baseline. This is no handover sheet and certifies nothing. "
    "Local codes and licensed practice come first."
)


def service_record(visit: Visit) -> bytes:
    """Return the PDF of a service visit as it stands now."""
    html = render_to_string("service/record.html", record_context(visit))
    return render_pdf(html, paper=usual_paper(visit))


def number_of(visit: Visit) -> int:
    """Return which service visit of its site it is: the first is 1."""
    earlier = Visit.objects.filter(site=visit.site_id, kind=VisitKind.SERVICE, started_at__lt=visit.started_at)
    return earlier.exclude(pk=visit.pk).count() + 1


def record_context(visit: Visit) -> dict[str, Any]:
    """Return what the service record prints."""
    progress, found, zone = progress_of(visit), comparisons(visit), zone_of(visit.site)
    last, baseline = last_before(visit), baseline_of(visit)
    return {
        "visit": visit,
        "site": visit.site,
        "number": number_of(visit),
        "said": owner_words(visit),
        "begun": moment_words(visit.started_at, zone),
        "ended": moment_words(visit.ended_at, zone) if visit.ended_at else "",
        "people": ", ".join(str(p) for p in visit.technicians.all()),
        "last_day": day_words(last.started_at, zone) if last else "",
        "baseline_day": day_words(baseline.started_at, zone) if baseline else "",
        "moved": [c for c in found if c.moved],
        "rest": [c for c in found if not c.moved],
        "as_before": [line for line in progress.lines if line.aside and line.aside.how == SetAside.AS_BEFORE],
        "answers": [line for line in progress.lines if line.measurement and line.measurement.answer],
        "owed_count": progress.owed_count,
        "causes": causes_of(visit, progress, found),
        "work": changes_between(visit, visit.started_at, visit.ended_at),
        "put_right": _put_right(visit),
        "open": _open(progress),
        "trends": _trends(found),
        "due": day_words(due_after(visit)),
        "limits": LIMITS,
    }


def _put_right(visit: Visit) -> list[Defect]:
    """Return the defects of the site that were put right during the visit."""
    rows = Defect.objects.filter(site=visit.site_id, put_right_at__gte=visit.started_at)
    return list(rows.filter(put_right_at__lte=visit.ended_at) if visit.ended_at else rows)


def _open(progress: Progress) -> list[Defect]:
    return list(Defect.objects.filter(site=progress.visit.site_id, put_right_at=None).order_by("-is_unsafe", "number"))


def _trends(found: list[Comparison]) -> list[tuple[str, Trend]]:
    """Return what is drawn: what has moved, over all visits."""
    drawn = [(f"{c.check.title}, {c.now.subject}", t) for c in found if c.moved for t in trends_of(c.now, c.past)]
    return drawn[:MOST_PLOTS]
