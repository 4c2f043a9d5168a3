"""A site's own limits: they replace a side, name their owner, and never touch what keeps people safe."""

import dataclasses

import pytest

from sizing.checks.catalogue import CHECKS
from sizing.holds import HOLDS, hold_that_fixes
from sizing.judgement import assess
from sizing.overrides import Override, overridden
from sizing.system import build
from sizing.verdict import Verdict
from tests.sizing.checks.measured import good, readings
from tests.sizing.systems import quince_ridge

PENN = "site limit by A. Penn: the float hangs in a stilling pipe"


def judged(check, taken=None, **limits):
    """Return the finding of a stop at 2.04 m, under a site's limits."""
    taken = taken or good("fill_stop_level", "dip")
    override = {"level": Override(limits.get("lower"), limits.get("upper"), PENN)} if limits else {}
    found = assess(
        overridden(CHECKS[check], override), build(quince_ridge()), taken.subject, readings=readings(taken.typed),
        conditions=taken.conditions, way=taken.way,
    )  # fmt: skip
    return found.findings[0]


def test_a_site_limit_replaces_both_sides_and_names_its_owner():
    one = judged("fill_stop_level", lower=1.0, upper=1.9)
    assert (one.expected.lower, one.expected.upper) == (1.0, 1.9)
    assert one.expected.basis == PENN
    assert one.verdict is Verdict.OUTSIDE  # read 2.04 m
    assert one.expected.nominal == pytest.approx(2.05)  # what it should be is still computed
    assert judged("fill_stop_level").verdict is Verdict.WITHIN


def test_a_side_left_empty_keeps_the_checks_own_limit_and_basis():
    one, own = judged("fill_stop_level", lower=1.5), judged("fill_stop_level")
    assert one.expected.lower == 1.5
    assert one.expected.upper == own.expected.upper
    assert one.expected.basis == f"{PENN}; upper limit: {own.expected.basis}"


def test_limits_that_cross_judge_nothing():
    one = judged("fill_stop_level", lower=5.0)
    assert one.verdict is Verdict.UNJUDGED
    assert "site limit" in one.reason


def test_what_only_a_good_check_settles_has_no_site_limits():
    for hold in (h for h in HOLDS.values() if h.only_settled):
        for key in hold.requires:
            assert hold_that_fixes(key) is not None
            loose = {j.name: Override(-1e9, 1e9, PENN) for j in CHECKS[key].judged} if key in CHECKS else {}
            if key in CHECKS:
                assert overridden(CHECKS[key], loose) is CHECKS[key]
    assert hold_that_fixes("coliform") is not None
    assert hold_that_fixes("open_circuit_voltage") is not None
    assert hold_that_fixes("fill_stop_level") is None


def test_only_the_named_value_changes():
    check = CHECKS["pumping_level"]
    other = overridden(check, {"submergence": Override(2.0, None, PENN)})
    assert [a is b for a, b in zip(check.judged, other.judged, strict=True)] == [True, False, True]
    assert dataclasses.replace(other, judged=check.judged) == check
