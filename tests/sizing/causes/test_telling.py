"""Which readings tell causes apart, and what the owner's words put first: against counting, search and print."""

from itertools import combinations

import pytest

from sizing.causes import Cause, Sign, causes, speaks_for
from sizing.causes.symptoms import MOST_ASKED, SYMPTOMS, asked_by, causes_behind, symptoms_of
from sizing.causes.telling import are_parted, pair_parted, telling_order
from sizing.checks.catalogue import CHECKS
from sizing.checks.keys import check_and_value
from sizing.order import SERVICE, order_of_checks
from sizing.system import build
from tests.sizing.boosted import hollow_house
from tests.sizing.systems import quince_ridge

GREEDY = 1 - 1 / 2.718281828  # Nemhauser, Wolsey and Fisher 1978, section 4 (from memory)


def made(key: str, nil: tuple[str, ...] = (), **signs: str) -> Cause:
    return Cause(key, "well", key, signs, "", "", "common", "fix_soon", "", nil=nil)


def of_parts(*parts: str) -> list[Cause]:
    return [one for one in causes() if one.part in parts]


def share(among: list[Cause], keys: tuple[str, ...]) -> float:
    """Return the share of pairs that some readings part, counted pair by pair."""
    pairs = list(combinations(among, 2))
    return sum(any(are_parted(*pair, key) for key in keys) for pair in pairs) / len(pairs)


@pytest.mark.parametrize(
    ("one", "other", "parted"),
    [
        (made("a", r="up"), made("b", r="down"), True),
        (made("a", r="up"), made("b"), True),  # what a row does not name says unchanged
        (made("a", r="same"), made("b"), False),
        (made("a", r="either"), made("b", r="down"), False),  # up on one system, down on another
        (made("a", r="either"), made("b"), True),
        (made("a", nil=("r",), r="down"), made("b", r="down"), True),  # none is not less
        (made("a", r="unsteady"), made("b", r="down"), True),
    ],
)
def test_two_causes_are_parted_where_they_say_different_things(one: Cause, other: Cause, parted: bool) -> None:
    assert are_parted(one, other, "r") is are_parted(other, one, "r") is parted


PARTS = [("hand_pump",), ("pv_array",), ("battery", "charge_controller"), ("booster", "pressure_tank")]


@pytest.mark.parametrize("parts", PARTS, ids="+".join)
def test_three_readings_part_what_the_greedy_rule_promises(parts: tuple[str, ...]) -> None:
    """Against a search through every three readings: never less than 1 - 1/e of the best three."""
    among = of_parts(*parts)
    keys = sorted({key for one in among for key in one.signs})
    order = telling_order(among, keys)
    assert share(among, order[:1]) == max(share(among, (key,)) for key in keys)
    best = max(share(among, three) for three in combinations(order[:8], 3))
    assert share(among, order[:3]) >= GREEDY * best
    assert share(among, order) == share(among, tuple(keys))


def test_readings_that_part_nothing_more_are_left_out() -> None:
    among = [made("a", r="up", s="up"), made("b", r="down", s="down")]
    assert telling_order(among, ("r", "s")) == ("r",)
    assert telling_order(among[:1], ("r", "s")) == telling_order([], ("r",)) == ()


def test_pair_named_is_one_that_was_still_alike() -> None:
    among = [made("a", r="up"), made("b"), made("c", s="up")]
    assert {one.key for one in pair_parted(among, "s", ("r",)) or ()} == {"b", "c"}
    assert pair_parted(among[:2], "r", ("r",)) is None


@pytest.mark.parametrize("one", SYMPTOMS.values(), ids=lambda one: one.key)
def test_saying_names_signs_that_causes_have(one: object) -> None:
    for key, sign in one.signs:  # type: ignore[attr-defined]
        assert check_and_value(key)[0].key in CHECKS
        assert any(cause.signs.get(key) in (sign.value, "either") for cause in causes()), key


# Print says which of a few readings parts the usual causes of what an owner reports.
PRINTED = [
    (hollow_house, "starts_often", {"precharge", "starts_at_fixed_draw", "tank_drawdown"},
     "usual advice on short cycling: gas charge and drawdown before anything is replaced (common practice, no source)"),
    (quince_ridge, "tank_stays_low", {"well_pump_flow", "well_pump_current"},
     "TM 5-3820-256-24-6, table 4-1: flow beside amperes parts a worn pump from one that is not driven"),
    (quince_ridge, "less_than_before", {"static_level", "pumping_level"},
     "UFC 3-230-02, 3.5.6 and 4.5.2: level at rest and drawdown part the water table's fall from a clogged screen"),
    (quince_ridge, "hand_pump", {"strokes_to_water", "volume_per_stroke"},
     "University of Twente, water lifting: a leaking foot valve loses the prime, not the stroke"),
]  # fmt: skip


@pytest.mark.parametrize(("document", "saying", "keys", "source"), PRINTED)
def test_printed_readings_are_asked_for(document: object, saying: str, keys: set[str], source: str) -> None:
    system = build(document())  # type: ignore[operator]
    asked = asked_by(system, order_of_checks(system, SERVICE), [saying])
    assert keys <= {owed.split(":")[0] for owed in asked}, source
    assert all(why.startswith("parts ") and " from " in why for why in asked.values())


def test_a_slip_of_measuring_is_no_cause_of_what_an_owner_says() -> None:
    system = build(quince_ridge())
    assert all(one.part != "measurement" for key in SYMPTOMS for one in causes_behind(system, SYMPTOMS[key]))


def test_sayings_on_offer_are_those_of_the_system() -> None:
    keys = {one.key for one in symptoms_of(build(hollow_house()))}
    assert {"starts_often", "nothing"} <= keys
    assert "hand_pump" not in keys
    assert "hand_pump" in {one.key for one in symptoms_of(build(quince_ridge()))}


def test_two_sayings_ask_for_both_and_nothing_wrong_for_nothing() -> None:
    system = build(quince_ridge())
    order = order_of_checks(system, SERVICE)
    one, other = (asked_by(system, order, [key]) for key in ("hand_pump", "less_than_before"))
    assert asked_by(system, order, ["hand_pump", "less_than_before"]) == {**other, **one}
    assert asked_by(system, order, ["nothing"]) == {}
    assert all(len({owed.split(":")[0] for owed in found}) <= MOST_ASKED + 1 for found in (one, other))


def test_less_of_a_reading_speaks_for_a_cause_that_leaves_none_of_it() -> None:
    assert speaks_for(made("a", nil=("r",), r="down"), "r", Sign.DOWN)
    assert not speaks_for(made("a", nil=("r",), r="down"), "r", Sign.UP)
    assert not speaks_for(made("a"), "r", Sign.DOWN)
