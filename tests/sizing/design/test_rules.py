"""What holds for every rule: it never raises, its working recomputes, it names what is missing, it says its margin."""

import re
from typing import Any

import pytest

from sizing.design.catalogue import RULES
from sizing.design.declare import Met, Outcome, Sort
from sizing.design.judge import design_check
from sizing.holds import HOLDS, Standing, required_by, standing
from sizing.order import order_of_checks
from sizing.parts import COMPONENT_KINDS, RUN_KINDS
from sizing.quantities import Quantity as Q
from sizing.system import SITE, System, build
from tests.sizing.design.systems import birch_hollow, changed, met
from tests.sizing.systems import bare, quince_ridge
from tests.sizing.working_steps import assert_all_recompute

DOCUMENTS = {"birch hollow": birch_hollow, "quince ridge": quince_ridge}


@pytest.fixture(params=DOCUMENTS, ids=str)
def document(request: pytest.FixtureRequest) -> dict[str, Any]:
    made: dict[str, Any] = DOCUMENTS[request.param]()
    return made


def without_component(document: dict[str, Any], tag: str) -> dict[str, Any]:
    gone = {tag} | {c["tag"] for c in document["components"] if c["host"] == tag}
    return {
        **document,
        "components": [c for c in document["components"] if c["tag"] not in gone],
        "runs": [r for r in document["runs"] if not {r["start"], r["end"]} & gone],
    }


def test_the_clinic_meets_every_rule() -> None:
    assert [(one.id, one.lacking) for one in design_check(build(birch_hollow())) if one.met is not Met.MET] == []


def test_every_rule_is_tried_on_one_of_the_systems() -> None:
    tried = {one.rule.key for make in DOCUMENTS.values() for one in design_check(build(make()))}
    assert tried | {"charger_current", "suction_lift"} == set(RULES), "those two have tests of their own"


def test_every_working_recomputes_from_its_printed_digits(document: dict[str, Any]) -> None:
    sun = [[month, 3.5 * 3600.0] for month in range(1, 13)]
    full = changed(document, site__daily_demand=4.0, site__autonomy=2.0, site__sun_hours=sun)
    steps = [step for one in design_check(build(full)) for step in one.steps]
    assert_all_recompute(steps)


def test_an_empty_record_raises_nothing_and_names_what_is_missing(document: dict[str, Any]) -> None:
    system = build(bare(document))
    for one in design_check(system):
        if one.met is Met.CANNOT_BE_SAID:
            assert one.lacking is not None
            assert one.lacking.words
            assert is_in_record(system, one.lacking.owner, one.lacking.field), one.id


def is_in_record(system: System, owner: str, field: str) -> bool:
    """Whether what is missing is a field of the record, or a run or host that is not there."""
    if field in ("", "pipe", "cable", "host", "component", "relief"):
        return True
    part = system.subject(owner).part
    return field in part.declarations()


def test_a_record_with_one_field_less_raises_nothing(document: dict[str, Any], is_long: bool) -> None:
    """Each field in turn, or every third: every rule still gives a result; what was met before without it stays so."""
    every = [(one, field) for one in [*document["components"], *document["runs"]] for field in one["nameplate"]]
    for one, field in every if is_long else every[::3]:
        kept = one["nameplate"].pop(field)
        assert design_check(build(document))
        one["nameplate"][field] = kept


def test_a_record_with_one_component_less_raises_nothing(document: dict[str, Any]) -> None:
    for one in document["components"]:
        assert design_check(build(without_component(document, one["tag"])))


def test_rules_are_declared_in_full() -> None:
    kinds = {*COMPONENT_KINDS.values(), *RUN_KINDS.values()}
    for key, rule in RULES.items():
        assert key == rule.key
        assert set(rule.subjects) <= kinds
        assert rule.purpose.endswith(".")
        assert rule.limits
        assert all(limit.words and limit.source for limit in rule.limits), key
    sorts = [rule.sort for rule in RULES.values()]
    assert sorts == sorted(sorts, key=list(Sort).index), "safety first"


def test_titles_are_told_apart() -> None:
    titles = [rule.title for rule in RULES.values()]
    assert len(set(titles)) == len(titles)
    assert not [title for title in titles if re.search(r"[.!]$", title)]


# the margin


@pytest.mark.parametrize(
    ("value", "lower", "upper", "margin", "share"),
    [
        (76.0, None, 100.0, 24.0, 0.24),
        (110.0, None, 100.0, -10.0, -0.10),
        (12.0, 10.0, None, 2.0, 0.2),
        (9.0, 10.0, 20.0, -1.0, -0.1),
        (19.0, 10.0, 20.0, 1.0, 0.05),
        (20.0, 20.0, 20.0, 0.0, 0.0),
        (1.0, 0.0, None, 1.0, None),
    ],
)
def test_margin_to_the_nearest_limit(
    value: float, lower: float | None, upper: float | None, margin: float, share: float | None
) -> None:
    outcome = Outcome(Q.VOLTAGE, value, lower, upper)
    assert outcome.margin == pytest.approx(margin)
    assert outcome.margin_share == (None if share is None else pytest.approx(share))
    assert outcome.is_met is (margin >= 0)


def test_no_share_of_a_temperature() -> None:
    assert Outcome(Q.TEMPERATURE, 5.0, lower=2.0).margin_share is None


# the hold


def closing(document: dict[str, Any], **fields: Any) -> Standing:
    """Return how the hold "close strings" stands, all its checks good, none of it released."""
    system = build(changed(document, **fields))
    hold, owed = HOLDS["close_strings"], order_of_checks(system)
    good = {one.id: True for one in required_by(hold, owed)}
    results = design_check(system, hold.design)
    design = {key: all(one.met is Met.MET for one in results if one.rule.key == key) for key in hold.design}
    return standing(hold, owed, good, released=True, design=design)


def test_a_rule_not_met_keeps_the_strings_apart(document: dict[str, Any]) -> None:
    assert closing(document) is Standing.SETTLED
    assert closing(document, A1__series=12) is Standing.STANDS


def test_a_rule_that_cannot_be_said_keeps_the_strings_apart(document: dict[str, Any]) -> None:
    assert closing(document, S1__rated_voltage=None) is Standing.STANDS
    assert closing(document, site__record_low=None) is Standing.STANDS


def test_a_design_that_nobody_checked_keeps_the_hold() -> None:
    system = build(quince_ridge())
    hold, owed = HOLDS["close_strings"], order_of_checks(system)
    good = {one.id: True for one in required_by(hold, owed)}
    assert standing(hold, owed, good, released=True) is Standing.STANDS


def test_holds_ask_for_rules_that_there_are() -> None:
    assert {key for hold in HOLDS.values() for key in hold.design} <= set(RULES)


def test_the_whole_site_is_a_subject() -> None:
    sun = [[month, 3.5 * 3600.0] for month in range(1, 13)]
    document = changed(quince_ridge(), site__daily_demand=1.0, site__sun_hours=sun)
    assert met(document, "daily_volume", SITE) is Met.MET
