"""Evidence about phones: one reported lost, and found again. It concerns no one site."""

from datetime import datetime
from typing import Any

from commissioning import evidence
from commissioning.models import Device, Event
from commissioning.projections import schemas as s


@evidence.kind("phone.shut_out", schema=s.body({"device": s.UUID, "words": s.REASON}))
def shut_out(event: Event, body: dict[str, Any]) -> Device:
    """Write that a phone is lost or stolen, and why: what it sends from now on is set apart."""
    device = _device(body)
    if device.shut_at is not None:
        raise evidence.RefusedError({"$.device": "this phone is shut out already"})
    return _marked(device, event.recorded_at, body["words"])


@evidence.kind("phone.let_in", schema=s.body({"device": s.UUID}))
def let_in(event: Event, body: dict[str, Any]) -> Device:
    """Write that a phone is back with its people."""
    device = _device(body)
    if device.shut_at is None:
        raise evidence.RefusedError({"$.device": "this phone is not shut out"})
    return _marked(device, None, "")


def _marked(device: Device, at: datetime | None, words: str) -> Device:
    device.shut_at, device.shut_words = at, words
    device.save(update_fields=["shut_at", "shut_words"])
    return device


def _device(body: dict[str, Any]) -> Device:
    found = Device.objects.filter(pk=body["device"]).first()
    if found is None:
        raise evidence.WaitsError({"$.device": "no such phone has sent anything"})
    return found
