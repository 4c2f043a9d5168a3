"""Sentences of the sheet that are put together from a frozen record alone."""

from collections import Counter
from typing import Any

from commissioning.handover.duty import GRAVITY

Plain = dict[str, Any]
NOT_MEASURED = "not measured"
NO_DUTY = "No duty is recorded for any outlet."
NOT_ANY = ("not met", NOT_MEASURED)
BY_GRAVITY = (*GRAVITY, NOT_MEASURED)


def duty_bar(duty: list[Plain]) -> str:
    """Return in one sentence whether the duty is met: what matters most first."""
    if not duty:
        return NO_DUTY
    found = [(met, [one["tag"] for one in duty if one["met"] == met]) for met in reversed(BY_GRAVITY)]
    said = [(met, tags) for met, tags in found if tags]
    if len(said) == 1:
        where = ("at any outlet" if said[0][0] in NOT_ANY else "at every outlet") if len(duty) > 1 else "at the outlet"
        return f"Duty {said[0][0]} {where}: {', '.join(said[0][1])}."
    said.sort(key=lambda pair: ("not met", NOT_MEASURED, "borderline", "unjudged", "met").index(pair[0]))
    return "Duty " + "; ".join(f"{met} at {', '.join(tags)}" for met, tags in said) + "."


def parts_words(as_built: Plain) -> str:
    """Return how many parts of which kind the system has: "solar array, storage tank, 2 outlets"."""
    counted = Counter(one["kind"] for one in as_built["components"])
    parts = [f"{many} × {kind.lower()}" if many > 1 else kind.lower() for kind, many in counted.items()]
    return f"{', '.join(parts)}; {len(as_built['runs'])} runs of pipe and cable" if parts else ""


def replaced_lines(frozen: Plain) -> list[Plain]:
    """Return each replaced measurement by the check it belongs to, with the reason."""
    lines = {line["owed"]: line for group in frozen["results"] for line in group["lines"]}
    return [{"what": check_name(lines, one["owed"]), **one} for one in frozen["exceptions"]["replaced"]]


def chosen_lines(frozen: Plain) -> list[Plain]:
    """Return each choice between two values of one check."""
    lines = {line["owed"]: line for group in frozen["results"] for line in group["lines"]}
    return [{**one, "check": check_name(lines, one["owed"])} for one in frozen["exceptions"].get("chosen", [])]


def check_name(lines: dict[str, Plain], owed: str) -> str:
    """Return a check as the results name it; one that is not there any more by its key."""
    line = lines.get(owed)
    return f"{line['number']} {line['title']}, {line['subject_words']}" if line else owed
