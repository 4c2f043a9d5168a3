"""The file of a photo, arriving in pieces: each goes behind what is there, the whole is held against its hash.

The file lies under the media folder as `arriving/HASH` until it is whole. Photos of one hash arriving twice at once
share it: a lock lets one piece in at a time, and a piece that does not begin where the file ends is not taken.
"""

import fcntl
import hashlib
import io
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from django.conf import settings

from commissioning import files, photo_copies, photos

LARGEST_PIECE = 256 * 1024
ARRIVING = "arriving"


class PieceError(ValueError):
    """A piece that cannot be taken; `code` says in a word why."""

    def __init__(self, code: str, words: str) -> None:
        super().__init__(words)
        self.code = code


def how_much(sha256: str) -> tuple[int, bool]:
    """Return how many bytes of a file are here, and whether it is whole."""
    if files.is_there(sha256):
        return files.path_of(sha256).stat().st_size, True
    path = _path(sha256)
    return (path.stat().st_size if path.exists() else 0), False


def add_piece(sha256: str, offset: int, total: int, piece: bytes) -> tuple[int, bool]:
    """Put a piece behind what is there; return how much is here then, and whether the file is whole."""
    if not 0 < total <= photos.LARGEST_FILE:
        raise PieceError("size", f"a photo has 1 byte to {photos.LARGEST_FILE // 2**20} MB")
    if not piece or len(piece) > LARGEST_PIECE or offset + len(piece) > total:
        raise PieceError("piece", "a piece has 1 byte to 256 KiB and ends within the whole")
    with _alone(sha256) as file:
        if files.is_there(sha256):
            return how_much(sha256)
        have = file.seek(0, os.SEEK_END)
        if offset != have or have + len(piece) > total:
            return have, False  # twice sent, or out of its place: the phone goes on from what is here
        file.write(piece)
        file.flush()
        if have + len(piece) < total:
            return have + len(piece), False
        return total, _finish(sha256, file)


def take_whole(sha256: str, data: bytes) -> None:
    """Keep the whole file of a photo that came in one piece, as in a phone's file."""
    if not files.is_there(sha256):
        with _alone(sha256) as file:
            file.truncate(0)
            file.write(data)
            file.flush()
            _finish(sha256, file)


def _finish(sha256: str, file: IO[bytes]) -> bool:
    """Keep a whole file under its hash, with its small copies; or let it go, so that it is sent from its start."""
    file.seek(0)
    data = file.read()
    try:
        if hashlib.sha256(data).hexdigest() != sha256:
            raise PieceError("hash", "the whole is not the photo that was taken: it is sent again from its start")
        photo_copies.keep(photos.take_in(io.BytesIO(data)))
    except photos.PhotoError as error:
        raise PieceError("photo", error.message) from error
    finally:
        _path(sha256).unlink(missing_ok=True)
    return True


@contextmanager
def _alone(sha256: str) -> Iterator[IO[bytes]]:
    """Open the arriving file for one process at a time."""
    path = _path(sha256)
    path.parent.mkdir(parents=True, exist_ok=True)
    while True:
        with open(path, "a+b") as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            if path.exists() and os.fstat(file.fileno()).st_ino == path.stat().st_ino:
                yield file
                return
        # finished and removed by another while this one waited: open it anew


def _path(sha256: str) -> Path:
    files.path_of(sha256)  # raises where this is no hash
    return Path(settings.MEDIA_ROOT) / ARRIVING / sha256
