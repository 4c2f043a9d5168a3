"""What the owner says on a service visit, and what that puts first: for pages, paper and the phone."""

from typing import Any

from commissioning.baseline import owed_in_baseline
from commissioning.models import OwnerSaid, Visit, VisitKind
from commissioning.progress import Progress
from commissioning.said_on import said_on
from sizing.causes.symptoms import SYMPTOMS, Symptom
from sizing.order import order_of_checks
from sizing.owed import Owed
from sizing.system import System

Asked = dict[str, dict[str, list[Any]]]


def symptoms_in(said: OwnerSaid | None) -> list[Symptom]:
    """Return the sayings that were chosen, in the order of the list."""
    chosen = set(said.symptoms) if said else set()
    return [one for key, one in SYMPTOMS.items() if key in chosen]


def words_of(said: OwnerSaid | None) -> str:
    """Return what the owner says in one sentence: the sayings, then the own words; empty where nobody asked."""
    if said is None:
        return ""
    return ". ".join(part.rstrip(".") for part in (*(one.words for one in symptoms_in(said)), said.words) if part)


def owner_words(visit: Visit) -> str:
    """Return what the owner said on a visit in one sentence."""
    return words_of(said_on(visit))


def cautions_of(said: OwnerSaid | None) -> list[str]:
    """Return what is minded before anything else, from the sayings."""
    return [one.caution for one in symptoms_in(said) if one.caution]


def asked_first(progress: Progress) -> Asked:
    """Return, by saying, which owed checks it puts first: id → reason, and whether it is only offered.

    Only what differs is named. Under the empty key stands how it is where nothing was said.
    """
    visit, system = progress.visit, progress.system
    if system is None or visit.kind != VisitKind.SERVICE:
        return {}
    in_baseline = owed_in_baseline(visit)
    usual = _by_id(system, in_baseline, [])
    told = {line.owed.id: line.owed for line in (*progress.lines, *progress.offered)}
    asked = {key: _differing(_by_id(system, in_baseline, [key]), usual) for key in SYMPTOMS}
    return {"": _differing(usual, told), **{key: found for key, found in asked.items() if found}}


def _by_id(system: System, in_baseline: set[str], symptoms: list[str]) -> dict[str, Owed]:
    return {one.id: one for one in order_of_checks(system, VisitKind.SERVICE, in_baseline, symptoms)}


def _differing(those: dict[str, Owed], others: dict[str, Owed]) -> dict[str, list[Any]]:
    return {
        key: [one.first, one.optional]
        for key, one in those.items()
        if key in others and (one.first, one.optional) != (others[key].first, others[key].optional)
    }
