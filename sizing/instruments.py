"""What the ways of a check are taken with, as kinds of instrument, and what a person lacks of them.

A way says its instruments in plain words, such as "flow meter, or bucket and watch"; here they become kinds.
"""

import re
from functools import cache

from sizing.checks.declare import Check, Kind, Way
from sizing.records import record

Kit = frozenset[str]

SAME: tuple[tuple[str, str], ...] = (
    (r"multimeter\b.*", "multimeter"),
    (r"(DC )?clamp( meter)?|DC clamp meter", "DC clamp meter"),
    (r"(marked )?bucket", "marked bucket"),
    (r"low-ohm meter\b.*", "low-ohm meter"),
    (r"fine pressure gauge", "fine pressure gauge"),
    (r"(pressure )?gauges?\b.*", "pressure gauge"),
    (r"long leads?", "long leads"),
    (r"tube", "turbidity tube"),
    (r"strips", "chlorine strips"),
    (r"comparator", "chlorine comparator"),
)
"""A pattern of the words in which a way names an instrument → its kind. Other words are a kind of their own."""

STANDS_IN: dict[str, frozenset[str]] = {
    "pressure gauge": frozenset({"fine pressure gauge"}),
    "thermometer": frozenset({"contact thermometer"}),
    "dip meter": frozenset({"weighted tape"}),
}
"""Kind → what does as well in its place; common practice, no source."""

NOT_CARRIED = frozenset({"laboratory report", "watch"})
"""What nobody has to bring: the report comes by itself, and whoever types readings holds a clock in the hand."""


@record
class Requirement:
    """One thing that a way asks for: any of its alternatives, each one or more kinds together."""

    words: str
    alternatives: tuple[Kit, ...]

    def is_met(self, kit: Kit) -> bool:
        return any(all(_is_there(kind, kit) for kind in one) for one in self.alternatives)


def _is_there(kind: str, kit: Kit) -> bool:
    return kind in kit or kind in NOT_CARRIED or not STANDS_IN.get(kind, frozenset()).isdisjoint(kit)


@cache
def requirement(words: str) -> Requirement | None:
    """Return what the words of a way ask for; None where it is only wanted in some cases."""
    if ", if " in words:
        return None
    ways = re.split(r",? or ", words)
    return Requirement(words, tuple(frozenset(kind_of(one) for one in re.split(r" and ", way)) for way in ways))


def kind_of(words: str) -> str:
    """Return the kind of instrument that words name."""
    named = words.strip()
    return next((kind for pattern, kind in SAME if re.fullmatch(pattern, named)), named)


def requirements(way: Way) -> list[Requirement]:
    return [found for words in way.instruments if (found := requirement(words)) is not None]


def kinds_for(checks: list[Check]) -> list[str]:
    """Return every kind of instrument that some way of some of the checks asks for, the most wanted first."""
    wanted: dict[str, set[str]] = {}
    for check in checks:
        for way in check.ways:
            for kind in {kind for one in requirements(way) for kit in one.alternatives for kind in kit}:
                wanted.setdefault(kind, set()).add(check.key)
    return sorted(set(wanted) - NOT_CARRIED, key=lambda kind: (-len(wanted[kind]), kind))


def lacking(way: Way, kit: Kit) -> list[str]:
    """Return what a way asks for and is not at hand, in its own words."""
    return [one.words for one in requirements(way) if not one.is_met(kit)]


def is_possible(check: Check, kit: Kit) -> bool:
    """Whether a check can be taken with what is at hand; an observation asks for eyes alone."""
    if check.kind is not Kind.MEASURED or not check.ways:
        return True
    return any(not lacking(way, kit) for way in check.ways)


def made_possible_by(checks: list[Check], kit: Kit) -> list[tuple[str, int]]:
    """Return which one kind more would make how many more checks possible, the best first."""
    missed = [check for check in checks if not is_possible(check, kit)]
    gains = [(kind, sum(is_possible(check, kit | {kind}) for check in missed)) for kind in kinds_for(missed)]
    return sorted(((kind, many) for kind, many in gains if many and kind not in kit), key=lambda one: (-one[1], one[0]))
