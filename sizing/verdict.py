"""The decision rule: from a value, its uncertainty and its limits to a verdict.

Written once, here. After JCGM 106:2012 (guarded acceptance and guarded rejection, 8.3) with the
guard band w = U, which ILAC-G8:09/2019 4.2.3 tabulates as its non-binary statement:

- **within**: the whole interval y ± U lies inside the limits. The chance that a value called within
  is in truth outside is then at most 2.3 % at one limit.
- **outside**: the whole interval lies beyond a limit. The same chance the other way round.
- **borderline**: the interval straddles a limit.
- **unjudged**: y lies inside and its interval straddles, with U so large that even the expected value could
  not be shown to be inside: U above half the width of two limits, or above the distance from expected to a
  lone limit. Where a check has a lone limit and no expected value, it says how much U it can bear.
- Where y lies inside and U is at most one twentieth of that room, the whisker is smaller than the dot that
  draws it, and y alone decides (simple acceptance, JCGM 106 8.2). It only ever accepts: a value beyond
  a limit by less than U stays borderline.
"""

from enum import StrEnum

from sizing.records import record

COVERAGE = 2.0
"""Coverage factor k: U = k·u, about 95 % for a normal distribution (JCGM 100:2008, 6.3.3)."""
NEGLIGIBLE = 0.05


class Verdict(StrEnum):
    """What is said of a measurement, from the lightest to the gravest."""

    WITHIN = "within"
    UNJUDGED = "unjudged"
    BORDERLINE = "borderline"
    OUTSIDE = "outside"


GRAVITY = {Verdict.WITHIN: 0, Verdict.UNJUDGED: 1, Verdict.BORDERLINE: 2, Verdict.OUTSIDE: 3}


def gravest(verdicts: list[Verdict]) -> Verdict:
    """Return the gravest of several verdicts; unjudged if there are none."""
    return max(verdicts, key=GRAVITY.__getitem__, default=Verdict.UNJUDGED)


@record
class Decision:
    """A verdict and, where it is not within, the reason in words."""

    verdict: Verdict
    reason: str = ""


def decide(
    value: float,
    spread: float,
    *,
    lower: float | None,
    upper: float | None,
    nominal: float | None = None,
    bearable: float | None = None,
    bound: str = "",
) -> Decision:
    """Return the verdict on a value with expanded uncertainty `spread`; all in one unit.

    `bound` is ">" or "<" where the reading is a bound: the true value lies beyond it.
    """
    if lower is None and upper is None:
        return Decision(Verdict.UNJUDGED, "no limit can be computed")
    if bound:
        return _decide_bound(value, bound, lower, upper)
    low, high = value - spread, value + spread
    if (lower is not None and high < lower) or (upper is not None and low > upper):
        return Decision(Verdict.OUTSIDE, "the whole interval lies beyond the limit")
    inside = (lower is None or value >= lower) and (upper is None or value <= upper)
    room = room_of(lower, upper, nominal, bearable)
    if inside and room is not None and room == bearable and spread > room:
        return Decision(Verdict.UNJUDGED, "the instrument is too coarse for this check")
    if (lower is None or low >= lower) and (upper is None or high <= upper):
        return Decision(Verdict.WITHIN)
    if inside and room is not None and spread <= NEGLIGIBLE * room:
        return Decision(Verdict.WITHIN)
    if inside and room is not None and spread > room:
        return Decision(Verdict.UNJUDGED, "conditions too uncertain")
    return Decision(Verdict.BORDERLINE, "the uncertainty reaches across the limit")


def room_of(lower: float | None, upper: float | None, nominal: float | None, bearable: float | None) -> float | None:
    """Return the greatest expanded uncertainty with which a value inside can be judged."""
    if lower is not None and upper is not None:
        return (upper - lower) / 2
    limit = lower if lower is not None else upper
    if nominal is not None and limit is not None and nominal != limit:
        return abs(nominal - limit)
    return bearable


def _decide_bound(value: float, bound: str, lower: float | None, upper: float | None) -> Decision:
    """Judge a bound: only what holds for every value beyond it is said."""
    if bound == ">":
        if upper is not None and value >= upper:
            return Decision(Verdict.OUTSIDE, "the true value lies above the limit")
        if lower is not None and value >= lower and upper is None:
            return Decision(Verdict.WITHIN)
    if bound == "<":
        if lower is not None and value <= lower:
            return Decision(Verdict.OUTSIDE, "the true value lies below the limit")
        if upper is not None and value <= upper and lower is None:
            return Decision(Verdict.WITHIN)
    return Decision(Verdict.UNJUDGED, "the reading is a bound, and the limit lies beyond it")
