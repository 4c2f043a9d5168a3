"""The drawn pieces: fixed places, true words, and no input that breaks a picture.

The places checked here are our own rules of drawing; the idea of interval and limits is JCGM 106:2012.
"""

import re
from itertools import product
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from commissioning.plots import Plot, interval, placed, symbol
from commissioning.plots.svg import nice_step
from commissioning.plots.symbols import OF_KIND, SYMBOLS

LEFT, WIDTH = 8, 324  # the ruled line of the full picture
VERDICTS = ("within", "outside", "borderline", "unjudged")


def parsed(drawing):
    return ElementTree.fromstring(drawing)  # noqa: S314  our own drawing, and reading it is the test


def draw(**changes):
    given_ = {"unit": "kPa", "verdict": "within", "reading": 187.0, "lower": 180.0, "upper": 194.0} | changes
    return parsed(interval(**given_))


def limit_places(picture):
    bars = [one.get("d") for one in picture.iter("path") if one.get("class") == "ip-limit"]
    return [float(re.search(r"H([\d.]+)V", bar)[1]) for bar in bars]


def test_two_limits_stand_at_a_quarter_and_three_quarters():
    assert limit_places(draw()) == [LEFT + WIDTH / 4, LEFT + WIDTH * 3 / 4]
    assert limit_places(draw(lower=-5.0, upper=1e6, reading=0.0)) == [89.0, 251.0]


def test_one_limit_stands_at_a_third_of_its_side():
    assert limit_places(draw(upper=None)) == [LEFT + WIDTH / 3]
    assert limit_places(draw(lower=None)) == [LEFT + WIDTH * 2 / 3]


def test_feet_turn_to_the_allowed_side():
    lower, upper = (one.get("d") for one in draw().iter("path") if one.get("class") == "ip-limit")
    assert lower.startswith("M97.0 ")  # 89 + foot
    assert upper.startswith("M243.0 ")  # 251 − foot


def test_the_reading_stands_between_its_limits_in_proportion():
    dot = next(one for one in draw(reading=187.0).iter("circle") if "dot" in one.get("class", ""))
    assert float(dot.get("cx")) == pytest.approx(170.0)  # the middle of 180 … 194 is the middle of the line


def test_a_reading_at_the_limit_stands_on_the_bar():
    dot = next(one for one in draw(reading=194.0).iter("circle") if "dot" in one.get("class", ""))
    assert float(dot.get("cx")) == limit_places(draw())[1]


def test_with_one_limit_reading_and_whiskers_reach_nine_tenths_of_their_side():
    picture = draw(upper=None, reading=200.0, spread=10.0)
    ends = [float(one.get("x2")) for one in picture.iter("line") if one.get("class") == "ip-reading is-within"]
    assert max(ends) == pytest.approx(116 + (332 - 116) * 0.9, abs=0.1)


def test_unjudged_is_a_dashed_ring_and_never_a_dot():
    circles = list(draw(verdict="unjudged").iter("circle"))
    assert [one.get("class") for one in circles] == ["ip-reading is-unjudged ring"]
    assert circles[0].get("stroke-dasharray")


def test_without_limits_the_line_is_dashed_and_the_note_says_why():
    picture = draw(verdict="unjudged", lower=None, upper=None, note="pump: rated power is not recorded")
    assert limit_places(picture) == []
    axis = next(one for one in picture.iter("line") if one.get("class") == "ip-axis")
    assert axis.get("stroke-dasharray") == "4 4"
    assert "pump: rated power is not recorded" in [one.text for one in picture.iter("text")]


def test_a_reading_beyond_the_line_keeps_its_true_figure():
    picture = draw(verdict="outside", reading=260.0)
    dot = next(one for one in picture.iter("circle") if "dot" in one.get("class", ""))
    assert float(dot.get("cx")) < 332
    assert "260.0" in [one.text for one in picture.iter("text")]


def test_a_bound_is_shown_as_typed():
    picture = draw(reading=999.0, lower=1.0, upper=None, unit="MΩ", bound=">", typed="999", places=0)
    assert "> 999" in [one.text for one in picture.iter("text")]
    assert next(picture.iter("title")).text == "Reading > 999 MΩ, not below 1: within."


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"spread": 3.4, "expected": 188.0}, "Reading 187.0 ± 3.4 kPa, limits 180.0 to 194.0, expected 188.0: within."),
        ({"upper": None}, "Reading 187.0 kPa, not below 180.0: within."),
        ({"lower": None, "verdict": "outside"}, "Reading 187.0 kPa, not above 194.0: outside."),
        ({"lower": None, "upper": None, "verdict": "unjudged"}, "Reading 187.0 kPa, no limits: unjudged."),
        ({"reading": None, "verdict": "unjudged"}, "Limits 180.0 to 194.0: unjudged."),
        ({"reading": -0.5, "lower": -1.0, "upper": 1.0}, "Reading −0.5 kPa, limits −1.0 to 1.0: within."),
    ],
)
def test_the_title_tells_the_whole_result(changes, words):
    assert next(draw(**changes).iter("title")).text == words


def test_an_expected_value_near_a_limit_gives_up_its_figure():
    texts = [one.text for one in draw(expected=181.0).iter("text")]
    assert "181.0" not in texts
    assert "187.0" in [one.text for one in draw(reading=190.0, expected=187.0).iter("text")]


def test_small_picture_has_no_labels():
    picture = draw(small=True, expected=188.0, spread=2.0)
    assert picture.get("viewBox") == "0 0 104 26"
    assert list(picture.iter("text")) == []


@pytest.mark.parametrize("name", ["reading", "spread", "lower", "upper", "expected"])
@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_refused(name, value):
    with pytest.raises(ValueError, match=name):
        draw(**{name: value})


@pytest.mark.parametrize("words", ['<script>alert(1)</script>"', "a & b", "]]>", "\x00\ud800"])
def test_text_cannot_leave_its_place(words):
    made = interval(unit=words, verdict="unjudged", reading=1.0, note=words, typed=words[:10])
    assert [one.tag for one in parsed(made).iter() if one.tag == "script"] == []
    plot = Plot(words, (0, 1), (0, 1), words, words, x_ticks=[(0, words)])
    plot.point(0.5, 0.5, label=words)
    parsed(plot.svg())


def test_pictures_pass_a_strict_content_policy():
    made = interval(unit="V", verdict="borderline", reading=1.0, spread=0.1, lower=0.9, upper=1.2)
    assert " style=" not in made
    assert "xlink" not in made
    assert not re.search(r"\son\w+=", made)


VALUES = st.none() | st.floats(-1e12, 1e12) | st.sampled_from([0.0, 5e-324, 1e-12, 180.0, 194.0])


@given(
    reading=VALUES,
    lower=VALUES,
    upper=VALUES,
    expected=VALUES,
    spread=st.sampled_from([0.0, 1e-9, 1.0, 1e9]),
    verdict=st.sampled_from(VERDICTS),
    small=st.booleans(),
)
def test_every_combination_is_a_picture_inside_its_box(reading, lower, upper, expected, spread, verdict, small):
    picture = parsed(
        interval(
            unit="m", verdict=verdict, reading=reading, spread=spread,
            lower=lower, upper=upper, expected=expected, small=small,
        )
    )  # fmt: skip
    width = float(picture.get("width"))
    assert len(list(picture.iter())) < 150
    for one in picture.iter("circle"):
        assert 0 <= float(one.get("cx")) <= width


def test_equal_limits_share_one_bar_in_the_middle():
    assert limit_places(draw(lower=5.0, upper=5.0, reading=6.0)) == [170.0, 170.0]


@pytest.mark.parametrize(
    ("span", "wanted", "step"),
    [(100, 5, 20), (7, 5, 2), (1, 18, 0.1), (14, 18, 1), (0.3, 5, 0.1), (5e9, 5, 1e9)],
)
def test_ticks_follow_the_1_2_5_rule(span, wanted, step):
    """Hand calculation: the smallest of 1, 2, 5 × a power of ten that is ≥ span / wanted."""
    assert nice_step(span, wanted) == pytest.approx(step)


# ---- charts ------------------------------------------------------------------------------


def chart(**changes):
    made = Plot("Flow fell to 21 of 24 L/min", (0, 100), (0, 40), "m head", "L/min", **changes)
    made.band([(0, 25), (100, 2)], [(0, 35), (100, 9)])
    made.curve([(0, 30), (100, 5)], dash="6 4")
    made.point(40, 21, 3, "outside", "2 outside")
    made.point(80, 12, verdict="unjudged")
    return made


def test_a_chart_tells_its_result_and_is_well_formed():
    picture = parsed(chart().svg())
    assert next(picture.iter("title")).text == "Flow fell to 21 of 24 L/min"
    texts = [one.text for one in picture.iter("text")]
    assert {"m head", "L/min", "2 outside", "0", "20", "40"} <= set(texts)


def test_values_stand_where_the_axes_say():
    made = chart()
    assert (made.x(0), made.x(100)) == (38, 330)
    assert (made.y(0), made.y(40)) == (184, 26)
    assert made.x(50) == (38 + 330) / 2


@pytest.mark.parametrize("ends", list(product([(0, 0), (5, 5), (1e12, 1e12 + 1), (1, 0), (-1e-9, 1e-9)], repeat=2)))
def test_a_narrow_or_turned_range_still_makes_a_chart(ends):
    made = Plot("one point", ends[0], ends[1], "x", "y")
    made.point(ends[0][0], ends[1][0])
    assert len(list(parsed(made.svg()).iter())) < 80


def test_a_chart_refuses_what_is_no_number():
    with pytest.raises(ValueError, match="nan"):
        chart().point(float("nan"), 1)
    with pytest.raises(ValueError, match="inf"):
        Plot("t", (0, float("inf")), (0, 1), "x", "y")


def test_an_empty_curve_or_band_draws_nothing():
    made = Plot("nothing yet", (0, 1), (0, 1), "x", "y")
    before = made.svg()
    made.curve([])
    made.band([], [])
    assert made.svg() == before


# ---- symbols -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", SYMBOLS)
def test_a_symbol_is_a_titled_picture_that_can_be_placed(name):
    alone = parsed(symbol(name))
    assert next(alone.iter("title")).text == SYMBOLS[name][0]
    moved = parsed(placed(name, 140, 90))
    assert moved.get("transform") == "translate(100.0 50.0)"
    assert " style=" not in symbol(name)


def test_every_kind_of_component_has_a_symbol():
    from sizing.parts import COMPONENT_KINDS

    assert set(COMPONENT_KINDS) <= set(OF_KIND)
    assert set(OF_KIND.values()) <= set(SYMBOLS)


def test_a_shut_valve_is_filled_and_an_open_one_is_not():
    assert 'fill="#fff"' in symbol("valve_open")
    assert 'fill="#fff"' not in symbol("valve_shut")


@pytest.mark.parametrize(("low", "high", "places"), [(99.0, 106.0, 1), (1000.0, 4000.0, 0), (0.0, 1.0, 1)])
def test_words_of_the_scale_stand_within_the_drawing(low: float, high: float, places: int) -> None:
    """A figure of Lato is 0.58 em wide (from memory): 7.6 at a size of 13."""
    drawn = Plot("t", (0, 1), (low, high), "x", "y", y_places=places).svg()
    levels = re.findall(r'<text x="([\d.]+)"[^>]*text-anchor="end"[^>]*>([\d.]+)<', drawn)
    assert levels
    assert all(float(x) - 7.6 * len(words) >= 0 for x, words in levels)
