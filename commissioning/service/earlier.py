"""What was measured before a visit, from the baseline on: which measurement today's is to be laid beside.

A check is held against the oldest measurement that is still of the same thing. Where a part was replaced or a set
point moved, the first one after that is the new baseline of all that the change touches.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from uuid import UUID

from commissioning import judging
from commissioning.baseline import baseline_of
from commissioning.corrections import Correction, corrections_of
from commissioning.models import Measurement, Visit, VisitKind
from commissioning.stale import changed_between, tag_now

Key = tuple[str, str]


@dataclass(frozen=True)
class Former:
    """The measurement to compare with, if any; `changed` says why it is of another thing than today's."""

    one: Measurement | None
    changed: str = ""


def to_compare(past: tuple[Former, ...]) -> Former:
    """Return what today's measurement is laid beside: the oldest that is of the same thing."""
    same = next((one for one in past if not one.changed), None)
    return same or (past[-1] if past else Former(None))


@dataclass
class Earlier:
    """The measurements of the baseline and of every visit between it and this one, oldest first."""

    visit: Visit
    rows: dict[Key, list[Measurement]]
    corrections: tuple[Correction, ...]
    seen: dict[UUID, judging.Around] = field(default_factory=dict)

    def past(self, key: Key, now: Measurement) -> tuple[Former, ...]:
        """Return every earlier measurement of the same check, oldest first."""
        return tuple(Former(one, changed_between(one, now, key, self.corrections)) for one in self.rows.get(key, []))

    def around(self, visit: Visit) -> judging.Around:
        """Return what was measured on an earlier visit, with what was said of it; read once."""
        if visit.pk not in self.seen:
            self.seen[visit.pk] = judging.around(visit)
        return self.seen[visit.pk]


def earlier_than(visit: Visit) -> Earlier:
    """Return what was measured before a visit, of each check the last on every visit."""
    visits = visits_before(visit)
    if not visits:
        return Earlier(visit, {}, ())
    by_id = {one.pk: one for one in visits}
    rows = (
        Measurement.objects.current()
        .filter(visit__in=by_id)
        .select_related("component", "run")
        .prefetch_related("judgements__snapshot", "readings__instrument")
    )
    return Earlier(visit, _last_of_each(rows, by_id), corrections_of(visit.site))


def visits_before(visit: Visit) -> list[Visit]:
    """Return the baseline and the visits between it and this one, oldest first; nothing without a baseline."""
    baseline = baseline_of(visit)
    if baseline is None:
        return []
    since = {"started_at__gte": baseline.started_at, "started_at__lt": visit.started_at}
    between = Visit.objects.filter(site=visit.site_id, kind=VisitKind.SERVICE, **since).exclude(pk=visit.pk)
    found = [baseline, *between.exclude(pk=baseline.pk).order_by("started_at")]
    for one in found:
        one.site = visit.site
    return found


def _last_of_each(rows: Iterable[Measurement], visits: dict[UUID, Visit]) -> dict[Key, list[Measurement]]:
    last: dict[tuple[Key, UUID], Measurement] = {}
    for one in rows:  # in the order in which they were taken
        one.visit = visits[one.visit_id]
        last[((one.check_key, tag_now(one)), one.visit_id)] = one
    found: dict[Key, list[Measurement]] = {}
    for place in visits:
        for (key, visit_id), one in last.items():
            if visit_id == place:
                found.setdefault(key, []).append(one)
    return found
