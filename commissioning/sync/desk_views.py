"""The phones at the desk: a phone's file brought in, and what came back refused or contradicting."""

import json
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Max
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Device, Event, Quarantined, Site
from commissioning.moments import moment_words, zone_of
from commissioning.office_only import office_only
from commissioning.sync.lost_phones import let_phone_in, shut_phone_out
from commissioning.sync.phone_file import MOST_BYTES, bring_in
from commissioning.sync.settle_forms import PhoneFileForm, ReasonForm
from commissioning.sync.settle_services import drop_item
from commissioning.sync.strict import UnreadableError
from sizing.checks.catalogue import CHECKS

A_PAGE = 30
MOST_WORDS = 160
Shown = dict[str, Any]
STATES = {"conflict": "contradicts what stands", "refused": "refused"}


@office_only
@require_http_methods(["GET", "POST"])
def phones(request: HtmxHttpRequest) -> HttpResponse:
    """List what was not taken in, and the phones; a POST brings in a phone's file."""
    form = PhoneFileForm(request.POST or None, request.FILES or None)
    if form.is_valid() and _bring(request, form):
        return redirect("phones")
    items = Quarantined.objects.unsettled().filter(site__in=Site.objects.for_user(request.user))
    page = Paginator(items.select_related("site", "sent_by"), A_PAGE).get_page(request.GET.get("page"))
    context = {"form": form, "page": page, "items": [_item(one) for one in page], "phones": _phones()}
    return render(request, "sync/phones.html", context)


def _bring(request: HtmxHttpRequest, form: PhoneFileForm) -> bool:
    """Bring in the uploaded file and say what became of it; or say at the field why it is none."""
    file = form.cleaned_data["file"]
    if file.size > MOST_BYTES:
        form.add_error("file", f"This file is larger than {MOST_BYTES // 2**20} MB.")
        return False
    try:
        brought = bring_in(file.read(), sender=request.user)
    except UnreadableError as error:
        form.add_error("file", f"This is not a phone's file: it {error}.")
        return False
    pictures = f", {brought.photos_kept} photos" if brought.photos_kept else ""
    messages.success(request, f"{brought.count('stored')} stored{pictures}, {brought.count('duplicate')} here before.")
    left = brought.count("refused", "conflict", "waits")
    if left:
        messages.warning(request, f"{left} not taken in: {_first_reason(brought.results)}")
    for fault in brought.photo_faults:
        messages.warning(request, f"Photo {fault}.")
    return True


def _first_reason(results: list[Any]) -> str:
    return next(", ".join(one.faults.values()) for one in results if one.faults)


@office_only
@require_http_methods(["GET", "POST"])
def item_drop(request: HtmxHttpRequest, item_id: UUID) -> HttpResponse:
    """Show an item that was not taken in, word for word; a POST gives it up, with a reason."""
    sites = Site.objects.for_user(request.user)
    item = get_object_or_404(Quarantined.objects.unsettled().filter(site__in=sites), pk=item_id)
    form = ReasonForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        drop_item(item=item, reason=form.cleaned_data["reason"], actor=request.user)
        messages.success(request, "Given up. Word for word it stays on record.")
        return redirect("phones")
    context = {"one": _item(item), "text": _readable(item.text), "standing": _standing(item), "form": form}
    return render(request, "sync/item_drop.html", context)


@office_only
@require_http_methods(["GET", "POST"])
def phone_shut(request: HtmxHttpRequest, device_id: UUID) -> HttpResponse:
    """Show a phone; a POST shuts it out as lost, with a reason, or lets it in again."""
    device = get_object_or_404(Device, pk=device_id)
    form = ReasonForm(request.POST if request.method == "POST" and device.shut_at is None else None)
    if request.method == "POST" and device.shut_at is not None:
        let_phone_in(device=device, actor=request.user)
        messages.success(request, "It is let in again: what it still holds is taken in when it is sent again.")
        return redirect("phones")
    if form.is_valid():
        ended = shut_phone_out(device=device, words=form.cleaned_data["reason"], actor=request.user)
        messages.success(request, f"Shut out. Its people are signed out everywhere ({ended} sign-ins ended).")
        return redirect("phones")
    return render(request, "sync/phone_shut.html", {"one": _phone_alone(device), "form": form})


def _item(one: Quarantined) -> Shown:
    faults = [f"{place}: {reason}" if place != "$" else reason for place, reason in json.loads(one.faults).items()]
    return {
        "id": one.pk, "site": one.site, "kind": what_words(json.loads(one.text)),
        "state": STATES[one.state], "faults": faults, "who": str(one.sent_by),
        "when": moment_words(one.received_at, zone_of(one.site)),
    }  # fmt: skip


def what_words(item: Shown) -> str:
    """Return what an item is about: "measurement taken: Static level, W1: 24.10 m, 24.11 m"."""
    body = item["body"]
    kind = str(item["kind"]).replace(".", " ").replace("_", " ")
    check = CHECKS.get(str(body.get("check", "")))
    about = ", ".join(str(part) for part in (check.title if check else "", body.get("subject", "")) if part)
    said = body.get("answer") or body.get("words") or body.get("reason") or ""
    return ": ".join(part for part in (kind, about, _typed(body) or str(said)) if part)[:MOST_WORDS]


def _typed(body: Shown) -> str:
    readings = body.get("readings")
    if not isinstance(readings, list):
        return ""
    return ", ".join(f"{r.get('typed')} {r.get('unit')}".strip() for r in readings if isinstance(r, dict))


def _standing(item: Quarantined) -> str:
    """Return what stands in an item's place; empty where nothing does."""
    stored = Event.objects.filter(pk=item.event_id).first()
    stored = stored or Event.objects.filter(device=item.device, device_sequence=item.device_sequence).first()
    if stored is None:
        return ""
    when = moment_words(stored.recorded_at, zone_of(item.site))
    return f"{what_words({'kind': stored.kind, 'body': json.loads(stored.body)})} · {stored.actor}, {when}"


def _readable(text: str) -> str:
    return json.dumps(json.loads(text), ensure_ascii=False, indent=1)


def _phones() -> list[Shown]:
    """Return every phone: who uses it, its last number, when it was last heard of."""
    devices = list(Device.objects.prefetch_related("people"))
    rows = Event.objects.filter(device__in=[str(one.pk) for one in devices]).order_by().values_list("device")
    lasts = {name: (last, when) for name, last, when in rows.annotate(Max("device_sequence"), Max("received_at"))}
    return [_phone(one, *lasts.get(str(one.pk), (0, one.first_seen_at))) for one in devices]


def _phone(one: Device, last: int, when: Any) -> Shown:
    people = ", ".join(str(p) for p in one.people.all())
    return {
        "id": one.pk, "name": str(one.pk)[:8], "people": people, "last": last, "when": when, "shut_at": one.shut_at,
        "shut_words": one.shut_words,
    }  # fmt: skip


def _phone_alone(one: Device) -> Shown:
    sent = Event.objects.filter(device=str(one.pk)).aggregate(last=Max("device_sequence"), when=Max("received_at"))
    return _phone(one, sent["last"] or 0, sent["when"] or one.first_seen_at)
