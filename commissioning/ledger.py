"""Every owed check of a visit as lines ready to print, alike on the acceptance page and on the sheet.

A line is plain: dicts, lists, texts and whole numbers, so that the very same content can be frozen.
"""

from collections.abc import Iterable
from datetime import tzinfo
from typing import Any
from uuid import UUID

from commissioning import showing, units
from commissioning.calibrated import instrument_remarks
from commissioning.chain import instant
from commissioning.models import Event, Instrument, Judgement, Measurement, Reading
from commissioning.moments import moment_words, zone_of
from commissioning.phone_said import clock_words, shown_words
from commissioning.plots import interval
from commissioning.progress import Line, Progress, Status
from commissioning.units.figures import typed_figure
from sizing.checks.declare import Check, Kind
from sizing.quantities import Quantity

Plain = dict[str, Any]
AND = "; "
COMPUTED = "Computed from the checks named"


def lines_of(progress: Progress) -> list[Plain]:
    """Return every owed check with its values; two queries, whatever the length of the list."""
    taken = [line.measurement for line in progress.lines if line.measurement]
    tags = instruments_of(taken)
    hashes = dict(Event.objects.filter(pk__in=[one.event_id for one in taken]).values_list("pk", "hash"))
    site = progress.visit.site
    return [_line(line, site.unit_system, zone_of(site), tags, hashes) for line in progress.lines]


def instruments_of(taken: Iterable[Measurement]) -> dict[UUID, Instrument]:
    """Return the instruments with which measurements were taken, by id."""
    wanted = {r.instrument_id for one in taken for r in one.readings.all() if r.instrument_id}
    return Instrument.objects.in_bulk(list(wanted))


def grouped(lines: Iterable[Plain]) -> list[Plain]:
    """Return the lines by part of the system, parts in the order in which they are first met."""
    groups: dict[str, list[Plain]] = {}
    for line in lines:
        groups.setdefault(line["group"], []).append(line)
    return [{"title": title, "lines": members} for title, members in groups.items()]


def _line(line: Line, system: str, zone: tzinfo, tags: dict[UUID, Instrument], hashes: dict[UUID, str]) -> Plain:
    check, owed = line.check, line.owed
    content: Plain = {
        "owed": owed.id,
        "number": owed.number,
        "check": check.key,
        "title": check.title,
        "group": check.group,
        "subject": owed.subject,
        "subject_words": line.subject_words,
        "status": line.status.value,
        "verdict": line.verdict,
        "aside": _aside(line),
        "conceded_by": line.concession.by.get_full_name() if line.concession else "",
        "defects": [{"number": d.number, "is_right": d.put_right_at is not None} for d in line.defects],
        "measurement": "",
        "who": "",
        "when": "",
        "at": "",
        "event": "",
        "note": "",
        "remarks": [],
        "tags": [],
        "photos": [],
        "readings": [],
        "conditions": [],
    }
    if line.measurement is not None:
        content |= _taken(line.measurement, line.judgement, check, system, zone, tags, hashes)
    return {**content, "rows": _rows(line, system)}


def _aside(line: Line) -> Plain | None:
    """Return why a check is not taken, and who says so; a later measurement makes that past."""
    aside = line.aside
    if aside is None or line.status not in (Status.PARKED, Status.NOT_TAKEN, Status.NOT_APPLICABLE, Status.AS_BEFORE):
        return None
    return {"how": aside.get_how_display(), "reason": aside.reason, "by": aside.by.get_full_name()}


def _taken(
    one: Measurement,
    judgement: Judgement | None,
    check: Check,
    system: str,
    zone: tzinfo,
    tags: dict[UUID, Instrument],
    hashes: dict[UUID, str],
) -> Plain:
    readings = list(one.readings.all())
    used = {tags[r.instrument_id].tag for r in readings if r.instrument_id in tags}
    return {
        "measurement": str(one.pk),
        "who": COMPUTED if check.kind is Kind.DERIVED else one.taken_by.get_full_name(),
        "when": "" if check.kind is Kind.DERIVED else moment_words(one.taken_at, zone),
        "at": instant(one.taken_at),
        "event": hashes.get(one.event_id, ""),
        "note": one.note,
        "remarks": remarks_on(one, judgement),
        "tags": sorted(used),
        "photos": [photo.sha256 for photo in one.photos.all()],
        "readings": [_reading(r, tags) for r in readings],
        "conditions": conditions_words(judgement, check, system),
    }


def remarks_on(one: Measurement, judgement: Judgement | None) -> list[str]:
    """Return what the phone said otherwise, and what its clock and its instrument leave in doubt."""
    said = shown_words(one.event, judgement)
    return [*([said] if said else []), *clock_words(one.event), *instrument_remarks(one)]


def _reading(one: Reading, tags: dict[UUID, Instrument]) -> Plain:
    instrument = tags.get(one.instrument_id) if one.instrument_id else None
    return {
        "id": str(one.pk),
        "input": one.input,
        "repeat": one.label,
        "typed": one.typed,
        "unit": one.unit,
        "instrument": instrument.tag if instrument else "",
    }


def conditions_words(judgement: Judgement | None, check: Check, system: str) -> list[Plain]:
    """Return what a judgement rested on: each condition in words, with its value or why there is none."""
    found = []
    for name, one in (judgement.conditions if judgement else {}).items():
        key, _, repeat = name.partition("/")
        need = next((n for n in check.needs if n.name == key), None)
        if need is None:
            continue
        words = f"{_uncapitalised(need.label)} {repeat}".strip()
        found.append({"words": words, "value": _condition(one, need.quantity, system)})
    return found


def _condition(one: Plain, quantity: Quantity, system: str) -> str:
    if "missing" in one:
        return str(one["missing"])
    code = units.default_unit(quantity, system).code
    return units.figure(one["value"], quantity, code, u=2 * one["u"] or None)


def _uncapitalised(label: str) -> str:
    """Return a label inside a sentence: a short form such as NOCT keeps its capitals."""
    return label[:1].lower() + label[1:] if label[1:2].islower() else label


def _rows(line: Line, system: str) -> list[Plain]:
    """Return one row for each judged value, or one that says in words how the check stands."""
    readings = list(line.measurement.readings.all()) if line.measurement else []
    findings = line.judgement.findings if line.judgement else []
    shown = showing.show(line.judgement, system, readings)
    if not shown:
        return [_row_in_words(line)]
    rows = [_row(line, f, one, readings, system) for f, one in zip(findings, shown, strict=True)]
    is_labelled = len({row["label"] for row in rows}) > 1
    return [{**row, "which": which_words(row["repeat"], row["label"] if is_labelled else "")} for row in rows]


def which_words(repeat: str, label: str) -> str:
    """Return which of several values of a check a row is: the repeat, the name, or both."""
    return ", ".join(part for part in (repeat, label) if part)


def _row_in_words(line: Line) -> Plain:
    words = line.measurement.answer if line.measurement else line.status.value
    if line.measurement is None and line.check.from_laboratory and line.status is Status.OWED:
        words = "waits for the laboratory"
    if line.is_stale:
        words = line.stale_words
    return {
        "name": "", "label": "", "repeat": "", "which": "", "value": "", "spread": "", "limits": "", "basis": "",
        "expected": "", "verdict": "", "words": words, "is_bad": line.verdict == "outside", "reason": "",
        "typed": "", "picture": None,
    }  # fmt: skip


def _row(line: Line, f: Plain, one: showing.FindingShown, readings: list[Reading], system: str) -> Plain:
    has_limits = bool(one.limits) and one.limits != showing.EM_DASH
    return {
        "name": one.name,
        "label": one.label,
        "repeat": one.repeat,
        "value": one.value,
        "spread": "bound" if f["bound"] else one.spread,
        "limits": one.limits if has_limits else "",
        "basis": one.basis,
        "expected": one.expected if one.expected != showing.EM_DASH else "",
        "verdict": one.verdict,
        "words": "noted" if not one.verdict else "",
        "is_bad": one.verdict == "outside",
        "reason": one.reason,
        "typed": typed_words(line.check, readings, one.repeat),
        "picture": picture_numbers(f, one, readings, system),
    }


def typed_words(check: Check, readings: list[Reading], repeat: str) -> str:
    """Return the readings behind a row as typed: "58.2, 58.3 ft"; several inputs by name."""
    mine = [r for r in readings if repeat in ("", r.label) or r.label == ""]
    names = list(dict.fromkeys(r.input for r in mine))
    parts = []
    for name in names:
        declared = check.input(name)
        of_name = [r for r in mine if r.input == name]
        words = _typed_of_input(of_name, declared.quantity if declared else Quantity.COUNT)
        parts.append(f"{_uncapitalised(declared.label)} {words}" if declared and len(names) > 1 else words)
    return AND.join(parts)


def _typed_of_input(readings: list[Reading], quantity: Quantity) -> str:
    """Return the readings of one input, the unit once where it is the same for all."""
    if len({r.unit for r in readings}) > 1 or not readings[-1].unit:
        return ", ".join(typed_figure(r.typed, quantity, r.unit) if r.unit else r.typed for r in readings)
    before = [r.typed for r in readings[:-1]]
    return ", ".join([*before, typed_figure(readings[-1].typed, quantity, readings[-1].unit)])


def picture_numbers(f: Plain, one: showing.FindingShown, readings: list[Reading], system: str) -> Plain | None:
    """Return the numbers of an interval picture as texts, in the unit shown; None where there is no value."""
    if f["value"] is None:
        return None
    quantity = Quantity(f["quantity"])
    same = [r for r in readings if r.input == f["name"]]
    reading = next((r for r in same if r.label == f["repeat"]), same[0] if same else None)
    code = showing.unit_for(quantity, system, reading)
    expected = f["expected"] or {}
    spread = units.scale(f["spread"], code, quantity) if f["spread"] and not f["bound"] else 0.0
    shown = {name: _shown(value, code, quantity) for name, value in (
        ("reading", f["value"]), ("lower", expected.get("lower")), ("upper", expected.get("upper")),
        ("expected", expected.get("nominal")),
    )}  # fmt: skip
    number = one.number.replace("\u00a0", " ").lstrip("<> ")
    return {
        "unit": units.unit(code, quantity).symbol, "verdict": f["verdict"] or "within", "spread": repr(spread),
        "bound": f["bound"], "typed": number, "places": len(number.partition(".")[2]), **shown,
    }  # fmt: skip


def _shown(value: float | None, code: str, quantity: Quantity) -> str | None:
    return None if value is None else repr(units.from_core(value, code, quantity))


def drawn_interval(picture: Plain | None, *, small: bool = True) -> str:
    """Return the interval picture of such numbers; empty where there is nothing to draw."""
    if picture is None:
        return ""
    reading, lower, upper, expected = (
        float(picture[name]) if picture[name] is not None else None
        for name in ("reading", "lower", "upper", "expected")
    )
    return interval(
        unit=picture["unit"], verdict=picture["verdict"], reading=reading, spread=float(picture["spread"]),
        lower=lower, upper=upper, expected=expected, places=picture["places"], bound=picture["bound"],
        typed=picture["typed"], small=small,
    )  # fmt: skip
