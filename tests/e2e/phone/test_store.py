"""The phone's book in a real browser: what is kept, when it says so, and what it says when it cannot."""

import json
import random
import re

import pytest

from commissioning.canonical import canonical_json, digest
from tests.e2e.phone.conftest import VISIT

# every transaction reports its end 400 ms late, as slow storage would
LATE = """() => {
  const real = IDBDatabase.prototype.transaction;
  IDBDatabase.prototype.transaction = function (...given) {
    globalThis.durability = given[2]?.durability;
    const transaction = real.apply(this, given);
    const late = (handler) => (event) => setTimeout(() => { globalThis.completed = true; handler(event); }, 400);
    Object.defineProperty(transaction, "oncomplete", {
      set(handler) { transaction.addEventListener("complete", late(handler)); },
    });
    return transaction;
  };
}"""
NO_ROOM_FOR_PHOTOS = """() => {
  const real = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (...given) {
    if (this.name === "photos") throw new DOMException("no room", "QuotaExceededError");
    return real.apply(this, given);
  };
}"""
NO_STORAGE = "() => { IDBFactory.prototype.open = () => { throw new DOMException('denied', 'SecurityError'); }; }"
LISTEN = "import('/static/phone/store.js').then((m) => m.subscribe((said) => { globalThis.heard = said; }))"


def test_item_has_the_form_of_the_contract_and_a_digest_that_the_server_finds_too(phone):
    item = phone().keep(3, photos=(b"picture",))
    assert sorted(item) == sorted(["v", "id", "device", "n", "user", "site", "kind", "body", "clock", "digest"])
    bare = {key: value for key, value in item.items() if key != "digest"}
    assert digest(canonical_json(bare)) == item["digest"]
    assert item["body"]["photos"][0]["sha256"] == digest("picture")
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d", item["clock"]["wall"])


def test_kept_is_said_only_when_the_transaction_is_complete_and_strict(phone):
    one = phone()
    one.keep(1)
    one.page.evaluate(LATE)
    one.page.evaluate("globalThis.completed = false")
    one.page.evaluate("import('/static/phone/store.js').then((m) => { globalThis.store = m; })")
    said = one.page.evaluate(
        """async (given) => { await store.keep(given); return globalThis.completed; }""", one.given(2)
    )
    assert said is True
    assert one.page.evaluate("globalThis.durability") == "strict"


def test_item_photo_and_count_are_written_together_or_not_at_all(phone):
    one = phone()
    one.keep(1)
    one.page.evaluate(NO_ROOM_FOR_PHOTOS)
    assert one.tries_to_keep(2, photos=(b"picture",)) == "photos-full"
    assert len(one.items()) == 1
    assert one.keep(3)["n"] == 2  # the number of what was not kept is free again: no gap


def test_two_tabs_share_one_count_without_gap_or_double(phone):
    first = phone()
    second = phone(context=first.page.context)
    many = """(given) => import('/static/phone/store.js').then(async (m) => {
        const made = [];
        for (let n = 0; n < 20; n += 1) made.push(m.keep(given));
        await Promise.all(made); })"""
    first.page.evaluate(f"(given) => {{ globalThis.going = ({many})(given); }}", first.given(1))
    second.page.evaluate(many, second.given(2))
    first.page.evaluate("() => globalThis.going")
    assert [one["item"]["n"] for one in first.items()] == list(range(1, 41))
    assert len({one["item"]["device"] for one in second.items()}) == 1


def test_other_tab_hears_of_what_is_kept(phone):
    first = phone()
    second = phone(context=first.page.context)
    second.page.evaluate(
        "import('/static/phone/store.js').then((m) => m.subscribe((said) => { globalThis.heard = said; }))"
    )
    first.keep(1)
    second.page.wait_for_timeout(200)
    assert second.page.evaluate("globalThis.heard") == {"what": "items", "visit": VISIT}


def test_full_storage_refuses_the_photo_first_and_still_takes_the_figure(phone, entrance, tmp_path):
    one, chance = phone.lasting(tmp_path), random.Random(1)  # noqa: S311  # sizes and noise of a test
    devtools = one.page.context.new_cdp_session(one.page)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": entrance.url, "quotaSize": 5_000_000})
    one.keep(1, photos=(chance.randbytes(600_000),))
    assert one.tries_to_keep(2, photos=(chance.randbytes(600_000),)) == "photos-full"
    figures = 0
    while one.tries_to_keep(figures, label=chance.randbytes(100_000).hex()) == "kept":
        figures += 1
    assert figures > 10  # two megabytes, where not one was free
    assert one.tries_to_keep(99, photos=(b"small",)) == "photos-full"
    assert len(one.items()) == 1 + figures  # what was there is whole
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": entrance.url})


def test_browser_without_storage_says_so_in_one_word(phone):
    one = phone()
    one.page.evaluate(
        "() => { IDBFactory.prototype.open = () => { throw new DOMException('denied', 'SecurityError'); }; }"
    )
    assert one.tries_to_keep(1) == "private"


def test_nothing_is_kept_for_nobody(phone, entrance):
    entrance.page_user = ""
    assert phone().tries_to_keep(1) == "nobody"


def test_cleared_database_is_noticed_and_said_and_gets_a_new_number(phone, entrance):
    one = phone()
    before = one.keep(1)
    one.page.goto("about:blank")
    one.page.goto("/")
    one.page.evaluate("() => new Promise((done) => { indexedDB.deleteDatabase('logbook').onsuccess = done; })")
    after = one.keep(2)
    assert after["device"] != before["device"]
    assert one.run("store.js", "readMeta('lost')")["unsent"] == 1
    one.run("state.js", "showState('')")
    assert "The browser has cleared this phone’s book. Not sent by then: 1" in one.line()


@pytest.mark.parametrize("zone", ["Africa/Nairobi", "Asia/Kathmandu", "America/St_Johns", "Pacific/Kiritimati"])
def test_wall_time_carries_the_zones_offset(phone, zone):
    clock = phone(timezone_id=zone).keep(1)["clock"]
    assert clock["zone"] == zone or zone == "Asia/Kathmandu"  # some browsers give its older spelling
    offsets = {"Africa/Nairobi": "+03:00", "Asia/Kathmandu": "+05:45", "Pacific/Kiritimati": "+14:00"}
    assert clock["wall"].endswith(offsets.get(zone, ("-03:30", "-02:30")))
    assert clock["ahead_ms"] is None  # never compared with a server yet


def test_export_holds_every_unsent_item_and_its_photo(phone):
    one = phone()
    items = [one.keep(1), one.keep(2, photos=(b"\xff\xd8picture",))]
    text = one.page.evaluate("import('/static/phone/file.js').then(async (m) => (await m.exportFile()).text())")
    written = json.loads(text)
    assert written["items"] == items
    assert list(written["photos"].values()) == ["/9hwaWN0dXJl"]
    assert (written["logbook"], written["file"], written["device"]) == (1, "phone", items[0]["device"])
