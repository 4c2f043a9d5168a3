"""The baseline of a visit: what was measured when the system was handed over."""

from commissioning.models import Sheet, Visit, VisitKind


def baseline_of(visit: Visit) -> Visit | None:
    """Return the visit whose measurements are the baseline: that of the last sheet, else the last start-up before."""
    sheet = Sheet.objects.filter(site=visit.site, issued_at__lt=visit.started_at).select_related("visit").first()
    if sheet is not None and sheet.visit_id != visit.pk:
        return sheet.visit
    earlier = Visit.objects.filter(site=visit.site, kind=VisitKind.START_UP, started_at__lt=visit.started_at)
    return earlier.exclude(pk=visit.pk).first()


def owed_in_baseline(visit: Visit) -> set[str]:
    """Return the ids of the owed checks that were measured on the baseline of a service visit."""
    baseline = baseline_of(visit) if visit.kind == VisitKind.SERVICE else None
    if baseline is None:
        return set()
    rows = baseline.measurements.current().values_list("check_key", "component__tag", "run__tag", "subject")
    return {f"{key}:{component or run or subject}" for key, component, run, subject in rows}
