"""A copy of the database, whole at one moment although others write, and whether a copy is sound."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from django.db import connection

from commissioning.backups.manifest import BackupError

WAIT = 20.0  # seconds for a writer to finish


def copy_database(target: Path) -> None:
    """Write a copy of the SQLite database as it is at one moment, on disk in full before this returns.

    The copy is taken under SQLite's own lock (VACUUM INTO): copying the file of a running system misses commits.
    """
    if connection.vendor != "sqlite":
        raise BackupError("PostgreSQL is copied by its own tool: pg_dump --format=custom. Add --files-only here.")
    source = Path(connection.settings_dict["NAME"])
    if not source.is_file():
        raise BackupError("There is no database yet.")
    target.unlink(missing_ok=True)
    target.touch(mode=0o600)  # VACUUM INTO takes an empty file, and keeps its mode
    try:
        with closing(sqlite3.connect(source, timeout=WAIT)) as opened:
            opened.execute("VACUUM INTO ?", (str(target),))
    except sqlite3.Error as problem:
        target.unlink(missing_ok=True)
        raise BackupError(f"The database could not be copied: {problem}.") from problem
    on_disk(target)


def on_disk(path: Path) -> None:
    """Return once a file and its name are on the disk."""
    for one, flags in ((path, os.O_RDWR), (path.parent, os.O_RDONLY)):
        handle = os.open(one, flags)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def faults_of_database(path: Path) -> list[str]:
    """Return one line for each thing that is wrong with a database file by itself."""
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, timeout=WAIT)) as opened:
            said = [row[0] for row in opened.execute("PRAGMA integrity_check")]
            loose = opened.execute("PRAGMA foreign_key_check").fetchall()
    except sqlite3.Error as problem:
        return [f"the database cannot be read: {problem}"]
    return [line for line in said if line != "ok"] + [f"a row of {row[0]} points at nothing" for row in loose]
