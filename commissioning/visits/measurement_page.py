"""The page of one owed check: what this request wants of it, its form, and all that it prints."""

from dataclasses import dataclass, field
from functools import cached_property
from urllib.parse import urlencode

from commissioning import judging
from commissioning.asked import shown as question_shown
from commissioning.htmx import HtmxHttpRequest
from commissioning.models import Instrument, Measurement, Reading, Visit
from commissioning.progress import Line, Progress, Status
from commissioning.service.as_before import AsBefore, SetPoint, as_before, set_point_as_before
from commissioning.service.comparison import comparison_url
from commissioning.visits import conditions
from commissioning.visits.entry import cured
from commissioning.visits.fields import ask_back, steps_shown
from commissioning.visits.forms import ReplyForm, SentForm
from commissioning.visits.measurement_form import MeasurementForm
from commissioning.visits.results import record_url, result_of
from commissioning.visits.sections import (
    closed_by,
    hold_shown,
    is_by_itself,
    measurement_url,
    next_line,
    set_aside_words,
)
from commissioning.visits.shapes import Step, is_through_the_day, rows_again, steps
from commissioning.visits.sums import sums_shown
from commissioning.visits.times import zone_of
from sizing.checks.declare import Kind, Shape
from sizing.errors import MissingDataError
from sizing.system import System

Usual = dict[str, tuple[str, str]]
"""Input → unit and instrument of its last reading."""


@dataclass
class Shared:
    """What all pages of one visit have in common, fetched once where many of them are made together."""

    visit: Visit

    @cached_property
    def seen(self) -> judging.Around:
        return judging.around(self.visit)

    @cached_property
    def instruments(self) -> list[Instrument]:
        return list(Instrument.objects.filter(retired_at=None))

    @cached_property
    def usual(self) -> dict[str, Usual]:
        """By check, unit and instrument with which each input was last read on this visit."""
        found: dict[str, Usual] = {}
        rows = Reading.objects.filter(measurement__visit=self.visit).select_related("measurement").order_by("at")
        for r in rows:
            found.setdefault(r.measurement.check_key, {})[r.input] = (r.unit, str(r.instrument_id or ""))
        return found

    def comparison_url(self, one: Measurement) -> str:
        return comparison_url(one)

    def as_before(self, progress: Progress, line: Line) -> AsBefore | None:
        """Return the answer of last time for one tap."""
        return as_before(progress, line)

    def set_point(self, progress: Progress, line: Line) -> SetPoint | None:
        """Return the set point of last time for one tap."""
        return set_point_as_before(progress, line)


@dataclass
class Page:
    """One owed check and what this request wants of it."""

    progress: Progress
    line: Line
    way: str
    back: Line | None
    wants_again: bool
    wants_replacing: bool
    reason: str
    wants_more: bool = False
    works_out: bool = False
    """A sum is asked for with what is typed so far: nothing is kept, and nothing is asked back."""
    errors: list[str] = field(default_factory=list)
    shared: Shared | None = None

    @property
    def visit(self) -> Visit:
        return self.progress.visit

    @property
    def beside(self) -> Shared:
        """What this page shares with the others of its visit."""
        if self.shared is None:
            self.shared = Shared(self.visit)
        return self.shared

    @property
    def replaces(self) -> Measurement | None:
        """The measurement that this one is to replace."""
        return self.line.measurement if self.wants_replacing else None

    @property
    def adds_row(self) -> bool:
        """Whether a row is added to rows that are there."""
        if self.line.check.repeat.shape is not Shape.ROWS or self.line.measurement is None or self.wants_replacing:
            return False
        return is_through_the_day(self.line.check) or self.wants_more

    @property
    def asks(self) -> bool:
        """Whether the page has fields: nothing is taken yet, or it is to be taken once more."""
        if self.line.measurement is None or self.adds_row or self.wants_replacing:
            return True
        return self.wants_again and self.line.check.is_condition


def page_of(request: HtmxHttpRequest, progress: Progress, line: Line) -> Page:
    given, taken = request.GET, line.measurement
    way = given.get("way", "") or (taken.way if taken else "")  # again, mostly in the way of the last time
    return Page(
        progress, line, way, progress.line(given.get("back", "")), "again" in given,
        "replace" in given and line.measurement is not None, given.get("reason", "")[:4000],
        "more" in given,
    )  # fmt: skip


def why_not_kept(page: Page) -> str:
    """Return in words why nothing can be kept on this check now; empty if it can."""
    hold = closed_by(page.progress, page.line)
    if hold is not None:
        return f"Hold “{hold.hold.title}” stands: {hold.hold.stays_off}. Settle or release it first."
    if page.visit.ended_at is not None and not page.line.check.from_laboratory:
        return "This visit has ended. What was measured stays as it is; begin another visit to measure again."
    return ""


# the form


def form_of(page: Page, request: HtmxHttpRequest | None = None) -> MeasurementForm | None:
    """Return the form of a check; None where there is nothing to fill in, or not yet."""
    check, system = page.line.check, page.progress.system
    if is_by_itself(page.line) or system is None:
        return None
    way = check.way(page.way)
    try:
        asked = _steps(page, system)
    except MissingDataError:
        return None
    sent = (cured(request.POST), request.FILES) if request else (None, None)
    return MeasurementForm(
        *sent, check=check, way=way, steps=asked, visit=page.visit, instruments=_instruments(page),
        usual=page.beside.usual.get(page.line.owed.check, {}), replaces=page.wants_replacing, reason=page.reason,
        former=_rows_to_mend(page),
    )  # fmt: skip


def _steps(page: Page, system: System) -> list[Step]:
    """Return what is to be typed now; raises MissingDataError where the number of repeats is not recorded."""
    check, former = page.line.check, _rows_to_mend(page)
    way = check.way(page.way)
    if former:
        return rows_again(check, way, list(dict.fromkeys(r.label for r in former.readings.all() if r.label)))
    return steps(check, way, system, page.line.owed.subject, _kept_rows(page))


def _rows_to_mend(page: Page) -> Measurement | None:
    """Return the measurement whose rows are typed once more, because one of them is wrong."""
    return page.replaces if page.line.check.repeat.shape is Shape.ROWS else None


def _kept_rows(page: Page) -> frozenset[str]:
    if not page.adds_row or page.line.measurement is None:
        return frozenset()
    return frozenset(r.label for r in page.line.measurement.readings.all() if r.label)


def _instruments(page: Page) -> list[Instrument]:
    quantities = {i.quantity.value for way in page.line.check.ways for i in way.inputs}
    return [one for one in page.beside.instruments if one.quantity in quantities] if quantities else []


# what is printed


def context_of(request: HtmxHttpRequest, page: Page, form: MeasurementForm | None) -> dict[str, object]:
    visit, line, check = page.visit, page.line, page.line.check
    refusal = why_not_kept(page)
    seen = page.beside.seen
    hold = closed_by(page.progress, line)
    needs = conditions.needs_shown(line, page.progress, seen)
    return {
        "visit": visit, "site": visit.site, "line": line, "check": check, "url": measurement_url(visit, line),
        "action": request.get_full_path(), "owed_count": page.progress.owed_count,
        "errors": page.errors, "refusal": "" if page.errors else refusal,
        "hold": hold_shown(visit, hold, zone_of(visit.site)) if hold else None,
        "before": [] if page.line.measurement else conditions.still_before(line, page.progress),
        "needs": needs, "needs_good": all(one.is_good for one in needs),
        "way": check.way(page.way), "set_aside": _set_aside(page), "missing": _missing_count(page),
        "set_point": page.beside.set_point(page.progress, line),
        "is_observed": check.kind is Kind.OBSERVED, "is_derived": is_by_itself(line), "adds_names": _adds_names(page),
        "is_timed": check.repeat.shape is Shape.TIMED, "replaces": page.wants_replacing, "adds_row": page.adds_row,
        "sent_form": SentForm() if _can_be_sent(page) else None,
        "result": result_of(line, page.progress, request.GET.get("unit", "")), "can_retake": not refusal,
        "comparison_url": page.beside.comparison_url(line.measurement) if line.measurement else "",
        "photos": list(line.measurement.photos.all()) if line.measurement else [],
        **_sums(page, seen, form),
        **_asked(page),
        **_form_context(page, form if not refusal or (form and form.is_bound) else None), **_ways_on(page, seen),
    }  # fmt: skip


def _sums(page: Page, seen: judging.Around, form: MeasurementForm | None) -> dict[str, object]:
    """Return the sums at the step, with what is typed so far; and whether typing more could help any of them."""
    found = sums_shown(page.line, page.progress, seen, form, page.line.check.way(page.way).key) if form else []
    return {"sums": found, "sums_asked": page.works_out, "sums_wait": any(one.is_helped_by_typing for one in found)}


def _asked(page: Page) -> dict[str, object]:
    """Return the question that waits for an answer, and those that are answered."""
    zone = zone_of(page.visit.site)
    found = [question_shown(one, zone, page.line.measurement) for one in page.line.questions]
    waits = next((one for one in found if one.is_open), None)
    return {
        "question": waits, "questions": [one for one in found if not one.is_open],
        "reply_form": ReplyForm() if waits else None,
    }  # fmt: skip


def _form_context(page: Page, form: MeasurementForm | None) -> dict[str, object]:
    """Return the fields and what is asked back, where there is something to fill in."""
    if form is None:
        return {"form": None}
    is_sent = form.is_bound and not page.works_out and form.is_valid()
    return {
        "form": form,
        "as_before": None if form.is_bound else page.beside.as_before(page.progress, page.line),
        "steps": steps_shown(form),
        "ways": [] if page.adds_row else _ways(page),
        "ask_back": ask_back(form) if is_sent else None,
        "first_sent": form.cleaned_data["taken_at"].isoformat() if is_sent else "",
    }


def _ways(page: Page) -> list[dict[str, object]]:
    """Return the ways of a check as links, where there is a choice."""
    ways = page.line.check.ways
    if len(ways) < 2:
        return []
    chosen, url = page.line.check.way(page.way), measurement_url(page.visit, page.line)
    extra = {"back": page.back.owed.id} if page.back else {}
    if page.wants_again:
        extra["again"] = "1"
    if page.wants_replacing:
        extra["replace"] = "1"
    return [
        {"label": w.label, "url": f"{url}?{urlencode({'way': w.key, **extra})}", "is_chosen": w is chosen} for w in ways
    ]


def _missing_count(page: Page) -> dict[str, str] | None:
    """Return why the number of repeats is not known, and where it is recorded."""
    system = page.progress.system
    if is_by_itself(page.line) or system is None or not page.asks:
        return None
    try:
        _steps(page, system)
    except MissingDataError as problem:
        return {"words": problem.words, "url": record_url(problem.owner, problem.field, page.progress)}
    return None


def _ways_on(page: Page, seen: judging.Around) -> dict[str, object]:
    """Return where a person goes from here: back to the check that needed this, the sun once more, or the next."""
    visit, line = page.visit, page.line
    is_over = visit.ended_at is not None
    label, url = ("", "") if is_over else conditions.after_url(line, page.progress, seen)
    coming = None if is_over else next_line(page.progress, beside=line)
    return {
        "is_over": is_over,
        "after_label": label, "after_url": url,
        "back": page.back, "back_url": measurement_url(visit, page.back) if page.back else "",
        "back_first": page.back is not None and _is_unfinished(page.back),
        "next": coming, "next_url": measurement_url(visit, coming) if coming else "",
    }  # fmt: skip


def _is_unfinished(line: Line) -> bool:
    """Whether a check still asks for something: a reading, or one more row."""
    return line.is_open or (line.status is Status.TAKEN and is_through_the_day(line.check))


def _set_aside(page: Page) -> str:
    line = page.line
    aside = line.status in (Status.PARKED, Status.NOT_TAKEN, Status.NOT_APPLICABLE, Status.AS_BEFORE)
    aside = aside and line.measurement is None
    return set_aside_words(line) if aside else ""


def _adds_names(page: Page) -> str:
    """Return what may be added to a measurement in rows with names: another part, another pair."""
    repeat = page.line.check.repeat
    named = repeat.shape is Shape.ROWS and not is_through_the_day(page.line.check)
    return repeat.noun if named and page.line.measurement is not None and not page.adds_row else ""


def _can_be_sent(page: Page) -> bool:
    return page.line.check.from_laboratory and page.line.measurement is None
