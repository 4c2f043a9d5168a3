"""A phone on a bad line to the real server: seeded schedules of faults, after which both hold the same, once each.

The fast lane runs a few schedules; `--long` runs many and writes tests/records/schedules.txt.
"""

import base64
import hashlib
import os
import random
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit
from uuid import UUID

import pytest

from commissioning import files
from commissioning.canonical import canonical_json
from commissioning.models import Event, Measurement, Photo
from tests.commissioning.worlds import site_with_record, visit_on
from tests.e2e.conftest import PHONE, sign_in
from tests.e2e.phone.conftest import KEEP
from tests.e2e.phone.line import FAULTS, Line
from tests.e2e.phone.small import picture, small_record

pytestmark = pytest.mark.django_db(transaction=True)
SCHEDULES = int(os.environ.get("SCHEDULES", "500"))
FLUSH = "import('/static/phone/send.js').then((m) => m.flush()).then((one) => one.word)"
ALL = "import('/static/phone/store.js').then((m) => m.allItems())"


@pytest.fixture
def visit(technician: Any, transactional_db: None) -> Any:
    return visit_on(site_with_record(technician, document=small_record()), technician)


@pytest.fixture
def line(live_server: Any) -> Iterator[Line]:
    address = urlsplit(live_server.url)
    made = Line(str(address.hostname), int(address.port or 0))
    yield made
    made.close()


class Schedule:
    """One phone, one seed: keep, send, reload in some order on a bad line; then a good line until all is sent."""

    def __init__(self, browser: Any, line: Line, visit: Any, person: Any, seed: int) -> None:
        self.chance = random.Random(seed)  # noqa: S311  # a seed, so that a schedule comes again
        self.line, self.visit, self.person = line, visit, person
        self.photos: dict[str, bytes] = {}
        line.renew(seed)
        self.context = browser.new_context(base_url=line.url, **PHONE)
        sign_in(self.context, line.url, person)
        self.page = self.context.new_page()
        self.open()

    def open(self) -> None:
        self.page.goto("/phone/elsewhere/")  # a page of the real server that loads the phone's scripts

    def keep(self) -> None:
        photos = [picture(self.chance) for _ in range(self.chance.choice([0, 0, 0, 1]))]
        self.photos |= {hashlib.sha256(one).hexdigest(): one for one in photos}
        level = f"{self.chance.uniform(20, 30):.2f}"
        reading = {"input": "level", "label": "", "typed": level, "unit": "m"}
        body = {
            "id": str(self.new_id()), "visit": str(self.visit.pk), "check": "static_level", "subject": "W1",
            "taken_at": "2027-04-14T10:44:03+03:00", "readings": [reading],
        }  # fmt: skip
        pictures = [
            {"text": base64.b64encode(one).decode(), "width": 40, "height": 30, "caption": ""} for one in photos
        ]
        given = {
            "kind": "measurement.taken",
            "site": str(self.visit.site_id),
            "visit": str(self.visit.pk),
            "body": body,
        }
        self.page.evaluate(KEEP, {**given, "photos": pictures})

    def new_id(self) -> UUID:
        return UUID(int=self.chance.getrandbits(128), version=4)

    def run(self) -> list[dict[str, Any]]:
        self.line.is_bad = True
        for _ in range(self.chance.randrange(3, 8)):
            act = self.chance.choice(["keep", "keep", "send", "send", "reload"])
            if act == "keep":
                self.keep()
            elif act == "send":
                self.page.evaluate(FLUSH)
            else:
                self.page.evaluate(f"() => {{ {FLUSH}; }}")  # the page goes while it is sending
                self.open()
        self.keep()
        self.line.is_bad = False
        words = [self.page.evaluate(FLUSH) for _ in range(3)]
        assert words[-1] == "sent", words
        return self.page.evaluate(ALL)


def assert_server_holds(items: list[dict[str, Any]], schedule: Schedule) -> None:
    """The server holds every item once, word for word, in the phone's own order, and every photo byte for byte."""
    assert {one["state"] for one in items} == {"sent"}
    for record in items:
        item = record["item"]
        event = Event.objects.get(pk=item["id"])
        assert (event.device, event.device_sequence) == (item["device"], item["n"])
        assert event.body == canonical_json(item["body"])
        assert (event.hash, event.sequence) == (record["receipt"]["hash"], record["receipt"]["sequence"])
    ids = [one["item"]["body"]["id"] for one in items]
    assert Measurement.objects.filter(pk__in=ids).count() == len(ids)
    assert Event.objects.filter(device=items[0]["item"]["device"]).count() == len(items)
    for name, content in schedule.photos.items():
        assert Photo.objects.filter(sha256=name).count() == 1
        assert files.path_of(name).read_bytes() == content


def go_through(browser: Any, line: Line, visit: Any, person: Any, seeds: range) -> int:
    kept = 0
    for seed in seeds:
        schedule = Schedule(browser, line, visit, person, seed)
        try:
            items = schedule.run()
            assert_server_holds(items, schedule)
            kept += len(items)
        except AssertionError as error:
            raise AssertionError(f"schedule {seed}: {error}") from error
        finally:
            line.is_bad = False
            schedule.context.close()
    return kept


def test_bad_line_loses_nothing_and_doubles_nothing(browser, line, visit, technician):
    go_through(browser, line, visit, technician, range(5))
    assert len(line.met) > 4


@pytest.mark.long
def test_many_bad_lines_lose_nothing_and_double_nothing(browser, line, visit, technician, keep_record):
    kept = go_through(browser, line, visit, technician, range(1000, 1000 + SCHEDULES))
    assert set(line.met) == set(FAULTS)
    faults = sum(count for name, count in line.met.items() if name != "none")
    keep_record("schedules", schedules=SCHEDULES, kept=kept, faults=faults, lost=0, twice=0)
