"""The browser is killed right after it said "kept", or while it is sending: what was said to be kept is there.

A killed process leaves to the system what it has handed over, so this cannot tell durable storage from none: that is
the browser's part, asked for with strict durability (test_store.py). What it tells is whether "kept" was said too soon.
The fast lane kills three times; `--long` a hundred times and writes tests/records/kills.txt.
"""

import hashlib
import os
import random
import signal
import time
from pathlib import Path
from typing import Any

import pytest

from tests.e2e.phone.conftest import Phone, lasting_context

KILLS = int(os.environ.get("KILLS", "100"))
START_SENDING = "() => { import('/static/phone/send.js').then((m) => m.flush()); }"


def kill_browser(folder: Path) -> None:
    """Kill every process of the browser that lives in this profile, and no other; wait until they are gone."""
    mark = f"--user-data-dir={folder}"
    while mine := [pid for pid in processes() if mark in command_of(pid)]:
        for pid in mine:
            try:
                os.kill(pid, signal.SIGKILL)
            except ProcessLookupError:
                continue
        time.sleep(0.02)


def processes() -> list[int]:
    return [int(name) for name in os.listdir("/proc") if name.isdigit()]


def command_of(pid: int) -> list[str]:
    """Return a process's command line; a dead one that waits for its parent has none."""
    try:
        return Path(f"/proc/{pid}/cmdline").read_text().split("\0")
    except OSError:
        return []


class Killed:
    """One phone that is killed again and again, and what it has said to be kept."""

    def __init__(self, browser: Any, entrance: Any, folder: Path, seed: int) -> None:
        self.browser, self.entrance, self.folder = browser, entrance, folder
        self.chance = random.Random(seed)  # noqa: S311  # a seed
        self.said: dict[str, list[str]] = {}  # id → names of its photos
        self.open()

    def open(self) -> None:
        context = lasting_context(self.browser, self.folder, self.entrance.url, [])
        page = context.new_page()
        page.goto("/")
        self.phone = Phone(page)

    def keep(self) -> None:
        photos = tuple(self.chance.randbytes(900_000) for _ in range(self.chance.choice([0, 1])))
        item = self.phone.keep(1, photos=photos)
        self.said[item["id"]] = [hashlib.sha256(one).hexdigest() for one in photos]

    def live_and_die(self) -> None:
        """Keep some items, perhaps begin to send, and die at once."""
        for _ in range(self.chance.randrange(1, 4)):
            if self.chance.random() < 0.3:
                self.phone.page.evaluate(START_SENDING)
            self.keep()
        kill_browser(self.folder)

    def missing(self) -> list[str]:
        """Return what was said to be kept and is not here, item or photo."""
        here = {one["id"]: one for one in self.phone.items()}
        lost = [id for id in self.said if id not in here]
        for id, photos in self.said.items():
            lost += [name for name in photos if id in here and self.digest_of(name) != name]
        return lost

    def digest_of(self, name: str) -> str:
        return self.phone.page.evaluate(
            """(name) => Promise.all([import('/static/phone/store.js'), import('/static/phone/canonical.js')])
                .then(async ([s, c]) => c.digest((await s.photo(name)).bytes))""",
            name,
        )

    def numbers(self) -> list[int]:
        return [one["item"]["n"] for one in self.phone.items()]


def kill_often(browser: Any, entrance: Any, folder: Path, kills: int) -> Killed:
    phone = Killed(browser, entrance, folder, seed=kills)
    for _ in range(kills):
        phone.live_and_die()
        phone.open()
        assert phone.missing() == []
        assert phone.numbers() == list(range(1, len(phone.numbers()) + 1))
    assert phone.phone.flush() == "sent"
    assert set(phone.said) <= set(entrance.items)
    assert {name for names in phone.said.values() for name in names} == set(entrance.photos)
    assert all(hashlib.sha256(content).hexdigest() == name for name, content in entrance.photos.items())
    return phone


def test_what_was_kept_survives_the_browsers_death(browser, entrance, tmp_path):
    phone = kill_often(browser, entrance, tmp_path / "profile", 3)
    kill_browser(phone.folder)


@pytest.mark.long
def test_what_was_kept_survives_many_deaths(browser, entrance, tmp_path, keep_record):
    phone = kill_often(browser, entrance, tmp_path / "profile", KILLS)
    kill_browser(phone.folder)
    photos = sum(len(names) for names in phone.said.values())
    keep_record("kills", kills=KILLS, kept=len(phone.said), photos=photos, missing=0)
