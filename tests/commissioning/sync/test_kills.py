"""The server killed outright while phones send: what it acknowledged is there, once, and the chain holds.

A killed process leaves its writes to the kernel, so this tests transactions and repetition, not the power cut.
"""

import os
import random
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.commissioning.sync.served import Server, WirePhone

FAST, LONG = 2, 1000
CLIENTS = 4
MOST_WAITING = 40  # items of one phone: a delivery holds 200
WHOLE = 10  # every tenth time the whole server is killed, else all of its workers
POSTGRESQL = os.environ.get("TEST_POSTGRESQL_URL", "")  # an empty database of its own


class Sender(threading.Thread):
    """A phone that sends one batch after the other, and again whatever was not acknowledged."""

    def __init__(self, server: Server, seed: int) -> None:
        super().__init__(daemon=True)
        self.phone, self.random = WirePhone(server), random.Random(seed)  # noqa: S311  # no secret
        self.waiting: list[Any] = []
        self.acknowledged: dict[str, int] = {}  # id → its place in the chain, as the receipt said
        self.duplicates = 0
        self.stop = threading.Event()
        self.moved: list[str] = []

    def run(self) -> None:
        while not self.stop.is_set() or self.waiting:
            if not self.stop.is_set() and len(self.waiting) < MOST_WAITING:
                self.waiting += [self.phone.keep() for _ in range(self.random.randint(1, 6))]
            try:
                status, answer = self.phone.server.exchange(self.phone.delivery(*self.waiting))
            except (OSError, ValueError, IndexError):
                time.sleep(0.05)
                continue
            if status == 200 and answer:
                self.take(answer["results"])

    def take(self, results: list[Any]) -> None:
        for one in results:
            if one["state"] not in ("stored", "duplicate"):
                continue
            place = one["receipt"]["sequence"]
            if self.acknowledged.setdefault(one["id"], place) != place:
                self.moved.append(one["id"])
            self.duplicates += one["state"] == "duplicate"
        self.waiting = [item for item in self.waiting if item["id"] not in self.acknowledged]


@pytest.fixture
def server(tmp_path: Path, request: Any) -> Iterator[Server]:
    made = Server(tmp_path / "killed", request.param).prepare().start()
    yield made
    made.kill()


ENGINES = [
    pytest.param("", id="sqlite"),
    pytest.param(
        POSTGRESQL, id="postgresql", marks=pytest.mark.skipif(not POSTGRESQL, reason="no TEST_POSTGRESQL_URL")
    ),
]


@pytest.mark.parametrize("server", ENGINES, indirect=True)
def test_killed_outright_it_has_what_it_acknowledged(
    server: Server, is_long: bool, keep_record: Any, request: Any
) -> None:
    kills = int(os.environ.get("KILLS", LONG)) if is_long else FAST
    chance = random.Random(20270414)  # noqa: S311  # no secret
    senders = [Sender(server, seed) for seed in range(CLIENTS)]
    for one in senders:
        one.start()
    restarts = []
    for number in range(1, kills + 1):
        time.sleep(chance.uniform(0.03, 0.4))
        began = time.monotonic()
        if number % WHOLE == 0 or number == FAST:
            server.kill()
            server.start()
        else:
            server.kill_workers()
            server.wait()
        restarts.append(time.monotonic() - began)
    for one in senders:
        one.stop.set()
    for one in senders:
        one.join(120)
    acknowledged = sum(len(one.acknowledged) for one in senders)
    lost, twice = 0, 0
    for one in senders:
        stored = server.stored(one.phone.device)
        lost += len(set(one.acknowledged) - set(stored))
        twice += len(stored) - len(set(stored))
        assert one.moved == []
        assert len(stored) == one.phone.n  # all that was kept arrived in the end
    assert (lost, twice) == (0, 0)
    assert acknowledged >= kills
    assert "are as they were written" in server.verify()
    if is_long:
        engine = "postgresql" if server.database else "sqlite"
        restarts.sort()
        keep_record(
            f"kills_{engine}", kills=kills, acknowledged=acknowledged, lost=0, twice=0, chain_breaks=0,
            replies_lost=sum(one.duplicates for one in senders), restart_p50=f"{restarts[len(restarts) // 2]:.2f}s",
            restart_p99=f"{restarts[int(len(restarts) * 0.99)]:.2f}s",
        )  # fmt: skip
