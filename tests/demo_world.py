"""The demo, made once in a run of tests by whichever process asks first, and lent to all as a copy."""

import fcntl
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
KEPT = {name: os.environ[name] for name in ("PATH", "HOME", "LANG") if name in os.environ}
SAID = "said"
DATABASE = "demo.sqlite3"


def command(*arguments: str) -> list[str]:
    return [sys.executable, "manage.py", "demo", *arguments]


def surroundings(data: Path) -> dict[str, str]:
    return {**KEPT, "DATA_DIR": str(data), "NO_BOOTSTRAP": "1"}


def demo(data: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the demo without serving it."""
    return subprocess.run(
        command("--no-serve", *arguments), env=surroundings(data), cwd=ROOT, capture_output=True, text=True, timeout=300
    )


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Let one process in at a time."""
    with (folder / "demo.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def made_once(shared: Path) -> Path:
    """Return the folder of the demo that all processes share. Whoever writes takes a copy."""
    data = shared / "demo"
    with alone(shared):
        if not (data / SAID).exists():
            data.mkdir()
            (data / "logbook.sqlite3").write_bytes(b"kept")  # the working database, which the demo leaves alone
            done = demo(data)
            assert done.returncode == 0, done.stderr
            (data / SAID).write_text(done.stdout)
    return data


def copy_of(data: Path, to: Path) -> Path:
    """Return a copy of the demo's folder: what is written there touches nobody else."""
    shutil.copytree(data, to, dirs_exist_ok=True)
    return to
