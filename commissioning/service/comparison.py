"""Today beside the baseline: each measurement over what it should have been on its own day.

Both days are evaluated with the core as it is now, each on the record, the readings and the conditions of
its own day. Where that gives another number than was said then, the original is shown beside it.
"""

from dataclasses import dataclass
from math import isfinite
from typing import Any
from uuid import UUID

from django.db.models import Q
from django.urls import reverse

from commissioning import judging, snapshot, units
from commissioning.baseline import baseline_of
from commissioning.models import Judgement, Measurement, Visit, VisitKind
from commissioning.plots import interval
from commissioning.service.between import beside_both, between_days
from commissioning.service.earlier import Earlier, Former, earlier_than, to_compare, visits_before
from sizing.causes import Sign
from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.drift import Between, Comparable, Drift, drift
from sizing.judgement import Finding

SAME = 1e-9
NOTHING = "—"
ABOUT_NIL = 0.05  # of what it was: so little left is none (our own choice)
POINTS = "points"  # of per cent: a share that fell from 43 % to 33 % has lost 10 points


@dataclass(frozen=True)
class Compared:
    """One judged value on both days, ready to print: bare numbers in one unit."""

    label: str
    unit: str
    then: str
    now: str
    expected_then: str
    expected_now: str
    spread_then: str
    spread_now: str
    originally: str
    change: str
    change_spread: str
    normalised: str
    words: str
    comparable: str
    why: str
    has_moved: bool
    name: str
    sign: Sign | None
    picture: str
    small_picture: str


@dataclass(frozen=True)
class ConditionPair:
    label: str
    unit: str
    then: str
    now: str


@dataclass(frozen=True)
class Comparison:
    """One owed check of a visit beside its baseline."""

    check: Check
    now: Measurement
    then: Measurement | None
    compared: tuple[Compared, ...]
    conditions: tuple[ConditionPair, ...]
    past: tuple[Former, ...] = ()

    @property
    def moved(self) -> list[Compared]:
        return [one for one in self.compared if one.has_moved]

    @property
    def is_comparable(self) -> bool:
        return any(one.change for one in self.compared)

    @property
    def summary(self) -> str:
        """The subject with what moved most to the front; where nothing did, with the first value."""
        if not self.compared:
            return self.now.subject
        first, *others = self.moved or self.compared
        name = f"{first.label.lower()} " if len(self.compared) > 1 else ""
        said = f"{name}{first.change} {first.change_spread}" if first.change else first.words
        more = f"{len(others)} more {'has' if len(others) == 1 else 'have'} moved" if self.moved and others else ""
        return " · ".join(part for part in (self.now.subject, said, more) if part)

    @property
    def cares(self) -> list[str]:
        """How far the values can be compared, each saying once."""
        words = (f"{one.comparable}: {one.why}" if one.why else one.comparable for one in self.compared)
        return list(dict.fromkeys(words))


def baseline_url(visit: Visit) -> str:
    """Return where a visit is laid beside its baseline; empty where there is none."""
    is_compared = visit.kind != VisitKind.BEFORE_COVER and baseline_of(visit) is not None
    return reverse("comparison-list", args=[visit.pk]) if is_compared else ""


def comparison_url(now: Measurement) -> str:
    """Return where a measurement is laid beside the baseline; empty where it was not measured before."""
    check = CHECKS[now.check_key]
    if not _is_compared(check) or not _was_measured(visits_before(now.visit), now):
        return ""
    return reverse("comparison", args=[now.visit_id, check.key, now.subject])


def comparison_urls(visit: Visit) -> dict[UUID, str]:
    """Return, for each measurement of a visit that was measured before, where they lie side by side."""
    visits = visits_before(visit)
    if not visits:
        return {}
    same = ("check_key", "subject")
    before = set(Measurement.objects.current().filter(visit__in=visits).values_list(*same))
    rows = visit.measurements.current().values_list("pk", *same)
    return {
        pk: reverse("comparison", args=[visit.pk, key, subject])
        for pk, key, subject in rows
        if (key, subject) in before and _is_compared(CHECKS[key])
    }


def _is_compared(check: Check) -> bool:
    return bool(check.judged) and not check.is_condition


def _was_measured(visits: list[Visit], now: Measurement) -> bool:
    before = Measurement.objects.current().filter(visit__in=visits, check_key=now.check_key)
    return bool(visits) and before.filter(_same_thing(now)).exists()


def _same_thing(now: Measurement) -> Q:
    """Return what finds measurements of the same subject, under another tag too, or of what it replaced."""
    renamed = Q(component=now.component_id, run=now.run_id) if now.component_id or now.run_id else Q()
    return Q(subject=now.subject) | renamed if renamed else Q(subject=now.subject)


def comparisons(visit: Visit) -> list[Comparison]:
    """Return every measured or derived check of a visit beside its baseline, in catalogue order."""
    todays, earlier = judging.around(visit), earlier_than(visit)
    found = [
        _compared(CHECKS[key], taken[-1][0], earlier.past((key, tag), taken[-1][0]), todays, earlier)
        for (key, tag), taken in todays.by_owed.items()
        if _is_compared(CHECKS[key])
    ]
    order = list(CHECKS)
    return sorted(found, key=lambda c: (order.index(c.check.key), c.now.subject))


def _compared(
    check: Check, now: Measurement, past: tuple[Former, ...], todays: judging.Around, earlier: Earlier
) -> Comparison:
    former = to_compare(past)
    then = former.one
    if then is None:
        return Comparison(check, now, None, (), ())
    today, today_conditions = _evaluated(now, todays)
    before, before_conditions = _evaluated(then, earlier.around(then.visit))
    said, beside = then.judgement(), beside_both(check, then, now, before_conditions, today_conditions)
    pairs = tuple(
        _value_pair(f, old, said, now, between_days(f, now, former.changed, beside))
        for f in today
        if (old := _same(before, f)) is not None
    )
    return Comparison(
        check, now, then, pairs, tuple(_condition_pairs(check, before_conditions, today_conditions, now)), past
    )


def _evaluated(one: Measurement, around: judging.Around) -> tuple[tuple[Finding, ...], judging.Conditions]:
    """Return a measurement's findings by today's core on the record of its own day."""
    judgement = one.judgement()
    system = snapshot.system_at(judgement.snapshot) if judgement else snapshot.system_now(one.visit.site)
    found, conditions = judging.assessment_of(one, system, around)
    return found.findings, conditions


def _same(findings: tuple[Finding, ...], other: Finding) -> Finding | None:
    return next((f for f in findings if (f.name, f.repeat) == (other.name, other.repeat)), None)


def _value_pair(now: Finding, then: Finding, said: Judgement | None, today: Measurement, between: Between) -> Compared:
    moved = drift(then, now, between)
    code = units.default_unit(now.quantity, today.visit.site.unit_system).code
    change, spread = _change(moved, now, code)
    pictures = _pictures(moved)
    return Compared(
        label=f"{now.label}, {now.repeat}" if now.repeat else now.label,
        unit=units.unit(code, now.quantity).symbol,
        then=_figure(then, code),
        now=_figure(now, code),
        expected_then=_nominal(then, code),
        expected_now=_nominal(now, code),
        spread_then=_spread(then, code),
        spread_now=_spread(now, code),
        originally=_originally(then, said, code),
        change=change,
        change_spread=spread,
        normalised=_normalised(moved),
        words=_words(moved),
        comparable=moved.comparable.value,
        why=moved.why,
        has_moved=moved.has_moved,
        name=now.name,
        sign=_sign(moved),
        picture=pictures[0],
        small_picture=pictures[1],
    )


def _figure(finding: Finding, code: str) -> str:
    if finding.value is None:
        return NOTHING
    text, _ = units.figure_parts(finding.value, finding.quantity, code, u=None if finding.bound else finding.spread)
    return f"{finding.bound}\u00a0{text}" if finding.bound else text


def _nominal(finding: Finding, code: str) -> str:
    if finding.expected is None or finding.expected.nominal is None:
        return NOTHING
    return units.figure_parts(finding.expected.nominal, finding.quantity, code, u=finding.spread)[0]


def _spread(finding: Finding, code: str) -> str:
    if not finding.spread or finding.bound:
        return NOTHING
    symbol = units.unit(code, finding.quantity).symbol
    return units.plus_minus(finding.spread, finding.quantity, code).removesuffix(symbol).rstrip("\u00a0")


def _originally(then: Finding, said: Judgement | None, code: str) -> str:
    """Return the expected value as it was said on the day, where today's core says another."""
    findings: list[dict[str, Any]] = said.findings if said else []
    stored = next((f for f in findings if (f["name"], f["repeat"]) == (then.name, then.repeat)), None)
    nominal = ((stored or {}).get("expected") or {}).get("nominal")
    now = then.expected.nominal if then.expected else None
    if nominal is None or now is None or abs(nominal - now) <= SAME * abs(now):
        return ""
    return units.figure_parts(nominal, then.quantity, code, u=then.spread)[0]


def _change(moved: Drift, now: Finding, code: str) -> tuple[str, str]:
    """Return the change with its uncertainty: a share in per cent, else a difference in the unit of the value."""
    if moved.change is None or moved.spread is None:
        return "", ""
    if not moved.is_relative:
        change = units.difference(moved.change, now.quantity, code, u=moved.spread)
        spread = units.plus_minus(moved.spread, now.quantity, code)
        return (change.replace("%", POINTS), spread.replace("%", POINTS))
    places = 1 if moved.spread < 0.1 else 0
    percent = "\u00a0%"
    sign = "+" if moved.change > 0 else ""
    return (
        sign + units.number(100 * moved.change, places) + percent,
        "±\u00a0" + units.number(100 * moved.spread, places) + percent,
    )


def _normalised(moved: Drift) -> str:
    """Return E_n with two places; empty where there is none, or both values were exact and differ."""
    if moved.normalised is None or not isfinite(moved.normalised):
        return ""
    return units.number(moved.normalised, 2)


def _sign(moved: Drift) -> Sign | None:
    """Return which way a value has gone, for the table of causes; None where the days cannot be compared."""
    if moved.change is None:
        return None
    if not moved.has_moved:
        return Sign.SAME
    if moved.is_relative and moved.change <= ABOUT_NIL - 1:
        return Sign.NIL
    return Sign.UP if moved.change > 0 else Sign.DOWN


def _words(moved: Drift) -> str:
    if moved.comparable is Comparable.NO:
        return "cannot be compared"
    return "has moved" if moved.has_moved else "no change shown"


def _pictures(moved: Drift) -> tuple[str, str]:
    """Return the drift on a ruled line with nought marked, in per cent, full and small."""
    if moved.change is None or moved.spread is None or not moved.is_relative:
        return "", ""
    change, spread = 100 * moved.change, 100 * moved.spread
    drawn: dict[str, Any] = {
        "unit": "%", "verdict": "borderline" if moved.has_moved else "within", "reading": change, "spread": spread,
        "expected": 0.0, "places": 1 if spread < 10 else 0,
    }  # fmt: skip
    return interval(**drawn), interval(**drawn, small=True)


def _condition_pairs(
    check: Check, then: judging.Conditions, now: judging.Conditions, today: Measurement
) -> list[ConditionPair]:
    found = []
    for need in check.needs:
        code = units.default_unit(need.quantity, today.visit.site.unit_system).code
        texts = [
            units.figure_parts(v.value, need.quantity, code, u=2 * v.u)[0] if isinstance(v, Value) else NOTHING
            for v in (then.get(need.name), now.get(need.name))
        ]
        if texts != [NOTHING, NOTHING]:
            found.append(ConditionPair(need.label, units.unit(code, need.quantity).symbol, *texts))
    return found
