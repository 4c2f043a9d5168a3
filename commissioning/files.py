"""Files by content: each lies in the media folder under the SHA-256 of its bytes, and is never changed."""

import hashlib
import os
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from django.conf import settings


def digest_of(data: bytes) -> str:
    """Return the SHA-256 of a file's bytes, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def path_of(sha256: str) -> Path:
    """Return where a file of that hash lies. Raises ValueError for anything that is no such hash."""
    if len(sha256) != 64 or not set(sha256) <= set("0123456789abcdef"):
        raise ValueError("a file is named by 64 hexadecimal digits")
    return Path(settings.MEDIA_ROOT) / sha256[:2] / sha256


def keep(data: bytes) -> str:
    """Store bytes under their hash and return it; on disk, in full, before this returns."""
    name = digest_of(data)
    path = path_of(name)
    if path.exists():
        return name
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, scratch = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(scratch, 0o640)
        os.replace(scratch, path)
    except BaseException:
        Path(scratch).unlink(missing_ok=True)
        raise
    _sync_folder(path.parent)
    return name


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def is_there(sha256: str) -> bool:
    """Whether the bytes of that hash are stored."""
    return path_of(sha256).exists()


def read(sha256: str) -> bytes:
    """Return a stored file's bytes; FileNotFoundError if it is not there."""
    return path_of(sha256).read_bytes()


def stored_files(names: Iterable[str]) -> Iterator[tuple[str, bytes]]:
    """Yield name and bytes of each file."""
    for name in names:
        yield name, read(name)
