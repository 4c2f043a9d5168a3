"""What a check is taken with: words of a way become kinds, and what is lacking is said."""

import pytest

from sizing.checks.catalogue import CHECKS
from sizing.checks.declare import Check, Input, Kind, Way
from sizing.instruments import is_possible, kind_of, kinds_for, lacking, made_possible_by, requirement
from sizing.parts import Well
from sizing.quantities import Quantity as Q

FREE = {"watch", "laboratory report"}
DEPTH = Input("level", "Level", Q.DEPTH, hard=(0, 100))


def check(*ways: tuple[str, ...], key: str = "one") -> Check:
    made = tuple(Way(f"way-{n}", f"Way {n}", (DEPTH,), words) for n, words in enumerate(ways))
    return Check(key=key, title="One", kind=Kind.MEASURED, subject=Well, group="Well", purpose="", ways=made, judged=())


@pytest.mark.parametrize(
    ("words", "kit", "is_met"),
    [
        ("flow meter, or bucket and watch", {"flow meter"}, True),
        ("flow meter, or bucket and watch", {"marked bucket"}, True),
        ("flow meter, or bucket and watch", {"sun meter"}, False),
        ("multimeter and DC clamp", {"multimeter"}, False),
        ("multimeter, category III", {"multimeter"}, True),
        ("pressure gauge on a tee", {"fine pressure gauge"}, True),
        ("fine pressure gauge", {"pressure gauge"}, False),
        ("turbidity meter or tube", {"turbidity tube"}, True),
        ("laboratory report", set(), True),
    ],
)
def test_words_of_a_way_ask_for_kinds(words: str, kit: set[str], is_met: bool) -> None:
    asked = requirement(words)
    assert asked is not None
    assert asked.is_met(frozenset(kit)) is is_met


def test_what_is_wanted_in_some_cases_only_is_not_asked_for() -> None:
    assert requirement("hand test pump, if the tank is not full") is None


def test_one_way_of_several_is_enough_and_each_says_what_it_lacks() -> None:
    one = check(("dip meter",), ("pressure gauge", "tape"))
    kit = frozenset({"tape"})
    assert not is_possible(one, kit)
    assert [lacking(way, kit) for way in one.ways] == [["dip meter"], ["pressure gauge"]]
    assert is_possible(one, frozenset({"tape", "pressure gauge"}))


def test_the_one_instrument_more_that_helps_most_comes_first() -> None:
    some = [check(("dip meter",), key="a"), check(("dip meter",), key="b"), check(("tape", "gauge"), key="c")]
    assert made_possible_by(some, frozenset({"tape"})) == [("dip meter", 2), ("pressure gauge", 1)]
    assert kinds_for(some) == ["dip meter", "pressure gauge", "tape"]


def test_every_check_of_the_catalogue_is_possible_with_all_and_a_measured_one_not_with_nothing() -> None:
    every = list(CHECKS.values())
    all_kinds = frozenset(kinds_for(every))
    assert [one.key for one in every if not is_possible(one, all_kinds)] == []
    asking = [
        one for one in every if one.kind is Kind.MEASURED and all(set(way.instruments) - FREE for way in one.ways)
    ]
    assert [one.key for one in asking if is_possible(one, frozenset())] == []
    assert len(asking) > 40


def test_kinds_of_the_catalogue_are_few_enough_to_choose_from() -> None:
    found = kinds_for(list(CHECKS.values()))
    assert len(found) <= 50
    assert all(kind_of(kind) == kind for kind in found), [kind for kind in found if kind_of(kind) != kind]
