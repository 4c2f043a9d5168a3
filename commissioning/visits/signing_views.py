"""Signing a visit, and ending it."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.progress import progress_of
from commissioning.visits.before_cover import cover_hold
from commissioning.visits.forms import EndForm, SignForm
from commissioning.visits.lookup import visit_for
from commissioning.visits.sections import hold_shown
from commissioning.visits.services import end_visit, sign_visit
from commissioning.visits.signing import Shown, keep_shown, shown_at_signing, signatures_shown
from commissioning.visits.times import zone_of
from sizing.holds import Standing

CHANGED = "Something was added to this visit since the page was shown. Look at it again, then sign."


@require_http_methods(["GET", "POST"])
def visit_sign(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """Show exactly what is signed; a POST puts a name under it."""
    visit = visit_for(request.user, visit_id)
    shown = shown_at_signing(progress_of(visit))
    initial = {"shown_hash": shown.hash, "printed_name": str(request.user), "role": request.user.role}
    form = SignForm(request.POST if request.method == "POST" else None, initial=initial)
    if request.method == "POST" and form.is_valid() and _is_as_shown(form, shown):
        data = {name: form.cleaned_data[name] for name in ("id", "printed_name", "role", "meaning", "strokes")}
        keep_shown(shown)
        signed = sign_visit(visit=visit, shown_hash=shown.hash, actor=request.user, **data)
        messages.success(request, f"Signed by {signed.printed_name}.")
        return redirect("visit-sign", visit.pk)
    context: dict[str, Any] = {
        "visit": visit,
        "shown": shown,
        "form": form,
        "shown_hash": shown.hash,
        "signatures": signatures_shown(visit, shown),
    }
    return render(request, "visits/visit_sign.html", context)


def _is_as_shown(form: SignForm, shown: Shown) -> bool:
    """Whether the visit still says what the page said; the form says so if not."""
    if form.cleaned_data["shown_hash"] == shown.hash:
        return True
    form.add_error(None, CHANGED)
    return False


@require_http_methods(["GET", "POST"])
def visit_end(request: HtmxHttpRequest, visit_id: UUID) -> HttpResponse:
    """End a visit that somebody has signed, as it stands or left isolated."""
    visit = visit_for(request.user, visit_id)
    initial = {"left_isolated": "isolated" in request.GET}
    form = EndForm(request.POST if request.method == "POST" else None, initial=initial)
    if request.method == "POST" and form.is_valid():
        if visit.signatures.exists():
            data = form.cleaned_data
            reason = data["reason"] if data["left_isolated"] else ""
            end_visit(visit=visit, left_isolated=data["left_isolated"], reason=reason, actor=request.user)
            messages.success(request, "The visit is ended.")
            return redirect(visit)
        form.add_error(None, "Nobody has signed this visit yet. Sign it first.")
    progress = progress_of(visit)
    cover = cover_hold(progress)
    context = {
        "visit": visit,
        "form": form,
        "owed_count": progress.owed_count,
        "blocks": progress.blocks,
        "cover": hold_shown(visit, cover, zone_of(visit.site)) if cover else None,
        "stays_open": cover is not None and cover.standing is Standing.STANDS,
    }
    return render(request, "visits/visit_end.html", context)
