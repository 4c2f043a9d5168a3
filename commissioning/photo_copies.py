"""The small copies of a photo, beside the file as it came: one for a list, one for a page or for paper.

A copy can always be made again from the file, so it is no evidence and is not exported.
"""

import io
import os
import tempfile
from pathlib import Path

from commissioning import files, photos

THUMBNAIL = "thumbnail"
LARGE = "large"
SIZES = (THUMBNAIL, LARGE)


def keep(photo: photos.Photo) -> None:
    """Store a photo taken in: the file as it came under its hash, and both copies beside it."""
    files.keep(photo.data)
    _write(photo.sha256, THUMBNAIL, photo.thumbnail)
    _write(photo.sha256, LARGE, photo.derivative)


def path_of(sha256: str, size: str) -> Path:
    """Return where a copy lies, making it if only the file itself is there (as after an import).

    Raises FileNotFoundError where the file is not there, PhotoError where it cannot be read any more.
    """
    path = _path(sha256, size)
    if not path.exists():
        keep(photos.take_in(io.BytesIO(files.read(sha256))))
    return path


def _path(sha256: str, size: str) -> Path:
    if size not in SIZES:
        raise ValueError(f"there is no copy called {size}")
    return files.path_of(sha256).with_suffix(f".{size}.jpg")


def _write(sha256: str, size: str, data: bytes) -> None:
    path = _path(sha256, size)
    if path.exists():
        return
    handle, scratch = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "wb") as file:
        file.write(data)
    os.chmod(scratch, 0o640)
    os.replace(scratch, path)
