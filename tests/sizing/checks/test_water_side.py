"""What holds for every check on the water side."""

import dataclasses

import pytest

from sizing.checks.case import Value
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Kind
from sizing.judgement import Finding, assess, expect
from sizing.parts import COMPONENT_KINDS, RUN_KINDS
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import GOOD, Taken, judged, readings
from tests.sizing.systems import bare, quince_ridge
from tests.sizing.working_steps import assert_all_recompute

GROUPS = {"Before cover", "Well", "Well pump", "Storage", "Tightness", "Delivery", "Hand pump", "Water safety"}
MINE = [check for check in CHECKS.values() if check.group in GROUPS]
# Limits that no nameplate sets: a guideline, an instrument's first mark, a common practice.
FIXED = {
    "wire_to_water", "turbidity", "sand", "strokes_to_water", "residual_at_sampling", "coliform", "phase_unbalance",
    "overload_trips", "recovery_time",
    "conductivity", "rising_main_loss", "well_pump_starts", "low_water_trips", "overflow_events",
    "hand_pump_late_yield", "contact_time", "residual_after_contact",
}  # fmt: skip
PANEL = {"nitrate", "arsenic", "fluoride", "iron", "manganese", "lead", "ph"}  # limits that no step works out
EVERY = pytest.mark.parametrize("taken", GOOD, ids=lambda one: one.id)


@EVERY
def test_a_sound_measurement_is_within(taken: Taken) -> None:
    found = judged(taken)
    of_values = [f.verdict for f in found.findings]
    assert of_values == [None if CHECKS[taken.check].is_condition else Verdict.WITHIN] * len(of_values)
    assert of_values


@EVERY
def test_every_printed_step_gives_its_result_again(taken: Taken) -> None:
    steps = [step for one in judged(taken).findings for step in one.steps]
    if steps or taken.check not in FIXED | PANEL | {"well_pump_current"}:
        assert_all_recompute(steps)


@EVERY
def test_limits_enclose_the_expected_value(taken: Taken) -> None:
    for one in judged(taken).findings:
        e = one.expected
        assert e is not None
        assert e.basis
        assert e.lower is None or e.nominal is None or e.lower < e.nominal
        assert e.upper is None or e.nominal is None or e.nominal < e.upper


@EVERY
def test_an_empty_nameplate_gives_only_what_is_missing(taken: Taken) -> None:
    system = build(bare(quince_ridge()))
    found = judged(taken, system)
    if taken.check in FIXED:
        assert found.verdict is Verdict.WITHIN
        return
    if CHECKS[taken.check].is_condition:
        return
    assert found.verdict is Verdict.UNJUDGED
    assert any(one.missing and one.missing[0].words for one in found.findings)
    assert not any(one.expected and one.expected.nominal is not None for one in found.findings if one.missing)


@EVERY
def test_nothing_read_and_nothing_known_never_raises(taken: Taken) -> None:
    check = CHECKS[taken.check]
    for system in (build(quince_ridge()), build(bare(quince_ridge()))):
        for one in check.judged:
            found, _, missing = expect(check, one, system, taken.subject, conditions={})
            assert (found is None) == (missing is not None)
        assert assess(check, system, taken.subject).verdict in (None, Verdict.UNJUDGED, Verdict.WITHIN)


def moved(finding: Finding) -> tuple[object, ...]:
    """Return what a need may move: value, expected and limits."""
    e = finding.expected
    return (finding.value, e and (e.nominal, e.lower, e.upper), finding.reason)


NEEDS = [
    (taken, need.name)
    for taken in GOOD
    for need in CHECKS[taken.check].needs
    if need.name in taken.conditions and not (need.optional and need.name == "tank_level")
]


@pytest.mark.parametrize(("taken", "need"), NEEDS, ids=lambda one: one if isinstance(one, str) else one.id)
def test_each_need_moves_what_is_said(taken: Taken, need: str) -> None:
    before = taken.conditions[need]
    after = dataclasses.replace(before, value=before.value * 0.97)
    here, there = judged(taken), judged(taken, **{need: after})
    assert [moved(f) for f in here.findings] != [moved(f) for f in there.findings]


@pytest.mark.parametrize(("taken", "need"), NEEDS, ids=lambda one: one if isinstance(one, str) else one.id)
def test_without_a_need_the_reason_names_it(taken: Taken, need: str) -> None:
    if next(n for n in CHECKS[taken.check].needs if n.name == need).optional:
        return
    found = judged(taken, **{need: None})
    assert found.verdict is Verdict.UNJUDGED
    words = need.replace("_", " ")
    assert any(words in one.reason for one in found.findings)


@EVERY
def test_each_uncertain_reading_is_named_in_the_uncertainty_of_some_value(taken: Taken) -> None:
    named = {t.name for one in judged(taken).findings for t in one.terms}
    for reading in readings(taken.typed):
        if reading.u > 0 and not reading.bound and reading.label != "start" and reading.input != "temperature":
            assert reading.input.replace("_", " ") in named


@pytest.mark.parametrize("check", MINE, ids=lambda one: one.key)
def test_a_declaration_tells_a_technician_what_to_do(check) -> None:
    assert check.purpose.endswith(".")
    assert check.kind is Kind.OBSERVED or check.judged
    assert check.kind is not Kind.MEASURED or all(way.inputs for way in check.ways)
    assert check.kind is Kind.DERIVED or 1 <= len(check.method) <= 4
    assert check.limits or check.is_condition or check.key == "rotation"
    assert all(limit.words and limit.source for limit in check.limits)
    assert all(one.words and one.source for one in check.cautions)
    assert check.subject is None or check.subject.kind in {**COMPONENT_KINDS, **RUN_KINDS}


@pytest.mark.parametrize("check", MINE, ids=lambda one: one.key)
def test_bounds_of_inputs_lie_in_order(check) -> None:
    for one in (i for way in check.ways for i in way.inputs):
        assert one.hard[0] < one.hard[1]
        assert one.soft is None or one.hard[0] <= one.soft[0] < one.soft[1] <= one.hard[1], one.name
        assert one.usual.words or one.options or one.name == "colonies"


def test_the_measurements_here_cover_every_measured_and_derived_check() -> None:
    taken = {one.check for one in GOOD} | {
        "tightness_makeup",
        "buried_line_makeup",
        "well_pump_shutoff_pressure",
        "tank_chlorine_dose",
    }
    assert {c.key for c in MINE if c.kind is not Kind.OBSERVED} == taken


def test_needs_name_checks_of_the_catalogue_and_values_they_judge() -> None:
    for check in MINE:
        for need in check.needs:
            names = {"", *(j.name for j in CHECKS[need.name].judged)}
            assert need.finding in names
            quantity = next(j.quantity for j in CHECKS[need.name].judged if need.finding in ("", j.name))
            assert quantity is need.quantity, (check.key, need.name)


def test_a_value_with_words_names_its_term() -> None:
    taken = next(one for one in GOOD if one.check == "pumping_level")
    named = judged(taken, static_level=Value(24.0, 0.05, words="level at rest this morning"))
    assert "level at rest this morning" in {t.name for t in named.findings[0].terms}
