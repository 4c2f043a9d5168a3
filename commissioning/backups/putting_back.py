"""Put a backup back where there is no record yet, and begin another epoch: phones offer again what they have."""

import os
import shutil
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.db import connection

from commissioning.backups.database_copy import faults_of_database, on_disk
from commissioning.backups.files_copy import FOLDER, faults_of_files, place_in
from commissioning.backups.manifest import BackupError, Manifest, read_manifest
from commissioning.files import digest_of
from commissioning.models import Epoch, Event
from commissioning.sync.epochs import new_epoch


def put_back(path: Path, *, is_copy: bool = False) -> Manifest:
    """Put back the backup that a manifest describes; raises BackupError before anything is touched if it is not sound.

    `is_copy`: the original goes on elsewhere, and this becomes a server of its own.
    """
    manifest = read_manifest(path)
    _refuse_unsound(path.parent, manifest)
    _refuse_what_is_there()
    _put_files(path.parent / FOLDER, manifest)
    _put_database(path.parent / manifest.database)
    call_command("migrate", interactive=False, verbosity=0)
    new_epoch(f"put back from the backup of {manifest.made_at[:19]}", is_copy=is_copy)
    return manifest


def _refuse_unsound(folder: Path, manifest: Manifest) -> None:
    copy = folder / manifest.database
    if not copy.is_file():
        raise BackupError(f"{manifest.database} is not beside its description.")
    if digest_of(copy.read_bytes()) != manifest.database_hash:
        raise BackupError(f"{manifest.database} is not what was written when the backup was made.")
    lacking = [name for name in manifest.files if not place_in(folder / FOLDER, name).is_file()]
    faults = faults_of_database(copy) + [f"file {name[:16]} is missing" for name in lacking]
    faults += faults_of_files(folder / FOLDER)
    if faults:
        raise BackupError(f"The backup is not sound: {'; '.join(faults[:5])}")


def _refuse_what_is_there() -> None:
    """A record is never written over: whoever wants that moves the old one away first."""
    if connection.vendor != "sqlite":
        raise BackupError("PostgreSQL is put back by its own tool, pg_restore; here only SQLite is.")
    tables = connection.introspection.table_names()
    if Event._meta.db_table in tables and Event.objects.exists():
        raise BackupError("There is a record here already. Move it away, or name an empty DATA_DIR.")


def _put_files(source: Path, manifest: Manifest) -> None:
    target = Path(settings.MEDIA_ROOT)
    for name in manifest.files:
        there = place_in(target, name)
        there.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(place_in(source, name), there)
        there.chmod(0o640)
        on_disk(there)


def _put_database(copy: Path) -> None:
    place = Path(connection.settings_dict["NAME"])
    connection.close()
    scratch = place.with_name(f"{place.name}.new")
    place.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(copy, scratch)
    scratch.chmod(0o600)
    on_disk(scratch)
    for beside in ("-journal", "-wal", "-shm"):
        place.with_name(place.name + beside).unlink(missing_ok=True)
    os.replace(scratch, place)
    on_disk(place)


def lost_since(manifest: Manifest) -> str:
    """Return in words what a person has to know after a backup was put back."""
    epochs = Epoch.objects.count()
    return (
        f"The record stands as it was at {manifest.made_at[:19].replace('T', ' ')} UTC: {manifest.events} events in "
        f"{len(manifest.heads)} chains. What was written here after that is gone from this server. Phones offer again "
        f"what they have kept since; this is epoch {epochs}. Sheets issued after that time are not in the register: "
        "compare with the paper, and do not issue a number twice."
    )
