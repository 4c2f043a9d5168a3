"""The database's form goes back and forward again under a filled record, and not a link of it is lost."""

import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from tests.demo_world import DATABASE, ROOT, copy_of, surroundings

FIRST_WHOLE = "0005_host_run"  # every kind of evidence of a start-up had its rows by then


def manage(data: Path, *arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments], env={**surroundings(data), "DEMO": "1"}, cwd=ROOT,
        capture_output=True, text=True, timeout=300,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout + done.stderr


def rows(data: Path) -> dict[str, int]:
    with sqlite3.connect(data / DATABASE) as there:
        tables = [name for (name,) in there.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        kept = [name for name in tables if name in {f"commissioning_{one}" for one in KEPT}]
        return {name: there.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in kept}


KEPT = ("event", "site", "component", "run", "snapshot", "visit", "measurement", "reading", "judgement", "sheet")


def triggers(data: Path) -> set[str]:
    with sqlite3.connect(data / DATABASE) as there:
        return {name for (name,) in there.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")}


@pytest.mark.long
def test_form_goes_back_and_forward_under_a_filled_record(demo_folder: Path, tmp_path: Path) -> None:
    data = copy_of(demo_folder, tmp_path / "demo")
    before, guards = rows(data), triggers(data)
    assert before["commissioning_event"] > 300
    manage(data, "migrate", "commissioning", FIRST_WHOLE)
    assert rows(data) == before
    manage(data, "migrate")
    assert rows(data) == before
    assert triggers(data) == guards
    assert "are as they were written" in manage(data, "verify", "--only-look")
