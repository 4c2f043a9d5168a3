"""Sending, item by item: what counts as sent, what stays, and what the phone says meanwhile. One test a behaviour."""

import hashlib
import json
import random
import time

import pytest

from tests.e2e.conftest import until

WELCOME = (200, b"<!doctype html><title>Sign in</title><form>", {"Content-Type": "text/html"})
# as if the phone had died between the answer and its noting
UNMARK = """(id) => import('/static/phone/database.js').then((m) => m.transact(['items'], 'readwrite', async (t) => {
  const store = t.objectStore('items');
  store.put({ ...(await m.asked(store.get(id))), state: 'kept' });
}))"""
MONTH = 31 * 24 * 3600 * 1000


def line_after(one) -> str:
    """Return the state line as the page writes it after a flush."""
    word = one.flush()
    one.run("state.js", f"showState({json.dumps(word)})")
    return one.line()


def test_item_is_sent_when_named_with_its_receipt_and_stays_on_the_phone(phone, entrance):
    one = phone()
    item = one.keep(1)
    assert one.flush() == "sent"
    assert entrance.items[item["id"]] == item
    stored = one.items()[0]
    assert (stored["state"], stored["receipt"]["sequence"]) == ("sent", 1)
    assert "Everything sent" in line_after(one)


def test_twice_delivered_is_once_stored(phone, entrance):
    one = phone()
    item = one.keep(1)
    one.flush()
    one.page.evaluate(UNMARK, item["id"])
    assert one.flush() == "sent"
    assert len(entrance.deliveries) == 2
    assert len(entrance.items) == 1


def test_order_is_that_of_the_phones_own_count(phone, entrance):
    one = phone()
    items = [one.keep(n)["id"] for n in range(5)]
    one.flush()
    assert entrance.deliveries == [items]


def test_sign_in_page_with_status_200_is_not_taken_for_success(phone, entrance):
    one = phone()
    one.keep(1)
    entrance.whole = WELCOME
    assert one.flush() == "offline"
    assert one.states() == ["kept"]


@pytest.mark.parametrize("results", ["[]", '[{"id": "x", "state": "stored"}]', '[{"state": "stored"}]', "null", "{}"])
def test_answer_that_does_not_name_the_item_leaves_it_kept(phone, entrance, results, monkeypatch):
    one = phone()
    one.keep(1)
    answer = {"results": json.loads(results), "epoch": entrance.epoch}
    monkeypatch.setattr(entrance, "take", lambda sent: (200, answer))
    one.flush()
    assert one.states() == ["kept"]


def test_stored_without_a_receipt_is_not_sent(phone, entrance, monkeypatch):
    one = phone()
    one.keep(1)
    monkeypatch.setattr(entrance, "take_one", lambda item: {"id": item["id"], "state": "stored"})
    one.flush()
    assert one.states() == ["kept"]


def test_ended_session_asks_for_a_sign_in_and_leaves_everything(phone, entrance):
    one = phone()
    for n in range(3):
        one.keep(n)
    entrance.user = None
    assert line_after(one) == "Kept on this phone, not yet sent: 3. Sign in again to send. Sign in"
    entrance.user = "marsh"
    assert one.flush() == "sent"
    assert len(entrance.items) == 3


def test_session_that_ends_between_hello_and_items_leaves_everything(phone, entrance, monkeypatch):
    one = phone()
    one.keep(1)
    monkeypatch.setattr(entrance, "take", lambda sent: (401, {}))
    assert one.flush() == "sign-in"
    assert one.states() == ["kept"]


def test_colleague_on_the_same_phone_sends_nothing_under_another_name(phone, entrance):
    one = phone()
    mine = one.keep(1)
    theirs = one.keep(2, user="vale")
    entrance.user = "vale"
    assert "1 of marsh: sent when they sign in" in line_after_as(one, "vale")
    assert list(entrance.items) == [theirs["id"]]
    entrance.user = "marsh"
    assert one.flush() == "sent"
    assert entrance.items[mine["id"]]["user"] == "marsh"


def line_after_as(one, user: str) -> str:
    one.page.evaluate("(user) => { document.body.dataset.user = user; }", user)
    return line_after(one)


def test_refused_item_stays_with_its_reason_and_does_not_block_the_rest(phone, entrance):
    one = phone()
    items = [one.keep(n) for n in range(3)]
    entrance.refuse[items[1]["id"]] = {"state": "refused", "faults": {"$.readings[0]": "Level: is not a number."}}
    one.flush()
    assert one.states() == ["sent", "refused", "sent"]
    assert line_after(one) == "Refused: 1. Level: is not a number. Settle"
    one.flush()
    assert len(entrance.deliveries) == 1  # a refused one is not offered by itself


def test_refused_item_is_offered_again_when_a_person_says_so(phone, entrance):
    one = phone()
    item = one.keep(1)
    entrance.refuse[item["id"]] = {"state": "refused", "faults": {"$.subject": "W1 is not in the as-built record"}}
    one.flush()
    del entrance.refuse[item["id"]]
    one.run("outbox.js", f"offerAgain('{item['id']}')")
    assert one.flush() == "sent"


def test_refused_item_is_given_up_with_a_reason_that_is_evidence(phone, entrance):
    one = phone()
    item = one.keep(1)
    entrance.refuse[item["id"]] = {"state": "conflict", "faults": {"id": "other content"}}
    one.flush()
    one.page.evaluate(
        """(id) => Promise.all([import('/static/phone/store.js'), import('/static/phone/outbox.js')])
            .then(async ([s, o]) => o.drop((await s.allItems()).find((one) => one.id === id), 'typed twice'))""",
        item["id"],
    )
    assert one.flush() == "sent"
    assert one.states() == ["dropped", "sent"]
    given_up = next(sent for sent in entrance.items.values() if sent["kind"] == "item.dropped")
    assert given_up["body"]["item"] == item["id"]
    assert (given_up["body"]["digest"], given_up["body"]["reason"]) == (item["digest"], "typed twice")


def test_one_unreadable_item_is_set_apart_and_the_rest_goes(phone, entrance):
    one = phone()
    items = [one.keep(n)["id"] for n in range(7)]
    entrance.unreadable = {items[3]}
    one.flush()
    assert one.states() == ["sent"] * 3 + ["refused"] + ["sent"] * 3


def test_item_that_waits_goes_as_soon_as_what_it_needs_has_arrived(phone, entrance):
    one = phone()
    items = [one.keep(n)["id"] for n in range(3)]
    entrance.needs = {items[0]: items[2]}  # out of order: it needs one that comes later in the same batch
    assert one.flush() == "sent"
    assert entrance.deliveries == [items, [items[0]]]


def test_item_that_waits_in_vain_is_kept_and_asked_for_only_once_a_flush(phone, entrance):
    one = phone()
    item = one.keep(1)
    entrance.needs = {item["id"]: "never"}
    assert one.flush() == "waits"
    assert one.states() == ["kept"]
    assert len(entrance.deliveries) == 1


def test_new_epoch_has_everything_offered_again(phone, entrance):
    """A server put back from a backup has lost what came after it; the phone still has it."""
    one = phone()
    one.keep(1)
    one.flush()
    backup = entrance.copy()
    items = [one.keep(n, photos=(bytes([n]) * 50,)) for n in (2, 3)]
    one.flush()
    entrance.put_back(backup)
    assert len(entrance.items) == 1
    assert one.flush() == "sent"
    assert {item["id"] for item in items} <= set(entrance.items)
    assert len(entrance.photos) == 2


def test_other_server_under_the_same_address_gets_nothing(phone, entrance):
    one = phone()
    one.keep(1)
    one.flush()
    one.keep(2)
    entrance.server = "a copy that was started beside it"
    assert "another logbook now. Nothing is sent to it" in line_after(one)
    assert one.states() == ["sent", "kept"]


def test_phone_put_back_from_its_own_backup_counts_as_a_new_one(phone, entrance):
    """Else two different items would carry one number of one device."""
    one = phone()
    first = one.keep(1)
    one.flush()
    entrance.items["later"] = {**first, "id": "later", "n": 5}
    one.flush()
    assert one.keep(2)["device"] != first["device"]


def test_version_that_is_too_old_is_told_to_load_anew_or_write_a_file(phone, entrance):
    one = phone()
    one.keep(1)
    entrance.oldest_version = 2
    assert "too old to send. Load them again, or write a file" in line_after(one)
    entrance.oldest_version, entrance.whole = 1, (426, b'{"logbook": 1}', {"Content-Type": "application/json"})
    assert one.flush() == "old"
    assert one.states() == ["kept"]


@pytest.mark.parametrize("status", [302, 403, 413, 429, 500, 502, 503, 507])
def test_no_status_but_200_makes_anything_sent(phone, entrance, status):
    one = phone()
    one.keep(1)
    entrance.whole = (status, b"<html>", {"Location": "/account/sign-in", "Retry-After": "7"})
    assert one.flush() in {"later", "offline"}
    assert one.states() == ["kept"]


def test_photo_goes_in_pieces_and_goes_on_where_it_was_cut(phone, entrance, monkeypatch):
    one = phone()
    picture = random.Random(2).randbytes(700_000)  # noqa: S311  # noise of a test
    name = hashlib.sha256(picture).hexdigest()
    one.keep(1, photos=(picture,))
    real, sizes = entrance.piece, []

    def cut_after_one(*given):
        if given[2] is None:
            return real(*given)
        sizes.append(len(given[2]))
        return (503, {}) if len(sizes) == 2 else real(*given)

    monkeypatch.setattr(entrance, "piece", cut_after_one)
    assert one.flush() == "later"
    assert one.states() == ["sent"]  # the item does not wait for its photo
    assert one.flush() == "sent"
    assert entrance.photos[name] == picture
    assert sizes == [262_144, 262_144, 262_144, 700_000 - 2 * 262_144]  # the second piece once more, not the first
    one.flush()
    assert len(sizes) == 4  # a photo that has arrived is not offered again


def test_photo_that_was_spoilt_on_the_way_is_sent_again_from_the_start(phone, entrance):
    one = phone()
    picture = random.Random(3).randbytes(300_000)  # noqa: S311
    name = hashlib.sha256(picture).hexdigest()
    entrance.photos[name] = bytearray(b"x" * 1000)  # what an earlier try left is not what the name says
    one.keep(1, photos=(picture,))
    assert one.flush() == "sent"
    assert entrance.photos[name] == picture


def test_what_was_sent_stays_a_month_and_only_then_goes(phone):
    one = phone()
    one.keep(1, photos=(b"picture",))
    one.keep(2)
    one.flush()
    one.run("outbox.js", f"forgetOld(Date.now() + {MONTH - 2 * 86_400_000})")
    assert len(one.items()) == 2
    one.keep(3)
    one.run("outbox.js", f"forgetOld(Date.now() + {MONTH})")
    assert one.states() == ["kept"]  # what is not sent never goes
    assert (
        one.run("database.js", "transact(['photos'], 'readonly', (t) => m.asked(t.objectStore('photos').count()))") == 0
    )


def slow(work, seconds):
    """Return what a server does, done slowly."""

    def done(*given):
        time.sleep(seconds)
        return work(*given)

    return done


def test_two_tabs_send_one_batch(phone, entrance, monkeypatch):
    monkeypatch.setattr(entrance, "take", slow(entrance.take, 2.0))  # so that both are at it at once
    first = phone()
    second = phone(context=first.page.context)
    for n in range(4):
        first.keep(n)
    flush = "import('/static/phone/send.js').then((m) => m.flush())"
    second.run("send.js", "flush.name")  # loaded before, or it would come late
    first.page.evaluate(f"() => {{ globalThis.going = {flush}; }}")
    words = {second.page.evaluate(flush)["word"], first.page.evaluate("() => globalThis.going")["word"]}
    assert len(entrance.deliveries) == 1
    assert words in ({"sent", "busy"}, {"sent"})


def test_clock_that_is_wrong_is_kept_as_it_is_with_the_estimate_beside_it(phone, entrance, monkeypatch):
    entrance.ahead = -7200.0  # the phone is two hours fast
    one = phone()
    one.keep(1)
    one.flush()
    clock = one.keep(2)["clock"]
    off = abs(int(clock["ahead_ms"]) + 7_200_000)
    assert off <= int(clock["bound_ms"]) < 5_000
    entrance.ahead = 3600.0  # set anew: what was found before cannot be true any more, however narrow it was
    monkeypatch.setattr(entrance, "hello", slow(entrance.hello, 0.4))
    one.flush()
    assert abs(int(one.keep(3)["clock"]["ahead_ms"]) - 3_600_000) < 5_000
    assert [item["item"]["n"] for item in one.items()] == [1, 2, 3]


def test_page_sends_by_itself_when_it_opens_and_when_something_is_kept(phone, entrance):
    one = phone()
    one.keep(1)  # from here on the browser has a book
    entrance.has_script = True
    one.page.goto("/again/")
    until(one.page, "document.getElementById('phone-state').textContent.startsWith('Everything sent')")
    assert len(entrance.items) == 1
    one.keep(2)
    until(one.page, "document.getElementById('phone-state').textContent.startsWith('Everything sent')")
    for _ in range(40):
        if len(entrance.items) == 2:
            break
        one.page.wait_for_timeout(100)
    assert len(entrance.items) == 2


def test_signal_that_returns_sends_what_was_kept_without_it(phone, entrance):
    one = phone()
    one.keep(1)
    entrance.has_script = True
    one.page.goto("/again/")
    until(one.page, "document.getElementById('phone-state').textContent.startsWith('Everything sent')")
    one.page.context.set_offline(True)
    one.keep(2)
    until(
        one.page, "document.getElementById('phone-state').textContent.startsWith('Kept on this phone, not yet sent: 1')"
    )
    one.page.context.set_offline(False)
    until(one.page, "document.getElementById('phone-state').textContent.startsWith('Everything sent')")
    assert len(entrance.items) == 2


def test_browser_without_a_book_asks_the_server_nothing(phone, entrance, monkeypatch):
    asked = []
    monkeypatch.setattr(entrance, "hello", lambda: asked.append(1) or {})
    entrance.has_script = True
    one = phone()
    one.page.wait_for_timeout(500)
    assert asked == []
    assert one.page.locator("#phone-state").is_hidden()
