"""As it was last time, in one tap: an observation, or a set point.

An observation makes a measurement of its own, which says where its answer comes from. Not offered where a slip of
habit could hurt: what a hold rests on, what is done before hands go in, and the looks that open and close a visit are
answered by hand each time. The cautions of a check stand above the tap as ever.

A set point that was read at the thing itself and is as before makes no measurement: nobody typed a number, and none is
made up. It is kept that it was read, with the number of last time; nothing is compared, and where a hold rests on the
number it stays owed.
"""

from dataclasses import dataclass
from uuid import UUID, uuid4

from commissioning import showing, snapshot
from commissioning.corrections import corrections_of
from commissioning.models import Measurement, SetAside, VisitKind
from commissioning.moments import day_words, zone_of
from commissioning.progress import ON_HOLDS, Line, Progress
from commissioning.service.earlier import visits_before
from commissioning.stale import is_stale, tag_now
from sizing.checks.declare import Kind

BY_HAND = frozenset({"as_found", "as_left", "electronics_disconnected", "walk_round_battery"})
SET_POINTS = frozenset(
    {"cut_in", "cut_out", "precharge", "charge_voltage", "low_voltage_disconnect", "fill_stop_level"}
)


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


@dataclass(frozen=True)
class SetPoint:
    """What one tap keeps: that a set point was read, and is as before."""

    id: UUID
    words: str
    reason: str
    stays_owed: bool


def set_point_as_before(progress: Progress, line: Line) -> SetPoint | None:
    """Return what one tap would keep of a set point; None where no number of last time is of what stands there."""
    visit, is_kept = progress.visit, line.aside is not None and line.aside.how == SetAside.AS_BEFORE
    if visit.kind != VisitKind.SERVICE or visit.ended_at is not None or line.check.key not in SET_POINTS:
        return None
    one = None if is_kept or line.measurement is not None else _last(progress, line)
    value = _value(one) if one else ""
    if one is None or not value:
        return None
    when = f"{day_words(one.taken_at, zone_of(visit.site))}, {one.taken_by}"
    reason = f"Read at the thing itself: as before, {value} ({when})."
    return SetPoint(uuid4(), f"Read: as before, {value} ({when})", reason, line.check.key in ON_HOLDS)


def _value(one: Measurement) -> str:
    shown = showing.show(one.judgement(), one.visit.site.unit_system, list(one.readings.all()))
    return ", ".join(f"{f.repeat}: {f.value}" if f.repeat else f.value for f in shown if f.value)


def _last(progress: Progress, line: Line) -> Measurement | None:
    """Return the last answer or number on the very thing that stands there, if the record has not changed since."""
    rows = (  # an observation has its answer; what is measured has none
        Measurement.objects.current()
        .on_standing()
        .filter(visit__in=visits_before(progress.visit), check_key=line.owed.check)
        .select_related("taken_by", "component", "run", "visit__site")
        .prefetch_related("judgements__snapshot")
        .order_by("-taken_at")
    )
    one = next((row for row in rows if tag_now(row) == line.owed.subject), None)
    if one is None:
        return None
    key, known = (line.owed.check, line.owed.subject), corrections_of(progress.visit.site)
    return None if is_stale(one, key, snapshot.text_now(progress.visit.site), known) else one
