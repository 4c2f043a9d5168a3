"""Rows → System → judgement → rows, in one place.

`Judging` is one run over a visit: it says of a measurement what is to be said on the record as it stands and the
conditions around it. `judge_all_touched` does so for a new one and for every measurement that needed it, and
takes what can now be derived.
"""

import json
from collections.abc import Collection, Iterator
from dataclasses import asdict, dataclass, field
from datetime import datetime
from enum import Enum
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction
from django.utils import timezone

from commissioning import evidence, snapshot
from commissioning.canonical import digest
from commissioning.models import Event, Judgement, Measurement, SiteLimit, Snapshot, User, Visit
from commissioning.models.event import Origin
from commissioning.relevant import follows_from_record, in_order_of_need, relevant_to
from commissioning.site_limits import standing_limits, with_limits
from sizing import CORE_VERSION
from sizing.checks.case import Reading, Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Answer, Check, Kind, Need, Needed, Shape
from sizing.errors import MissingDataError
from sizing.formulas.uncertainty import combine
from sizing.judgement import Assessment, answered, assess
from sizing.system import System

Conditions = dict[str, Value | MissingDataError]


@dataclass(frozen=True)
class Around:
    """The current measurements of a visit with their latest findings, by owed check."""

    by_owed: dict[tuple[str, str], list[tuple[Measurement, Judgement | None]]]
    limits: list[SiteLimit] = field(default_factory=list)

    def of(self, key: str, tag: str) -> list[tuple[Measurement, Judgement | None]]:
        """Return the current measurements of one owed check, oldest first."""
        return self.by_owed.get((key, tag), [])

    def of_check(self, key: str) -> list[tuple[Measurement, Judgement | None]]:
        """Return the current measurements of a check on every subject, oldest first."""
        found = [pair for (check, _), pairs in self.by_owed.items() if check == key for pair in pairs]
        return sorted(found, key=lambda pair: pair[0].taken_at)

    def put(self, one: Measurement, judgement: Judgement) -> None:
        """Note what has just been said of a measurement."""
        pairs = self.by_owed.setdefault((one.check_key, _tag_now(one)), [])
        pairs[:] = [pair for pair in pairs if pair[0].pk != one.pk]
        pairs.append((one, judgement))
        pairs.sort(key=lambda pair: pair[0].taken_at)


def around(visit: Visit, *, with_records: bool = True, only: Collection[str] | None = None) -> Around:
    """Return what has been measured on a visit so far, of all checks or of some.

    `with_records` the record of each judgement is read besides.
    """
    found: dict[tuple[str, str], list[tuple[Measurement, Judgement | None]]] = {}
    if only is not None and not only:
        return Around({}, standing_limits(visit.site_id))
    rows = visit.measurements.current().on_standing().select_related("component", "run")
    rows = rows if only is None else rows.filter(check_key__in=only)
    rows = rows.defer("component__nameplate", "run__nameplate")  # of these only the tag is asked
    rows = rows.prefetch_related("judgements__snapshot" if with_records else "judgements", "readings")
    for one in rows:
        one.visit = visit
        found.setdefault((one.check_key, _tag_now(one)), []).append((one, one.judgement()))
    return Around(found, standing_limits(visit.site_id))


def _tag_now(one: Measurement) -> str:
    """Return the tag that the subject bears today: a component may have been given another."""
    if one.component_id:
        return one.component.tag if one.component else one.subject
    return one.run.tag if one.run else one.subject


def conditions_for(check: Check, system: System, tag: str, at: datetime, seen: Around) -> Conditions:
    """Return each need of a check as a value, or as the reason why there is none."""
    found: Conditions = {}
    for need in check.needs:
        for name, value in _resolved(need, system, tag, at, seen):
            if not (need.optional and isinstance(value, MissingDataError)):
                found[name] = value
    return found


def _resolved(
    need: Need, system: System, tag: str, at: datetime, seen: Around
) -> Iterator[tuple[str, Value | MissingDataError]]:
    try:
        subject = need.of(system, tag)
    except MissingDataError as problem:
        yield need.name, problem
        return
    taken = [(m, j) for m, j in seen.of(need.name, subject) if j is not None]
    if not taken:
        yield need.name, MissingDataError(need.name, subject, f"{need.label} has not been measured ({subject})")
    elif need.kind is Needed.WEATHER:
        yield need.name, _weather(need, subject, at, taken)
    elif need.every_repeat:
        yield from _every_repeat(need, subject, taken[-1][1])
    else:
        yield need.name, _value(need, subject, taken[-1][1], taken[-1][0])


def _weather(need: Need, subject: str, at: datetime, taken: list[tuple[Measurement, Any]]) -> Value | MissingDataError:
    """Return the condition around a moment: the nearest before and the nearest after, if young enough."""
    limit = need.max_age if need.max_age is not None else float("inf")
    near = [(m, j) for m, j in taken if abs((m.taken_at - at).total_seconds()) <= limit]
    if not near:
        minutes = limit / 60
        return MissingDataError(
            need.name, subject, f"{need.label} was not measured within {minutes:.0f} minutes ({subject})"
        )
    before = [(m, j) for m, j in near if m.taken_at <= at]
    after = [(m, j) for m, j in near if m.taken_at > at]
    ends = [side for side in (before[-1] if before else None, after[0] if after else None) if side]
    values = [_value(need, subject, j, m) for m, j in ends]
    problem = next((v for v in values if isinstance(v, MissingDataError)), None)
    return problem or _bracketed(need, [v for v in values if isinstance(v, Value)])


def _bracketed(need: Need, values: list[Value]) -> Value | MissingDataError:
    """Return one value, or the mean of two with half their difference added to the uncertainty."""
    if len(values) == 1:
        return values[0]
    first, last = values
    middle, difference = (first.value + last.value) / 2, abs(first.value - last.value)
    if need.bracket is not None and difference > need.bracket * abs(middle):
        share = 100 * difference / abs(middle)
        return MissingDataError(
            need.name, "bracket", f"{need.label} moved {share:.0f} % between before and after: take it again"
        )
    u = (max(first.u, last.u) ** 2 + (difference / 2) ** 2 / 3) ** 0.5
    return Value(middle, u, words=first.words, source=f"{first.source} {last.source}")


def _value(need: Need, subject: str, judgement: Judgement | None, measurement: Measurement) -> Value | MissingDataError:
    findings = judgement.findings if judgement else []
    one = next((f for f in findings if need.finding in ("", f["name"]) and f["value"] is not None), None)
    if one is None:
        return MissingDataError(need.name, subject, f"{need.label} has no value yet ({subject})")
    return Value(one["value"], (one["spread"] or 0.0) / 2, words=need.label.lower(), source=str(measurement.pk))


def _every_repeat(
    need: Need, subject: str, judgement: Judgement | None
) -> Iterator[tuple[str, Value | MissingDataError]]:
    """Yield every repeat with the uncertainty of its own reading: what all share cancels between them."""
    found = [
        f
        for f in (judgement.findings if judgement else [])
        if f["value"] is not None and need.finding in ("", f["name"])
    ]
    if not found:
        yield need.name, MissingDataError(need.name, subject, f"{need.label} has no value yet ({subject})")
    for one in found:
        words = f"{need.label.lower()} {one['repeat']}"
        apart = need.u_apart(one["value"])
        u = _own_u(need, one["terms"]) if apart is None else apart
        yield f"{need.name}/{one['repeat']}", Value(one["value"], u, words=words)


def _own_u(need: Need, terms: list[dict[str, Any]]) -> float:
    """Return the standard uncertainty of a repeat without conditions, nameplate and model."""
    conditions = {n.label.lower() for n in CHECKS[need.name].needs}
    return combine([t["u"] for t in terms if not t["shared"] and t["name"] not in conditions] or [0.0])


def assessment_of(measurement: Measurement, system: System, seen: Around) -> tuple[Assessment, Conditions]:
    """Return what is to be said of a measurement, and the conditions it rests on."""
    tag = _tag_now(measurement)
    check = with_limits(CHECKS[measurement.check_key], tag, seen.limits)
    if check.kind is Kind.OBSERVED:
        return answered(check, tag, Answer(measurement.answer)), {}
    conditions = conditions_for(check, system, tag, measurement.taken_at, seen)
    readings = tuple(
        Reading(r.input, r.value, r.label, r.u, r.bound, _words(check, r.input)) for r in measurement.readings.all()
    )
    each = _at_each_row(check, system, tag, measurement, seen)
    found = assess(
        check,
        system,
        tag,
        readings=readings,
        conditions=conditions,
        way=measurement.way,
        moment=measurement.taken_at.timestamp(),
        at_each={label: (at.timestamp(), around_row) for label, (at, around_row) in each.items()},
    )
    of_rows = {f"{name}, {label}": v for label, (_, around_row) in each.items() for name, v in around_row.items()}
    return found, of_rows or conditions


def _at_each_row(
    check: Check, system: System, tag: str, measurement: Measurement, seen: Around
) -> dict[str, tuple[datetime, Conditions]]:
    """Return the moment and the conditions of each row of a measurement that is taken through the day."""
    if check.repeat.shape is not Shape.ROWS:
        return {}
    moments = {r.label: r.at for r in measurement.readings.all() if r.label}
    return {label: (at, conditions_for(check, system, tag, at, seen)) for label, at in moments.items()}


def _words(check: Check, name: str) -> str:
    declared = check.input(name)
    return declared.label.lower() if declared else name


@dataclass
class Judging:
    """One run over a visit: the record as it stands, and what has been measured and said so far.

    What it says is written at the end, by `write`: working it out takes long, and nobody else could write meanwhile.
    """

    visit: Visit
    actor: User
    taken: Snapshot
    system: System
    seen: Around
    said: list[Event] = field(default_factory=list)

    def write(self) -> list[Judgement]:
        """Write all that was said, in its order, in one transaction."""
        with transaction.atomic():
            made = [evidence.written(event).projected for event in self.said]
        self.said.clear()
        return [one for one in made if isinstance(one, Judgement)]

    def judge(self, one: Measurement, because: str = "") -> Judgement:
        """Judge a measurement, keep the judgement, and let what comes after it see the result."""
        return self.keep(one, *assessment_of(one, self.system, self.seen), because)

    def keep(self, one: Measurement, found: Assessment, conditions: Conditions, because: str) -> Judgement:
        judgement = _kept(self, one, found, conditions, because)
        self.seen.put(one, judgement)
        return judgement

    def judge_again(self, check: Check, because: str, *, but: Collection[UUID] = ()) -> None:
        """Judge the measurements of a check again, where another thing is to be said of them."""
        for one, judgement in list(self.seen.of_check(check.key)):
            if one.pk in but:
                continue
            found, conditions = assessment_of(one, self.system, self.seen)
            if not is_unchanged(judgement, found):
                self.keep(one, found, conditions, because)

    def derive(self, check: Check) -> None:
        """Take a derived check on each subject whose needs are there and that has none yet."""
        for tag in check.subjects(self.system):
            at = _youngest_need(check, self.system, tag, self.seen)
            needed = conditions_for(check, self.system, tag, at, self.seen)
            if self.seen.of(check.key, tag) or any(isinstance(v, MissingDataError) for v in needed.values()):
                continue
            body = {
                "id": str(uuid4()),
                "visit": str(self.visit.pk),
                "check": check.key,
                "subject": tag,
                "taken_at": at.isoformat(),
            }
            event = evidence.append(
                site=self.visit.site, kind="measurement.taken", body=body, actor=self.actor, origin=Origin.SYSTEM
            )
            assert isinstance(event.projected, Measurement)
            self.judge(event.projected, "derived")


def judging_of(visit: Visit, actor: User, *, only: Collection[str] | None = None) -> Judging:
    """Return a run over a visit as it stands now, over all that was measured or what was of some checks."""
    taken = snapshot.standing(visit.site)
    return Judging(visit, actor, taken, snapshot.system_at(taken), around(visit, with_records=False, only=only))


def _kept(run: Judging, one: Measurement, found: Assessment, conditions: Conditions, because: str) -> Judgement:
    """Put a judgement down to be written, and return it as it will stand."""
    body: dict[str, Any] = {
        "id": str(uuid4()),
        "measurement": str(one.pk),
        "snapshot": run.taken.hash,
        "check_revision": found.revision,
        "core_version": CORE_VERSION,
        "verdict": found.verdict.value if found.verdict else "",
        "findings": _as_json([asdict(f) for f in found.findings]),
        "conditions": _as_json({name: _condition(value) for name, value in conditions.items()}),
        "because": because,
    }
    event = evidence.prepared(
        site=run.visit.site, kind="judgement.made", body=body, actor=run.actor, origin=Origin.SYSTEM
    )
    event.known = {"measurement": one, "snapshot": run.taken}
    run.said.append(event)
    return Judgement(
        pk=body["id"], measurement=one, snapshot=run.taken, check_revision=found.revision, core_version=CORE_VERSION,
        verdict=body["verdict"], findings=json.loads(body["findings"]),
        conditions=json.loads(body["conditions"]), because=because, made_at=timezone.now(),
    )  # fmt: skip


def _condition(value: Value | MissingDataError) -> dict[str, Any]:
    if isinstance(value, MissingDataError):
        return {"missing": value.words}
    return {"value": value.value, "u": value.u, "source": value.source}


def _as_json(content: Any) -> str:
    def plain(value: object) -> Any:
        if isinstance(value, Enum):
            return value.value
        raise TypeError(f"{type(value).__name__} has no JSON")

    return json.dumps(content, default=plain, ensure_ascii=False, sort_keys=True)


def is_unchanged(old: Judgement | None, new: Assessment) -> bool:
    """Whether judging again would say the same of the same numbers."""
    if old is None:
        return False
    text = _as_json([asdict(f) for f in new.findings])
    return digest(text) == digest(_as_json(old.findings)) and old.verdict == (new.verdict.value if new.verdict else "")


def judge_all_touched(measurement: Measurement, *, actor: User) -> list[Judgement]:
    """Judge a new measurement, then everything on the visit that needed it, then what can now be derived."""
    return judge_together([measurement], actor=actor)


def judge_together(taken: Collection[Measurement], *, actor: User) -> list[Judgement]:
    """Judge new measurements of one visit, each after those it needs; then what needed them, and what follows."""
    if not taken:
        return []
    visit, keys = next(iter(taken)).visit, {one.check_key for one in taken}
    measured = set(visit.measurements.order_by().values_list("check_key", flat=True).distinct())
    run = judging_of(visit, actor, only=relevant_to(keys, measured))
    new = _as_seen(run.seen, taken)
    touched: set[str] = set()
    for check in in_order_of_need():
        mine = [one for one in new if one.check_key == check.key]
        for one in mine:
            run.judge(one)
        needed = [need.name for need in check.needs if need.name in touched]
        if needed or follows_from_record(check):
            because = f"{CHECKS[(needed or [new[0].check_key])[0]].title.lower()} was taken"
            run.judge_again(check, because, but={one.pk for one in mine})
            if check.kind is Kind.DERIVED:
                run.derive(check)
        if mine or needed:
            touched.add(check.key)
    return run.write()


def _as_seen(seen: Around, taken: Collection[Measurement]) -> list[Measurement]:
    """Return the measurements as they were read with all the others, oldest first: their readings are there already."""
    read = {one.pk: one for pairs in seen.by_owed.values() for one, _ in pairs}
    return sorted((read.get(UUID(str(one.pk)), one) for one in taken), key=lambda one: one.taken_at)


def judge_visit_again(visit: Visit, *, actor: User, because: str) -> list[Judgement]:
    """Judge every current measurement of a visit again, where the result differs; derive what can be."""
    run = judging_of(visit, actor)
    for check in in_order_of_need():
        run.judge_again(check, because)
        if check.kind is Kind.DERIVED:
            run.derive(check)
    return run.write()


def _youngest_need(check: Check, system: System, tag: str, seen: Around) -> datetime:
    """Return when the last measurement was taken on which a derived one rests; now where there is none."""
    found = []
    for need in check.needs:
        try:
            taken = seen.of(need.name, need.of(system, tag))
        except MissingDataError:
            continue
        found += [one.taken_at for one, _ in taken[-1:]]
    return max(found, default=timezone.now())
