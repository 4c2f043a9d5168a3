"""A phone as the entrance sees it: keeps items in its own count, sends them, remembers what was acknowledged."""

import hashlib
import io
import json
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

from django.test import Client
from django.utils import timezone
from PIL import Image

from commissioning.items import Item, digest_of_item
from commissioning.models import User, Visit
from sizing.checks.catalogue import CHECKS

Answer = dict[str, Any]
ITEMS = "/phone/items/"


@dataclass
class Phone:
    """One browser's store, in the hands of one person."""

    user: User
    visit: Visit
    device: str = field(default_factory=lambda: str(uuid4()))
    n: int = 0
    client: Client = field(default_factory=Client)
    is_signed_in: bool = True

    def __post_init__(self) -> None:
        if self.is_signed_in:
            self.client.force_login(self.user, backend="django.contrib.auth.backends.ModelBackend")

    def keep(self, kind: str, body: dict[str, Any], **changed: Any) -> Item:
        """Return an item as the phone keeps it; parts of it may be given by name."""
        self.n += 1
        item: Item = {
            "v": 1, "id": str(uuid4()), "device": self.device, "n": self.n, "user": str(self.user.handle),
            "site": str(self.visit.site_id), "kind": kind, "body": body, "clock": clock(), **changed,
        }  # fmt: skip
        return {**item, "digest": digest_of_item(item)}

    def measured(
        self, check: str = "static_level", subject: str = "W1", *readings: tuple[str, ...], **changed: Any
    ) -> Item:
        """Keep a measurement; `body` adds to its body."""
        body = {**self.taken(check, subject, *readings), **changed.pop("body", {})}
        return self.keep("measurement.taken", body, **changed)

    def taken(self, check: str, subject: str, *readings: tuple[str, ...]) -> dict[str, Any]:
        read = readings or (("level", "24.10", "m", "1"), ("level", "24.11", "m", "2"))
        items = [dict(zip(("input", "typed", "unit", "label"), (*one, "")[:4], strict=True)) for one in read]
        assert check in CHECKS
        return {
            "id": str(uuid4()), "visit": str(self.visit.pk), "check": check, "subject": subject,
            "taken_at": timezone.now().isoformat(), "readings": items,
        }  # fmt: skip

    def send(self, *items: Any, status: int = 200, **changed: Any) -> list[Answer]:
        """Deliver items and return the results, one for each."""
        answer = self.deliver(*items, **changed)
        assert answer.status_code == status, answer.content[:500]
        found: list[Answer] = answer.json().get("results", [])
        return found

    def deliver(self, *items: Any, **changed: Any) -> Any:
        body = {"device": self.device, "user": str(self.user.handle), "epoch": "", "items": items, **changed}
        return self.client.post(ITEMS, json.dumps(body), content_type="application/json")

    def hello(self) -> Answer:
        answer: Answer = self.client.get(f"/phone/hello/?device={self.device}").json()
        return answer

    def put(self, data: bytes, *, offset: int = 0, size: int = 0, name: str = "", total: int = 0) -> Any:
        """Send one piece of a photo's file."""
        sha = name or hashlib.sha256(data).hexdigest()
        piece = data[offset : offset + size] if size else data[offset:]
        address = f"/phone/photo/{sha}/?offset={offset}&total={total or len(data)}"
        return self.client.put(address, piece, content_type="application/octet-stream")


def clock(*, late: timedelta = timedelta(0), ahead_ms: str | None = "-1200") -> dict[str, Any]:
    """Return what a phone's clock says, some time ago."""
    wall = (timezone.now() - late).isoformat(timespec="milliseconds")
    return {"wall": wall, "zone": "Africa/Nairobi", "ahead_ms": ahead_ms, "bound_ms": "340" if ahead_ms else None}


def states(results: list[Answer]) -> list[str]:
    return [one["state"] for one in results]


def picture(colour: int = 7, side: int = 64) -> bytes:
    """Return a photo's bytes."""
    made = io.BytesIO()
    Image.effect_noise((side, side), colour).convert("RGB").save(made, "JPEG")
    return made.getvalue()


def photo_of(data: bytes, **changed: Any) -> dict[str, Any]:
    """Return what a measurement says of a photo."""
    said = {"id": str(uuid4()), "sha256": hashlib.sha256(data).hexdigest(), "media_type": "image/jpeg"}
    return {**said, "width": 64, "height": 64, "caption": "", **changed}


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)
