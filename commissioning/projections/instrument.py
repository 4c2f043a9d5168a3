"""Evidence about the firm's instruments: their cards, each calibration, what was found bad. It concerns no one site."""

from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.dateparse import parse_date

from commissioning import evidence
from commissioning.models import Calibration, Event, FoundBad, Instrument
from commissioning.projections import schemas as s

FIGURES = ("of_reading_percent", "counts", "resolution", "of_full_scale_percent", "full_scale")
FIGURE: dict[str, Any] = {"type": "string", "maxLength": 16, "pattern": r"^([0-9]+([.][0-9]+)?)?$"}
CARD = {
    "tag": {"type": "string", "minLength": 1, "maxLength": 16},
    "name": {"type": "string", "minLength": 1, "maxLength": 80},
    "quantity": s.KEY,
    "unit": {"type": "string", "minLength": 1, "maxLength": 20},
    "serial": {"type": "string", "maxLength": 80},
    **dict.fromkeys(FIGURES, FIGURE),
    "counts": {**FIGURE, "maxLength": 8},
}


@evidence.kind("instrument.kept", schema=s.body({"id": s.UUID, **CARD}))
def keep_instrument(event: Event, body: dict[str, Any]) -> Instrument:
    """Write the card of a new instrument, or write a known one's anew. Readings keep the uncertainty they had."""
    card = {name: body[name] for name in CARD}
    try:
        with transaction.atomic():
            return Instrument.objects.update_or_create(pk=body["id"], defaults=card)[0]
    except IntegrityError as error:
        raise evidence.RefusedError({"$.tag": "another instrument has this tag"}) from error


@evidence.kind(
    "instrument.calibrated",
    schema=s.body(
        {
            "id": s.UUID,
            "instrument": s.UUID,
            "on": s.DAY,
            "due": s.maybe(s.DAY),
            "reference": {"type": "string", "maxLength": 80},
        }
    ),
)
def calibrate(event: Event, body: dict[str, Any]) -> Calibration:
    """Write a calibration; the card shows the latest."""
    instrument = instrument_of(body)
    on, due = day_in(body["on"], "$.on"), day_in(body["due"], "$.due") if body["due"] else None
    if due is not None and due < on:
        raise evidence.RefusedError({"$.due": "it falls due before it was calibrated"})
    made = Calibration.objects.create(
        pk=body["id"], instrument=instrument, on=on, due=due, reference=body["reference"], by=event.actor,
        at=event.recorded_at,
    )  # fmt: skip
    if instrument.calibrated_on is None or on >= instrument.calibrated_on:
        instrument.calibrated_on, instrument.calibration_due = on, due
        instrument.calibration_reference = body["reference"]
        instrument.save(update_fields=["calibrated_on", "calibration_due", "calibration_reference"])
    return made


@evidence.kind(
    "instrument.found_bad", schema=s.body({"id": s.UUID, "instrument": s.UUID, "since": s.DAY, "words": s.REASON})
)
def find_bad(event: Event, body: dict[str, Any]) -> FoundBad:
    """Write from which day on an instrument read wrong. What was read with it since is in doubt."""
    return FoundBad.objects.create(
        pk=body["id"], instrument=instrument_of(body), since=day_in(body["since"], "$.since"), words=body["words"],
        by=event.actor, at=event.recorded_at,
    )  # fmt: skip


@evidence.kind("instrument.retired", schema=s.body({"instrument": s.UUID, "words": s.REASON}))
def retire(event: Event, body: dict[str, Any]) -> Instrument:
    """Write that an instrument is in use no more, and why. What was read with it stays, and so does its card."""
    instrument = instrument_of(body)
    if instrument.retired_at is not None:
        raise evidence.RefusedError({"$.instrument": "this instrument is retired already"})
    return _in_use(instrument, event.recorded_at, body["words"])


@evidence.kind("instrument.taken_up", schema=s.body({"instrument": s.UUID}))
def take_up(event: Event, body: dict[str, Any]) -> Instrument:
    """Write that a retired instrument is in use again."""
    instrument = instrument_of(body)
    if instrument.retired_at is None:
        raise evidence.RefusedError({"$.instrument": "this instrument is in use"})
    return _in_use(instrument, None, "")


def _in_use(instrument: Instrument, retired_at: datetime | None, words: str) -> Instrument:
    instrument.retired_at, instrument.retired_words = retired_at, words
    instrument.save(update_fields=["retired_at", "retired_words"])
    return instrument


def instrument_of(body: dict[str, Any]) -> Instrument:
    """Return the instrument named in a body."""
    found = Instrument.objects.filter(pk=body["instrument"]).first()
    if found is None:
        raise evidence.WaitsError({"$.instrument": "there is no such instrument"})
    return found


def day_in(text: str, where: str) -> Any:
    try:
        found = parse_date(text)
    except ValueError:
        found = None
    if found is None:
        raise evidence.RefusedError({where: "there is no such day"})
    return found
