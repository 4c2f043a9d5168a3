"""What cannot be computed yet: named by field, gone when filled, never a number."""

from collections.abc import Iterator

import pytest

from commissioning.asbuilt.gaps import gaps_in
from sizing.checks.case import Case
from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check
from sizing.errors import MissingDataError, OutOfRangeError, SystemShapeError
from sizing.system import SITE, System, build
from tests.sizing.systems import bare, plate, quince_ridge


def test_full_record_lacks_nothing() -> None:
    gaps = gaps_in(build(quince_ridge()))
    assert gaps.fields == ()
    assert gaps.lacks == ()


def test_each_gap_of_an_empty_record_is_a_field_that_is_empty() -> None:
    system = build(bare(quince_ridge()))
    gaps = gaps_in(system).fields
    assert gaps
    assert all(getattr(system.subject(gap.tag).part, gap.field) is None for gap in gaps)
    assert len({(gap.tag, gap.field) for gap in gaps}) == len(gaps), "each field stands once, with all its checks"


def test_what_a_check_misses_first_stands_among_the_gaps() -> None:
    """The core's own word for what is missing, without stand-ins, is the reference."""
    system = build(bare(quince_ridge()))
    gaps = {(gap.tag, gap.field) for gap in gaps_in(system).fields}
    tried = [(check, tag) for check in CHECKS.values() for tag in check.subjects(system)]
    missed = {first for check, tag in tried for first in firsts(check, system, tag)}
    assert missed
    assert missed <= gaps


def firsts(check: Check, system: System, tag: str) -> Iterator[tuple[str, str]]:
    """Yield the field that each judged value of a check misses first."""
    for judged in check.judged:
        try:
            judged.expected(Case(system, system.subject(tag)))
        except MissingDataError as problem:
            if problem.owner in (*system.nodes, *system.runs, SITE):
                yield problem.owner, problem.field
        except (OutOfRangeError, SystemShapeError):
            continue


@pytest.mark.parametrize(
    ("tag", "field", "title"),
    [
        ("W1", "static_level", "Static level, W1"),
        ("K3", "length", "Pump cable and winding, PU1"),
        ("A1", "module_short_circuit_current", "Short-circuit current, A1"),
    ],
)
def test_one_field_emptied_is_the_one_gap(tag: str, field: str, title: str) -> None:
    document = quince_ridge()
    del plate(document, tag)[field]
    (gap,) = gaps_in(build(document)).fields
    assert (gap.tag, gap.field) == (tag, field)
    assert title in gap.checks


def test_pump_in_no_well_is_said_in_words() -> None:
    document = quince_ridge()
    for one in document["components"]:
        if one["tag"] == "PU1":
            one["host"] = None
    words = " ".join(lack.words for lack in gaps_in(build(document)).lacks)
    assert "PU1: where it sits is not recorded" in words
