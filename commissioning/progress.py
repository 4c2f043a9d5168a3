"""How far a visit has come: every owed check with what was taken, every hold, and what still blocks a sheet."""

from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from commissioning import files, snapshot
from commissioning.asked import open_one, questions_of
from commissioning.baseline import owed_in_baseline
from commissioning.calibrated import bad_words, found_bad_in
from commissioning.models import (
    Component,
    Concession,
    Defect,
    HoldRelease,
    Judgement,
    Measurement,
    Photo,
    Question,
    Run,
    SetAside,
    SettingAside,
    Visit,
)
from commissioning.moments import zone_of
from commissioning.rivals import rivals_of
from commissioning.said_on import symptoms_on
from commissioning.stale import stale_reasons
from sizing.checks.declare import Answer, Check
from sizing.design.declare import Met
from sizing.design.judge import Result, design_check
from sizing.errors import SystemShapeError
from sizing.holds import HOLDS, Hold, Standing, is_met_with, required_by, standing
from sizing.judgement import rows_owed
from sizing.order import order_of_checks
from sizing.owed import Owed
from sizing.system import SITE, System

AGAIN = "owed again"
ON_HOLDS = frozenset(key for hold in HOLDS.values() for key in hold.requires)
"""Checks on which a hold rests: it wants their number, or an answer given by hand."""


class Status(StrEnum):
    """Where one owed check stands."""

    OWED = "owed"
    BEHIND = "behind a hold"
    PARKED = "parked"
    TAKEN = "taken"
    NOT_TAKEN = "cannot be taken"
    AS_BEFORE = "read, as before"
    NOT_APPLICABLE = "does not apply here"


@dataclass
class Line:
    """One owed check of a visit and all that is known of it."""

    owed: Owed
    subject_words: str
    status: Status = Status.OWED
    measurement: Measurement | None = None
    judgement: Judgement | None = None
    earlier: list[Measurement] = field(default_factory=list)
    aside: SettingAside | None = None
    concession: Concession | None = None
    defects: list[Defect] = field(default_factory=list)
    rivals: list[Measurement] = field(default_factory=list)
    """Other values of the same check, from other phones, beside the one that is shown: a person chooses."""
    questions: list[Question] = field(default_factory=list)
    """What the office asked about this check, oldest first; an open one blocks nothing by itself."""
    stale: str = ""
    """Why it is owed again although it was measured: what changed in the record since."""

    in_doubt: str = ""
    """Which instrument was found bad, where a reading was taken with it and nobody has conceded that since."""

    @property
    def check(self) -> Check:
        return self.owed.declared

    @property
    def verdict(self) -> str:
        return self.judgement.verdict if self.judgement else ""

    @property
    def is_good(self) -> bool:
        """Whether nothing more is owed here: within, conceded, not applicable, or a condition noted.

        What is only offered is never owed; once it is taken, a bad result counts as any other does.
        """
        if self.in_doubt:
            return False
        if self.status is Status.NOT_APPLICABLE or self.concession is not None:
            return True
        if self.measurement is None:
            return self.owed.optional
        if self.owed.optional and self.verdict == "unjudged":
            return True
        return self.verdict == "within" or self.check.is_condition

    @property
    def open_question(self) -> Question | None:
        """The question that waits for an answer, if there is one."""
        return open_one(self.questions)

    @property
    def is_stale(self) -> bool:
        """Whether it was measured, and the record has changed since so that this no longer counts."""
        return bool(self.stale) and self.measurement is None

    @property
    def stale_words(self) -> str:
        return f"{AGAIN}: {self.stale}"

    @property
    def is_open(self) -> bool:
        """Whether a technician still has something to take."""
        return self.status in (Status.OWED, Status.BEHIND, Status.PARKED)


@dataclass
class HoldLine:
    """One hold on a visit: how it stands, what settles it, who released it."""

    hold: Hold
    standing: Standing
    required: list[Line]
    release: HoldRelease | None = None
    design: list[Result] = field(default_factory=list)
    """What the design check says of the rules that it requires."""

    @property
    def not_designed(self) -> list[Result]:
        """What the design check does not find met; that keeps the hold standing."""
        return [one for one in self.design if one.met is not Met.MET]

    @property
    def still_owed(self) -> list[Line]:
        return [line for line in self.required if not line.is_good]


@dataclass(frozen=True)
class Block:
    """One thing that keeps a sheet from being issued clean."""

    words: str
    line: Line | None = None
    defect: Defect | None = None
    hold: HoldLine | None = None
    photos: tuple[Photo, ...] = ()


@dataclass
class Progress:
    """The whole of a visit."""

    visit: Visit
    system: System | None
    problem: str
    lines: list[Line]
    holds: list[HoldLine]
    defects: list[Defect]
    offered: list[Line] = field(default_factory=list)
    """What could also be taken and has not been: no part of what is owed, counted or printed."""
    awaited: list[Photo] = field(default_factory=list)
    """Photos whose files have not arrived, and of which nobody has said that they never will."""
    questions: list[Question] = field(default_factory=list)
    """Every question of the visit, also on what is no longer owed."""

    def line(self, owed_id: str) -> Line | None:
        """Return the line of a check of this visit by its id, such as `static_level:W1`."""
        return next((one for one in [*self.lines, *self.offered] if one.owed.id == owed_id), None)

    def hold(self, key: str) -> HoldLine | None:
        """Return the line of a hold that something on this site requires."""
        return next((one for one in self.holds if one.hold.key == key), None)

    @cached_property
    def in_record(self) -> dict[str, Component | Run]:
        """What stands in the record today, by its tag."""
        site = self.visit.site
        return {one.tag: one for one in (*site.runs.standing(), *site.components.standing())}

    @property
    def owed_count(self) -> int:
        return sum(1 for line in self.lines if line.is_open)

    @property
    def blocks(self) -> list[Block]:
        """Return what still blocks a clean sheet, gravest first."""
        found = [Block(f"Defect {d.number}: {d.words}", defect=d) for d in self.defects if d.put_right_at is None]
        found += [Block(_why_not(line), line=line) for line in self.lines if not line.is_good]
        found += [
            Block(f"Hold {one.hold.title}: released, not settled", hold=one)
            for one in self.holds
            if one.standing is Standing.RELEASED
        ]
        if self.awaited:
            found.append(Block(awaited_words(len(self.awaited)), photos=tuple(self.awaited)))
        return found


def awaited_words(many: int) -> str:
    """Return how many photos are still to come."""
    return f"{many} {'photo has' if many == 1 else 'photos have'} not arrived yet"


def _why_not(line: Line) -> str:
    if line.rivals:
        return f"{len(line.rivals) + 1} values: choose which counts"
    if line.aside and line.status in (Status.NOT_TAKEN, Status.PARKED, Status.AS_BEFORE):
        return f"{line.status.value}: {line.aside.reason}" if line.aside.reason else line.status.value
    if line.is_stale:
        return line.stale_words
    if line.in_doubt:
        return f"in doubt: {line.in_doubt}"
    if line.measurement is None:
        return "waits for the laboratory" if line.check.from_laboratory else "owed"
    if line.measurement.answer:
        return line.measurement.answer
    rows = {f["repeat"] for f in (line.judgement.findings if line.judgement else [])}
    more = rows_owed(line.check, sorted(rows)) if line.verdict == "unjudged" else 0
    if more:
        return f"{more} more row{'s' if more > 1 else ''} owed"
    reasons = [
        f["reason"]
        for f in (line.judgement.findings if line.judgement else [])
        if f["verdict"] == line.verdict and f["reason"]
    ]
    return f"{line.verdict}: {reasons[0]}" if reasons else line.verdict


def progress_of(visit: Visit) -> Progress:
    """Return how far a visit has come, in a fixed number of queries."""
    text = snapshot.text_now(visit.site)
    system, problem = _system(text)
    order = order_of_checks(system, visit.kind, owed_in_baseline(visit), symptoms_on(visit)) if system else []
    taken, gone = _taken(visit)
    asides = {(a.check_key, a.subject): a for a in visit.settings_aside.select_related("by")}
    conceded = {(c.check_key, c.subject): c for c in visit.concessions.in_force().select_related("by")}
    defects = list(Defect.objects.filter(site=visit.site_id).select_related("raised_by", "put_right_by"))
    replaced = {key: f"{key[1]} was replaced" for key in gone if key not in taken}
    stale = {**replaced, **stale_reasons(visit, taken, text)} if system else {}
    taken |= {key: gone[key] for key in replaced}
    lines = [_line(owed, system, taken, asides, conceded, defects, stale, text) for owed in order if system]
    releases = {r.hold: r for r in visit.hold_releases.select_related("by")}
    holds = _holds(system, order, lines, releases)
    _put_behind(lines, holds)
    awaited = [photo for photo in visit.photos.filter(loss=None) if not files.is_there(photo.sha256)]
    questions = questions_of(visit)
    for line in lines:
        line.questions = [
            one for one in questions if (one.check_key, one.subject) == (line.owed.check, line.owed.subject)
        ]
    owed = [line for line in lines if line.measurement is not None or not line.owed.optional]
    offered = [line for line in lines if line.measurement is None and line.owed.optional]
    return Progress(visit, system, problem, owed, holds, defects, offered, awaited, questions)


def _system(text: str) -> tuple[System | None, str]:
    try:
        return snapshot.system_of_text(text), ""
    except SystemShapeError as problem:
        return None, str(problem)


Taken = dict[tuple[str, str], list[Measurement]]


def _taken(visit: Visit) -> tuple[Taken, Taken]:
    """Return the measurements that nothing supersedes, by owed check, latest last; apart those on what is gone.

    What replaced a retired component is still to be measured, whatever its tag; once a visit has ended, what was
    measured on it stays.
    """
    rows = visit.measurements.current().select_related("taken_by", "component", "run", "event")
    rows = rows.prefetch_related("judgements", "photos", "readings__instrument__calibrations")
    rows = rows.prefetch_related("readings__instrument__found_bad")
    found: Taken = {}
    gone: Taken = {}
    for one in rows:
        one.visit = visit
        thing = one.component or one.run
        is_gone = visit.ended_at is None and thing is not None and thing.retired_at is not None
        (gone if is_gone else found).setdefault((one.check_key, thing.tag if thing else one.subject), []).append(one)
    return found, gone


def _line(
    owed: Owed,
    system: System,
    taken: dict[tuple[str, str], list[Measurement]],
    asides: dict[tuple[str, str], SettingAside],
    conceded: dict[tuple[str, str], Concession],
    defects: list[Defect],
    stale: dict[tuple[str, str], str],
    text: str,
) -> Line:
    key = (owed.check, owed.subject)
    found = taken.get(key, [])
    line = Line(owed, subject_words(system, owed.subject), concession=conceded.get(key), aside=asides.get(key))
    line.defects = [d for d in defects if (d.check_key, d.subject) == key]
    if key in stale:
        _owe_again(line, found, stale[key])
    elif found:
        line.measurement, line.earlier = found[-1], found[:-1]
        line.judgement = found[-1].judgement()
        line.rivals = rivals_of(line.check, key, found, text)
        line.in_doubt = _in_doubt(line, found[-1])
    line.status = _status(line)
    return line


def _owe_again(line: Line, found: list[Measurement], why: str) -> None:
    """Put what was measured behind, with all that was said of it since; what is said after it counts."""
    line.stale, line.earlier = why, found
    if line.aside is not None and line.aside.at < found[-1].taken_at:
        line.aside = None
    if line.concession is not None and (line.aside is None or line.concession.at < line.aside.at):
        line.concession = None


def _in_doubt(line: Line, taken: Measurement) -> str:
    """Return what puts a measurement in doubt; a concession counts for what was known when it was granted."""
    found = found_bad_in(taken, zone_of(taken.visit.site))
    return bad_words(one for one in found if line.concession is None or line.concession.at < one.at)


def _status(line: Line) -> Status:
    if line.measurement is not None:
        return Status.NOT_APPLICABLE if line.measurement.answer == Answer.DOES_NOT_APPLY.value else Status.TAKEN
    how = line.aside.how if line.aside else ""
    return {
        SetAside.PARKED: Status.PARKED,
        SetAside.CANNOT_BE_TAKEN: Status.NOT_TAKEN,
        SetAside.DOES_NOT_APPLY: Status.NOT_APPLICABLE,
        SetAside.AS_BEFORE: Status.OWED if line.check.key in ON_HOLDS else Status.AS_BEFORE,
    }.get(SetAside(how) if how else SetAside.TAKEN_UP, Status.OWED)


def _holds(
    system: System | None, order: list[Owed], lines: list[Line], releases: dict[str, HoldRelease]
) -> list[HoldLine]:
    by_id = {line.owed.id: line for line in lines}
    good = {owed_id: line.is_good for owed_id, line in by_id.items()}
    found = []
    for hold in HOLDS.values():
        if not is_met_with(hold, order):
            continue
        required = [by_id[o.id] for o in required_by(hold, order)]
        rules = design_check(system, hold.design) if system and hold.design else []
        design = {key: all(one.met is Met.MET for one in rules if one.rule.key == key) for key in hold.design}
        how = standing(hold, order, good, hold.key in releases, design)
        found.append(HoldLine(hold, how, required, releases.get(hold.key), rules))
    return found


def _put_behind(lines: list[Line], holds: list[HoldLine]) -> None:
    closed = {one.hold.key for one in holds if one.standing is Standing.STANDS}
    for line in lines:
        if line.status is Status.OWED and line.check.gate in closed:
            line.status = Status.BEHIND


def subject_words(system: System, tag: str) -> str:
    """Return a subject as a person says it: tag and kind, or its own name."""
    if tag == SITE:
        return "whole site"
    subject = system.subject(tag)
    return f"{tag} {subject.name or subject.part.title.lower()}"


def design_words(result: Result) -> str:
    """Return a rule of the design check and how it stands: "array voltage at record low, A1 with C1: not met"."""
    whole = f"{result.tag} with {result.against}" if result.against else result.tag
    title = result.rule.title[0].lower() + result.rule.title[1:]
    why = f", {result.lacking.words}" if result.lacking else ""
    return f"{title}, {whole}: {result.met.value}{why}"
