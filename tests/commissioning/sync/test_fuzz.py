"""Any bytes at the entrance: an answer that names a code or a place, never a fault of ours, and nothing half stored."""

import json
import random
from collections.abc import Callable
from contextlib import suppress
from typing import Any
from uuid import uuid4

import pytest

from commissioning.chain import problems
from commissioning.items import digest_of_item
from commissioning.sync.strict import DEEPEST, UnreadableError, faults_in, read_json
from tests.commissioning.sync.phones import ITEMS, Phone, photo_of
from tests.commissioning.worlds import visit_on

FAST, LONG = 300, 10_000
A_VISIT = 200  # bodies on one visit: judging reads all that was measured on it
ANSWERS = {200, 409, 413, 415, 422, 426}

NASTY = [
    None, True, False, 0, -1, 1.5, 10**30, -(10**400), "", " ", "x" * 5000, "\x00", "\ud800", "\u202e", "é", "e\u0301",
    "9" * 6000, "1e309", "NaN", "０", "-0", [], {}, [[]], {"a": {}}, [None] * 300, str(uuid4()), "../x", "2027-02-30",
    "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00", "2027-04-14T24:00:00Z", "<script>", "{{ 7*7 }}", "=1+1",
]  # fmt: skip
RAW = [
    b"", b"null", b"{", b"}", b"[1,2", b'"', b"\xff\xfe", b"\xef\xbb\xbf{}", b"{}{}", b'{"a":1,"a":2}', b"NaN",
    b"1e309", b"[" * 5000, b'{"items":' * 3000, b"-" * 99, b"\x00", b'"\\ud800"', b"9" * 7000,
    b'{"items":[{"id":"\\u0000"}]}',
]  # fmt: skip


def some(phone: Phone, chance: random.Random) -> dict[str, Any]:
    """Return an item of any kind that phones write, sound so far."""
    visit, id = str(phone.visit.pk), str(uuid4())
    well = str(phone.visit.site.components.filter(kind="well").values_list("pk", flat=True).get())
    put = {"op": "put", "sort": "component", "id": well, "kind": "well", "tag": "W1", "nameplate": {}}
    kinds: dict[str, Callable[[], dict[str, Any]]] = {
        "measurement.taken": lambda: {**phone.taken("static_level", "W1"), "photos": [photo_of(id.encode())]},
        "check.set_aside": lambda: {
            "id": id, "visit": visit, "check": "sand", "subject": "W1", "how": "parked", "reason": "",
        },
        "hold.released": lambda: {"id": id, "visit": visit, "hold": "fill_tank", "reason": "x"},
        "defect.raised": lambda: {"id": id, "visit": visit, "words": "x", "is_unsafe": False, "due": "2027-04-14"},
        "defect.put_right": lambda: {"defect": id, "words": "x"},
        "question.answered": lambda: {"id": id, "question": id, "words": "x", "measurement": None},
        "record.changed": lambda: {"changes": [put], "reason": "x"},
        "measurement.chosen": lambda: {"id": id, "visit": visit, "measurement": id, "others": [id], "reason": "x"},
        "photo.lost": lambda: {"photo": id, "reason": "x"},
        "visit.ended": lambda: {"visit": visit, "left_isolated": False, "reason": ""},
        "visit.signed": lambda: {
            "id": id, "visit": visit, "printed_name": "x", "role": "x", "meaning": "x", "strokes": "[]",
            "shown_hash": "a" * 64,
        },
        "item.dropped": lambda: {"item": id, "digest": "a" * 64, "kind": "x", "reason": "x"},
    }  # fmt: skip
    kind = chance.choice(list(kinds))
    return phone.keep(kind, kinds[kind]())


def spoil(content: Any, chance: random.Random) -> Any:
    """Put something nasty into one place of a content, take a place away, or add one."""
    places = list(_places(content))
    holder, key = chance.choice(places)
    what = chance.random()
    if what < 0.15 and isinstance(holder, dict):
        del holder[key]
    elif what < 0.25 and isinstance(holder, dict):
        holder[chance.choice(["more", "", "\x00", "__proto__", "é"])] = chance.choice(NASTY)
    else:
        holder[key] = chance.choice(NASTY)
    return content


def _places(content: Any) -> Any:
    pairs = content.items() if isinstance(content, dict) else enumerate(content) if isinstance(content, list) else ()
    for key, value in list(pairs):
        yield content, key
        yield from _places(value)


def body_of(phone: Phone, chance: random.Random) -> bytes:
    """Return the bytes of one delivery, spoiled somewhere."""
    if chance.random() < 0.1:
        return chance.choice(RAW)
    items = [some(phone, chance) for _ in range(chance.randint(1, 3))]
    delivery: Any = {"device": phone.device, "user": str(phone.user.handle), "epoch": "", "items": items}
    if chance.random() < 0.85:
        for item in items:
            spoil(item if chance.random() < 0.3 else item["body"] or item, chance)
            with suppress(ValueError, KeyError, TypeError):
                item["digest"] = digest_of_item(item)  # mostly right, so that the fault is met further in
    else:
        spoil(delivery, chance)
    data = json.dumps(delivery).encode("utf-8", "replace")
    if chance.random() < 0.1:
        cut = chance.randrange(len(data))
        data = data[:cut] + bytes([chance.randrange(256)]) + data[cut + 1 :]
    return data


@pytest.mark.django_db
def test_no_bytes_make_a_fault_of_ours(phone: Phone, is_long: bool, keep_record: Any, caplog: Any) -> None:
    many, chance = LONG if is_long else FAST, random.Random(20270414)  # noqa: S311  # no secret
    statuses: dict[int, int] = {}
    states: dict[str, int] = {}
    for number in range(many):
        if number % A_VISIT == A_VISIT - 1:
            phone.visit = visit_on(phone.visit.site, phone.user)
        data = body_of(phone, chance)
        answer = phone.client.post(ITEMS, data, content_type="application/json")
        statuses[answer.status_code] = statuses.get(answer.status_code, 0) + 1
        assert answer.status_code in ANSWERS, (number, data[:300])
        told = answer.json()
        assert told["logbook"] == 1
        assert answer.status_code == 200 or told["error"]
        for one in told.get("results", ()):
            states[one["state"]] = states.get(one["state"], 0) + 1
            assert bool(one["faults"]) == (one["state"] not in ("stored", "duplicate")), one
    assert [r.getMessage() for r in caplog.records if r.levelname == "ERROR"] == []
    assert problems() == []
    assert states["stored"] > many // 20
    assert states["refused"] > many // 3
    if is_long:
        keep_record("fuzz", bodies=many, server_errors=0, **{f"s{k}": v for k, v in sorted(statuses.items())}, **states)


# the strict reader by itself

READ = [
    (b'{"a": 1, "a": 2}', {"$.a": "this key stands twice"}),
    (b"[NaN]", {"$[0]": "numbers are whole here: a value that was read travels as a text"}),
    (b"[-Infinity]", {"$[0]": "numbers are whole here: a value that was read travels as a text"}),
    (b"[1e309]", {"$[0]": "numbers are whole here: a value that was read travels as a text"}),
    (b"[1.0]", {"$[0]": "numbers are whole here: a value that was read travels as a text"}),
    (b"[" + b"9" * 5000 + b"]", {"$[0]": "this number is too long"}),
    (b'["\\ud800"]', {"$[0]": "holds half a character"}),
    (b'["\\ud83d\\ude00"]', {}),
    (b'["\\u0000"]', {"$[0]": "holds a zero character"}),
    (b'{"\\u0000": 1}', {"$": "a key holds a zero character"}),
    (b"[" * DEEPEST + b"]" * DEEPEST, {}),
    (b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1), {"$" + "[0]" * DEEPEST: "is nested too deep"}),
]


@pytest.mark.parametrize(("data", "faults"), READ)
def test_what_has_no_one_meaning_has_a_place_and_a_reason(data: bytes, faults: dict[str, str]) -> None:
    assert faults_in(read_json(data)) == faults


@pytest.mark.parametrize(
    ("data", "code"), [(b"", "json"), (b"\xff", "encoding"), (b"{'a': 1}", "json"), (b"[" * 10**5, "depth")]
)
def test_what_is_no_json_spoils_the_whole(data: bytes, code: str) -> None:
    with pytest.raises(UnreadableError) as unreadable:
        read_json(data)
    assert unreadable.value.code == code
