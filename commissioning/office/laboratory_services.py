"""What the office writes about laboratories: a sample sent, a report kept with its file."""

from datetime import date
from typing import Any
from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction

from commissioning import evidence, files
from commissioning.models import LaboratorySample, User, Visit

MOST_BYTES = 20 * 1024**2
BEGINNINGS = {b"%PDF-": "application/pdf", b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n\x1a\n": "image/png"}


def media_type_of(data: bytes) -> str:
    """Return what a report's file is by its first bytes, whatever its name says; empty if nothing that is kept."""
    return next((kind for beginning, kind in BEGINNINGS.items() if data.startswith(beginning)), "")


@transaction.atomic
def send_sample(*, visit: Visit, laboratory: str, sent_on: date, words: str, actor: User) -> None:
    """Write that a sample went to a laboratory."""
    body = {"visit": str(visit.pk), "laboratory": laboratory, "sent_on": sent_on.isoformat(), "words": words}
    _append(visit, "laboratory.sent", body, actor)


def keep_report(
    *, sample: LaboratorySample, number: str, method: str, received_on: date, data: bytes, actor: User
) -> None:
    """Keep a report's file, on disk before the evidence that names it, then the evidence."""
    if not actor.is_office:
        raise PermissionDenied
    body = {
        "sample": str(sample.pk), "number": number, "method": method, "received_on": received_on.isoformat(),
        "sha256": files.keep(data), "media_type": media_type_of(data),
    }  # fmt: skip
    _append(sample.visit, "laboratory.reported", body, actor)


def _append(visit: Visit, kind: str, body: dict[str, Any], actor: User) -> None:
    if not actor.is_office:
        raise PermissionDenied
    evidence.append(site=visit.site, kind=kind, body={"id": str(uuid4()), **body}, actor=actor)
