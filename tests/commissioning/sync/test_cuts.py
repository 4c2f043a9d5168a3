"""Sending cut at every byte, of the request and of the reply: nothing lost, nothing twice. On the real server."""

import socket
import struct
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.commissioning.sync.served import Server, WirePhone

STEP = 197  # bytes between two cuts in the fast lane; in the long one every byte


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    made = Server(tmp_path_factory.mktemp("cuts")).prepare().start()
    yield made
    made.kill()


def cut(link: socket.socket, *, hard: bool) -> None:
    """End a connection, by the book or with a reset."""
    if hard:
        link.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    link.close()


def test_cut_anywhere_nothing_is_lost_and_nothing_is_twice(server: Server, is_long: bool, keep_record: Any) -> None:
    phone = WirePhone(server)
    kept = [phone.keep()]
    request = phone.delivery(kept[0])
    assert phone.send(kept[0]) == ["stored"]
    reply = _length_of_reply(server, request)
    step = 1 if is_long else STEP
    before = again = 0
    for place in range(0, len(request), step):
        item = phone.keep()
        kept.append(item)
        _cut_request(server, phone.delivery(item), place, hard=place % 2 == 0)
        states = phone.send(item)
        before += states == ["duplicate"]
        assert states in (["stored"], ["duplicate"])
    for place in range(0, reply, step):
        item = phone.keep()
        kept.append(item)
        _cut_reply(server, phone.delivery(item), place, hard=place % 2 == 0)
        states = phone.send(item)
        again += states == ["duplicate"]
        assert states in (["stored"], ["duplicate"])
    stored = server.stored(phone.device)
    lost = [item["id"] for item in kept if item["id"] not in stored]
    assert (lost, len(stored)) == ([], len(kept))
    assert stored == [item["id"] for item in kept]  # each once, in the phone's own count
    assert again > 0  # some were stored although their reply never came
    assert "are as they were written" in server.verify()
    if is_long:
        keep_record(
            "cuts", request=len(request), reply=reply, items=len(kept), lost=0, twice=0, acks_cut=before + again
        )


def _length_of_reply(server: Server, request: bytes) -> int:
    with server.connect() as link:
        link.sendall(request)
        answer = b""
        while piece := link.recv(65536):
            answer += piece
    return len(answer)


def _cut_request(server: Server, request: bytes, place: int, *, hard: bool) -> None:
    link = server.connect()
    link.sendall(request[:place])
    cut(link, hard=hard)


def _cut_reply(server: Server, request: bytes, place: int, *, hard: bool) -> None:
    link = server.connect()
    link.sendall(request)
    seen = 0
    while seen < place and (piece := link.recv(place - seen)):
        seen += len(piece)
    cut(link, hard=hard)


def test_path_of_database_is_not_the_tests_own(server: Server) -> None:
    assert isinstance(server.folder, Path)
    assert (server.folder / "demo.sqlite3").exists()
