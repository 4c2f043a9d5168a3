"""Files that nothing names. A photo may come before the item that names it, so only what is old counts as one."""

import time
from collections.abc import Iterator
from pathlib import Path

from django.conf import settings

from commissioning.models import Photo, Sheet, SheetFile
from commissioning.sync.photo_pieces import ARRIVING

DAYS = 60  # twice as long as a phone keeps what it has sent
HEX = set("0123456789abcdef")


def sweep(*, days: int = DAYS) -> list[Path]:
    """Take away files of photos and papers that no row names, untouched for some days; return what was taken."""
    named = {*Photo.objects.values_list("sha256", flat=True), *Sheet.objects.values_list("file_hash", flat=True)}
    named |= set(SheetFile.objects.values_list("file_hash", flat=True))
    before = time.time() - days * 24 * 3600
    taken = [path for path in _by_hash() if path.name[:64] not in named and path.stat().st_mtime < before]
    taken += [path for path in _arriving() if path.stat().st_mtime < before]
    for path in taken:
        path.unlink(missing_ok=True)
    return taken


def _by_hash() -> Iterator[Path]:
    """Yield every file that is named by a hash, and the copies beside it; nothing else in the folder is touched."""
    for path in Path(settings.MEDIA_ROOT).glob("[0-9a-f][0-9a-f]/*"):
        if path.is_file() and len(path.name) >= 64 and set(path.name[:64]) <= HEX:
            yield path


def _arriving() -> Iterator[Path]:
    yield from (path for path in (Path(settings.MEDIA_ROOT) / ARRIVING).glob("*") if path.is_file())
