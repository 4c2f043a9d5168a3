"""Drawn signatures: strict on what comes in, faithful in what is drawn."""

import json
import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from commissioning.strokes import MOST_POINTS, StrokesError, parse_strokes, strokes_svg

WAVE = [[[10, 40, 0], [30.5, 10.2, 16], [60, 50, 40], [120, 20, 90]], [[70, 5, 300]]]


def parsed(drawing):
    return ElementTree.fromstring(drawing)  # noqa: S314  our own drawing, and reading it is the test


def test_a_signature_is_read_with_or_without_times():
    strokes = parse_strokes(json.dumps(WAVE))
    assert strokes.lines[0][1] == (30.5, 10.2)
    assert strokes.text == json.dumps(WAVE)
    assert parse_strokes("[[[0,0],[50,20]]]").lines == (((0.0, 0.0), (50.0, 20.0)),)


REFUSED = {
    "nothing": "",
    "blank": "  ",
    "no strokes": "[]",
    "empty stroke": "[[]]",
    "only a dot": "[[[5,5],[6,6]]]",
    "not JSON": "signed",
    "object": '{"points": []}',
    "text as a number": '[[["1","2"],[50,50]]]',
    "true as a number": "[[[true,1],[50,50]]]",
    "null": "[[[null,1],[50,50]]]",
    "NaN": "[[[NaN,1],[50,50]]]",
    "infinity": "[[[1e309,1],[50,50]]]",
    "many digits": f"[[[{'9' * 6000},1],[50,50]]]",
    "large": "[[[1e300,1],[50,50]]]",
    "negative": "[[[-1,1],[50,50]]]",
    "off every screen": "[[[4001,1],[50,50]]]",
    "negative time": "[[[1,1,-5],[50,50,0]]]",
    "one number": "[[[1],[50,50]]]",
    "four numbers": "[[[1,1,1,1],[50,50,1,1]]]",
    "deep": "[" * 100_000,
    "too many points": json.dumps([[[i % 300, i % 90] for i in range(MOST_POINTS + 1)]]),
    "too many strokes": json.dumps([[[i, 0]] for i in range(401)]),
    "too long": "[[[1,1],[50,50]]]" + " " * 200_000,
    "surrogate": "\ud800",
    "script": '[[["<script>",1],[50,50]]]',
}


@pytest.mark.parametrize("case", REFUSED)
def test_anything_else_is_refused_in_words(case):
    with pytest.raises(StrokesError) as refusal:
        parse_strokes(REFUSED[case])
    assert "sign" in refusal.value.message.lower()


def test_the_most_points_are_accepted():
    assert parse_strokes(json.dumps([[[i % 300, i % 90] for i in range(MOST_POINTS)]]))


def test_the_drawing_passes_through_every_point():
    picture = parsed(strokes_svg(parse_strokes(json.dumps(WAVE))))
    path = next(picture.iter("path"))
    assert path.get("d") == "M10.0 40.0L30.5 10.2L60.0 50.0L120.0 20.0M70.0 5.0h.1"
    assert path.get("stroke") == "currentColor"


def test_the_whole_drawing_lies_in_its_box():
    picture = parsed(strokes_svg(parse_strokes(json.dumps(WAVE))))
    left, top, width, height = (float(part) for part in picture.get("viewBox").split())
    assert (left, top) == (6.0, 1.0)  # 10 − 4, 5 − 4
    assert (width, height) == (118.0, 53.0)  # 120 − 10 + 8, 50 − 5 + 8


def test_a_name_in_the_title_cannot_leave_it():
    drawing = strokes_svg(parse_strokes(json.dumps(WAVE)), '</title><script>alert(1)</script>"')
    assert next(parsed(drawing).iter("title")).text == '</title><script>alert(1)</script>"'
    assert " style=" not in drawing
    assert not re.search(r"<script", drawing)


@given(st.recursive(st.none() | st.booleans() | st.floats() | st.integers() | st.text(), st.lists, max_leaves=30))
def test_any_json_is_read_or_refused(value):
    try:
        strokes = parse_strokes(json.dumps(value))
    except StrokesError:
        return
    parsed(strokes_svg(strokes))
