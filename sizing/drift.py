"""How far a later measurement has moved from the baseline, with the conditions of both days taken out.

What is compared is measured over expected, each evaluated at its own conditions: a weaker sun or a
deeper water table moves both alike. Terms shared by both days (nameplate, model) cancel in the ratio.

Whether it has moved says the normalised error, E_n (ISO/IEC 17043:2010, B.3.1.3, and ISO 13528:2015, 9.7, clauses
from memory): above 1 the two days differ by more than both their uncertainties explain. How far the two days may be
compared at all is said beside it, with every reason that was found; those rules are common practice, no source.
"""

import math
from collections.abc import Iterator
from enum import StrEnum

from sizing.cross.measured import Other
from sizing.formulas.uncertainty import normalised_error
from sizing.judgement import Finding
from sizing.records import record
from sizing.verdict import COVERAGE


class Comparable(StrEnum):
    """Whether two measurements say something about a change."""

    YES = "comparable"
    WITH_CARE = "comparable with care"
    NO = "not comparable"


UNLIKE = 2.0
"""By what factor conditions, or what was to be expected under them, may differ (common practice, no source)."""
PLAIN_CHANGE = 1.5
"""Within this factor a change is taken as one of the system, whatever unit would explain it too."""
SLIP_ROOM = 0.05
"""How near a change must come to the factor of a slip, where its own uncertainty is smaller (both: no source)."""
POINT = (10.0, 0.1, 100.0, 0.01)


@record
class Pair:
    """Something that stood beside a measurement on both days: a condition, in its core unit."""

    words: str
    then: float
    now: float


@record
class Between:
    """What lies between two days besides the values: each of it may be why they cannot be compared.

    `changed` says in words what was replaced or moved since; `then_taken` and `now_taken` the manner and the kinds
    of instrument; `others` the units in which today's number may have been read instead.
    """

    changed: str = ""
    then_taken: str = ""
    now_taken: str = ""
    conditions: tuple[Pair, ...] = ()
    unit: str = ""
    others: tuple[Other, ...] = ()


NOTHING_KNOWN = Between()


@record
class Drift:
    """The change between two measurements.

    `change` and `spread` are shares where both have an expected value (`is_relative`), otherwise in the core
    unit of the quantity. `has_moved` is true where the normalised error exceeds one (ISO 13528).
    """

    comparable: Comparable
    why: str = ""
    change: float | None = None
    spread: float | None = None
    is_relative: bool = True
    normalised: float | None = None

    @property
    def has_moved(self) -> bool:
        return self.normalised is not None and self.normalised > 1


def own_spread(finding: Finding) -> float:
    """Return the expanded uncertainty that belongs to the day alone, in the core unit."""
    return COVERAGE * math.sqrt(math.fsum(t.u**2 for t in finding.terms if not t.shared))


def drift(then: Finding, now: Finding, between: Between = NOTHING_KNOWN) -> Drift:
    """Return how far `now` lies from `then`; both findings must be of the same judged value."""
    refused = between.changed or _no_value(then, "the baseline") or _no_value(now, "today")
    if refused:
        return Drift(Comparable.NO, refused)
    if _nominal(then) and _nominal(now):
        return _relative(then, now, between)
    if _nominal(then) or _nominal(now):
        return Drift(Comparable.NO, _one_sided(then, now))
    return _absolute(then, now, between)


def _no_value(finding: Finding, day: str) -> str:
    if finding.value is None:
        return f"{day} has no value"
    return f"{day} is a bound, {finding.bound}" if finding.bound else ""


def _one_sided(then: Finding, now: Finding) -> str:
    """Return why there is no ratio, and what was missing on which day."""
    day, finding = ("the baseline", then) if not _nominal(then) else ("today", now)
    missing = "; ".join(one.words for one in finding.missing)
    why = f" ({day}: {missing})" if missing else f" (not for {day})"
    return f"what it should be could be computed on one of the two days only{why}"


def _nominal(finding: Finding) -> float:
    return (finding.expected.nominal or 0.0) if finding.expected else 0.0


def _relative(then: Finding, now: Finding, between: Between) -> Drift:
    first, later = (then.value or 0.0) / _nominal(then), (now.value or 0.0) / _nominal(now)
    u_first, u_later = own_spread(then) / abs(_nominal(then)), own_spread(now) / abs(_nominal(now))
    if first == 0:
        return Drift(Comparable.NO, "the baseline is zero")
    # U of the quotient later/first, both independent (JCGM 100:2008, 5.1.2)
    spread = math.hypot(u_later / first, later * u_first / first**2)
    unlike = _unlike("what was to be expected", _nominal(then), _nominal(now))
    return Drift(
        *_care(unlike, *_cares(between), _slip(later / first, spread, between)),
        change=later / first - 1,
        spread=spread,
        normalised=_normalised(first, u_first, later, u_later),
    )


def _absolute(then: Finding, now: Finding, between: Between) -> Drift:
    first, later = then.value or 0.0, now.value or 0.0
    u_first, u_later = own_spread(then), own_spread(now)
    ratio = later / first if first else 1.0
    near = math.hypot(u_later, ratio * u_first) / abs(first) if first else 0.0
    none = "no expected value: the conditions of the two days are not taken out"
    return Drift(
        *_care(none, *_cares(between), _slip(ratio, near, between)),
        change=later - first,
        spread=math.hypot(u_first, u_later),
        is_relative=False,
        normalised=_normalised(first, u_first, later, u_later),
    )


def _normalised(first: float, u_first: float, later: float, u_later: float) -> float:
    if u_first == 0 and u_later == 0:
        return 0.0 if first == later else math.inf
    expanded = {"first_expanded": u_first, "later_expanded": u_later}
    if u_later == 0:  # the formula wants an uncertainty of the later value; the number is the same either way round
        return normalised_error(first=later, first_expanded=u_later, later=first, later_expanded=u_first)
    return normalised_error(first=first, later=later, **expanded)


def _care(*reasons: str) -> tuple[Comparable, str]:
    """Return how far two findings may be compared: each reason asks for care."""
    found = [one for one in reasons if one]
    return (Comparable.WITH_CARE, "; ".join(found)) if found else (Comparable.YES, "")


def _cares(between: Between) -> Iterator[str]:
    """Yield what was unlike around the two days."""
    for one in between.conditions:
        yield _unlike(one.words, one.then, one.now)
    if between.then_taken != between.now_taken and between.then_taken and between.now_taken:
        yield f"taken otherwise: {between.then_taken} then, {between.now_taken} today"


def _unlike(words: str, then: float, now: float) -> str:
    if not (then > 0 and now > 0) or 1 / UNLIKE <= now / then <= UNLIKE:
        return ""
    return f"conditions were unlike: {words} {now / then:.1f} times as much today"


def _slip(ratio: float, spread: float, between: Between) -> str:
    """Return which slip would explain a change so great; empty where none does, or it is no great change."""
    if not ratio > 0 or 1 / PLAIN_CHANGE <= ratio <= PLAIN_CHANGE:
        return ""
    near = max(spread / ratio, SLIP_ROOM)
    slips = [(f"read in {one.words}", one.factor) for one in between.others if not one.is_rare]
    slips += [("the point misplaced", factor) for factor in POINT]
    off, words = min((abs(math.log(ratio * factor)), words) for words, factor in slips)
    typed = f" and typed as {between.unit}" if between.unit and words.startswith("read") else ""
    return f"looks like a slip: {words}{typed}; read it again" if off <= near else ""
