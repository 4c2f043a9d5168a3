"""A figure of a nameplate that is changed after something was measured with it: typed wrongly, or changed on site?"""

import copy
from dataclasses import dataclass
from typing import Any

from commissioning import snapshot
from commissioning.corrections import typed_before
from commissioning.models import Component, Measurement, Run, Site
from commissioning.nameplates import NameplateError
from commissioning.stale import tag_now
from sizing.checks.catalogue import CHECKS
from sizing.errors import SystemShapeError
from sizing.staleness import stale_checks

CORRECTED, CHANGED = "corrected", "changed"
MOST_SAID = 6


@dataclass(frozen=True)
class Question:
    """What was measured and hangs on the figures that are being changed."""

    measured: list[str]
    more: int


def question_about(site: Site, there: Component | Run | None, plate: dict[str, Any]) -> Question | None:
    """Return what would be owed again if a nameplate's change were one of the thing itself; None where nothing is."""
    if there is None or there.nameplate == plate:
        return None
    would = _owed_again(site, str(there.pk), plate)
    if not would:
        return None
    rows = Measurement.objects.current().on_standing().filter(visit__site=site, check_key__in={key for key, _ in would})
    there_now = {(row.check_key, tag_now(row)) for row in rows.select_related("component", "run")}
    words = sorted(f"{CHECKS[key].title}, {tag}" for key, tag in would & there_now)
    return Question(words[:MOST_SAID], len(words[MOST_SAID:])) if words else None


def _owed_again(site: Site, id: str, plate: dict[str, Any]) -> set[tuple[str, str]]:
    before = snapshot.document_of(site)
    after = copy.deepcopy(before)
    for one in (*after["components"], *after["runs"]):
        if one["id"] == id:
            one["nameplate"] = plate
    try:
        stale = stale_checks(snapshot.system_of(before), snapshot.system_of(after))
    except (SystemShapeError, NameplateError):
        return set()  # one of the two has no sound shape: nothing can be said, and the page says so itself
    return {(one.check, one.subject) for one in stale}


def what_stood(there: Component | Run | None, plate: dict[str, Any], how: str) -> dict[str, Any]:
    """Return the figures that had been typed wrongly, where the change says that it puts them right."""
    return typed_before(there.nameplate, plate, plate) if there is not None and how == CORRECTED else {}
