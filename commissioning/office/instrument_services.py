"""What the office may write about its instruments: each one piece of evidence in the office's own chain."""

from datetime import date
from typing import Any
from uuid import uuid4

from django.core.exceptions import PermissionDenied
from django.db import transaction

from commissioning import evidence
from commissioning.models import Instrument, User


@transaction.atomic
def keep_instrument(*, instrument: Instrument | None, card: dict[str, str], actor: User) -> Instrument:
    """Write a new card, or a known one anew. Raises evidence.RefusedError where the tag is taken."""
    body = {"id": str(instrument.pk if instrument else uuid4()), **card}
    kept = _append("instrument.kept", body, actor)
    assert isinstance(kept, Instrument)
    return kept


@transaction.atomic
def calibrate(*, instrument: Instrument, on: date, due: date | None, reference: str, actor: User) -> None:
    """Write a calibration."""
    days = {"on": on.isoformat(), "due": due.isoformat() if due else None}
    _append("instrument.calibrated", {**_of(instrument), **days, "reference": reference}, actor)


@transaction.atomic
def find_bad(*, instrument: Instrument, since: date, words: str, actor: User) -> None:
    """Write from when on an instrument read wrong: what was read with it since is in doubt."""
    _append("instrument.found_bad", {**_of(instrument), "since": since.isoformat(), "words": words}, actor)


@transaction.atomic
def retire(*, instrument: Instrument, words: str, actor: User) -> None:
    """Write that an instrument is offered no more, and why."""
    _append("instrument.retired", {"instrument": str(instrument.pk), "words": words}, actor)


@transaction.atomic
def take_up(*, instrument: Instrument, actor: User) -> None:
    """Write that a retired instrument is in use again."""
    _append("instrument.taken_up", {"instrument": str(instrument.pk)}, actor)


def _of(instrument: Instrument) -> dict[str, Any]:
    return {"id": str(uuid4()), "instrument": str(instrument.pk)}


def _append(kind: str, body: dict[str, Any], actor: User) -> object:
    if not actor.is_office:
        raise PermissionDenied
    return evidence.append(site=None, kind=kind, body=body, actor=actor).projected
