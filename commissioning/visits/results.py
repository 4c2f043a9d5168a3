"""What is said of a measurement after it was kept: findings, working, what is missing and where it is recorded."""

import json
from dataclasses import dataclass, field
from datetime import tzinfo
from typing import Any

from django.urls import reverse

from commissioning import showing, units
from commissioning.ledger import remarks_on
from commissioning.models import Choice, Component, Judgement, Measurement, Reading
from commissioning.progress import Line, Progress
from commissioning.units.figures import typed_figure
from commissioning.visits.chart import rows_plot
from commissioning.visits.shapes import is_through_the_day
from commissioning.visits.times import clock, clock_and_day, zone_of
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Shape
from sizing.quantities import Quantity
from sizing.system import SITE
from sizing.verdict import Verdict, gravest


@dataclass(frozen=True)
class MissingShown:
    """What is missing, and where a person puts it in."""

    words: str
    url: str
    link: str


@dataclass(frozen=True)
class UnitLink:
    """One unit in which the result can be shown."""

    symbol: str
    code: str
    is_chosen: bool


@dataclass(frozen=True)
class ReadingShown:
    """One reading as it was typed."""

    label: str
    typed: str
    time: str
    instrument: str


@dataclass(frozen=True)
class Row:
    """One row of a table of readings: repeat, time, what was typed, what came out."""

    label: str
    time: str
    typed: tuple[str, ...]
    values: tuple[str, ...]
    verdict: str


@dataclass(frozen=True)
class Replaced:
    """A reading that was replaced: both stay on record."""

    was: str
    now: str
    words: str


@dataclass(frozen=True)
class Result:
    """A measurement, ready to print."""

    measurement: Measurement
    verdict: str
    findings: list[showing.FindingShown]
    readings: list[ReadingShown]
    missing: list[MissingShown]
    unit_links: list[UnitLink]
    taken: str
    because: str
    plot: str
    columns: tuple[str, ...]
    rows: list[Row]
    replaced: list[Replaced]

    rows_words: str
    remarks: list[str] = field(default_factory=list)
    """What the phone showed otherwise, and what its clock leaves in doubt."""

    @property
    def rows_owed(self) -> bool:
        """Whether fewer rows are kept than the check asks for."""
        return "owed" in self.rows_words

    @property
    def names_differ(self) -> bool:
        """Whether several values are judged, so that each has to be named."""
        return len({f.name for f in self.findings}) > 1

    @property
    def only(self) -> showing.FindingShown | None:
        """The finding, where there is just one."""
        return self.findings[0] if len(self.findings) == 1 else None


def result_of(line: Line, progress: Progress, unit: str = "") -> Result | None:
    """Return the result of a line, its first value in the unit asked for; None where nothing is taken."""
    one, judgement = line.measurement, line.judgement
    if one is None:
        return None
    system, zone = progress.visit.site.unit_system, zone_of(progress.visit.site)
    readings = _with_instruments(one)
    found = showing.show(judgement, system, _in_unit(judgement, readings, unit))
    return Result(
        measurement=one,
        verdict=line.verdict,
        findings=found,
        readings=[reading_shown(line.check, r) for r in readings],
        missing=_missing(judgement, progress),
        unit_links=_unit_links(judgement, readings, system, unit),
        taken=_taken_words(one, zone),
        because=judgement.because if judgement else "",
        plot=rows_plot(line.check, judgement, readings, system) if line.check.repeat.shape is Shape.ROWS else "",
        columns=_columns(line.check, readings),
        rows=_rows(line.check, readings, found, progress),
        replaced=[*_replaced(one, readings, line.check, progress), *_passed_over(one, readings, line.check, progress)],
        rows_words=_rows_words(line.check, readings),
        remarks=remarks_on(one, judgement),
    )


def _with_instruments(one: Measurement) -> list[Reading]:
    """Return the readings; where they are fetched already, they are not fetched again."""
    is_fetched = "readings" in getattr(one, "_prefetched_objects_cache", {})
    return list(one.readings.all() if is_fetched else one.readings.select_related("instrument"))


def _last_choice(one: Measurement) -> Choice | None:
    if "choices" in getattr(one, "_prefetched_objects_cache", {}):
        return next(reversed(list(one.choices.all())), None)
    return one.choices.select_related("by").prefetch_related("passed_over__measurement__readings").last()


def _taken_words(one: Measurement, zone: tzinfo) -> str:
    words = [clock_and_day(one.taken_at, zone), str(one.taken_by)]
    noted = json.loads(one.event.body).get("origin_note")
    return " · ".join([*words, *([f"from the {noted}"] if noted else [])])


def reading_shown(check: Check, reading: Reading) -> ReadingShown:
    """Return a reading as typed, with its instrument."""
    declared = check.input(reading.input)
    label = declared.label if declared else reading.input
    if reading.label:
        label = f"{label}, {reading.label}"
    return ReadingShown(label, typed_words(check, reading), "", str(reading.instrument) if reading.instrument else "")


def typed_words(check: Check, reading: Reading) -> str:
    """Return what was typed with its unit, or the words that were chosen."""
    declared = check.input(reading.input)
    if declared is None:
        return reading.typed
    if declared.options:
        return next((o.label for o in declared.options if o.value == reading.typed), reading.typed)
    return typed_figure(reading.typed, declared.quantity, reading.unit)


# units


def _in_unit(judgement: Judgement | None, readings: list[Reading], unit: str) -> list[Reading]:
    """Return the readings with the unit asked for in the place of the one typed, where it fits the quantity."""
    if not unit or judgement is None or not judgement.findings:
        return readings
    first = judgement.findings[0]
    if unit not in {u.code for u in units.offered(Quantity(first["quantity"]))}:
        return readings
    asked = [
        Reading(input=f["name"], label=f["repeat"], unit=unit)
        for f in judgement.findings
        if f["quantity"] == first["quantity"]
    ]
    names = {(r.input, r.label) for r in asked}
    return [*asked, *(r for r in readings if (r.input, r.label) not in names)]


def _unit_links(judgement: Judgement | None, readings: list[Reading], system: str, unit: str) -> list[UnitLink]:
    if judgement is None or not judgement.findings or judgement.findings[0]["value"] is None:
        return []
    first = judgement.findings[0]
    quantity = Quantity(first["quantity"])
    offered = units.offered(quantity, system)
    if len(offered) < 2:
        return []
    typed = next((r for r in readings if r.input == first["name"]), None)
    chosen = unit if unit in {u.code for u in offered} else showing.unit_for(quantity, system, typed)
    return [UnitLink(u.symbol, u.code, u.code == chosen) for u in offered]


# what is missing


def _missing(judgement: Judgement | None, progress: Progress) -> list[MissingShown]:
    found = {m["words"]: m for f in (judgement.findings if judgement else []) for m in f["missing"]}
    return [MissingShown(words, *_where(one, progress)) for words, one in found.items()]


def _where(missing: dict[str, Any], progress: Progress) -> tuple[str, str]:
    """Return address and words of the place where something missing is put in."""
    owner, field = missing["owner"], missing["field"]
    if owner in CHECKS and progress.line(f"{owner}:{field}"):
        url = reverse("measurement", args=[progress.visit.pk, f"{owner}:{field}"])
        return url, f"Take {CHECKS[owner].title.lower()}"
    if field in CHECKS:
        return "", ""
    return record_url(owner, field, progress), "To the as-built record"


def record_url(tag: str, field: str, progress: Progress) -> str:
    """Return where a field of the as-built record is put in; empty where the tag is not in the record."""
    site = progress.visit.site
    if tag == SITE:
        return reverse("site-edit", args=[site.pk])
    item = progress.in_record.get(tag)
    if item is None:
        return ""
    name = "component-edit" if isinstance(item, Component) else "run-edit"
    return f"{reverse(name, args=[site.pk, item.pk])}#plate-{field}"


# rows


def _rows_words(check: Check, readings: list[Reading]) -> str:
    """Return how many rows are kept, and how many are still owed."""
    if check.repeat.shape is not Shape.ROWS:
        return ""
    kept = len({r.label for r in readings if r.label})
    owed = max(check.repeat.least - kept, 0)
    words = "1 row kept" if kept == 1 else f"{kept} rows kept"
    return f"{words}, {owed} more owed" if owed else words


def _columns(check: Check, readings: list[Reading]) -> tuple[str, ...]:
    names = dict.fromkeys(r.input for r in readings if r.label)
    return tuple(declared.label for name in names if (declared := check.input(name)))


def _rows(check: Check, readings: list[Reading], found: list[showing.FindingShown], progress: Progress) -> list[Row]:
    """Return the table of a measurement whose repeats are judged one by one, in rows through the day."""
    if check.repeat.shape is not Shape.ROWS:
        return []
    zone = zone_of(progress.visit.site)
    names = list(dict.fromkeys(r.input for r in readings if r.label))
    rows = []
    for label in dict.fromkeys(r.label for r in readings if r.label):
        mine = {r.input: r for r in readings if r.label == label}
        typed = tuple(typed_words(check, mine[name]) if name in mine else showing.EM_DASH for name in names)
        judged = [f for f in found if f.repeat == label]
        verdicts = [Verdict(f.verdict) for f in judged if f.verdict]
        verdict = gravest(verdicts).value if verdicts else ""
        time = clock(next(iter(mine.values())).at, zone)
        short = label.rpartition(" ")[2] if is_through_the_day(check) else label
        rows.append(Row(short, time, typed, tuple(f.value for f in judged), verdict))
    return rows


# what was replaced


def _replaced(one: Measurement, readings: list[Reading], check: Check, progress: Progress) -> list[Replaced]:
    """Return the readings that stood before, latest first. Rows that were only added to replaced nothing."""
    zone, found = zone_of(progress.visit.site), []
    newer, newer_readings = one, readings
    while newer.supersedes_id:
        older = newer.supersedes
        assert older is not None
        was = list(older.readings.all())
        if not was or _typed(was) - _typed(newer_readings):
            words = f"Replaced {clock_and_day(newer.taken_at, zone)}, {newer.taken_by}: {newer.supersedes_reason}"
            found.append(Replaced(_all_typed(check, older, was), _all_typed(check, newer, newer_readings), words))
        newer, newer_readings = older, was
    return found


def _passed_over(one: Measurement, readings: list[Reading], check: Check, progress: Progress) -> list[Replaced]:
    """Return the values of other phones that were passed over for this one, with the reason."""
    choice = _last_choice(one)
    if choice is None:
        return []
    when = clock_and_day(choice.at, zone_of(progress.visit.site))
    words = f"Passed over {when}, {choice.by}: {choice.reason}"
    now = _all_typed(check, one, readings)
    others = [passed.measurement for passed in choice.passed_over.all()]
    return [Replaced(_all_typed(check, other, list(other.readings.all())), now, words) for other in others]


def _typed(readings: list[Reading]) -> set[tuple[str, str, str, str]]:
    return {(r.input, r.label, r.typed, r.unit) for r in readings}


def _all_typed(check: Check, one: Measurement, readings: list[Reading]) -> str:
    return one.answer or ", ".join(typed_words(check, r) for r in readings)
