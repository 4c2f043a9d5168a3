"""The demo's database: made once, kept after, and no other database ever touched."""

import os
import re
import signal
import socket
import sqlite3
import subprocess
import time
from contextlib import closing
from pathlib import Path
from urllib.request import urlopen

import pytest

from tests.demo_world import DATABASE, ROOT, SAID, command, copy_of, demo, surroundings


def query(data: Path, statement: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(data / DATABASE, isolation_level=None)) as database:
        return database.execute(statement).fetchall()


@pytest.fixture(scope="module")
def made(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A demo that was made once, and what it said."""
    data = copy_of(demo_folder, tmp_path_factory.mktemp("demo"))
    return data, (data / SAID).read_text()


def free_port() -> int:
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_first_start_says_where_and_as_whom(made):
    data, said = made
    password = (data / "demo_password").read_text()
    assert "http://localhost:8000/" in said
    assert re.search(rf"technician\s+password\s+{password}", said)
    assert re.search(rf"office\s+password\s+{password}", said)
    secret = (data / "demo_owner_link").read_text()
    assert f"http://localhost:8000/o/{secret}/" in said
    assert all((data / name).stat().st_mode & 0o077 == 0 for name in ("demo_password", "demo_owner_link"))
    assert {name for (name,) in query(data, "SELECT username FROM commissioning_user")} >= {"technician", "office"}


def test_later_start_keeps_what_was_entered_and_adds_nothing(made):
    data, _ = made
    query(data, "UPDATE commissioning_user SET email = 'kept@logbook.example' WHERE username = 'office'")
    tables = [name for (name,) in query(data, "SELECT name FROM sqlite_master WHERE type = 'table'")]
    before = {table: query(data, f'SELECT COUNT(*) FROM "{table}"') for table in tables}
    started = time.monotonic()
    assert demo(data).returncode == 0
    assert time.monotonic() - started < 20
    assert {table: query(data, f'SELECT COUNT(*) FROM "{table}"') for table in tables} == before
    assert query(data, "SELECT COUNT(*) FROM commissioning_user WHERE email = 'kept@logbook.example'") == [(1,)]


@pytest.mark.long
def test_fresh_starts_over(made):
    data, _ = made
    query(data, "UPDATE commissioning_user SET email = 'gone@logbook.example'")
    done = demo(data, "--fresh")
    assert done.returncode == 0, done.stderr
    assert query(data, "SELECT COUNT(*) FROM commissioning_user WHERE email = 'gone@logbook.example'") == [(0,)]
    assert (data / "logbook.sqlite3").read_bytes() == b"kept"  # the working database beside it


@pytest.mark.parametrize("arguments", [(), ("--fresh",)])
def test_database_without_the_mark_is_not_touched(tmp_path, arguments):
    query(tmp_path, "CREATE TABLE somebodys_records (n INTEGER)")
    before = (tmp_path / "demo.sqlite3").read_bytes()
    done = demo(tmp_path, *arguments)
    assert done.returncode == 1
    assert "not marked as a demo database" in done.stderr
    assert (tmp_path / "demo.sqlite3").read_bytes() == before


def test_file_that_is_no_database_is_not_touched(tmp_path):
    (tmp_path / "demo.sqlite3").write_bytes(b"a text that somebody put here" * 100)
    done = demo(tmp_path, "--fresh")
    assert done.returncode == 1
    assert "cannot be read as a database" in done.stderr
    assert (tmp_path / "demo.sqlite3").exists()


def test_lan_says_what_a_phone_can_and_cannot_do(made):
    data, _ = made
    said = demo(data, "--lan").stdout
    assert re.search(r"A phone on this network can open http://\S+:8000/", said)
    assert "It cannot" in said
    assert "without signal" in said
    assert "HTTPS=1" in said


def test_loopback_says_nothing_of_phones(made):
    assert "phone" not in made[1]


def test_demo_serves_and_ends_cleanly_on_ctrl_c(made):
    data, _ = made
    port = free_port()
    with subprocess.Popen(
        command("--port", str(port)),
        env=surroundings(data),
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    ) as served:
        try:
            assert any("serving; Ctrl-C ends it" in line for line in served.stdout)
            with urlopen(f"http://127.0.0.1:{port}/account/sign-in", timeout=30) as page:
                assert page.status == 200
            with urlopen(f"http://127.0.0.1:{port}/static/look.css", timeout=30) as style:
                assert style.headers["Content-Type"].startswith("text/css")
        finally:
            os.killpg(served.pid, signal.SIGINT)  # as the terminal does: to the command and its workers
            served.wait(timeout=40)
        assert served.returncode == 0
        assert "Traceback" not in served.stderr.read()


def test_taken_port_is_said_before_anything_is_done(tmp_path):
    with closing(socket.socket()) as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        done = subprocess.run(
            command("--port", str(taken.getsockname()[1])),
            env=surroundings(tmp_path),
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=60,
        )
    assert done.returncode == 1
    assert "Try --port" in done.stderr
    assert not (tmp_path / "demo.sqlite3").exists()
