"""How a visit stands, as plain data: owed checks, holds, defects, signatures. The phone lays its own work over it."""

from typing import Any

from commissioning import showing
from commissioning.models import Defect, Reading, Signature, Visit
from commissioning.progress import HoldLine, Line, Progress, design_words
from commissioning.sync.declared import need_data, step_data, ways_of
from commissioning.visits.signing import shown_at_signing


def line_data(line: Line, progress: Progress) -> dict[str, Any]:
    """Return one owed check with what was taken on it."""
    check, system, tag = line.check, progress.system, line.owed.subject
    return {
        "id": line.owed.id, "check": check.key, "subject": tag, "words": line.subject_words,
        "number": line.owed.number, "optional": line.owed.optional, "first": line.owed.first,
        "stale": line.stale if line.is_stale else "",
        "conceded": line.concession is not None, "aside": _aside(line),
        "needs": need_data(check, system, tag) if system else [],
        "ways": {way.key: step_data(check, way, system, tag) for way in ways_of(check)} if system else {},
        "taken": measurement_data(line, progress) if line.measurement else None,
        "defects": [str(one.pk) for one in line.defects], "question": _question(line),
    }  # fmt: skip


def _question(line: Line) -> dict[str, str] | None:
    """Return what the office asks about a check, while nobody has answered."""
    one = line.open_question
    if one is None:
        return None
    return {"id": str(one.pk), "words": one.words, "by": str(one.by), "measurement": str(one.measurement_id or "")}


def _aside(line: Line) -> dict[str, str] | None:
    one = line.aside
    if one is None:
        return None
    return {
        "id": str(one.pk), "how": one.how, "how_words": one.get_how_display(), "reason": one.reason, "by": str(one.by),
        "at": one.at.isoformat(),
    }  # fmt: skip


def measurement_data(line: Line, progress: Progress) -> dict[str, Any]:
    """Return the measurement that counts on an owed check, with what was said of it."""
    one = line.measurement
    assert one is not None
    readings = list(one.readings.all())
    found = line.judgement.findings if line.judgement else []
    return {
        "id": str(one.pk), "way": one.way, "answer": one.answer, "note": one.note, "verdict": line.verdict,
        "taken_at": one.taken_at.isoformat(), "by": str(one.taken_by), "photos": len(one.photos.all()),
        "readings": [_reading(r) for r in readings],
        "findings": [finding_data(f, readings, progress.visit.site.unit_system) for f in found],
    }  # fmt: skip


def _reading(one: Reading) -> dict[str, Any]:
    return {
        "input": one.input, "label": one.label, "typed": one.typed, "unit": one.unit, "at": one.at.isoformat(),
        "instrument": str(one.instrument_id) if one.instrument_id else None, "value": one.value, "u": one.u,
        "bound": one.bound,
    }  # fmt: skip


def finding_data(f: dict[str, Any], readings: list[Reading], system: str) -> dict[str, Any]:
    """Return one judged value in core units, with the unit in which it is shown."""
    expected = f["expected"] or {}
    kept = ("name", "label", "repeat", "quantity", "value", "spread", "bound", "verdict", "reason")
    return {
        **{name: f[name] for name in kept},
        "unit": showing.code_of(f, system, readings),
        "lower": expected.get("lower"), "upper": expected.get("upper"), "nominal": expected.get("nominal"),
        "basis": expected.get("basis", ""), "missing": [m["words"] for m in f["missing"]],
    }  # fmt: skip


def hold_data(hold: HoldLine) -> dict[str, Any]:
    """Return one hold with the owed checks that settle it."""
    one, release = hold.hold, hold.release
    return {
        "key": one.key, "title": one.title, "stays_off": one.stays_off, "why": one.why,
        "only_settled": one.only_settled, "requires": [line.owed.id for line in hold.required],
        "not_designed": [design_words(result) for result in hold.not_designed],
        "is_designed": not one.design or (bool(hold.design) and not hold.not_designed),
        "release": {"by": str(release.by), "at": release.at.isoformat(), "reason": release.reason} if release else None,
    }  # fmt: skip


def defect_data(one: Defect) -> dict[str, Any]:
    """Return one defect of the site."""
    put_right = one.put_right_at and {
        "at": one.put_right_at.isoformat(), "by": str(one.put_right_by), "words": one.put_right_words,
    }  # fmt: skip
    return {
        "id": str(one.pk), "number": one.number, "words": one.words, "is_unsafe": one.is_unsafe, "who": one.who,
        "due": one.due.isoformat() if one.due else "", "check": one.check_key, "subject": one.subject,
        "raised_at": one.raised_at.isoformat(), "raised_by": str(one.raised_by), "put_right": put_right,
    }  # fmt: skip


def signature_data(one: Signature) -> dict[str, str]:
    return {
        "id": str(one.pk), "name": one.printed_name, "role": one.role, "meaning": one.meaning, "at": one.at.isoformat(),
        "shown_hash": one.shown_hash,
    }  # fmt: skip


def standing_of(progress: Progress) -> dict[str, Any]:
    """Return all of it for one visit."""
    visit = progress.visit
    return {
        "lines": [line_data(line, progress) for line in progress.lines],
        "offered": [line_data(line, progress) for line in progress.offered],
        "holds": [hold_data(one) for one in progress.holds],
        "defects": [defect_data(one) for one in progress.defects],
        "signatures": [signature_data(one) for one in visit.signatures.all()],
        "ended": _ended(visit),
        "signing": shown_at_signing(progress).content,
    }


def _ended(visit: Visit) -> dict[str, Any] | None:
    if visit.ended_at is None:
        return None
    return {
        "at": visit.ended_at.isoformat(),
        "left_isolated": visit.left_isolated,
        "reason": visit.left_isolated_reason,
    }
