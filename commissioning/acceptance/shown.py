"""The acceptance page: what still blocks, every owed check by part of the system, concessions, holds."""

from typing import Any

from django.urls import reverse

from commissioning.acceptance.services import why_not_conceded
from commissioning.asked import shown as question_shown
from commissioning.doubts import doubts_in
from commissioning.ledger import drawn_interval, grouped, lines_of
from commissioning.models import Photo, Question, Sheet, User, Visit
from commissioning.moments import day_words, days_words, moment_words, zone_of
from commissioning.open_items import OpenItem, check_words, open_items
from commissioning.progress import HoldLine, Line, Progress, Status

MOST_OWED_LINES = 5
Shown = dict[str, Any]


def acceptance_context(progress: Progress, user: User) -> Shown:
    """Return everything the page prints, in a number of queries that the length of the lists does not change."""
    visit = progress.visit
    photos = _photos(visit)
    lines = [
        _line(line, content, visit, user, photos)
        for line, content in zip(progress.lines, lines_of(progress), strict=True)
    ]
    return {
        "visit": visit,
        "site": visit.site,
        "heading": _heading(progress),
        "problem": progress.problem,
        "doubts": doubts_in(progress),
        "blocks": _blocks(open_items(progress), visit),
        "open_questions": [_open_question(one, progress) for one in progress.questions if one.is_open],
        "groups": grouped(lines),
        "holds": [_hold(one, visit) for one in progress.holds],
        "defects": [_defect(one, visit) for one in progress.defects],
        "concessions": [_concession(line, visit) for line in progress.lines if line.concession],
        "sheets": list(Sheet.objects.filter(visit=visit)),
    }


def _heading(progress: Progress) -> str:
    visit = progress.visit
    taken = [line.measurement for line in progress.lines if line.measurement]
    days = days_words([visit.started_at, *(one.taken_at for one in taken)], zone_of(visit.site))
    people = sorted({one.taken_by.get_full_name() for one in taken})
    unsettled = sum(1 for line in progress.lines if not line.is_good)
    counts = f"{len(progress.lines)} checks, {unsettled} not settled"
    kind = f"{visit.get_kind_display().capitalize()} visit, {days}"
    return " · ".join(part for part in (kind, ", ".join(people), counts) if part)


def _photos(visit: Visit) -> dict[str, str]:
    """Return where each photograph of a visit is shown small, by the hash of its file."""
    rows = Photo.objects.filter(visit=visit).values_list("sha256", "pk")
    return {sha: reverse("photo-file", args=[pk, "thumbnail"]) for sha, pk in rows}


def measurement_url(visit: Visit, owed_id: str) -> str:
    """Return where one owed check is taken and looked at."""
    return reverse("measurement", args=[visit.pk, owed_id])


def _blocks(items: list[OpenItem], visit: Visit) -> list[Shown]:
    """Return a line for each thing that blocks; checks nobody has taken yet share one line where they are many."""
    untaken = [item for item in items if item.words == Status.OWED.value]
    if len(untaken) <= MOST_OWED_LINES:
        return [_block(item, visit) for item in items]
    together = {
        "title": f"{len(untaken)} checks owed",
        "words": "; ".join(item.title for item in untaken),
        "seen_to": "",
        "url": visit.get_absolute_url(),
        "link": "To the order of checks",
    }
    return [*(_block(item, visit) for item in items if item not in untaken), together]


def _block(item: OpenItem, visit: Visit) -> Shown:
    url, words = _way_out(item, visit)
    seen_to = ", by ".join(part for part in (item.who, day_words(item.due) if item.due else "") if part)
    return {"title": item.title, "words": item.words, "seen_to": seen_to, "url": url, "link": words}


def _way_out(item: OpenItem, visit: Visit) -> tuple[str, str]:
    """Return the link to the gap, and what it is called."""
    if item.defect is not None:
        return reverse("defect-detail", args=[item.defect.visit_id, item.defect.pk]), "To the defect"
    if item.hold:
        return reverse("hold-detail", args=[visit.pk, item.hold]), "To the hold"
    if item.is_awaited:
        return reverse("photos-awaited", args=[visit.pk]), "To the photos"
    words = "To the result" if item.from_laboratory else "To the reading" if item.is_taken else "To the check"
    return measurement_url(visit, item.owed), words


def _line(line: Line, content: Shown, visit: Visit, user: User, photos: dict[str, str]) -> Shown:
    can_concede = user.is_office and not why_not_conceded(line)
    return {
        **content,
        "url": measurement_url(visit, line.owed.id),
        "anchor": f"c{line.owed.number}",
        "rows": [{**row, "drawing": drawn_interval(row["picture"])} for row in content["rows"]],
        "conditions_words": ", ".join(f"{c['words']} {c['value']}" for c in content["conditions"]),
        "photo_urls": [photos[sha] for sha in content["photos"] if sha in photos],
        "defect_links": [_defect(one, visit) for one in line.defects],
        "concede_url": reverse("concession-grant", args=[visit.pk, line.owed.id]) if can_concede else "",
        "questions": [question_shown(one, zone_of(visit.site)) for one in line.questions],
        "ask_url": reverse("question-ask", args=[visit.pk, line.owed.id]) if user.is_office else "",
    }


def _defect(one: Any, visit: Visit) -> Shown:
    state = "put right" if one.put_right_at else "unsafe" if one.is_unsafe else "open"
    return {
        "name": f"Defect {one.number}", "state": state, "words": one.words, "who": one.who,
        "due": day_words(one.due) if one.due else "", "url": reverse("defect-detail", args=[one.visit_id, one.pk]),
    }  # fmt: skip


def _hold(one: HoldLine, visit: Visit) -> Shown:
    release = one.release
    said = (
        f"{release.by.get_full_name()}, {moment_words(release.at, zone_of(visit.site))}: {release.reason}"
        if release
        else ""
    )
    return {
        "title": one.hold.title, "standing": one.standing.value, "stays_off": one.hold.stays_off, "said": said,
        "owed": [check_words(line) for line in one.still_owed],
        "url": reverse("hold-detail", args=[visit.pk, one.hold.key]),
    }  # fmt: skip


def _concession(line: Line, visit: Visit) -> Shown:
    one = line.concession
    assert one is not None
    return {
        "what": f"{check_words(line)}: {line.verdict or line.status.value}", "reason": one.reason,
        "by": one.by.get_full_name(), "when": day_words(one.at, zone_of(visit.site)),
        "until": day_words(one.expires_on) if one.expires_on else "no end",
    }  # fmt: skip


def _open_question(one: Question, progress: Progress) -> Shown:
    """Return a question that waits for its answer, with the way to where it stands."""
    line = progress.line(f"{one.check_key}:{one.subject}")
    found = question_shown(one, zone_of(progress.visit.site))
    return {
        "what": check_words(line) if line else f"{one.check_key}, {one.subject}, no longer owed",
        "words": found.words,
        "said": found.said,
        "url": measurement_url(progress.visit, line.owed.id) if line else found.url,
    }


def asked_context(progress: Progress, line: Line) -> Shown:
    """Return what was taken on a check and what was asked about it before."""
    content = next((c for c in lines_of(progress) if c["owed"] == line.owed.id), None)
    values = [row["value"] or row["words"] for row in content["rows"]] if content else []
    return {
        "said": ", ".join(value for value in values if value), "who": content["who"] if content else "",
        "when": content["when"] if content else "",
        "questions": [question_shown(one, zone_of(progress.visit.site)) for one in line.questions],
    }  # fmt: skip
