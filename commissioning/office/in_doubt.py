"""Readings that wait because of what they were taken with: an instrument found bad, or overdue and not compared since.

One found bad waits until it is taken again or conceded. One overdue waits until the instrument is calibrated: what the
calibration finds tells whether its readings stand. Either way the remark stays beside the reading.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from django.db.models import Exists, F, OuterRef, Q

from commissioning.calibrated import bad_on, overdue_words
from commissioning.models import Concession, FoundBad, Instrument, Measurement, Reading, Sheet, SheetState, Visit
from commissioning.moments import day_words, zone_of


@dataclass(frozen=True)
class Doubted:
    """The readings of one visit that one instrument leaves in doubt."""

    visit: Visit
    instrument: Instrument
    since: date
    why: str
    measurements: tuple[Measurement, ...]
    is_bad: bool
    """Found bad; else overdue."""


def doubted(sites: Iterable[UUID]) -> Iterator[Doubted]:
    """Yield what waits, in as many queries for one site as for many."""
    by_place: dict[tuple[Any, Any, str], list[tuple[Measurement, FoundBad | Reading]]] = {}
    conceded = _conceded(sites)
    for one in _taken_with_a_doubt(sites):
        for instrument, found in _doubts(one, conceded):
            words = _why(instrument, found, one)
            by_place.setdefault((one.visit_id, instrument.pk, words), []).append((one, found))
    for (_, _, words), pairs in by_place.items():
        yield _together(words, pairs)


def _taken_with_a_doubt(sites: Iterable[UUID]) -> Iterator[Measurement]:
    """Yield measurements that count, taken with what was found bad, or read after the day to which it was calibrated.

    A sheet issued over an overdue instrument says so: whoever issued it has seen it, and nothing waits.
    """
    mine = Reading.objects.filter(measurement=OuterRef("pk"))
    bad = Exists(mine.filter(instrument__found_bad__isnull=False))
    overdue = Exists(mine.filter(at__date__gt=F("instrument__calibration_due")))
    issued = Exists(Sheet.objects.filter(visit=OuterRef("visit"), state=SheetState.ISSUED))
    rows = Measurement.objects.current().on_standing().filter(Q(bad) | Q(overdue) & ~Q(issued), visit__site__in=sites)
    rows = rows.select_related("visit__site", "taken_by", "component", "run").annotate(is_issued=issued)
    yield from rows.prefetch_related("readings__instrument__calibrations", "readings__instrument__found_bad")


def _conceded(sites: Iterable[UUID]) -> dict[tuple[UUID, str, str], Concession]:
    """Return the latest concession in force of each owed check."""
    rows = Concession.objects.in_force().filter(visit__site__in=sites)
    return {(one.visit_id, one.check_key, one.subject): one for one in rows}


def _doubts(one: Measurement, conceded: dict[Any, Concession]) -> Iterator[tuple[Instrument, FoundBad | Reading]]:
    zone, concession = zone_of(one.visit.site), conceded.get((one.visit_id, one.check_key, tag_now(one)))
    seen = set()
    for reading in one.readings.all():
        instrument = reading.instrument
        if instrument is None or instrument.pk in seen:
            continue
        bad = bad_on(instrument, reading.at, zone)
        if bad is not None and (concession is None or concession.at < bad.at):
            yield instrument, bad
            seen.add(instrument.pk)
        elif bad is None and concession is None and _is_overdue(reading, one):
            yield instrument, reading
            seen.add(instrument.pk)


def _is_overdue(reading: Reading, one: Measurement) -> bool:
    """Whether an instrument was overdue when it was read, and not calibrated since: its card says the latest."""
    assert reading.instrument is not None
    due = reading.instrument.calibration_due
    day = reading.at.astimezone(zone_of(one.visit.site)).date()
    return due is not None and due < day and not one.is_issued  # type: ignore[attr-defined]  # annotated


def tag_now(one: Measurement) -> str:
    """Return the tag that the subject of a measurement bears today."""
    there = one.component or one.run
    return there.tag if there else one.subject


def _why(instrument: Instrument, found: FoundBad | Reading, one: Measurement) -> str:
    if isinstance(found, FoundBad):
        return f"{instrument.tag} was found bad from {day_words(found.since)} on: {found.words.strip()}"
    day = found.at.astimezone(zone_of(one.visit.site)).date()
    return f"{instrument.tag} was overdue: {overdue_words(instrument, day)}"


def _together(words: str, pairs: list[tuple[Measurement, FoundBad | Reading]]) -> Doubted:
    """Return one thing that waits for all readings of a visit with the same doubt."""
    first, found = pairs[0]
    zone = zone_of(first.visit.site)
    is_bad = isinstance(found, FoundBad)
    since = min(pair[1].at for pair in pairs).astimezone(zone).date()
    instrument = found.instrument
    assert instrument is not None
    return Doubted(first.visit, instrument, since, words, tuple(one for one, _ in pairs), is_bad)
