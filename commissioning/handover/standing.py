"""How a sheet stands: issued clean, with open items, not for drinking, or left isolated."""

from typing import Any

from commissioning.open_items import OpenItem
from commissioning.progress import HoldLine, Progress, design_words
from commissioning.water_now import DRINK, Result, bad_of, results_of
from sizing.holds import HOLDS, Standing
from sizing.parts import HandPump, Outlet

Plain = dict[str, Any]
ISOLATED = "Left isolated: do not use."
NOT_FOR_DRINKING = "Not for drinking until released."
NOTHING_OPEN = "Issued, nothing open."


def why_only_isolated(progress: Progress) -> list[str]:
    """Return what forbids any sheet but "left isolated: do not use", in words.

    That is a defect called unsafe, a hold that can only be settled (voltage, polarity) and stands, and a check that
    a change of the record has made stale: no sheet is issued over it.
    Water that is not released for drinking has words of its own on the sheet.
    """
    found = [f"Defect {d.number} is unsafe: {d.words}" for d in progress.defects if d.is_unsafe and not d.put_right_at]
    for one in progress.holds:
        if one.hold.only_settled and one.hold.key != DRINK and one.standing is Standing.STANDS:
            found.append(f"The hold “{one.hold.title}” stands: {one.hold.stays_off}. Still owed: {_owed_words(one)}.")
    found += [
        f"Check {line.owed.number} {line.check.title}, {line.owed.subject}, is {line.stale_words}."
        for line in progress.lines
        if line.is_stale and not line.is_good
    ]
    return found


def _owed_words(one: HoldLine) -> str:
    owed = [f"{line.owed.number} {line.check.title.lower()} ({line.owed.subject})" for line in one.still_owed]
    return ", ".join([*owed, *(f"design check: {design_words(result)}" for result in one.not_designed)])


def drinking_places(progress: Progress) -> list[str]:
    """Return where people may drink: outlets that are not marked otherwise, and hand pumps."""
    if progress.system is None:
        return []
    outlets = [o for o in progress.system.of(Outlet) if getattr(o.part, "drinking", None) != "other"]
    return [f"{node.tag} {node.name}".strip() for node in [*outlets, *progress.system.of(HandPump)]]


def other_places(progress: Progress) -> list[str]:
    """Return the outlets that are marked as not for drinking at all."""
    outlets = progress.system.of(Outlet) if progress.system else []
    return [f"{o.tag} {o.name}".strip() for o in outlets if getattr(o.part, "drinking", None) == "other"]


def is_released_for_drinking(progress: Progress, bad: list[Result]) -> bool:
    """Whether the water is proved; a site where nothing proves it is not released.

    `bad` are results that forbid drinking, of whatever visit to the site: no other one settles over them.
    """
    hold = progress.hold(DRINK)
    return hold is not None and hold.standing is Standing.SETTLED and not bad


def standing_of(progress: Progress, items: list[OpenItem], isolated: str) -> Plain:
    """Return the words printed large, and the lines below them. `isolated` says how it was left, if it was."""
    places, site_id = drinking_places(progress), progress.visit.site_id
    results = results_of([site_id]).get(site_id, [])
    bad = bad_of(results)
    is_dry = bool(places) and not is_released_for_drinking(progress, bad)
    words = []
    if isolated:
        words.append(ISOLATED)
    if items:
        words.append(f"Issued with open items ({len(items)}).")
    if is_dry and not isolated:
        words.append(NOT_FOR_DRINKING)
    lines = [isolated] if isolated else []
    lines += [_drink_line(progress, places, bad)] if is_dry else []
    others = other_places(progress)
    lines += [f"Not drinking water at all: {', '.join(others)}."] if others else []
    return {
        "words": " ".join(words) or NOTHING_OPEN, "lines": lines, "open_items": len(items),
        "is_isolated": bool(isolated), "not_for_drinking": is_dry, "is_for_drinking": bool(places),
        "laboratory": sorted(str(one.measurement.pk) for one in results),
    }  # fmt: skip


def _drink_line(progress: Progress, places: list[str], bad: list[Result]) -> str:
    hold = progress.hold(DRINK)
    is_owed = hold is not None and hold.standing is not Standing.SETTLED
    owed = f"Still owed: {_owed_words(hold)}." if hold and is_owed else ""
    found = f"Found by the laboratory: {'; '.join(one.words for one in bad)}." if bad else ""
    why = " ".join(words for words in (found, owed) if words) or f"{HOLDS[DRINK].why.capitalize()}."
    return f"Not released for drinking: {', '.join(places)}. {why}"
