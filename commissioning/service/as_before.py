"""An observation as it was last time, in one tap: a measurement of its own, which says where its answer comes from.

Not offered where a slip of habit could hurt: what a hold rests on, what is done before hands go in, and the looks
that open and close a visit are answered by hand each time. The cautions of a check stand above the tap as ever.
"""

from dataclasses import dataclass
from uuid import UUID, uuid4

from commissioning import snapshot
from commissioning.corrections import corrections_of
from commissioning.models import Measurement, VisitKind
from commissioning.moments import day_words, zone_of
from commissioning.progress import Line, Progress
from commissioning.service.earlier import visits_before
from commissioning.stale import is_stale, tag_now
from sizing.checks.declare import Kind
from sizing.holds import HOLDS

BY_HAND = frozenset({"as_found", "as_left", "electronics_disconnected", "walk_round_battery"})
ON_HOLDS = frozenset(key for hold in HOLDS.values() for key in hold.requires)


@dataclass(frozen=True)
class AsBefore:
    """What one tap keeps: the answer of last time and a note that says so."""

    id: UUID
    answer: str
    note: str
    words: str


def as_before(progress: Progress, line: Line) -> AsBefore | None:
    """Return what one tap would keep on this check; None where it has to be answered by hand."""
    check = line.check
    if progress.visit.kind != VisitKind.SERVICE or check.kind is not Kind.OBSERVED or line.measurement is not None:
        return None
    if check.key in BY_HAND | ON_HOLDS:
        return None
    one = _last(progress, line)
    if one is None:
        return None
    when = f"{day_words(one.taken_at, zone_of(progress.visit.site))}, {one.taken_by}"
    words = f"As before, {one.answer}"
    return AsBefore(uuid4(), one.answer, f"Looked at again: as before ({when}).", f"{words} ({when})")


def _last(progress: Progress, line: Line) -> Measurement | None:
    """Return the last answer on the very thing that stands there today, if the record has not changed since."""
    rows = (
        Measurement.objects.current()
        .on_standing()
        .filter(visit__in=visits_before(progress.visit), check_key=line.owed.check)
        .exclude(answer="")
        .select_related("taken_by", "component", "run", "visit__site")
        .prefetch_related("judgements__snapshot")
        .order_by("-taken_at")
    )
    one = next((row for row in rows if tag_now(row) == line.owed.subject), None)
    if one is None:
        return None
    key, known = (line.owed.check, line.owed.subject), corrections_of(progress.visit.site)
    return None if is_stale(one, key, snapshot.text_now(progress.visit.site), known) else one
