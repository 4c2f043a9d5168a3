"""Canonical JSON against the examples printed in RFC 8785 and RFC 7493."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from commissioning.canonical import NotCanonicalError, canonical_json, digest, utf_16_units

# RFC 8785, 3.2.3: the property names of its sorting example, in the order it prints as correct.
RFC_8785_ORDER = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]


def test_names_sort_by_utf_16_code_units_as_rfc_8785_prints():
    assert sorted(set(RFC_8785_ORDER), key=utf_16_units) == RFC_8785_ORDER


def test_strings_and_literals_are_written_as_rfc_8785_prints():
    """RFC 8785, 3.2.2: the example's `string` and `literals` members, without its numbers."""
    content = {"string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/", "literals": [None, True, False]}
    assert canonical_json(content) == ('{"literals":[null,true,false],"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}')


def test_text_is_brought_to_normal_form_c():
    """Unicode Standard Annex 15, figure 3: A with a ring, in its three encodings, is one letter."""
    assert {canonical_json(text) for text in ("\u00c5", "A\u030a", "\u212b")} == {'"\u00c5"'}


def test_digest_is_sha_256():
    """FIPS 180-2, appendix B.1: the digest of `abc`."""
    assert digest("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.mark.parametrize(
    "content",
    [1.5, float("nan"), {"a": [1.0]}, 2**53, -(2**53), "\ud800", {1: "x"}, {"\u00e9": 1, "e\u0301": 2}, b"x", {"x"}],
    ids=repr,
)
def test_what_has_no_one_text_is_refused(content):
    with pytest.raises(NotCanonicalError, match=r"^\$"):
        canonical_json(content)


@pytest.mark.parametrize("number", [0, -0, 2**53 - 1, -(2**53) + 1])
def test_whole_numbers_go_as_far_as_a_browser_is_exact(number):
    """RFC 7493, 2.2: beyond 2**53 - 1 interoperability is lost."""
    assert canonical_json(number) == str(number)


def test_fault_is_named_by_its_place():
    with pytest.raises(NotCanonicalError, match=r"^\$\.rows\[1\]\.flow: float"):
        canonical_json({"rows": [{"flow": "1.0"}, {"flow": 1.0}]})


contents = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=4),
    max_leaves=12,
)


@given(contents)
def test_reading_the_text_back_gives_the_same_text(content):
    try:
        text = canonical_json(content)
    except NotCanonicalError:
        return  # two names that are one letter
    assert canonical_json(json.loads(text)) == text


@given(st.dictionaries(st.sampled_from("abcdef"), st.integers(0, 9)))
def test_order_of_writing_does_not_show(content):
    assert canonical_json(dict(reversed(content.items()))) == canonical_json(content)
