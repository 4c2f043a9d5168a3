"""The stored files: copied once each, because a file is named by its content and never changes; and checked."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

from commissioning.files import digest_of

HEX = set("0123456789abcdef")
FOLDER = "files"


def stored_names(root: Path | None = None) -> Iterator[tuple[str, Path]]:
    """Yield hash and place of every stored file, in order."""
    for path in sorted((root or Path(settings.MEDIA_ROOT)).glob("[0-9a-f][0-9a-f]/*")):
        if len(path.name) == 64 and set(path.name) <= HEX:
            yield path.name, path


def place_in(root: Path, name: str) -> Path:
    return root / name[:2] / name


def copy_new_files(source: Path, target: Path) -> list[str]:
    """Copy every stored file that is not there yet; return the names of all that are there now.

    A file that is not what its name says is not copied: the sound one of an earlier backup is not touched by it.
    """
    names = []
    for name, path in stored_names(source):
        there = place_in(target, name)
        if there.exists() or _copied(path, there):
            names.append(name)
    return names


def _copied(path: Path, there: Path) -> bool:
    data = path.read_bytes()
    if digest_of(data) != path.name:
        return False
    there.parent.mkdir(parents=True, exist_ok=True)
    scratch = there.with_name(f"{there.name}.new")
    with scratch.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    shutil.copymode(path, scratch)
    os.replace(scratch, there)
    return True


def faults_of_files(root: Path | None = None) -> list[str]:
    """Return one line for every stored file that is not what its name says."""
    return [
        f"file {name[:16]} is not what it was when it was stored"
        for name, path in stored_names(root)
        if digest_of(path.read_bytes()) != name
    ]
