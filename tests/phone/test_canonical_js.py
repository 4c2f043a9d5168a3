"""Canonical JSON on the phone: the printed examples that the server's is held to, and both compared text by text."""

import random

import pytest

from commissioning.canonical import NotCanonicalError, canonical_json, digest
from tests.phone.node import run

TEXT = "return m.canonicalJson(it);"
OUTCOME = "try { return [m.canonicalJson(it), await m.digest(m.canonicalJson(it))]; } catch (e) { return [e.constructor.name, e.message.split(':')[0]]; }"  # noqa: E501

# RFC 8785, 3.2.2 and 3.2.3: its example's literals and texts, and its property names in the order it prints as correct;
# without the last one, U+FB33, which normal form C takes apart.
RFC_8785 = {"string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/", "literals": [None, True, False]}
RFC_8785_TEXT = '{"literals":[null,true,false],"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
RFC_8785_ORDER = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600"]
# Unicode Standard Annex 15, figure 3: A with a ring, in its three encodings, is one letter.
RINGS = ["\u00c5", "A\u030a", "\u212b"]


def test_the_printed_examples_come_out_as_printed():
    order = dict.fromkeys(reversed(RFC_8785_ORDER), 0)
    example, names, *rings = run("canonical.js", TEXT, [RFC_8785, order, *RINGS])
    assert example == RFC_8785_TEXT
    assert names == "{" + ",".join(f"{canonical_json(name)}:0" for name in RFC_8785_ORDER) + "}"
    assert set(rings) == {'"\u00c5"'}


def test_digest_is_sha_256():
    """FIPS 180-2, appendix B.1: the digest of `abc`."""
    assert run("canonical.js", "return m.digest(it);", ["abc"]) == [
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    ]


def outcome(content: object) -> list[str]:
    try:
        return [canonical_json(content), digest(canonical_json(content))]
    except NotCanonicalError as error:
        return ["NotCanonicalError", str(error).split(":")[0]]


REFUSED = [
    1.5, 2**53, {"a": [1.5]}, {"\u00e9": 1, "e\u0301": 2}, {"rows": [{"flow": "1.0"}, {"flow": 1.25}]}, "\ud800",
    ["\udfff"],
]  # fmt: skip


@pytest.mark.parametrize("content", REFUSED, ids=ascii)
def test_both_refuse_what_has_no_one_text_at_the_same_place(content):
    assert run("canonical.js", OUTCOME, [content]) == [outcome(content)]
    assert outcome(content)[0] == "NotCanonicalError"


ALPHABET = ["a", "Z", "\"", "\\", "/", "\n", "\t", "\b", "\f", "\x00", "\x1f", "\x7f", "\u2028", "\u00e5", "a\u030a",
            "\u1e69", "s\u0323\u0307", "\ud7a3", "\u1100\u1161", "\U0001f6b0", "\uffff", "−", "Ω", "µ"]  # fmt: skip


def any_content(chance: random.Random, depth: int = 0) -> object:
    """Return some content, with texts that JSON writers are known to differ in."""
    sort = chance.randrange(7 if depth < 3 else 4)
    if sort == 0:
        return chance.choice([None, True, False])
    if sort == 1:
        return chance.choice([0, -1, 2**53 - 1, 1 - 2**53, chance.randrange(-(10**9), 10**9)])
    if sort < 4:
        return any_text(chance)
    if sort == 4:
        return [any_content(chance, depth + 1) for _ in range(chance.randrange(4))]
    return {any_text(chance): any_content(chance, depth + 1) for _ in range(chance.randrange(5))}


def any_text(chance: random.Random) -> str:
    return "".join(chance.choice(ALPHABET) for _ in range(chance.randrange(6)))


def test_two_thousand_contents_have_one_text_and_one_digest_in_both():
    chance = random.Random(8785)  # noqa: S311  # a seed, so that a fault comes again
    contents = [any_content(chance) for _ in range(2000)]
    found = run("canonical.js", OUTCOME, contents)
    assert found == [outcome(content) for content in contents]
    assert sum(one[0] != "NotCanonicalError" for one in found) > 1500
