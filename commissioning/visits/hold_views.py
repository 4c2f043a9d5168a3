"""A hold: how it stands, what stays off, what is owed, and letting work go on behind it."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.progress import HoldLine, Line, Progress, Status, design_words
from commissioning.visits.forms import ReleaseForm
from commissioning.visits.lookup import hold_for
from commissioning.visits.sections import (
    asked_words,
    hold_shown,
    is_takeable,
    measurement_url,
    owed_words,
    shown,
    taken_words,
)
from commissioning.visits.services import release_hold
from commissioning.visits.times import zone_of
from sizing.holds import Standing

ONLY_SETTLED = "This hold can only be settled by good checks, never released: {why}."


@require_http_methods(["GET", "POST"])
def hold_detail(request: HtmxHttpRequest, visit_id: UUID, key: str) -> HttpResponse:
    """Show a hold; a POST releases it, where that is allowed."""
    progress, hold = hold_for(request.user, visit_id, key)
    form = ReleaseForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        refusal = why_not_released(progress, hold)
        if not refusal:
            release_hold(
                visit=progress.visit, hold=key, id=form.cleaned_data["id"], reason=form.cleaned_data["reason"],
                actor=request.user,
            )  # fmt: skip
            messages.success(request, f"Hold “{hold.hold.title}” is released. It is printed on the sheet.")
            return redirect("hold-detail", visit_id, key)
        form.add_error(None, refusal)
    return render(request, "visits/hold_detail.html", hold_context(progress, hold, form))


def why_not_released(progress: Progress, hold: HoldLine) -> str:
    """Return in words why a hold cannot be released; empty if it can."""
    if hold.hold.only_settled:
        return ONLY_SETTLED.format(why=hold.hold.why)
    if progress.visit.ended_at is not None:
        return "This visit has ended."
    if hold.standing is not Standing.STANDS:
        return f"This hold does not stand: it is {hold.standing.value}."
    return ""


def hold_context(progress: Progress, hold: HoldLine, form: ReleaseForm) -> dict[str, object]:
    """Return what the page of a hold prints."""
    visit, zone = progress.visit, zone_of(progress.visit.site)
    owed = hold.still_owed
    first = next((one for one in owed if is_takeable(one)), None)
    return {
        "visit": visit,
        "hold": hold.hold,
        "bar": hold_shown(visit, hold, zone),
        "stands": hold.standing is Standing.STANDS,
        "owed_words": owed_words(hold),
        "owed_count": progress.owed_count,
        "owed": [shown(visit, one, _owed_line_words(one, hold, progress), zone) for one in owed],
        "design": [design_words(one) for one in hold.not_designed],
        "settled": [shown(visit, one, _settled_words(one, progress), zone) for one in hold.required if one.is_good],
        "behind": ", ".join(f"{o.owed.number} {o.check.title}, {o.owed.subject}" for o in _behind(progress, hold)),
        "form": form,
        "is_open": bool(form.errors),
        "can_release": not why_not_released(progress, hold),
        "only_settled_words": ONLY_SETTLED.format(why=hold.hold.why) if hold.hold.only_settled else "",
        "next": first,
        "next_url": measurement_url(visit, first) if first else "",
    }


def _owed_line_words(line: Line, hold: HoldLine, progress: Progress) -> str:
    if line.measurement is not None:
        return taken_words(line, zone_of(progress.visit.site))
    return asked_words(line, hold)


def _settled_words(line: Line, progress: Progress) -> str:
    if line.measurement is not None:
        return taken_words(line, zone_of(progress.visit.site))
    return f"{line.subject_words} · {line.status.value}"


def _behind(progress: Progress, hold: HoldLine) -> list[Line]:
    open_ones = (Status.BEHIND, Status.OWED)
    return [one for one in progress.lines if one.check.gate == hold.hold.key and one.status in open_ones]
