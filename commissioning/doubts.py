"""Readings of a visit that do not fit each other, ready to print, each with links to where it is read again."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from commissioning import units
from commissioning.calibrated import instrument_remarks
from commissioning.models import Judgement, Measurement, Reading, Visit
from commissioning.moments import moment_words, zone_of
from commissioning.phone_said import backwards, clock_words
from commissioning.progress import Line, Progress, progress_of
from commissioning.units.figures import typed_figure
from sizing.checks.declare import Check
from sizing.cross_checks import Found, Measured, Other, doubts_about
from sizing.quantities import Quantity

# Units on offer that nobody reads by mistake for another at a wellhead.
RARE = frozenset({"m3/d", "gal/d", "kgf/cm2", "ft_water", "hPa", "inHg", "hp", "mm", "in", "mV", "mA", "h"})
ALIKE = 1e-9  # two units of one size are no slip
IMPERIAL_GALLON_A_MINUTE = 4.54609e-3 / 60  # m³/s; a pump sheet may print it, no form offers it
NOT_BY_FACTOR = frozenset({Quantity.TEMPERATURE, Quantity.COUNT, Quantity.RATIO})


@dataclass(frozen=True)
class Involved:
    """One owed check whose readings are in doubt: its number and name, what was read there, and where."""

    number: int
    title: str
    read: str
    url: str


@dataclass(frozen=True)
class DoubtShown:
    """One doubt: what should hold, what was found instead, the likely slip, and the readings."""

    words: str
    found: str
    slip: str
    involved: tuple[Involved, ...]
    owed: tuple[str, ...]


def doubts_of(visit: Visit) -> list[DoubtShown]:
    """Return the doubts about the readings of a visit."""
    return doubts_in(progress_of(visit))


def doubts_in(progress: Progress) -> list[DoubtShown]:
    """Return the same from a visit that has been read already; asks no query of its own."""
    if progress.system is None:
        return []
    found = [_shown(one, progress) for one in doubts_about(progress.system, measured_on(progress))]
    return [*found, *_of_clocks(progress), *_of_instruments(progress)]


# times that a phone's clock leaves in doubt


def _of_clocks(progress: Progress) -> list[DoubtShown]:
    """Return one doubt for each thing that is wrong with a clock, with the readings kept by it."""
    by_words: dict[str, list[Line]] = {}
    by_event = {line.measurement.event_id: line for line in progress.lines if line.measurement}
    events = [line.measurement.event for line in progress.lines if line.measurement]
    for event in events:
        for words in clock_words(event):
            by_words.setdefault(words, []).append(by_event[event.pk])
    for event in backwards(events):
        by_words.setdefault("It stood earlier than at the reading before.", []).append(by_event[event.pk])
    return [_of_clock(words, lines, progress) for words, lines in by_words.items()]


def _of_clock(words: str, lines: list[Line], progress: Progress) -> DoubtShown:
    involved = tuple(_at(progress, line) for line in lines)
    return DoubtShown("Time and clock", words.rstrip("."), "", involved, tuple(line.owed.id for line in lines))


# what readings were taken with


def _of_instruments(progress: Progress) -> list[DoubtShown]:
    """Return one doubt for each instrument that was found bad or overdue, with what was read with it."""
    by_words: dict[str, list[Line]] = {}
    for line in progress.lines:
        for words in instrument_remarks(line.measurement) if line.measurement else []:
            by_words.setdefault(words, []).append(line)
    return [_of_instrument(words, lines, progress) for words, lines in by_words.items()]


def _of_instrument(words: str, lines: list[Line], progress: Progress) -> DoubtShown:
    involved = tuple(_at(progress, line) for line in lines)
    return DoubtShown("Instrument", words.rstrip("."), "", involved, tuple(line.owed.id for line in lines))


def _at(progress: Progress, line: Line) -> Involved:
    title = f"{line.check.title}, {line.owed.subject}"
    zone = zone_of(progress.visit.site)
    read = moment_words(line.measurement.taken_at, zone) if line.measurement else ""
    return Involved(line.owed.number, title, read, reverse("measurement", args=[progress.visit.pk, line.owed.id]))


# rows to what the core sees


def measured_on(progress: Progress) -> Iterator[Measured]:
    """Yield every reading and every judged value that counts; of conditions also those taken earlier."""
    for line in progress.lines:
        rows = [*(line.earlier if line.check.is_condition else []), *([line.measurement] if line.measurement else [])]
        for row in rows:
            yield from _readings(line, row)
            yield from _findings(line, row, row.judgement())


def _readings(line: Line, row: Measurement) -> Iterator[Measured]:
    for one in row.readings.all():
        declared = line.check.input(one.input)
        if declared is None or declared.options or one.bound:
            continue  # a word or a bound is no value to reckon with
        yield Measured(
            line.owed.check, line.owed.subject, one.input, one.value, declared.quantity, one.label, one.u,
            one.at.timestamp(), label=declared.label, unit=units.unit(one.unit, declared.quantity).symbol,
            others=other_units(declared.quantity, one.unit), usual=declared.soft or declared.hard,
        )  # fmt: skip


def _findings(line: Line, row: Measurement, judgement: Judgement | None) -> Iterator[Measured]:
    for one in judgement.findings if judgement else []:
        if one["value"] is None or one["bound"]:
            continue
        quantity = Quantity(one["quantity"])
        code = _typed_in(row, line.check, one["name"], quantity)
        yield Measured(
            line.owed.check, line.owed.subject, one["name"], one["value"], quantity, one["repeat"],
            (one["spread"] or 0.0) / 2, row.taken_at.timestamp(), is_reading=False, label=one["label"],
            unit=units.unit(code, quantity).symbol if code else "", others=other_units(quantity, code) if code else (),
            nominal=(one["expected"] or {}).get("nominal"), usual=_usual(line.check, one["name"]),
        )  # fmt: skip


def _usual(check: Check, name: str) -> tuple[float, float] | None:
    declared = check.input(name)
    return (declared.soft or declared.hard) if declared else None


def _typed_in(row: Measurement, check: Check, name: str, quantity: Quantity) -> str:
    """Return the unit of the readings behind a value: those of its name, else those of its quantity."""
    same = [r for r in row.readings.all() if _quantity(check, r) is quantity]
    best = next((r for r in same if r.input == name), same[0] if same else None)
    return best.unit if best else ""


def _quantity(check: Check, reading: Reading) -> Quantity | None:
    declared = check.input(reading.input)
    return declared.quantity if declared and not declared.options else None


def other_units(quantity: Quantity, code: str) -> tuple[Other, ...]:
    """Return the units in which a number typed under `code` may have been read, and the factor between them."""
    if quantity in NOT_BY_FACTOR:
        return ()
    size = units.linear(code, quantity)[0]
    sizes = {one.symbol: (units.linear(one.code, quantity)[0], one.code in RARE) for one in units.offered(quantity)}
    if quantity is Quantity.FLOW:
        sizes["gal/min (imp.)"] = (IMPERIAL_GALLON_A_MINUTE, True)
    return tuple(
        Other(symbol, other / size, is_rare)
        for symbol, (other, is_rare) in sizes.items()
        if abs(other / size - 1) > ALIKE
    )


# what the core found, to words


def _shown(one: Found, progress: Progress) -> DoubtShown:
    doubt, system = one.doubt, progress.visit.site.unit_system
    code = units.default_unit(doubt.quantity, system).code
    found = units.figure(doubt.found, doubt.quantity, code, u=doubt.spread or None)
    rows = f", in {', '.join(one.repeats)}" if one.repeats else ""
    return DoubtShown(
        doubt.words,
        f"here {_found_words(doubt.quantity)} {found}{rows}",
        doubt.slip,
        tuple(_involved(progress, owed, doubt.involved) for owed in doubt.readings),
        doubt.readings,
    )


def _found_words(quantity: Quantity) -> str:
    return "it is" if quantity is Quantity.RATIO else "the difference is"


def _involved(progress: Progress, owed: str, measured: tuple[Measured, ...]) -> Involved:
    line = progress.line(owed)
    assert line is not None  # what was measured came from a line
    names = {m.name for m in measured if m.owed == owed}
    title = f"{line.check.title}, {line.owed.subject}"
    return Involved(line.owed.number, title, _read(line, names), reverse("measurement", args=[progress.visit.pk, owed]))


def _read(line: Line, names: set[str]) -> str:
    """Return the readings behind a doubt as they were typed; all of a check where a reduced value is in doubt."""
    rows: list[Any] = list(line.measurement.readings.all()) if line.measurement else []
    mine = [r for r in rows if r.input in names] or rows
    found: dict[str, list[str]] = {}
    for one in mine:
        declared = line.check.input(one.input)
        if declared is not None and not declared.options:
            found.setdefault(declared.label.lower(), []).append(typed_figure(one.typed, declared.quantity, one.unit))
    return "; ".join(f"{label} {', '.join(typed)}" for label, typed in found.items())
