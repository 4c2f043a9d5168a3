"""The design check ready to print: what is not met first, margins in words, and the way to what is missing."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass

from commissioning import showing, units
from commissioning.units.figures import number
from sizing.design.declare import Met, Outcome, Rule, Shares, Sort
from sizing.design.judge import Lacking, Result
from sizing.quantities import Quantity
from sizing.system import SITE, System

HEADINGS = {
    Sort.SAFETY: ("Safety", "Before anything is switched on. Local codes and licensed practice come first."),
    Sort.FUNCTION: ("Function", "What the system is to deliver."),
}
LOOK = {Met.MET: "within", Met.NOT_MET: "outside", Met.CANNOT_BE_SAID: "unjudged"}
SHARES_TOLD = 2.0  # beyond this multiple of the limit a share says nothing


@dataclass(frozen=True)
class ShareShown:
    label: str
    amount: str


@dataclass(frozen=True)
class SharesShown:
    title: str
    most: str
    """What took most, in words: "P6 gravity main takes 11.8 m of 15.1 m"."""
    lines: tuple[ShareShown, ...]


@dataclass(frozen=True)
class RowShown:
    """One rule on one subject."""

    title: str
    subject: str
    met: str
    look: str
    value: str
    limits: str
    margin: str
    basis: str
    purpose: str
    sources: tuple[tuple[str, str], ...]
    steps: tuple[showing.StepShown, ...]
    shares: SharesShown | None = None


@dataclass(frozen=True)
class LackShown:
    """Something that is missing, where it is put in, and the rules that wait for it."""

    words: str
    url: str
    waits: str


@dataclass(frozen=True)
class SectionShown:
    key: str
    title: str
    note: str
    not_met: tuple[RowShown, ...]
    lacking: tuple[LackShown, ...]
    met: tuple[RowShown, ...]
    met_words: str


def sections(results: list[Result], system: System, unit_system: str, urls: dict[str, str]) -> list[SectionShown]:
    """Return the design check by sort, what is not met first. `urls` leads from a tag to its form."""
    return [_section(sort, [r for r in results if r.rule.sort is sort], system, unit_system, urls) for sort in Sort]


def _section(sort: Sort, results: list[Result], system: System, unit_system: str, urls: dict[str, str]) -> SectionShown:
    title, note = HEADINGS[sort]
    not_met = sorted((r for r in results if r.met is Met.NOT_MET), key=_by_share)
    met = [r for r in results if r.met is Met.MET]
    return SectionShown(
        key=f"d-{sort.value}",
        title=title,
        note=note,
        not_met=tuple(row(one, system, unit_system) for one in not_met),
        lacking=_lacking([r for r in results if r.met is Met.CANNOT_BE_SAID], system, urls),
        met=tuple(row(one, system, unit_system) for one in sorted(met, key=_by_share)),
        met_words=f"{len(met)} met, the closest first",
    )


def _by_share(result: Result) -> float:
    """Return the share by which results are ordered, the worst first; what has no share goes by its sign."""
    assert result.outcome is not None
    share = result.outcome.margin_share
    return share if share is not None else (-1.0 if not result.outcome.is_met else 1.0)


def row(result: Result, system: System, unit_system: str) -> RowShown:
    """Return one result that can be said, in the units of the site."""
    outcome, rule = result.outcome, result.rule
    assert outcome is not None
    code = units.default_unit(outcome.quantity, unit_system).code
    return RowShown(
        title=rule.title,
        subject=subject_words(result, system),
        met=result.met.value,
        look=LOOK[result.met],
        value=units.figure(outcome.value, outcome.quantity, code, places=_places(outcome)),
        limits=units.span(outcome.lower, outcome.upper, outcome.quantity, code, places=_places(outcome), symbol=True),
        margin=margin_words(outcome, unit_system),
        basis=outcome.basis,
        purpose=rule.purpose,
        sources=tuple((limit.words, limit.source) for limit in rule.limits),
        steps=tuple(showing.step_shown(asdict(step), outcome.quantity) for step in result.steps),
        shares=_shares(outcome.shares, unit_system),
    )


def subject_words(result: Result, system: System) -> str:
    """Return on what a rule was tried, as a person says it."""
    if result.tag == SITE:
        return "whole site"
    subject = _called(system, result.tag)
    if not result.against:
        return subject
    known = result.against in system.nodes or result.against in system.runs
    return f"{subject}, with {_called(system, result.against)}" if known else f"{subject}, {result.against}"


def _called(system: System, tag: str) -> str:
    part = system.subject(tag)
    return f"{tag} {part.name or part.part.title.lower()}"


def margin_words(outcome: Outcome, unit_system: str) -> str:
    """Return the margin in words: "23.4 V to spare, 23 % of the limit", "0.9 A too much, 6 % of the limit"."""
    margin = outcome.margin
    if margin == 0:
        return "nothing to spare"
    code = units.default_unit(outcome.quantity, unit_system).code
    places = _places(outcome)
    if places is None:
        amount = units.difference(abs(margin), outcome.quantity, code).lstrip("+")
    else:
        amount = number(abs(margin), places)
    share = outcome.margin_share
    told = f", {_percent(share)} of the limit" if share is not None and abs(share) < SHARES_TOLD else ""
    return f"{amount} {_direction(outcome)}{told}"


def _places(outcome: Outcome) -> int | None:
    """Return the places of a count: none of a whole one, such as valves, one of days; None for what has a unit."""
    if outcome.quantity is not Quantity.COUNT:
        return None
    return 0 if outcome.value.is_integer() else 1


def _direction(outcome: Outcome) -> str:
    if outcome.is_met:
        return "to spare"
    is_low = outcome.lower is not None and outcome.value < outcome.lower
    if outcome.quantity is Quantity.COUNT:
        return "too few" if is_low else "too many"
    return "too little" if is_low else "too much"


def _percent(share: float) -> str:
    places = 0 if abs(share) >= 0.095 else 1
    return f"{number(100 * abs(share), places)}\u00a0%"


def _shares(shares: Shares | None, unit_system: str) -> SharesShown | None:
    if shares is None:
        return None
    code = units.default_unit(shares.quantity, unit_system).code
    lines = tuple(ShareShown(one.label, units.figure(one.amount, shares.quantity, code)) for one in shares.lines)
    taken = range(1, len(lines) - 1)
    most = max(taken, key=lambda place: shares.lines[place].amount, default=None)
    words = f"{lines[most].label} takes {lines[most].amount} of {lines[0].amount}" if most is not None else ""
    return SharesShown(shares.title, words, lines)


def _lacking(results: list[Result], system: System, urls: dict[str, str]) -> tuple[LackShown, ...]:
    """Return what is missing, each once, what most rules wait for first."""
    waiting: dict[Lacking, list[Result]] = {}
    for one in results:
        if one.lacking:
            waiting.setdefault(one.lacking, []).append(one)
    ranked = sorted(waiting.items(), key=lambda pair: (-len(pair[1]), pair[0].words))
    return tuple(LackShown(lack.words, _url(lack, system, urls), _waits(found)) for lack, found in ranked)


def _url(lack: Lacking, system: System, urls: dict[str, str]) -> str:
    """Return the way to a field; to its form alone where it is no field that is missing, such as a run."""
    if lack.owner not in urls:
        return ""
    is_field = lack.field in system.subject(lack.owner).part.declarations()
    return f"{urls[lack.owner]}#plate-{lack.field}" if is_field else urls[lack.owner]


def _waits(results: Iterable[Result]) -> str:
    tags: dict[Rule, list[str]] = {}
    for one in results:
        where = one.tag if not one.against else f"{one.tag} with {one.against}"
        tags.setdefault(one.rule, []).append("" if one.tag == SITE else where)
    return "; ".join(f"{rule.title} {', '.join(found)}".strip() for rule, found in tags.items())


def head_words(results: list[Result]) -> str:
    """Return how many rules are not met, cannot be said, are met."""
    counts = [(sum(1 for r in results if r.met is met), met.value) for met in Met]
    return " · ".join(f"{many} {words}" for many, words in counts if many) or "nothing to check yet"
