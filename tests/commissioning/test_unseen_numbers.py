"""Three systems that no starter layout holds, judged without a browser: windows, design check, nothing unsaid."""

from collections.abc import Callable

import pytest

from commissioning.asbuilt.gaps import gaps_in
from commissioning.snapshot import system_of
from sizing.design.declare import Met
from sizing.design.judge import design_check
from sizing.system import System
from tests.e2e.unseen import numbers
from tests.e2e.unseen.booster import TWO_ARRAYS
from tests.e2e.unseen.clinic import CLINIC
from tests.e2e.unseen.document import document
from tests.e2e.unseen.spring import SPRING_TANKS
from tests.e2e.unseen.written import Unseen

TOO_FAST = {"velocity:P3", "velocity:P4"}  # between the spring's tanks: 13 m of height on 96 m of narrow pipe


@pytest.mark.parametrize(
    ("unseen", "numbers_hold", "not_met"),
    [
        (SPRING_TANKS, numbers.numbers_of_the_spring, TOO_FAST),
        (TWO_ARRAYS, numbers.numbers_of_the_booster, set()),
        (CLINIC, numbers.numbers_of_the_clinic, set()),
    ],
    ids=lambda one: one.key if isinstance(one, Unseen) else "",
)
def test_numbers_are_those_of_a_hand_calculation_and_nothing_lacks(
    unseen: Unseen, numbers_hold: Callable[[System], None], not_met: set[str]
) -> None:
    system = system_of(document(unseen))
    numbers_hold(system)
    gaps = gaps_in(system)
    assert (gaps.fields, gaps.lacks) == ((), ())
    results = design_check(system)
    assert {one.id for one in results if one.met is Met.NOT_MET} == not_met
    assert [one.id for one in results if one.met is Met.CANNOT_BE_SAID] == []
