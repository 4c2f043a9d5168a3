"""How far a later measurement has moved from the baseline, with the conditions of both days taken out.

What is compared is measured over expected, each evaluated at its own conditions: a weaker sun or a
deeper water table moves both alike. Terms shared by both days (nameplate, model) cancel in the ratio.
"""

import math
from enum import StrEnum

from sizing.formulas.uncertainty import normalised_error
from sizing.judgement import Finding
from sizing.records import record
from sizing.verdict import COVERAGE


class Comparable(StrEnum):
    """Whether two measurements say something about a change."""

    YES = "comparable"
    WITH_CARE = "comparable with care"
    NO = "not comparable"


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


def drift(then: Finding, now: Finding) -> Drift:
    """Return how far `now` lies from `then`; both findings must be of the same judged value."""
    for finding, day in ((then, "the baseline"), (now, "today")):
        if finding.value is None:
            return Drift(Comparable.NO, f"{day} has no value")
        if finding.bound:
            return Drift(Comparable.NO, f"{day} is a bound, {finding.bound}")
    if _nominal(then) and _nominal(now):
        return _relative(then, now)
    if _nominal(then) or _nominal(now):
        return Drift(Comparable.NO, "what it should be could be computed on one of the two days only")
    return _absolute(then, now)


def _nominal(finding: Finding) -> float:
    return (finding.expected.nominal or 0.0) if finding.expected else 0.0


def _relative(then: Finding, now: Finding) -> Drift:
    first, later = (then.value or 0.0) / _nominal(then), (now.value or 0.0) / _nominal(now)
    u_first, u_later = own_spread(then) / _nominal(then), own_spread(now) / _nominal(now)
    if first == 0:
        return Drift(Comparable.NO, "the baseline is zero")
    change = later / first - 1
    spread = abs(later / first) * math.hypot(u_first / first, u_later / later if later else u_later)
    moved = _normalised(first, u_first, later, u_later)
    return Drift(*_care(then, now), change=change, spread=spread, normalised=moved)


def _absolute(then: Finding, now: Finding) -> Drift:
    first, later = then.value or 0.0, now.value or 0.0
    u_first, u_later = own_spread(then), own_spread(now)
    moved = _normalised(first, u_first, later, u_later)
    return Drift(
        Comparable.WITH_CARE,
        "no expected value: the conditions of the two days are not taken out",
        change=later - first,
        spread=math.hypot(u_first, u_later),
        is_relative=False,
        normalised=moved,
    )


def _normalised(first: float, u_first: float, later: float, u_later: float) -> float:
    if u_first == 0 and u_later == 0:
        return 0.0 if first == later else math.inf
    return normalised_error(first=first, first_expanded=u_first, later=later, later_expanded=u_later)


def _care(then: Finding, now: Finding) -> tuple[Comparable, str]:
    """Return how far two findings may be compared: conditions very unlike ask for care."""
    ratio = _nominal(now) / _nominal(then)
    if not 0.5 <= ratio <= 2:
        return Comparable.WITH_CARE, f"conditions were unlike: {ratio:.1f} times as much was to be expected today"
    return Comparable.YES, ""
