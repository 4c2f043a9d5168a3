"""What a check needs from elsewhere, as it stands: latest value, age, whether it is still good, where to take it."""

from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlencode

from django.urls import reverse
from django.utils import timezone

from commissioning import judging, showing
from commissioning.models import Judgement, Measurement, Visit
from commissioning.progress import Line, Progress
from commissioning.visits.times import ago, clock_and_day, lasting, zone_of
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Need, Needed
from sizing.errors import MissingDataError


@dataclass(frozen=True)
class NeedShown:
    """One need as a person sees it before a reading is taken."""

    label: str
    value: str
    when: str
    standing: str
    is_good: bool
    url: str
    link: str


def needs_shown(line: Line, progress: Progress, seen: judging.Around) -> list[NeedShown]:
    """Return each need of a check with its latest value."""
    now = timezone.now()
    return [_shown(need, line, progress, seen, now) for need in line.check.needs]


def _shown(need: Need, line: Line, progress: Progress, seen: judging.Around, now: datetime) -> NeedShown:
    try:
        subject = need.of(progress.system, line.owed.subject) if progress.system else line.owed.subject
    except MissingDataError as problem:
        return NeedShown(need.label, "", "", problem.words, is_good=False, url="", link="")
    taken = [(m, j) for m, j in seen.of(need.name, subject) if j is not None]
    url = need_url(progress.visit, need, subject, line, again=bool(taken))
    if not taken:
        standing = "not measured yet" + (", and can be left out" if need.optional else "")
        return NeedShown(need.label, "", "", standing, is_good=False, url=url, link="Take it")
    measurement, judgement = taken[-1]
    value = _value(need, judgement, progress.visit, measurement)
    when = f"{clock_and_day(measurement.taken_at, zone_of(progress.visit.site), now)}, {ago(measurement.taken_at, now)}"
    standing, is_good = _standing(need, measurement, now, bool(value))
    link = "Take it again" if need.kind is Needed.WEATHER else "Look"
    return NeedShown(need.label, value, when, standing, is_good, url, link)


def _value(need: Need, judgement: Judgement, visit: Visit, measurement: Measurement) -> str:
    found = showing.show(judgement, visit.site.unit_system, list(measurement.readings.all()))
    wanted = [f for f in found if need.finding in ("", f.name) and f.value != showing.EM_DASH]
    if need.every_repeat:
        return ", ".join(f.value for f in wanted)
    return wanted[0].value if wanted else ""


def _standing(need: Need, measurement: Measurement, now: datetime, has_value: bool) -> tuple[str, bool]:
    if not has_value:
        return "taken, without a value so far", False
    if need.max_age is None:
        return "", True
    left = need.max_age - (now - measurement.taken_at).total_seconds()
    if left <= 0:
        return f"too old: good for {lasting(need.max_age)}", False
    return f"good for another {lasting(left)}", True


def need_url(visit: Visit, need: Need, subject: str, line: Line, *, again: bool) -> str:
    """Return the address at which a need is taken, with the way back."""
    query = {"back": line.owed.id}
    if again and need.kind is Needed.WEATHER:
        query["again"] = "1"
    return f"{reverse('measurement', args=[visit.pk, f'{need.name}:{subject}'])}?{urlencode(query)}"


def after_url(line: Line, progress: Progress, seen: judging.Around) -> tuple[str, str]:
    """Return label and address of the condition that is to be read once more after this reading; empty if none is.

    A need with a bracket is read before and after: without the second reading nobody knows whether the sun stood.
    """
    taken = line.measurement
    if taken is None or progress.system is None:
        return "", ""
    for need in line.check.needs:
        if need.kind is not Needed.WEATHER or need.bracket is None:
            continue
        try:
            subject = need.of(progress.system, line.owed.subject)
        except MissingDataError:
            continue
        limit = need.max_age or 0.0
        is_read_after = any(m.taken_at > taken.taken_at for m, _ in seen.of(need.name, subject))
        is_too_late = (timezone.now() - taken.taken_at).total_seconds() > limit
        if not is_read_after and not is_too_late:
            return CHECKS[need.name].title, need_url(progress.visit, need, subject, line, again=True)
    return "", ""


def still_before(line: Line, progress: Progress) -> list[Line]:
    """Return the checks that ought to come before this one and are still owed."""
    return [one for one in progress.lines if one.check.key in line.check.after and one.is_open]


def is_retaken_freely(check: Check) -> bool:
    """Whether a check may be taken any number of times beside each other: a condition changes by itself."""
    return check.is_condition
