"""Whether the water may be drunk today: what a sheet says, and what laboratories have found since.

A sheet is frozen; a laboratory reports when it likes. What it found stands beside the sheet, on every page where
somebody reads whether the water is safe, until a later result of the same check on the same subject says otherwise.
"""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from commissioning.models import Measurement, Sheet, Site
from commissioning.moments import day_words, zone_of
from commissioning.progress import progress_of
from sizing.checks.catalogue import CHECKS
from sizing.checks.laboratory import is_of_health
from sizing.holds import Standing
from sizing.verdict import Verdict

LABORATORY = tuple(sorted(key for key, check in CHECKS.items() if check.from_laboratory))
DRINK = "drink"
BAD_WORDS = "Not for drinking since {}."
FOUND = "The laboratory found that the water is not as it should be: {}."
TODO = (
    "Leave the tags on every tap. Tell everybody who draws water here, visitors too.",
    "Use other safe water for drinking, cooking, ice, teeth and babies' food.",
    "Boiling kills germs, and does not take out nitrate, arsenic, lead or other salts: boil only where the health "
    "authority says that it is enough.",
    "Wait for a written release from us. Clear water without a smell can still make ill.",
)
AUTHORITY = "Ask your local health authority what applies where you live; their word goes before this page."
AGAIN_WORDS = "For drinking again since {}."
RELEASED_WORDS = "Released for drinking since {}."
GOOD_SINCE = "The laboratory's later results are as they should be. This is newer than the sheet: ask for its revision."
GOOD_AGAIN = "A result before that was not as it should be; the one that followed is."


@dataclass(frozen=True)
class Result:
    """The latest result of one check of the laboratory on one subject, and whether it forbids drinking."""

    measurement: Measurement
    title: str
    day: date
    is_bad: bool
    followed_bad: bool
    """Whether a result before it forbade drinking."""

    @property
    def words(self) -> str:
        return f"{self.title} ({day_words(self.day)})"


@dataclass(frozen=True)
class WaterNow:
    """What is newer than the sheet: `words` large, `lines` below it, `todo` in numbered steps."""

    words: str
    lines: tuple[str, ...]
    todo: tuple[str, ...]
    is_bad: bool
    visit_id: UUID
    """The visit of the result that says so."""


@dataclass(frozen=True)
class SheetSays:
    """What a frozen record says of drinking, and which results it knew."""

    is_safe: bool
    known: frozenset[str]


_says: dict[str, SheetSays] = {}
"""By the hash of a frozen record, which never changes: each is read once."""


def results_of(sites: Iterable[UUID]) -> dict[UUID, list[Result]]:
    """Return the latest results by site, in two queries for one site as for many."""
    rows = Measurement.objects.filter(visit__site__in=list(sites), check_key__in=LABORATORY).on_standing()
    rows = rows.select_related("visit__site", "component", "run", "passed_over").prefetch_related("judgements")
    taken = sorted(rows, key=lambda one: one.taken_at)
    replaced = {one.supersedes_id for one in taken}
    by_place: dict[tuple[UUID, str, str], list[Measurement]] = {}
    for one in taken:
        by_place.setdefault((one.visit.site_id, one.check_key, _tag(one)), []).append(one)
    found: dict[UUID, list[Result]] = {}
    for (site_id, _, tag), there in by_place.items():
        counting = [one for one in there if one.pk not in replaced and not hasattr(one, "passed_over")]
        if counting:
            found.setdefault(site_id, []).append(_result(counting[-1], there, tag))
    return found


def _tag(one: Measurement) -> str:
    there = one.component or one.run
    return there.tag if there else one.subject


def _result(last: Measurement, there: list[Measurement], tag: str) -> Result:
    title = CHECKS[last.check_key].title + ("" if tag == "site" else f", {tag}")
    day = last.taken_at.astimezone(zone_of(last.visit.site)).date()
    before = [one for one in there if one is not last and one.taken_at <= last.taken_at]
    return Result(last, title, day, forbids(last), any(forbids(one) for one in before))


def forbids(one: Measurement) -> bool:
    """Whether a result forbids drinking: beyond a limit that is there for health, and not for taste or looks."""
    judgement = one.judgement()
    found = judgement.findings if judgement else []
    outside = [f for f in found if f["verdict"] == Verdict.OUTSIDE.value]
    return any(is_of_health((f["expected"] or {}).get("basis", "")) for f in outside)


def bad_results(site_id: UUID) -> list[Result]:
    """Return what forbids drinking at a site today, oldest first."""
    return bad_of(results_of([site_id]).get(site_id, []))


def says(sheets: Iterable[Sheet]) -> dict[str, SheetSays]:
    """Return what sheets say of drinking, by hash; the bodies of those not read yet come in one query."""
    there = list(sheets)
    unread = [one.pk for one in there if one.hash not in _says]
    for digest, body in Sheet.objects.filter(pk__in=unread).values_list("hash", "body") if unread else ():
        _says[digest] = _read(body)
    return {one.hash: _says[one.hash] for one in there}


def _read(body: str) -> SheetSays:
    record = json.loads(body)
    standing = record.get("sheet", {}).get("standing", {})
    lines = [line for group in record.get("results", []) for line in group["lines"]]
    known = {line["measurement"] for line in lines if line["check"] in LABORATORY}
    return SheetSays(not standing.get("not_for_drinking", True), frozenset({*known, *standing.get("laboratory", [])}))


def water_now(site: Site, sheet: Sheet | None) -> WaterNow | None:
    """Return what is newer than a site's sheet; None where what the sheet says of drinking still holds."""
    results = results_of([site.pk]).get(site.pk, [])
    bad = bad_of(results)
    if bad or sheet is None:
        return _bad(bad) if bad else None
    if not results:
        return None
    said = _says.setdefault(sheet.hash, _read(sheet.body))
    fresh = _unknown_to(said, results)
    again = [one for one in fresh if one.followed_bad]
    if said.is_safe:
        return _good(AGAIN_WORDS, GOOD_AGAIN, again) if again else None
    return _good(RELEASED_WORDS, GOOD_SINCE, fresh) if fresh and is_released_on(sheet) else None


def bad_of(results: Iterable[Result]) -> list[Result]:
    """Return the results that forbid drinking, oldest first."""
    return sorted((one for one in results if one.is_bad), key=lambda one: one.day)


def _unknown_to(said: SheetSays, results: Iterable[Result]) -> list[Result]:
    return [one for one in results if str(one.measurement.pk) not in said.known]


def is_released_on(sheet: Sheet) -> bool:
    """Whether the hold on drinking is settled today on the visit of a sheet."""
    hold = progress_of(sheet.visit).hold(DRINK)
    return hold is not None and hold.standing is Standing.SETTLED


def _bad(bad: list[Result]) -> WaterNow:
    words, found = BAD_WORDS.format(day_words(bad[0].day)), "; ".join(one.words for one in bad)
    return WaterNow(words, (FOUND.format(found), AUTHORITY), TODO, True, bad[0].measurement.visit_id)


def _good(words: str, line: str, found: list[Result]) -> WaterNow:
    last = max(found, key=lambda one: one.day)
    return WaterNow(words.format(day_words(last.day)), (line, AUTHORITY), (), False, last.measurement.visit_id)


@dataclass(frozen=True)
class Outdated:
    """A sheet that the laboratory has overtaken: since when, and by what."""

    sheet: Sheet
    is_bad: bool
    results: tuple[Result, ...]

    @property
    def since(self) -> date:
        return min(one.day for one in self.results)


def outdated(sheets: Iterable[Sheet]) -> Iterator[Outdated]:
    """Yield the sheets that stand and are to be revised, in as many queries for one as for many.

    A result came that forbids drinking; or the sheet says "not for drinking" and results came that do not.
    """
    there = list(sheets)
    results, said = results_of({one.site_id for one in there}), says(there)
    for sheet in there:
        mine = results.get(sheet.site_id, [])
        bad, fresh = bad_of(mine), _unknown_to(said[sheet.hash], mine)
        told = [one for one in bad if said[sheet.hash].is_safe or one in fresh]
        if told:
            yield Outdated(sheet, True, tuple(told))
        elif fresh and not bad and not said[sheet.hash].is_safe:
            yield Outdated(sheet, False, tuple(fresh))
