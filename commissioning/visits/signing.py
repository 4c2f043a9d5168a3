"""What a person signs: every line of the visit with its value and verdict, as one text with one hash.

The page prints from the same content that is hashed, so that nothing is signed that was not shown.
"""

from dataclasses import dataclass
from typing import Any

from commissioning import files
from commissioning.canonical import canonical_json, digest
from commissioning.models import Signature, Visit
from commissioning.progress import HoldLine, Line, Progress, Status
from commissioning.visits.sections import findings_shown
from commissioning.visits.times import clock_and_day, day, zone_of
from sizing.holds import Standing

FORMAT = "shown-at-signing"


@dataclass(frozen=True)
class Shown:
    """The content that is signed, and its SHA-256."""

    content: dict[str, Any]
    hash: str


def shown_at_signing(progress: Progress) -> Shown:
    """Return what is shown to whoever signs a visit now."""
    visit, zone = progress.visit, zone_of(progress.visit.site)
    content = {
        "format": FORMAT,
        "visit": str(visit.pk),
        "site": visit.site.name,
        "place": visit.site.place,
        "kind": visit.get_kind_display(),
        "begun": f"{day(visit.started_at, zone)}, {visit.started_at.astimezone(zone):%H:%M}",
        "lines": [_line(line, progress) for line in progress.lines],
        "holds": [{"title": h.hold.title, "standing": _hold_words(h)} for h in progress.holds],
        "defects": [
            {"number": d.number, "words": d.words, "unsafe": d.is_unsafe, "put_right": d.put_right_words}
            for d in progress.defects
        ],
    }
    return Shown(content, digest(canonical_json(content)))


def keep_shown(shown: Shown) -> None:
    """Keep the content that somebody is about to sign, under its hash: the visit record prints it."""
    files.keep(canonical_json(shown.content).encode())


def _line(line: Line, progress: Progress) -> dict[str, Any]:
    """Return one line: number, check, subject, how it stands, and every value with its verdict."""
    taken, zone = line.measurement, zone_of(progress.visit.site)
    made: dict[str, Any] = {
        "number": line.owed.number,
        "check": line.check.title,
        "subject": line.subject_words,
        "standing": _standing(line),
        "values": [],
    }
    if taken is not None:
        local = taken.taken_at.astimezone(zone)
        made |= {"measurement": str(taken.pk), "at": f"{local:%Y-%m-%d %H:%M}", "by": str(taken.taken_by)}
        made["note"] = taken.note
        made["values"] = [
            {"repeat": f.repeat, "value": f.value, "spread": f.spread, "limits": f.limits, "verdict": f.verdict}
            for f in findings_shown(line)
        ]
    return made


def _hold_words(hold: HoldLine) -> str:
    """Return how a hold stands, in words that are the same tomorrow."""
    if hold.standing is Standing.STANDS:
        return f"stands: {hold.hold.stays_off}"
    if hold.standing is Standing.RELEASED and hold.release:
        return f"released by {hold.release.by}: {hold.release.reason}"
    return "settled"


def _standing(line: Line) -> str:
    if line.measurement is not None:
        return line.measurement.answer or line.verdict or "noted"
    if line.status is Status.BEHIND:
        return "owed, behind a hold"
    words = line.aside.reason if line.aside and line.status is not Status.OWED else ""
    return f"{line.status.value}: {words}" if words else line.status.value


@dataclass(frozen=True)
class SignatureShown:
    """A signature as a list prints it."""

    signature: Signature
    words: str
    is_of_this: bool
    """Whether what was signed is what the visit says now."""


def signatures_shown(visit: Visit, shown: Shown | None) -> list[SignatureShown]:
    """Return the signatures of a visit, oldest first."""
    zone = zone_of(visit.site)
    return [
        SignatureShown(
            one, f"{one.printed_name}, {one.role}, {clock_and_day(one.at, zone)}: {one.meaning}",
            shown is None or one.shown_hash == shown.hash,
        )
        for one in visit.signatures.all()
    ]  # fmt: skip
