"""The page of a visit: every owed check once, in the section where a person looks for it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, tzinfo

from django.urls import reverse

from commissioning import showing
from commissioning.models import Measurement, SetAside, Visit, VisitKind
from commissioning.progress import HoldLine, Line, Progress, Status
from commissioning.visits.times import clock_and_day
from sizing.checks.declare import Kind
from sizing.holds import HOLDS, Standing
from sizing.judgement import rows_owed
from sizing.verdict import Verdict

LATEST = 4  # lines of what is taken that stay in sight
SHORT = 32  # characters of a state that still fit beside a subject on a phone


@dataclass(frozen=True)
class LineShown:
    """One line of the order of checks, ready to print."""

    number: int
    title: str
    words: str
    url: str
    is_behind: bool = False
    picture: str = ""
    verdict: str = ""
    answer: str = ""


@dataclass(frozen=True)
class HoldShown:
    """One hold as a bar across the page."""

    title: str
    words: str
    url: str
    look: str
    """Class of the bar: empty while it stands, else `settled` or `released`."""


@dataclass(frozen=True)
class Section:
    """A heading, or a hold, with the lines under it. `folded` are further lines, out of sight until asked for."""

    key: str
    title: str
    lines: list[LineShown]
    hold: HoldShown | None = None
    bars: list[HoldShown] = field(default_factory=list)
    folded: list[LineShown] = field(default_factory=list)
    folded_words: str = ""


def measurement_url(visit: Visit, line: Line) -> str:
    """Return the address of an owed check."""
    return reverse("measurement", args=[visit.pk, line.owed.id])


def hold_url(visit: Visit, hold: HoldLine) -> str:
    """Return the address of a hold."""
    return reverse("hold-detail", args=[visit.pk, hold.hold.key])


def is_by_itself(line: Line) -> bool:
    """Whether a check is worked out from others, so that there is nothing to take."""
    return line.check.kind is Kind.DERIVED


def is_takeable(line: Line) -> bool:
    """Whether a person on site can take a check now."""
    return line.status is Status.OWED and not line.check.from_laboratory and not is_by_itself(line)


def next_line(progress: Progress, beside: Line | None = None) -> Line | None:
    """Return the check to take next: what comes first, else the lowest number.

    A condition comes last while nothing that needs it can be taken: by then it would be too old.
    """
    free = [one for one in progress.lines if is_takeable(one) and one is not beside]
    wanted = {need.name for one in free if not one.check.is_condition for need in one.check.needs}

    def rank(one: Line) -> tuple[bool, bool, int]:
        is_early = one.check.is_condition and one.check.key not in wanted
        return (not one.owed.first, is_early, one.owed.number)

    return min(free, key=rank, default=None)


def sections_of(progress: Progress, zone: tzinfo) -> list[Section]:
    """Return the sections of the page, in the order in which a person works."""
    made: list[Section] = []
    left = list(progress.lines)
    standing = [hold for hold in progress.holds if hold.standing is Standing.STANDS]
    runs_already = progress.visit.kind == VisitKind.SERVICE
    asked = {one.owed.id for hold in standing for one in hold.required} if runs_already else set()

    def take(key: str, title: str, fits: Callable[[Line], bool], words: Callable[[Line], str] = where) -> None:
        found = [one for one in left if fits(one)]
        for one in found:
            left.remove(one)
        if found:
            made.append(Section(key, title, [shown(progress.visit, one, words(one), zone) for one in found]))

    def take_groups() -> None:
        for group in dict.fromkeys(one.check.group for one in left if is_takeable(one) and one.owed.id not in asked):
            take(f"group-{len(made)}", group, _is_of(group, asked))

    take("first", "Take first", lambda one: is_takeable(one) and bool(one.owed.first), where_and_why)
    take("rows", "More rows owed", lambda one: rows_left(one) > 0, rows_words)
    take("sun", "Needs sun", lambda one: is_takeable(one) and one.check.needs_sun)
    if runs_already:  # what needs nothing isolated is read first
        take_groups()
    made += [_hold_section(progress.visit, hold, left, zone) for hold in standing]
    take_groups()
    take("behind", "Waits", lambda one: one.status is Status.BEHIND)
    take("parked", "Parked", lambda one: one.status is Status.PARKED and not one.check.from_laboratory, set_aside_words)
    take("laboratory", "Laboratory", lambda one: one.check.from_laboratory and one.is_open, laboratory_words)
    take("itself", "Worked out from the others", lambda one: is_by_itself(one) and one.is_open, where)
    made += _taken(progress, left, zone)
    take("as-before", "Read, as before", lambda one: one.status is Status.AS_BEFORE, set_aside_words)
    take("aside", "Not taken", lambda one: one.status in (Status.NOT_TAKEN, Status.NOT_APPLICABLE), set_aside_words)
    return [*made, *_offered(progress, zone)]


def _offered(progress: Progress, zone: tzinfo) -> list[Section]:
    """Return what could also be taken, folded, each part of the system together: nobody waits for it."""
    free = [one for one in progress.offered if not is_by_itself(one)]
    if not free or progress.visit.ended_at is not None:
        return []
    groups = list(dict.fromkeys(one.check.group for one in free))
    found = sorted(free, key=lambda one: groups.index(one.check.group))
    lines = [shown(progress.visit, one, f"{one.check.group} · {_where_now(one)}", zone) for one in found]
    words = f"{len(lines)} {'check' if len(lines) == 1 else 'checks'} that nobody waits for"
    return [Section("offered", "Could also be taken", [], folded=lines, folded_words=words)]


def _where_now(line: Line) -> str:
    return set_aside_words(line) if line.aside else where(line)


def _is_of(group: str, but: set[str]) -> Callable[[Line], bool]:
    return lambda one: is_takeable(one) and one.check.group == group and one.owed.id not in but


def _hold_section(visit: Visit, hold: HoldLine, left: list[Line], zone: tzinfo) -> Section:
    """Return a standing hold with what it asks for, then what waits behind it."""
    asked = [one for one in hold.required if one in left and one.status is Status.OWED]
    behind = [one for one in left if one.status is Status.BEHIND and one.check.gate == hold.hold.key]
    for one in [*asked, *behind]:
        left.remove(one)
    lines = [shown(visit, one, asked_words(one, hold), zone) for one in asked]
    waiting = [shown(visit, one, f"{_why_behind(one)} · after this hold", zone, is_behind=True) for one in behind]
    words = f"{len(waiting)} wait{'s' if len(waiting) == 1 else ''} behind this hold"
    return Section(
        f"hold-{hold.hold.key}", "", lines, hold=hold_shown(visit, hold, zone), folded=waiting, folded_words=words
    )


def _taken(progress: Progress, left: list[Line], zone: tzinfo) -> list[Section]:
    """Return what is taken, latest first, under the holds that no longer stand."""
    taken = [one for one in left if one.status is Status.TAKEN]
    for one in taken:
        left.remove(one)
    bars = [hold_shown(progress.visit, h, zone) for h in progress.holds if h.standing is not Standing.STANDS]
    if not (taken or bars):
        return []
    latest = sorted(taken, key=lambda one: (_taken_at(one), one.owed.number), reverse=True)
    lines = [shown(progress.visit, one, taken_words(one, zone), zone) for one in latest]
    words = f"{len(lines) - LATEST} taken before"
    return [Section("taken", "Taken", lines[:LATEST], bars=bars, folded=lines[LATEST:], folded_words=words)]


def _taken_at(line: Line) -> datetime:
    assert line.measurement is not None
    return line.measurement.taken_at


def asked_lines(progress: Progress, zone: tzinfo) -> list[LineShown]:
    """Return the checks about which the office waits for an answer, each with its question."""
    found = [one for one in (*progress.lines, *progress.offered) if one.open_question]
    return [shown(progress.visit, one, question_words(one), zone) for one in found]


# words of a line


def question_words(line: Line) -> str:
    """Return subject and what the office asks."""
    asked = line.open_question
    return f"{line.subject_words} · {asked.by} asks: {asked.words}" if asked else line.subject_words


def where(line: Line) -> str:
    """Return subject and, where it is short, the state: what a person walks to."""
    short = 0 < len(line.check.state) <= SHORT
    return f"{line.subject_words} · {line.check.state}" if short else line.subject_words


def where_and_why(line: Line) -> str:
    """Return subject and why the reading cannot wait."""
    return f"{line.subject_words} · {line.owed.first}"


def _why_behind(line: Line) -> str:
    """Return subject and, where the owner's words ask for it, why; else what a person walks to."""
    return where_and_why(line) if line.owed.first and not line.owed.is_perishable else where(line)


def asked_words(line: Line, hold: HoldLine) -> str:
    """Return subject and that the hold asks for it."""
    ending = ", cannot be released" if hold.hold.only_settled else ""
    return f"{line.subject_words} · asked by this hold{ending}"


def rows_left(line: Line) -> int:
    """Return how many rows through the day are still owed of a check that is begun."""
    if line.measurement is None or line.verdict != Verdict.UNJUDGED.value or line.judgement is None:
        return 0
    return rows_owed(line.check, sorted({f["repeat"] for f in line.judgement.findings}))


def rows_words(line: Line) -> str:
    """Return subject and how many rows are still owed."""
    many = rows_left(line)
    return f"{line.subject_words} · {many} more {'row' if many == 1 else 'rows'} owed"


def set_aside_words(line: Line) -> str:
    """Return subject, how it was set aside and why."""
    aside = line.aside
    if aside is None:
        note = line.measurement.note if line.measurement else ""
        return " · ".join(part for part in (line.subject_words, line.status.value, note) if part)
    how = aside.get_how_display()
    return " · ".join(part for part in (line.subject_words, how, aside.reason, str(aside.by)) if part)


def read_as_before(line: Line) -> str:
    """Return that a set point was read as before, where its number is owed all the same: a hold rests on it."""
    aside = line.aside
    is_owed = line.status in (Status.OWED, Status.BEHIND)
    return aside.get_how_display() if aside and is_owed and aside.how == SetAside.AS_BEFORE else ""


def laboratory_words(line: Line) -> str:
    """Return subject and how far the sample has come."""
    sent = line.aside.reason if line.aside and line.status is Status.PARKED else ""
    return f"{line.subject_words} · {sent or 'waits for the laboratory'}"


def taken_words(line: Line, zone: tzinfo) -> str:
    """Return subject, value, time and person."""
    one = line.measurement
    assert one is not None
    parts = (line.subject_words, first_value(line), clock_and_day(one.taken_at, zone), str(one.taken_by))
    return " · ".join(part for part in parts if part)


def first_value(line: Line) -> str:
    """Return the first judged value with its unit, where there is just one."""
    findings = findings_shown(line)
    return findings[0].value if len(findings) == 1 else ""


def findings_shown(line: Line) -> list[showing.FindingShown]:
    """Return the findings of a line, in the units typed."""
    if line.measurement is None or line.judgement is None:
        return []
    return showing.show(line.judgement, line.measurement.visit.site.unit_system, list(line.measurement.readings.all()))


def shown(visit: Visit, line: Line, words: str, zone: tzinfo, *, is_behind: bool = False) -> LineShown:
    """Return a line ready to print, with picture and word where it is taken."""
    picture, verdict, answer = "", line.verdict, _answer(line.measurement)
    if line.measurement is not None and not answer:
        picture = _gravest_picture(line)
    behind = is_behind or line.status is Status.BEHIND
    words = f"{words} · {line.stale_words}" if line.is_stale else words
    words = f"{words} · {read_as_before(line)}" if read_as_before(line) else words
    return LineShown(
        line.owed.number, line.check.title, words, measurement_url(visit, line), behind, picture,
        "" if answer else verdict, answer,
    )  # fmt: skip


def _answer(measurement: Measurement | None) -> str:
    return measurement.answer if measurement else ""


def _gravest_picture(line: Line) -> str:
    """Return the small picture of the finding that gave the measurement its verdict."""
    found = findings_shown(line)
    one = next((f for f in found if f.verdict == line.verdict), None)
    return one.small_picture if one and line.verdict else ""


# holds


def hold_shown(visit: Visit, hold: HoldLine, zone: tzinfo) -> HoldShown:
    """Return a hold's bar: how it stands, in words."""
    look = {Standing.STANDS: "", Standing.SETTLED: "settled", Standing.RELEASED: "released"}[hold.standing]
    return HoldShown(f"Hold: {hold.hold.title}", standing_words(hold, zone), hold_url(visit, hold), look)


def standing_words(hold: HoldLine, zone: tzinfo) -> str:
    """Return how a hold stands, by whom and when, or what is still owed."""
    if hold.standing is Standing.STANDS:
        return f"Stands: {hold.hold.stays_off}. {owed_words(hold)}"
    if hold.standing is Standing.RELEASED and hold.release:
        when = clock_and_day(hold.release.at, zone)
        return f"Released by {hold.release.by}, {when}: {hold.release.reason}"
    last = max((one.measurement for one in hold.required if one.measurement), key=lambda m: m.taken_at, default=None)
    return f"Settled {clock_and_day(last.taken_at, zone)}, {last.taken_by}" if last else "Settled"


def owed_words(hold: HoldLine) -> str:
    """Return how many of a hold's checks are owed, and how many are taken and not good."""
    open_ones = [one for one in hold.still_owed if one.measurement is None]
    bad = len(hold.still_owed) - len(open_ones)
    words = f"{len(open_ones)} of {len(hold.required)} still owed" if open_ones else "None owed"
    words = f"{words}, {bad} taken and not good" if bad else words
    many = len(hold.not_designed)
    return f"{words}; the design check: {many} not met or not known." if many else f"{words}."


def closed_by(progress: Progress, line: Line) -> HoldLine | None:
    """Return the hold that keeps a check from being taken, if one stands."""
    hold = progress.hold(line.check.gate) if line.check.gate in HOLDS else None
    return hold if hold is not None and hold.standing is Standing.STANDS else None


LOST_ONE, LOST_MORE = "is lost if not taken now", "are lost if not taken now"
OWED_WORDS: tuple[tuple[Callable[[Line], bool], str, str], ...] = (
    (lambda one: is_takeable(one) and one.owed.is_perishable, LOST_ONE, LOST_MORE),
    (lambda one: is_takeable(one) and one.check.needs_sun, "needs sun", "need sun"),
    (lambda one: one.status is Status.BEHIND, "waits behind a hold", "wait behind a hold"),
    (lambda one: one.status is Status.PARKED and not one.check.from_laboratory, "is parked", "are parked"),
    (lambda one: one.check.from_laboratory, "waits for the laboratory", "wait for the laboratory"),
)


def owed_sentence(progress: Progress) -> list[str]:
    """Return the sentences beside the count: what is lost, what needs sun, what waits."""
    lines = [one for one in progress.lines if one.is_open]
    counts = [(sum(1 for one in lines if fits(one)), one, more) for fits, one, more in OWED_WORDS]
    return [f"{many} {one if many == 1 else more}." for many, one, more in counts if many]
