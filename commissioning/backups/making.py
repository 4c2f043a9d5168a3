"""Make a backup: the database first, the files second, so that no copied row names a file that is not there."""

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote
from uuid import UUID

from django.conf import settings
from django.utils import timezone

from commissioning.backups.database_copy import copy_database, faults_of_database, on_disk
from commissioning.backups.files_copy import FOLDER, copy_new_files
from commissioning.backups.manifest import SUFFIX, BackupError, Manifest
from commissioning.chain import OFFICE_CHAIN
from commissioning.files import digest_of


@dataclass(frozen=True)
class Made:
    """A backup that was made and verified."""

    manifest: Manifest
    path: Path


def back_up(folder: Path) -> Made:
    """Write a verified backup into a folder that may hold others; raises BackupError, and then leaves none behind."""
    folder.mkdir(parents=True, exist_ok=True)
    made_at = timezone.now()
    scratch = folder / f"{made_at:%Y%m%dT%H%M%S%f}.new.sqlite3"
    try:
        copy_database(scratch)
        files = copy_new_files(Path(settings.MEDIA_ROOT), folder / FOLDER)
        _refuse_unsound(scratch)
        manifest = _described(scratch, made_at.isoformat(), files)
        os.replace(scratch, folder / manifest.database)
    finally:
        scratch.unlink(missing_ok=True)
    path = folder / f"{Path(manifest.database).stem}{SUFFIX}"
    manifest.write(path)
    on_disk(path)
    return Made(manifest, path)


def _refuse_unsound(copy: Path) -> None:
    faults = faults_of_database(copy) or evidence_faults(copy)
    if faults:
        raise BackupError(f"The copy is not sound, so it was thrown away: {'; '.join(faults[:5])}")


def evidence_faults(database: Path) -> list[str]:
    """Return what a walk over the evidence in another database file finds, in a process of its own."""
    asked = [sys.executable, str(settings.ROOT / "manage.py"), "verify", "--only-look"]
    done = subprocess.run(asked, env=_around(database), capture_output=True, text=True, check=False)  # noqa: S603  # our own command, no shell
    return [] if done.returncode == 0 else [*done.stdout.splitlines(), *done.stderr.splitlines()[-1:]]


def _around(database: Path) -> Mapping[str, str]:
    demo = {"DEMO": "1"} if settings.DEMO else {}
    return {
        **os.environ, **demo, "DJANGO_SETTINGS_MODULE": "commissioning.settings", "NO_BOOTSTRAP": "1",
        "DATA_DIR": str(settings.DATA_DIR),
        "DATABASE_URL": f"sqlite:///{quote(str(database.resolve()))}",
    }  # fmt: skip


def _described(copy: Path, made_at: str, files: list[str]) -> Manifest:
    """Return the manifest of a copy; its name carries the time and the start of a hash over every chain's head."""
    with closing(sqlite3.connect(f"{copy.resolve().as_uri()}?mode=ro", uri=True)) as opened:
        lasts = opened.execute(
            "SELECT site_id, sequence, hash FROM commissioning_event AS e WHERE sequence ="
            " (SELECT MAX(sequence) FROM commissioning_event AS o WHERE o.site_id IS e.site_id)"
        ).fetchall()
        (events,) = opened.execute("SELECT COUNT(*) FROM commissioning_event").fetchone()
        epoch = opened.execute("SELECT epoch FROM commissioning_epoch ORDER BY id DESC LIMIT 1").fetchone()
    heads = {str(UUID(site)) if site else OFFICE_CHAIN: [sequence, hash_then] for site, sequence, hash_then in lasts}
    head = digest_of(json.dumps(heads, sort_keys=True).encode())[:12]
    name = f"logbook-{made_at[:19].replace(':', '').replace('-', '')}-{head}.sqlite3"
    return Manifest(made_at, name, digest_of(copy.read_bytes()), events, heads, epoch[0] if epoch else "", files)
