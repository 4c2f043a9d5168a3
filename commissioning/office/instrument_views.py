"""The firm's instruments at the desk: cards, calibrations, and what was found bad with what that puts in doubt."""

from datetime import date, timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from commissioning import evidence, units
from commissioning.accuracy import in_words
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Instrument
from commissioning.moments import day_words
from commissioning.office import instrument_services as services
from commissioning.office.doubtful import doubtful_readings
from commissioning.office.instrument_forms import CalibrationForm, CardForm, FoundBadForm, RetireForm
from commissioning.office_only import office_only
from commissioning.statement import printed
from sizing.quantities import Quantity

SOON = timedelta(days=30)


@require_safe
@office_only
def instrument_list(request: HtmxHttpRequest) -> HttpResponse:
    """List the instruments, what is due for calibration first; what is retired below."""
    there = list(Instrument.objects.prefetch_related("found_bad", "calibrations"))
    in_use = sorted(
        (one for one in there if not one.retired_at), key=lambda one: (one.calibration_due or date.max, one.tag)
    )
    retired = [{"one": one, "since": day_words(one.retired_at)} for one in there if one.retired_at]
    context = {"rows": [_row(one) for one in in_use], "retired": retired}
    return render(request, "office/instrument_list.html", context)


@office_only
@require_http_methods(["GET", "POST"])
def instrument_new(request: HtmxHttpRequest) -> HttpResponse:
    """Ask for the card of a new instrument; a POST keeps it."""
    return _card(request, None)


@office_only
@require_http_methods(["GET", "POST"])
def instrument_edit(request: HtmxHttpRequest, instrument_id: UUID) -> HttpResponse:
    """Show the card of an instrument to be put right; a POST keeps it."""
    return _card(request, get_object_or_404(Instrument, pk=instrument_id))


@require_safe
@office_only
def instrument_detail(request: HtmxHttpRequest, instrument_id: UUID) -> HttpResponse:
    """Show one instrument: its calibrations, what was found, and the readings that this puts in doubt."""
    return _detail(request, _instrument(instrument_id))


@office_only
@require_http_methods(["POST"])
def instrument_calibrate(request: HtmxHttpRequest, instrument_id: UUID) -> HttpResponse:
    """Keep a calibration."""
    one, form = _instrument(instrument_id), CalibrationForm(request.POST)
    if not form.is_valid():
        return _detail(request, one, calibration=form)
    services.calibrate(instrument=one, actor=request.user, **form.cleaned_data)
    messages.success(request, f"{one.tag}: the calibration is kept.")
    return redirect("instrument-detail", one.pk)


@office_only
@require_http_methods(["POST"])
def instrument_found_bad(request: HtmxHttpRequest, instrument_id: UUID) -> HttpResponse:
    """Keep from when on an instrument read wrong."""
    one, form = _instrument(instrument_id), FoundBadForm(request.POST)
    if not form.is_valid():
        return _detail(request, one, found_bad=form)
    services.find_bad(instrument=one, actor=request.user, **form.cleaned_data)
    messages.success(request, f"{one.tag}: what was read with it since then is in doubt.")
    return redirect("instrument-detail", one.pk)


@office_only
@require_http_methods(["POST"])
def instrument_retire(request: HtmxHttpRequest, instrument_id: UUID) -> HttpResponse:
    """Keep that an instrument is in use no more, or that it is again."""
    one, form = _instrument(instrument_id), RetireForm(request.POST)
    try:
        if "take_up" in request.POST:
            services.take_up(instrument=one, actor=request.user)
            messages.success(request, f"{one.tag} is offered again.")
        elif form.is_valid():
            services.retire(instrument=one, actor=request.user, **form.cleaned_data)
            messages.success(request, f"{one.tag} is offered no more. What was read with it stays.")
        else:
            return _detail(request, one, retire=form)
    except evidence.RefusedError:
        messages.info(request, "That was kept already.")
    return redirect("instrument-detail", one.pk)


def _card(request: HtmxHttpRequest, one: Instrument | None) -> HttpResponse:
    form = CardForm(request.POST if request.method == "POST" else None, instance=one)
    if form.is_valid():
        try:
            kept = services.keep_instrument(instrument=one, card=form.card(), actor=request.user)
        except evidence.RefusedError:
            form.add_error("tag", "Another instrument has this tag.")
        else:
            return redirect("instrument-detail", kept.pk)
    known = Instrument.objects.filter(pk=one.pk).first() if one else None  # as it is kept, not as it was typed
    return render(request, "office/instrument_card.html", {"one": known, "form": form})


def _detail(request: HtmxHttpRequest, one: Instrument, **forms: Any) -> HttpResponse:
    context = {
        "one": one, "row": _row(one), "stated": printed(one, units.unit(one.unit, Quantity(one.quantity)).symbol),
        "comes_to": in_words(one), "doubtful": doubtful_readings(one),
        "calibrations": [_calibration(c) for c in reversed(one.calibrations.all())],
        "found": [_found(f) for f in one.found_bad.all()],
        "calibration": forms.get("calibration", CalibrationForm()),
        "found_bad": forms.get("found_bad", FoundBadForm()), "retire": forms.get("retire", RetireForm()),
        "retired_on": day_words(one.retired_at) if one.retired_at else "",
    }  # fmt: skip
    return render(request, "office/instrument_detail.html", context)


def _instrument(instrument_id: UUID) -> Instrument:
    there = Instrument.objects.prefetch_related("found_bad__by", "calibrations__by")
    return get_object_or_404(there, pk=instrument_id)


def _row(one: Instrument) -> dict[str, Any]:
    return {
        "one": one, "calibrated": day_words(one.calibrated_on) if one.calibrated_on else "not recorded",
        "due": day_words(one.calibration_due) if one.calibration_due else "not recorded", "state": state_words(one),
    }  # fmt: skip


def state_words(one: Instrument) -> str:
    """Return how an instrument stands today."""
    today = timezone.now().date()
    bad = [f for f in one.found_bad.all() if not any(c.at > f.at for c in one.calibrations.all())]
    if bad:
        return f"found bad from {day_words(bad[-1].since)} on"
    if one.calibration_due is None:
        return "no calibration recorded"
    if one.calibration_due < today:
        return "overdue"
    return "due soon" if one.calibration_due <= today + SOON else ""


def _calibration(one: Any) -> dict[str, str]:
    due = day_words(one.due) if one.due else "no end"
    return {"on": day_words(one.on), "due": due, "reference": one.reference, "by": one.by.get_full_name()}


def _found(one: Any) -> dict[str, str]:
    return {"since": day_words(one.since), "words": one.words, "by": one.by.get_full_name()}
