"""What a person does on a visit: each is one piece of evidence through the append door.

Every form carries the id of what it makes, chosen when the page was drawn. Sent twice, by a double tap or by a
phone that tries again, it is stored once: the id of the evidence follows from that id.
"""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid5

from django.db import transaction
from django.utils import timezone

from commissioning import evidence, judging
from commissioning.models import (
    Defect,
    HoldRelease,
    Measurement,
    Photo,
    Question,
    Reply,
    SettingAside,
    Signature,
    Site,
    User,
    Visit,
)
from commissioning.visits.entry import Entry, ReadingEntry
from commissioning.visits.photo_field import KeptPhoto

ROWS_ADDED = "{rows} added"


class AlreadyKeptError(ValueError):
    """This form was kept before, with other readings. What stands is not touched."""

    def __init__(self, measurement: Measurement) -> None:
        super().__init__("this form was kept before, with other readings")
        self.measurement = measurement


def event_id(made: UUID | str, kind: str) -> UUID:
    """Return the id of the evidence that makes something: the same however often it is sent."""
    return uuid5(UUID(str(made)), kind)


def _append(site: Site, kind: str, made: UUID | str, body: dict[str, Any], actor: User) -> Any:
    return evidence.append(site=site, kind=kind, body=body, actor=actor, event_id=event_id(made, kind)).projected


@transaction.atomic
def begin_visit(*, site: Site, id: UUID, kind: str, actor: User) -> Visit:
    """Begin a visit."""
    known = Visit.objects.filter(pk=id, site=site).first()
    if known:
        return known
    body = {"visit": str(id), "kind": kind, "started_at": timezone.now().isoformat()}
    made: Visit = _append(site, "visit.begun", id, body, actor)
    return made


@transaction.atomic
def keep_measurement(
    *, visit: Visit, check: str, subject: str, entry: Entry, actor: User, replaces: Measurement | None = None
) -> Measurement:
    """Keep a measurement with its photos, judge it, and judge again whatever needed it.

    Raises AlreadyKeptError where the same form was kept before with other readings.
    """
    known = Measurement.objects.filter(pk=entry.id).first()
    if known:
        return _same_once_more(known, visit, check, subject, entry)
    body = _measurement_body(visit, check, subject, entry, replaces)
    made: Measurement = _append(visit.site, "measurement.taken", entry.id, body, actor)
    judging.judge_all_touched(made, actor=actor)
    return made


@transaction.atomic
def add_row(*, visit: Visit, check: str, subject: str, entry: Entry, former: Measurement, actor: User) -> Measurement:
    """Keep one more row: a new measurement with all rows supersedes the former one."""
    known = Measurement.objects.filter(pk=entry.id).first()
    if known:
        return _same_once_more(known, visit, check, subject, entry)
    rows = ", ".join(dict.fromkeys(r.label for r in entry.readings if r.label))
    body = _measurement_body(visit, check, subject, entry, former)
    body["readings"] = [*former_readings(former), *body["readings"]]
    body["note"] = "\n".join(note for note in (former.note, entry.note) if note)
    body["supersedes_reason"] = ROWS_ADDED.format(rows=rows)
    made: Measurement = _append(visit.site, "measurement.taken", entry.id, body, actor)
    judging.judge_all_touched(made, actor=actor)
    return made


def former_readings(former: Measurement) -> list[dict[str, Any]]:
    """Return the readings of a measurement as a body holds them, each with the time at which it was read."""
    return [
        {
            "input": r.input, "label": r.label, "typed": r.typed, "unit": r.unit, "at": r.at.isoformat(),
            "instrument": str(r.instrument_id) if r.instrument_id else None,
        }
        for r in former.readings.all()
    ]  # fmt: skip


def _measurement_body(
    visit: Visit, check: str, subject: str, entry: Entry, replaces: Measurement | None
) -> dict[str, Any]:
    body: dict[str, Any] = {
        "id": entry.id, "visit": str(visit.pk), "check": check, "subject": subject, "way": entry.way,
        "taken_at": entry.taken_at.isoformat(), "answer": entry.answer, "note": entry.note,
        "readings": [_reading_body(r) for r in entry.readings],
    }  # fmt: skip
    if entry.origin_note:
        body["origin_note"] = entry.origin_note
    if entry.photos:
        body["photos"] = [{"id": str(photo_id(entry.id, one)), **_photo_body(one)} for one in entry.photos]
    if replaces:
        body |= {"supersedes": str(replaces.pk), "supersedes_reason": entry.reason}
    return body


def _reading_body(reading: ReadingEntry) -> dict[str, Any]:
    body: dict[str, Any] = {
        "input": reading.input, "label": reading.label, "typed": reading.typed, "unit": reading.unit,
        "instrument": reading.instrument or None,
    }  # fmt: skip
    return {**body, "at": reading.at.isoformat()} if reading.at else body


def _same_once_more(known: Measurement, visit: Visit, check: str, subject: str, entry: Entry) -> Measurement:
    """Return the measurement that this form made before; raise where what it says now is something else."""
    sent = {(r.input, r.label, r.typed, r.unit) for r in entry.readings}
    stored = {(r.input, r.label, r.typed, r.unit) for r in known.readings.all()}
    place = (known.visit_id, known.check_key, known.subject, known.answer)
    if place != (visit.pk, check, subject, entry.answer) or not sent <= stored:
        raise AlreadyKeptError(known)
    return known


def tie_photos(
    *, visit: Visit, measurement: Measurement | None, photos: Iterable[KeptPhoto], actor: User, taken_at: datetime
) -> list[Photo]:
    """Tie stored photos to a measurement, or to the visit."""
    owner = measurement.pk if measurement else visit.pk
    return [_tie(visit, measurement, photo_id(owner, photo), photo, actor, taken_at) for photo in photos]


def photo_id(owner: UUID | str, photo: KeptPhoto) -> UUID:
    """Return the id of a photo on a measurement or a visit: the same photo is there once."""
    return uuid5(UUID(str(owner)), photo.sha256)


def _photo_body(photo: KeptPhoto) -> dict[str, Any]:
    return {
        "sha256": photo.sha256, "media_type": photo.media_type, "width": photo.width, "height": photo.height,
        "caption": "",
    }  # fmt: skip


def _tie(
    visit: Visit, measurement: Measurement | None, id: UUID, photo: KeptPhoto, actor: User, taken_at: datetime
) -> Photo:
    known = Photo.objects.filter(pk=id).first()
    if known:
        return known
    body = {
        "id": str(id), "visit": str(visit.pk), "measurement": str(measurement.pk) if measurement else None,
        **_photo_body(photo), "taken_at": taken_at.isoformat(),
    }  # fmt: skip
    made: Photo = _append(visit.site, "photo.added", id, body, actor)
    return made


@transaction.atomic
def set_aside(*, visit: Visit, check: str, subject: str, id: UUID, how: str, reason: str, actor: User) -> SettingAside:
    """Park a check, say that it cannot be taken or does not apply, or take it up again."""
    known = SettingAside.objects.filter(pk=id, visit=visit).first()
    if known:
        return known
    body = {"id": str(id), "visit": str(visit.pk), "check": check, "subject": subject, "how": how, "reason": reason}
    made: SettingAside = _append(visit.site, "check.set_aside", id, body, actor)
    return made


@transaction.atomic
def release_hold(*, visit: Visit, hold: str, id: UUID, reason: str, actor: User) -> HoldRelease:
    """Let work go on behind a hold that is not settled, in the name of whoever says so."""
    known = HoldRelease.objects.filter(pk=id, visit=visit).first()
    if known:
        return known
    body = {"id": str(id), "visit": str(visit.pk), "hold": hold, "reason": reason}
    made: HoldRelease = _append(visit.site, "hold.released", id, body, actor)
    return made


@transaction.atomic
def raise_defect(
    *,
    visit: Visit,
    id: UUID,
    words: str,
    is_unsafe: bool,
    actor: User,
    check: str = "",
    subject: str = "",
    who: str = "",
    due: date | None = None,
) -> Defect:
    """Raise a defect, from a check or from the visit."""
    known = Defect.objects.filter(pk=id, visit=visit).first()
    if known:
        return known
    body = {
        "id": str(id), "visit": str(visit.pk), "words": words, "is_unsafe": is_unsafe, "check": check,
        "subject": subject, "who": who, "due": due.isoformat() if due else None,
    }  # fmt: skip
    made: Defect = _append(visit.site, "defect.raised", id, body, actor)
    return made


@transaction.atomic
def put_defect_right(*, defect: Defect, words: str, actor: User) -> Defect:
    """Say how a defect was put right. The first saying stands."""
    defect.refresh_from_db()
    if defect.put_right_at is not None:
        return defect
    body = {"defect": str(defect.pk), "words": words}
    made: Defect = _append(defect.site, "defect.put_right", defect.pk, body, actor)
    return made


@transaction.atomic
def answer_question(
    *, question: Question, id: UUID, words: str, actor: User, measurement: Measurement | None = None
) -> Reply:
    """Answer a question of the office: in words, by a measurement of the same check, or both. Ended visits too."""
    known = Reply.objects.filter(pk=id, question=question).first()
    if known:
        return known
    body = {
        "id": str(id), "question": str(question.pk), "words": words,
        "measurement": str(measurement.pk) if measurement else None,
    }  # fmt: skip
    made: Reply = _append(question.visit.site, "question.answered", id, body, actor)
    return made


@transaction.atomic
def sign_visit(
    *, visit: Visit, id: UUID, printed_name: str, role: str, meaning: str, strokes: str, shown_hash: str, actor: User
) -> Signature:
    """Put a person's name under what was shown, by its hash."""
    known = Signature.objects.filter(pk=id, visit=visit).first()
    if known:
        return known
    body = {
        "id": str(id), "visit": str(visit.pk), "printed_name": printed_name, "role": role, "meaning": meaning,
        "strokes": strokes, "shown_hash": shown_hash,
    }  # fmt: skip
    made: Signature = _append(visit.site, "visit.signed", id, body, actor)
    return made


@transaction.atomic
def end_visit(*, visit: Visit, left_isolated: bool, reason: str, actor: User) -> Visit:
    """End a visit, as it stands or left isolated. The first ending stands."""
    visit.refresh_from_db()
    if visit.ended_at is not None:
        return visit
    body = {"visit": str(visit.pk), "left_isolated": left_isolated, "reason": reason}
    made: Visit = _append(visit.site, "visit.ended", visit.pk, body, actor)
    return made
