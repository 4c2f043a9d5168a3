"""From readings and conditions to findings: reduce, expected, uncertainty by re-evaluation, verdict."""

import dataclasses
import math
from collections.abc import Mapping

from sizing.checks.case import Case, Expected, Reading, Term, Value
from sizing.checks.declare import Answer, Check, Judged, Kind, Shape
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.quantities import Quantity
from sizing.records import record
from sizing.system import System
from sizing.verdict import COVERAGE, Decision, Verdict, decide, gravest
from sizing.working import Step, Working

Conditions = Mapping[str, Value | MissingDataError]


@record
class Missing:
    """What is not there, so that a number cannot be computed."""

    owner: str
    field: str
    words: str


@record
class Finding:
    """One judged value. Numbers are in the core unit of `quantity`; `spread` is the expanded uncertainty."""

    name: str
    label: str
    repeat: str
    quantity: Quantity
    value: float | None
    bound: str
    spread: float | None
    expected: Expected | None
    terms: tuple[Term, ...]
    steps: tuple[Step, ...]
    verdict: Verdict | None
    reason: str
    missing: tuple[Missing, ...]

    @property
    def leading(self) -> Term | None:
        """The greatest term of the uncertainty."""
        return max(self.terms, key=lambda t: t.u, default=None)


@record
class Assessment:
    """All findings of one measurement and the gravest verdict; None for a mere condition."""

    check: str
    revision: int
    subject: str
    findings: tuple[Finding, ...]
    verdict: Verdict | None
    answer: str = ""


def mean(values: tuple[float, ...]) -> float:
    """Return the arithmetic mean."""
    return math.fsum(values) / len(values)


def answered(check: Check, subject: str, answer: Answer) -> Assessment:
    """Return the assessment of an observation. One that does not apply has no verdict."""
    verdict = {Answer.AS_IT_SHOULD_BE: Verdict.WITHIN, Answer.NOT_AS_IT_SHOULD_BE: Verdict.OUTSIDE}.get(answer)
    return Assessment(check.key, check.revision, subject, (), verdict, answer.value)


def assess(
    check: Check,
    system: System,
    subject: str,
    *,
    readings: tuple[Reading, ...] = (),
    conditions: Conditions | None = None,
    way: str = "",
    moment: float | None = None,
    at_each: Mapping[str, tuple[float, Conditions]] | None = None,
) -> Assessment:
    """Return the findings of one carrying-out of a measured or derived check.

    `readings` and `conditions` are in core units. `moment` is Unix time [s]. `at_each` gives, by the label of
    a row, its own moment and conditions: rows of one measurement may lie hours apart. Missing data never
    raises: it gives an unjudged finding that names the field. Fewer rows than the check wants leave it unjudged.
    """
    labels = _labels_read(check, readings)
    findings = []
    for label in labels:
        then, around = (at_each or {}).get(label, (moment, conditions or {}))
        for judged in check.judged:
            case = Case(system, system.subject(subject), readings, around, label, way, then)
            findings.append(_finding(check, judged, case))
    verdicts = [f.verdict for f in findings if f.verdict is not None]
    if rows_owed(check, labels):
        verdicts.append(Verdict.UNJUDGED)
    overall = None if check.is_condition else gravest(verdicts)
    return Assessment(check.key, check.revision, subject, tuple(findings), overall)


def rows_owed(check: Check, labels: list[str]) -> int:
    """Return how many more rows a check through the day wants."""
    return max(check.repeat.least - len(labels), 0) if check.repeat.shape is Shape.ROWS else 0


def expect(
    check: Check, judged: Judged, system: System, subject: str, *, conditions: Conditions, moment: float | None = None
) -> tuple[Expected | None, tuple[Step, ...], Missing | None]:
    """Return what a number should be under given conditions, with its working, or what is missing."""
    case = Case(system, system.subject(subject), (), conditions, "", "", moment, Working())
    try:
        return judged.expected(case), tuple(case.w.steps), None
    except (MissingDataError, OutOfRangeError, SystemShapeError) as problem:
        return None, (), _missing(problem)


def _labels_read(check: Check, readings: tuple[Reading, ...]) -> list[str]:
    if check.repeat.shape not in (Shape.EACH, Shape.ROWS):
        return [""]
    return list(dict.fromkeys(r.label for r in readings if r.label))


def _missing(problem: Exception) -> Missing:
    if isinstance(problem, MissingDataError):
        return Missing(problem.owner, problem.field, problem.words)
    if isinstance(problem, OutOfRangeError):
        return Missing("range", problem.argument, str(problem))
    return Missing("as-built record", "runs", str(problem))


def measured_value(judged: Judged, case: Case) -> float:
    """Return the value that is judged, from the readings."""
    if judged.measured is not None:
        return judged.measured(case)
    here = tuple(r.value for r in case.readings if r.input == judged.name and case.label in ("", r.label))
    if not here:
        raise MissingDataError("reading", judged.name, f"{judged.label.lower()} has not been read")
    return here[0] if len(here) == 1 else mean(here)


def disagreement(check: Check, readings: tuple[Reading, ...]) -> str:
    """Return in words which repeats lie too far apart to be averaged; empty if none do."""
    if check.repeat.shape is not Shape.TIMES:
        return ""
    for one in (i for way in check.ways for i in way.inputs if i.repeats):
        values = [r.value for r in readings if r.input == one.name]
        if len(values) < 2:
            continue
        spread = max(values) - min(values)
        middle = abs(mean(tuple(values)))
        if one.agree_share is not None and spread > one.agree_share * middle:
            found, allowed = 100 * spread / middle, 100 * one.agree_share
            return f"{one.label.lower()}: repeats differ by {found:.0f} %, more than {allowed:.0f} %; take them again"
        if one.agree_fixed is not None and spread > one.agree_fixed:
            return f"{one.label.lower()}: repeats do not agree; wait and take them again"
    return ""


def _finding(check: Check, judged: Judged, case: Case) -> Finding:
    case.w = Working()
    bound = next(
        (r.bound for r in case.readings if r.input == judged.name and r.label in (case.label, "") and r.bound), ""
    )
    value, problem = _try_measured(judged, case)
    if value is None:
        return _without(judged, case, None, bound, problem, ())
    try:
        expected = judged.expected(case)
    except (MissingDataError, OutOfRangeError, SystemShapeError) as error:
        terms = _terms_by_reevaluation(judged, case, None)
        if check.is_condition:
            spread = COVERAGE * _together(terms)
            return Finding(
                judged.name,
                judged.label,
                case.label,
                judged.quantity,
                value,
                bound,
                spread,
                None,
                terms,
                tuple(case.w.steps),
                None,
                "",
                (),
            )
        return _without(judged, case, value, bound, _missing(error), terms)
    terms = (*_terms_by_reevaluation(judged, case, expected), *expected.terms)
    spread = COVERAGE * _together(terms)
    decision = _decided(value, spread, expected, bound, terms)
    apart = disagreement(check, case.readings)
    if apart:
        decision = Decision(Verdict.UNJUDGED, apart)
    return Finding(
        judged.name,
        judged.label,
        case.label,
        judged.quantity,
        value,
        bound,
        spread,
        expected,
        tuple(t for t in terms if t.u > 0),
        tuple(case.w.steps),
        None if check.is_condition else decision.verdict,
        apart if check.is_condition else decision.reason,
        (),
    )


def _try_measured(judged: Judged, case: Case) -> tuple[float | None, Missing | None]:
    try:
        return measured_value(judged, case), None
    except (MissingDataError, OutOfRangeError, SystemShapeError) as error:
        return None, _missing(error)


def _without(
    judged: Judged, case: Case, value: float | None, bound: str, missing: Missing | None, terms: tuple[Term, ...]
) -> Finding:
    """Return an unjudged finding that says what is missing."""
    spread = COVERAGE * _together(terms) if value is not None else None
    return Finding(
        judged.name,
        judged.label,
        case.label,
        judged.quantity,
        value,
        bound,
        spread,
        None,
        terms,
        tuple(case.w.steps),
        Verdict.UNJUDGED,
        missing.words if missing else "",
        (missing,) if missing else (),
    )


def _decided(value: float, spread: float, expected: Expected, bound: str, terms: tuple[Term, ...]) -> Decision:
    if not math.isfinite(spread):
        return Decision(Verdict.UNJUDGED, "conditions lie at the edge of what can be computed")
    decision = decide(
        value,
        spread,
        lower=expected.lower,
        upper=expected.upper,
        nominal=expected.nominal,
        bearable=expected.bearable,
        bound=bound,
    )
    if decision.verdict in (Verdict.UNJUDGED, Verdict.BORDERLINE) and not bound and terms:
        leading = max(terms, key=lambda t: t.u)
        return dataclasses.replace(decision, reason=f"{decision.reason}; most of it from {leading.name}")
    return decision


def _together(terms: tuple[Term, ...]) -> float:
    return math.sqrt(math.fsum(t.u**2 for t in terms))


def _deviation(judged: Judged, case: Case, with_expected: bool) -> float:
    """Return measured minus expected (or measured alone), without recording."""
    silent = dataclasses.replace(case, w=Working(silent=True), used=set())
    value = measured_value(judged, silent)
    if not with_expected:
        return value
    expected = judged.expected(silent)
    reference = next((r for r in (expected.nominal, expected.lower, expected.upper) if r is not None), 0.0)
    return value - reference


def _terms_by_reevaluation(judged: Judged, case: Case, expected: Expected | None) -> tuple[Term, ...]:
    """Return a term for each reading and condition: half the change of the deviation between + u and − u."""
    terms = []
    for i, reading in enumerate(case.readings):
        if (reading.u > 0 and case.label in ("", reading.label)) or (reading.u > 0 and reading.label == ""):
            moved = [_with_reading(case, i, sign * reading.u) for sign in (1, -1)]
            terms.append(
                Term(reading.words or reading.input.replace("_", " "), _half_change(judged, moved, case, expected))
            )
    for name, value in case.conditions.items():
        if isinstance(value, Value) and value.u > 0:
            shifted = [_with_condition(case, name, sign * value.u) for sign in (1, -1)]
            u = _half_change(judged, shifted, case, expected)
            terms.append(Term(value.words or name.replace("_", " "), u, value.shared))
    return tuple(_merged(terms))


def _merged(terms: list[Term]) -> list[Term]:
    """Return terms with repeats of one name taken together, dropping those that move nothing."""
    by_name: dict[str, Term] = {}
    for term in terms:
        before = by_name.get(term.name)
        u = term.u if before is None else math.hypot(before.u, term.u)
        by_name[term.name] = dataclasses.replace(term, u=u)
    return [t for t in by_name.values() if t.u > 0]


def _with_reading(case: Case, index: int, shift: float) -> Case:
    moved = dataclasses.replace(case.readings[index], value=case.readings[index].value + shift)
    return dataclasses.replace(case, readings=(*case.readings[:index], moved, *case.readings[index + 1 :]))


def _with_condition(case: Case, name: str, shift: float) -> Case:
    old = case.conditions[name]
    assert isinstance(old, Value)
    return dataclasses.replace(
        case, conditions={**case.conditions, name: dataclasses.replace(old, value=old.value + shift)}
    )


def _half_change(judged: Judged, moved: list[Case], here: Case, expected: Expected | None) -> float:
    """Return half the difference of the deviation at + u and − u; one-sided at the edge of a range."""
    found = []
    for case in moved:
        try:
            found.append(_deviation(judged, case, expected is not None))
        except (MissingDataError, OutOfRangeError, SystemShapeError):
            continue
    if len(found) == 2:
        return abs(found[0] - found[1]) / 2
    if len(found) == 1:
        return abs(found[0] - _deviation(judged, here, expected is not None))
    return math.inf


def is_observed(check: Check) -> bool:
    """Whether a check is answered in words."""
    return check.kind is Kind.OBSERVED
