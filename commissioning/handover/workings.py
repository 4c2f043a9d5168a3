"""The workings of every judged value as printed, for the appendix."""

from dataclasses import asdict
from typing import Any

from commissioning import showing
from commissioning.progress import Line, Progress

Plain = dict[str, Any]


def workings_of(progress: Progress) -> list[Plain]:
    """Return the steps behind every value that was judged, in the order of checks."""
    return [working for line in progress.lines if line.measurement for working in _of_line(line, progress)]


def _of_line(line: Line, progress: Progress) -> list[Plain]:
    assert line.measurement is not None
    readings = list(line.measurement.readings.all())
    shown = showing.show(line.judgement, progress.visit.site.unit_system, readings)
    return [_working(line, one) for one in shown if one.steps]


def _working(line: Line, one: showing.FindingShown) -> Plain:
    which = (one.repeat, one.label if len(line.check.judged) > 1 else "")
    return {
        "number": line.owed.number,
        "title": f"{line.check.title}, {line.subject_words}",
        "owed": line.owed.id,
        "which": ", ".join(part for part in which if part),
        "value": one.value,
        "expected": one.expected,
        "limits": one.limits,
        "terms": [{"name": t.name, "u": t.u} for t in one.terms],
        "together": one.together,
        "steps": [_plain(step) for step in one.steps],
    }


def _plain(step: showing.StepShown) -> Plain:
    plain = asdict(step)
    return {**plain, "equation": list(step.equation), "arguments": [dict(a) for a in plain["arguments"]]}
