"""What departs from the rule and who answers for it: concessions, checks set aside, released holds, repairs."""

from collections.abc import Iterable
from string import ascii_uppercase
from typing import Any

from commissioning.chain import instant
from commissioning.models import Choice, Concession, Measurement, Visit
from commissioning.moments import day_words, moment_words, zone_of
from commissioning.open_items import check_words
from commissioning.progress import Line, Progress, Status

Plain = dict[str, Any]


def exceptions_of(visit: Visit, progress: Progress) -> Plain:
    """Return every exception of a visit by kind."""
    replacing = Measurement.objects.filter(visit=visit).exclude(supersedes=None).select_related("supersedes")
    return {
        "concessions": [_concession(i, line, visit) for i, line in enumerate(_conceded(progress))],
        "set_aside": [_set_aside(line, visit) for line in progress.lines if _is_aside(line)],
        "released": [_released(one, visit) for one in progress.holds if one.release],
        "put_right": [_put_right(d, visit) for d in progress.defects if d.put_right_at and d.visit_id == visit.pk],
        "replaced": [_replaced(one) for one in replacing],
        "chosen": [_chosen(one, visit) for one in _choices(visit)],
    }


def letter(place: int) -> str:
    """Return the letter of a concession: A … Z, then AA, AB …"""
    head = letter(place // 26 - 1) if place >= 26 else ""
    return head + ascii_uppercase[place % 26]


def _conceded(progress: Progress) -> list[Line]:
    return [line for line in progress.lines if line.concession]


def _concession(place: int, line: Line, visit: Visit) -> Plain:
    one = line.concession
    assert isinstance(one, Concession)
    return {
        "letter": letter(place), "owed": line.owed.id,
        "what": f"Check {check_words(line)}: {line.verdict or line.status.value}",
        "reason": one.reason, "by": one.by.get_full_name(), "when": day_words(one.at, zone_of(visit.site)),
        "at": instant(one.at), "until": day_words(one.expires_on) if one.expires_on else "",
    }  # fmt: skip


def _is_aside(line: Line) -> bool:
    return line.status in (Status.NOT_TAKEN, Status.NOT_APPLICABLE, Status.PARKED, Status.AS_BEFORE)


def _set_aside(line: Line, visit: Visit) -> Plain:
    if line.aside is None or line.measurement is not None:  # answered so at the check itself
        one = line.measurement
        assert one is not None
        return _aside_words(
            line, one.note, one.taken_by.get_full_name(), moment_words(one.taken_at, zone_of(visit.site))
        )
    aside = line.aside
    return _aside_words(line, aside.reason, aside.by.get_full_name(), moment_words(aside.at, zone_of(visit.site)))


def _aside_words(line: Line, reason: str, by: str, when: str) -> Plain:
    return {
        "what": check_words(line), "how": line.status.value, "reason": reason or "no reason given",
        "by": by, "when": when,
    }  # fmt: skip


def _released(one: Any, visit: Visit) -> Plain:
    return {
        "hold": one.hold.title, "stands_as": one.standing.value, "reason": one.release.reason,
        "by": one.release.by.get_full_name(), "when": moment_words(one.release.at, zone_of(visit.site)),
    }  # fmt: skip


def _put_right(defect: Any, visit: Visit) -> Plain:
    return {
        "number": defect.number, "words": defect.words, "how": defect.put_right_words,
        "by": defect.put_right_by.get_full_name() if defect.put_right_by else "",
        "when": day_words(defect.put_right_at, zone_of(visit.site)),
    }  # fmt: skip


def _replaced(after: Measurement) -> Plain:
    before = after.supersedes
    assert before is not None
    return {"id": str(before.pk), "owed": before.owed_id, "by": str(after.pk), "reason": after.supersedes_reason}


def _choices(visit: Visit) -> Iterable[Choice]:
    """Return where a person chose between values of two phones."""
    choices = Choice.objects.filter(measurement__visit=visit).select_related("measurement", "by")
    return choices.prefetch_related("measurement__readings", "passed_over__measurement__readings").order_by("at")


def _chosen(one: Choice, visit: Visit) -> Plain:
    others = [_typed(passed.measurement) for passed in one.passed_over.all()]
    return {
        "owed": one.measurement.owed_id, "chosen": str(one.measurement_id), "what": _typed(one.measurement),
        "others": "; ".join(others), "reason": one.reason, "by": one.by.get_full_name(),
        "when": day_words(one.at, zone_of(visit.site)),
    }  # fmt: skip


def _typed(one: Measurement) -> str:
    """Return what was typed, as it was typed."""
    return one.answer or ", ".join(f"{r.typed} {r.unit}".strip() for r in one.readings.all())
