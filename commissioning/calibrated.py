"""How an instrument stood on the day on which a reading was taken with it: overdue, found bad, or neither."""

from collections.abc import Iterable
from datetime import date, datetime, tzinfo

from commissioning.models import FoundBad, Instrument, Measurement
from commissioning.moments import day_words, zone_of


def due_on(instrument: Instrument, day: date) -> date | None:
    """Return until when the calibration in force on a day held; None where that is not known."""
    kept = [one for one in instrument.calibrations.all() if one.on <= day]
    if kept:
        return max(kept, key=lambda one: (one.on, one.at)).due
    if instrument.calibrated_on is not None and instrument.calibrated_on > day:
        return None  # the card speaks of a later one
    return instrument.calibration_due


def overdue_words(instrument: Instrument, day: date) -> str:
    """Return since when an instrument was overdue on a day; empty if it was not."""
    due = due_on(instrument, day)
    return f"calibration due {day_words(due)}, read {day_words(day)}" if due and due < day else ""


def bad_on(instrument: Instrument, moment: datetime, zone: tzinfo) -> FoundBad | None:
    """Return the finding that puts a reading in doubt: from its day on, until a calibration after it was found."""
    day = moment.astimezone(zone).date()
    for one in instrument.found_bad.all():
        found = one.at.astimezone(zone).date()
        mended = min((c.on for c in instrument.calibrations.all() if c.on >= found and c.at > one.at), default=None)
        if one.since <= day and (mended is None or day < mended):
            return one
    return None


def instruments_in(measurement: Measurement) -> list[Instrument]:
    """Return what a measurement was taken with, each once, by tag."""
    found = {r.instrument_id: r.instrument for r in measurement.readings.all() if r.instrument}
    return sorted(found.values(), key=lambda one: one.tag)


def found_bad_in(measurement: Measurement, zone: tzinfo) -> list[FoundBad]:
    """Return every finding that puts a reading of a measurement in doubt."""
    there = [bad_on(r.instrument, r.at, zone) for r in measurement.readings.all() if r.instrument]
    return list({one.pk: one for one in there if one is not None}.values())


def bad_words(found: Iterable[FoundBad]) -> str:
    """Return in words which instrument was found bad, from when on, and what was wrong."""
    return "; ".join(
        f"{one.instrument.tag} was found bad from {day_words(one.since)} on: {one.words.strip()}" for one in found
    )


def overdue_in(measurement: Measurement, zone: tzinfo) -> list[str]:
    """Return in words each instrument that was overdue when a measurement was taken."""
    day = measurement.taken_at.astimezone(zone).date()
    pairs = [(one, overdue_words(one, day)) for one in instruments_in(measurement)]
    return [f"{one.tag} was overdue: {words}." for one, words in pairs if words]


def instrument_remarks(measurement: Measurement) -> list[str]:
    """Return what stands beside a measurement because of what it was taken with."""
    zone = zone_of(measurement.visit.site)
    words = bad_words(found_bad_in(measurement, zone))
    return [*([f"{words}."] if words else []), *overdue_in(measurement, zone)]
