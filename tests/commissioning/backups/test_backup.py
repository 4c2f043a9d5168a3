"""A backup made while others write holds whole transactions, is verified, and comes back; decay is found."""

import json
import os
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import connection

from commissioning import files
from commissioning.backups.making import Made, back_up
from commissioning.backups.manifest import BackupError
from commissioning.models import Event, User
from commissioning.sync.epochs import present_epoch
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(bool(os.environ.get("TEST_DATABASE_URL")), reason="PostgreSQL is copied by its own tool"),
]


@pytest.fixture(autouse=True)
def media(tmp_path: Path, settings: Any) -> Path:
    settings.MEDIA_ROOT = tmp_path / "media"
    return tmp_path / "media"


@pytest.fixture
def world(technician: User) -> User:
    """Return who wrote a record with a visit, a reading and two files."""
    visit = visit_on(site_with_record(technician), technician)
    measure(visit, "static_level", "W1", ("level", "18.30", "m"), actor=technician)
    files.keep(b"one picture")
    files.keep(b"another picture")
    return technician


@pytest.fixture
def no_walk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out the walk over the evidence, a process of its own: other tests here have it."""
    monkeypatch.setattr("commissioning.backups.making.evidence_faults", lambda database: [])


def test_a_backup_says_what_it_holds_and_is_named_by_it(world: User, tmp_path: Path) -> None:
    present_epoch()
    made = back_up(tmp_path / "kept")
    said = json.loads(made.path.read_text())
    last = Event.objects.order_by("sequence").last()
    assert last is not None
    assert said["heads"] == {str(last.site_id): [last.sequence, last.hash]}
    assert (said["events"], len(said["files"])) == (Event.objects.count(), 2)
    assert made.path.name.removesuffix(".backup.json") == Path(said["database"]).stem
    assert (tmp_path / "kept" / said["database"]).stat().st_mode & 0o077 == 0, "open to others"


def test_a_later_backup_copies_only_files_that_are_new(world: User, tmp_path: Path, no_walk: None) -> None:
    kept = tmp_path / "kept"
    back_up(kept)
    first = {path: path.stat().st_mtime_ns for path in (kept / "files").glob("*/*")}
    files.keep(b"a third picture")
    back_up(kept)
    now = {path: path.stat().st_mtime_ns for path in (kept / "files").glob("*/*")}
    assert len(now) == 3
    assert first.items() <= now.items()


def test_an_unsound_copy_is_thrown_away(world: User, tmp_path: Path) -> None:
    with closing(sqlite3.connect(connection.settings_dict["NAME"])) as opened:
        opened.execute("DROP TRIGGER IF EXISTS commissioning_event_no_update")
        for (name,) in opened.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'commissioning_event'"
        ).fetchall():
            opened.execute(f'DROP TRIGGER "{name}"')
        opened.execute("UPDATE commissioning_event SET body = replace(body, '18.30', '13.80')")
        opened.commit()
    with pytest.raises(BackupError, match="the content is not what was hashed"):
        back_up(tmp_path / "kept")
    assert not list((tmp_path / "kept").glob("*.sqlite3")) + list((tmp_path / "kept").glob("*.json"))


def test_copies_under_writing_miss_nothing_that_was_acknowledged(
    world: User, tmp_path: Path, no_walk: None, is_long: bool
) -> None:
    """Each copy must hold at least what was acknowledged when it began, and its chain must hold."""
    acknowledged, stop = [Event.objects.count()], threading.Event()
    writer = threading.Thread(target=_write_on, args=(connection.settings_dict["NAME"], acknowledged, stop))
    writer.start()
    try:
        copies = [(acknowledged[0], back_up(tmp_path / "kept")) for _ in range(60 if is_long else 5)]
    finally:
        stop.set()
        writer.join()
    assert acknowledged[0] > copies[0][0], "nobody wrote meanwhile"
    for before, made in copies:
        assert before <= made.manifest.events
        _assert_whole(made, tmp_path / "kept")


def _write_on(database: str, acknowledged: list[int], stop: threading.Event) -> None:
    """Append rows as a process of its own would: two in one transaction, so that a copy could cut them apart."""
    with closing(sqlite3.connect(database, timeout=20, isolation_level=None)) as opened:
        opened.execute("PRAGMA synchronous=FULL")
        columns = [row[1] for row in opened.execute("PRAGMA table_info(commissioning_event)")]
        last = dict(
            zip(
                columns,
                opened.execute("SELECT * FROM commissioning_event ORDER BY sequence DESC").fetchone(),
                strict=True,
            )
        )
        marks = ", ".join("?" * len(columns))
        for n in range(1, 100_000):
            if stop.is_set():
                return
            opened.execute("BEGIN IMMEDIATE")
            for half in range(2):
                place = f"{2 * n + half:032x}"
                row = last | {"id": place, "hash": place * 2, "sequence": last["sequence"] + 2 * n + half}
                opened.execute(f"INSERT INTO commissioning_event VALUES ({marks})", list(row.values()))
            opened.execute("COMMIT")
            acknowledged[0] += 2


def _assert_whole(made: Made, folder: Path) -> None:
    with closing(sqlite3.connect(folder / made.manifest.database)) as opened:
        assert opened.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        (added,) = opened.execute("SELECT COUNT(*) FROM commissioning_event WHERE hash LIKE '000000%'").fetchone()
    assert added % 2 == 0, "a transaction was cut apart"


def test_a_backup_comes_back_as_another_epoch_and_verifies(world: User, tmp_path: Path) -> None:
    before = present_epoch()
    made = back_up(tmp_path / "kept")
    said = _run("restore", str(made.path), data=tmp_path / "new")
    assert "the record stands as it was at" in said.lower()
    place = tmp_path / "new" / "demo.sqlite3"
    with closing(sqlite3.connect(place)) as opened:
        (events,) = opened.execute("SELECT COUNT(*) FROM commissioning_event").fetchone()
        epochs = opened.execute("SELECT server, epoch FROM commissioning_epoch ORDER BY id").fetchall()
    assert events == Event.objects.count()
    assert [server for server, _ in epochs] == [before.server.hex] * 2
    assert epochs[1][1] != before.epoch.hex
    assert "are as they were written" in _run("verify", data=tmp_path / "new")
    assert files.digest_of(b"one picture") in {p.name for p in (tmp_path / "new" / "demo-media").glob("*/*")}
    with pytest.raises(AssertionError, match="There is a record here already"):
        _run("restore", str(made.path), data=tmp_path / "new")


def _run(*command: str, data: Path) -> str:
    around = {k: v for k, v in os.environ.items() if k not in ("DJANGO_SETTINGS_MODULE", "DATABASE_URL")}
    asked = [sys.executable, str(settings.ROOT / "manage.py"), *command]
    around |= {"DATA_DIR": str(data), "DEMO": "1", "NO_BOOTSTRAP": "1"}
    done = subprocess.run(asked, env=around, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


SPOILED = {
    "database": lambda kept: next(kept.glob("*.sqlite3")),
    "file": lambda kept: sorted((kept / "files").glob("*/*"))[0],
}


@pytest.mark.parametrize("what", SPOILED)
def test_a_spoiled_backup_is_refused_before_anything_is_touched(
    world: User, tmp_path: Path, no_walk: None, what: str
) -> None:
    made = back_up(tmp_path / "kept")
    _flip(SPOILED[what](tmp_path / "kept"))
    with pytest.raises(CommandError, match="is not"):
        call_command("restore", str(made.path))


def _flip(path: Path, place: int = -1) -> None:
    data = bytearray(path.read_bytes())
    data[place] ^= 1
    path.chmod(0o640)
    path.write_bytes(bytes(data))


def test_scrub_finds_every_planted_decay(world: User, media: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for n in range(10):
        files.keep(f"picture {n}".encode())
    call_command("scrub")
    planted = [path for n, path in enumerate(sorted(media.glob("*/*"))) if n != 1][:10]
    for path in planted:
        _flip(path, place=0)
    capsys.readouterr()
    with pytest.raises(CommandError, match=r"^10 faults"):
        call_command("scrub")
    said = capsys.readouterr().out
    assert all(path.name[:16] in said for path in planted)


@pytest.fixture(autouse=True)
def closed_afterwards() -> Iterator[None]:
    yield
    connection.close()
