"""Likely causes of what has moved on a visit, from its comparisons and observations, ready to print."""

from collections.abc import Iterable
from dataclasses import dataclass

from commissioning.models import Measurement, Visit
from commissioning.progress import Progress
from commissioning.service.comparison import Comparison
from sizing.causes import Likely, Sign, likely, of_system
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Answer, Kind
from sizing.checks.keys import PART_OF, check_and_value

ANSWERS = {Answer.AS_IT_SHOULD_BE: Sign.SAME, Answer.NOT_AS_IT_SHOULD_BE: Sign.CHANGED}


@dataclass(frozen=True)
class CauseShown:
    """One likely cause: what speaks for it and against it, and the test that parts it from the others."""

    words: str
    speaks_for: str
    against: str
    confirm: str
    parts: str
    remedy: str
    source: str
    is_urgent: bool
    is_slip: bool
    keys: frozenset[str]


def causes_of(visit: Visit, progress: Progress, found: Iterable[Comparison]) -> list[CauseShown]:
    """Return the likely causes of what has moved on a visit; nothing where nothing has."""
    if progress.system is None:
        return []
    seen = signs_of(found, [line.measurement for line in progress.lines if line.measurement])
    return [_shown(one, seen) for one in likely(seen, *of_system(progress.system))]


def signs_of(found: Iterable[Comparison], taken: Iterable[Measurement]) -> dict[str, Sign]:
    """Return each reading with the way it has gone: what moved on one subject or repeat counts for all."""
    signs: dict[str, set[Sign]] = {}
    for one in found:
        own = one.check.judged[0].name
        for pair in one.compared:
            key = one.check.key if pair.name == own else pair.name if pair.name in PART_OF else ""
            if key and pair.sign is not None:
                signs.setdefault(key, set()).add(pair.sign)
    for row in taken:
        check = CHECKS[row.check_key]
        answer = ANSWERS.get(Answer(row.answer)) if check.kind is Kind.OBSERVED and row.answer else None
        if answer is not None:
            signs.setdefault(row.check_key, set()).add(answer)
    return {key: _together(many) for key, many in signs.items()}


def _together(signs: set[Sign]) -> Sign:
    moved = signs - {Sign.SAME}
    if not moved:
        return Sign.SAME
    return moved.pop() if len(moved) == 1 else Sign.CHANGED


def _shown(one: Likely, seen: dict[str, Sign]) -> CauseShown:
    cause = one.cause
    return CauseShown(
        words=cause.words,
        speaks_for=", ".join(_read(key, seen[key]) for key in (*one.speaks_for, *one.unchanged)),
        against=", ".join(_read(key, seen[key]) for key in one.against),
        confirm=" ".join(part.rstrip(".") + "." for part in (cause.confirm, cause.tell_apart) if part),
        parts=", ".join(_title(key).lower() for key in one.parts if key not in seen),
        remedy=cause.remedy,
        source=cause.source,
        is_urgent=cause.is_urgent,
        is_slip=cause.part == "measurement",
        keys=frozenset(cause.signs),
    )


def _title(key: str) -> str:
    check, judged = check_and_value(key)
    return judged.label if judged else check.title


def _read(key: str, sign: Sign) -> str:
    words = {
        Sign.UP: "up", Sign.DOWN: "down", Sign.NIL: "next to nothing", Sign.SAME: "unchanged",
        Sign.CHANGED: "not as it should be",
    }  # fmt: skip
    return f"{_title(key).lower()} {words[sign]}"
