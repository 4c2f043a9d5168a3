"""With the instruments I have: which owed checks can be taken, and what the others lack."""

from dataclasses import dataclass
from datetime import tzinfo

from django.utils import timezone

from commissioning.models import Instrument, User
from commissioning.progress import Line, Progress, Status
from commissioning.visits.sections import LineShown, is_by_itself, shown, where
from sizing.checks.declare import Way
from sizing.instruments import Kit, is_possible, kind_of, kinds_for, lacking, made_possible_by

MOST_GAINS = 5


@dataclass(frozen=True)
class KindShown:
    """One kind of instrument to tick, with those of the office that are of it."""

    word: str
    is_here: bool
    of_office: list[str]


@dataclass(frozen=True)
class Lacking:
    """A check that cannot be taken with what is at hand: what each of its ways lacks."""

    line: LineShown
    ways: list[str]


def kit_of(user: User) -> Kit:
    """Return the kinds of instrument that a person last said they have along."""
    return frozenset(user.kit.splitlines())


def keep_kit(user: User, kinds: list[str]) -> None:
    """Remember what a person has along. It is a help for the eye, and no evidence."""
    user.kit = "\n".join(sorted(set(kinds)))
    user.save(update_fields=["kit"])


def kit_context(progress: Progress, user: User, zone: tzinfo) -> dict[str, object]:
    """Return what the page of the instruments prints."""
    lines = [one for one in progress.lines if _is_to_take(one)]
    kit, checks = kit_of(user), [one.check for one in lines]
    possible = [one for one in lines if is_possible(one.check, kit)]
    rest = [one for one in lines if one not in possible]
    return {
        "kinds": _kinds(kinds_for(checks), kit, progress, zone),
        "is_known": bool(kit),
        "possible": [shown(progress.visit, one, _words(one, kit), zone) for one in possible],
        "lacking": [Lacking(shown(progress.visit, one, where(one), zone), _ways(one, kit)) for one in rest],
        "gains": [_gain(kind, many) for kind, many in made_possible_by(checks, kit)[:MOST_GAINS]],
    }


def _is_to_take(line: Line) -> bool:
    """Whether somebody on site has still to take a check, now or behind a hold."""
    waits = line.status in (Status.OWED, Status.BEHIND, Status.PARKED)
    return waits and not line.check.from_laboratory and not is_by_itself(line)


def _kinds(words: list[str], kit: Kit, progress: Progress, zone: tzinfo) -> list[KindShown]:
    there = list(Instrument.objects.filter(retired_at=None))
    also = sorted(kit - set(words))
    return [
        KindShown(word, word in kit, [_calibrated(i, zone) for i in there if is_of(i.name, word)])
        for word in [*words, *also]
    ]


def is_of(name: str, kind: str) -> bool:
    """Whether an instrument of the office is of a kind, by its name."""
    named = name.partition(",")[0].strip()
    return kind_of(named) == kind or named.casefold().endswith(f" {kind.casefold()}")


def _calibrated(one: Instrument, zone: tzinfo) -> str:
    if one.calibration_due is None:
        return f"{one.tag}: no calibration recorded"
    due = one.calibration_due
    is_over = due < timezone.now().astimezone(zone).date()
    return f"{one.tag}: calibration {'ran out' if is_over else 'good until'} {due.day} {due:%B %Y}"


def _words(line: Line, kit: Kit) -> str:
    """Return where a check is taken, and by which way where not all of them are at hand."""
    ways = [way for way in line.check.ways if not lacking(way, kit)]
    by = f" · by {_way(ways[0])}" if ways and len(line.check.ways) > len(ways) else ""
    behind = " · after a hold" if line.status is Status.BEHIND else ""
    return f"{where(line)}{by}{behind}"


def _ways(line: Line, kit: Kit) -> list[str]:
    several = len(line.check.ways) > 1
    return [
        f"{_way(way)}: lacks {_listed(lacking(way, kit))}" if several else f"lacks {_listed(lacking(way, kit))}"
        for way in line.check.ways
    ]


def _way(way: Way) -> str:
    return f"{way.label[:1].lower()}{way.label[1:]}"


def _listed(words: list[str]) -> str:
    return "; ".join(words)


def _gain(kind: str, many: int) -> str:
    return f"{kind}: {many} more {'check' if many == 1 else 'checks'}"
