"""What is looked at: who is looked at, in which order, and behind which holds."""

import pytest

from sizing.checks import conditions, dead, dry_switches, leaving, sun, walk_round
from sizing.checks.declare import Answer, Kind
from sizing.holds import HOLDS
from sizing.judgement import answered
from sizing.order import SERVICE, order_of_checks, waits_for
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.systems import quince_ridge

SYSTEM = build(quince_ridge())
EVERY = (*conditions.CHECKS, *walk_round.CHECKS, *dead.CHECKS, *sun.CHECKS, *leaving.CHECKS)
OBSERVED = [check for check in EVERY if check.kind is Kind.OBSERVED]


def place(order):
    return {owed.id: owed.number for owed in order}


@pytest.mark.parametrize(
    ("key", "tags"),
    [
        ("walk_round_well", ["W1"]),
        ("walk_round_array", ["A1"]),
        ("walk_round_tank", ["T1"]),
        ("walk_round_pipework", ["site"]),
        ("walk_round_labels", ["site"]),
        ("proved_dead", ["C1"]),
        ("electronics_disconnected", ["C1"]),
        ("low_water_guard_dry", ["LS2"]),
        ("level_switch_dry", ["LS1"]),
        ("string_polarity", ["A1"]),
        ("as_left", ["site"]),
        ("owner_unaided", ["site"]),
    ],
)
def test_each_is_owed_where_it_belongs(key, tags):
    assert next(c for c in EVERY if c.key == key).subjects(SYSTEM) == tags


def test_a_switch_without_a_purpose_counts_by_where_it_sits():
    document = quince_ridge()
    for one in document["components"]:
        if one["kind"] == "level_switch":
            one["nameplate"] = {}
    system = build(document)
    assert dry_switches.LOW_WATER_GUARD_DRY.subjects(system) == ["LS2"]
    assert dry_switches.LEVEL_SWITCH_DRY.subjects(system) == ["LS1"]


@pytest.mark.parametrize("check", OBSERVED, ids=lambda c: c.key)
def test_an_observation_is_answered_in_words(check):
    assert answered(check, "x", Answer.AS_IT_SHOULD_BE).verdict is Verdict.WITHIN
    assert answered(check, "x", Answer.NOT_AS_IT_SHOULD_BE).verdict is Verdict.OUTSIDE
    assert answered(check, "x", Answer.DOES_NOT_APPLY).verdict is None


@pytest.mark.parametrize("check", EVERY, ids=lambda c: c.key)
def test_what_a_person_reads_is_there_and_short(check):
    assert check.purpose.endswith(".")
    assert check.kind is Kind.DERIVED or 2 <= len(check.method) <= 5
    assert all(len(step) <= 120 for step in check.method)
    assert all(len(caution.words) <= 130 and caution.source for caution in check.cautions)
    assert all(limit.words and limit.source for limit in check.limits)
    assert check.gate == "" or check.gate in HOLDS


@pytest.mark.parametrize("check", [*dead.CHECKS, *sun.CHECKS], ids=lambda c: c.key)
def test_electrical_work_has_a_caution_and_waits_until_it_is_safe(check):
    if check.kind is Kind.DERIVED or check.key == "bond_resistance":
        return
    assert check.cautions
    assert check.gate == "safe_to_work"


@pytest.mark.parametrize("visit", ["start_up", SERVICE])
def test_nothing_is_touched_before_it_is_proved_dead(visit):
    at = place(order_of_checks(SYSTEM, visit))
    for check in (*dead.CHECKS, *(c for c in sun.CHECKS if c.gate)):
        for tag in check.subjects(SYSTEM):
            if f"{check.key}:{tag}" in at:
                assert at["proved_dead:C1"] < at[f"{check.key}:{tag}"], check.key


@pytest.mark.parametrize("visit", ["start_up", SERVICE])
def test_insulation_waits_until_electronics_are_off(visit):
    at = place(order_of_checks(SYSTEM, visit))
    assert at["electronics_disconnected:C1"] < at["pump_cable_insulation:PU1"]
    assert at["electronics_disconnected:C1"] < at["array_insulation:A1"]


def test_polarity_comes_before_volts_and_volts_before_amperes():
    """IEC 62446-1 takes them in this order."""
    at = place(order_of_checks(SYSTEM))
    chain = ["string_polarity:A1", "open_circuit_voltage:A1", "short_circuit_current:A1", "string_spread:A1"]
    assert [at[one] for one in chain] == sorted(at[one] for one in chain)


def test_leaving_comes_last_but_for_the_laboratory():
    order = [o for o in order_of_checks(SYSTEM) if not o.declared.from_laboratory]
    assert [o.check for o in order[-2:]] == ["as_left", "owner_unaided"]


def test_no_check_waits_for_itself_through_its_hold():
    by_key = {check.key: check for check in EVERY}
    for check in EVERY:
        seen, todo = set(), list(waits_for(check))
        while todo:
            key = todo.pop()
            assert key != check.key, f"{check.key} waits for itself"
            if key in by_key and key not in seen:
                seen.add(key)
                todo += waits_for(by_key[key])
