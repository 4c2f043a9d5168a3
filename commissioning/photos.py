"""Photos as evidence: the exact bytes are kept and hashed, small copies are made for pages and paper.

The header is read before anything is decoded, so that a small file cannot unfold into
gigabytes. The copies are encoded afresh: they carry no place, no device, nothing hidden.
"""

import hashlib
import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO, Any

from PIL import Image, ImageFile, ImageOps

LARGEST_FILE = 25 * 2**20  # bytes
MOST_PIXELS = 50_000_000
LONGEST_SIDE = 12_000  # px
DERIVATIVE_SIDE = 1600  # px, as printed
THUMBNAIL_SIDE = 320  # px, as listed
QUALITY = 82

MEDIA_TYPE = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
DERIVATIVE_TYPE = "image/jpeg"

_HEIC_BRANDS = {b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif", b"avis"}
_DAMAGE = (OSError, SyntaxError, ValueError, TypeError, KeyError, IndexError, EOFError, OverflowError, struct.error)


class PhotoError(ValueError):
    """A file that is not taken in, with words for the person who chose it."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo taken in: `data` and `sha256` are those of the file exactly as it came."""

    sha256: str
    data: bytes
    media_type: str
    width: int  # as seen, upright
    height: int
    derivative: bytes
    thumbnail: bytes


def take_in(file: IO[bytes]) -> Photo:
    """Return the photo in `file`, or raise PhotoError before anything large is decoded."""
    data = _read(file)
    _refuse_other_formats(data)
    with _no_bombs():
        width, height, media_type = _measure(data)
        derivative = _shrink(data, DERIVATIVE_SIDE)
        thumbnail = _shrink(derivative, THUMBNAIL_SIDE)
    return Photo(hashlib.sha256(data).hexdigest(), data, media_type, width, height, derivative, thumbnail)


def _read(file: IO[bytes]) -> bytes:
    data = file.read(LARGEST_FILE + 1)
    if not data:
        raise PhotoError("The file is empty. Take the photo again.")
    if len(data) > LARGEST_FILE:
        raise PhotoError(f"The photo is larger than {LARGEST_FILE // 2**20} MB. Choose a smaller size in the camera.")
    return data


def _refuse_other_formats(data: bytes) -> None:
    """Judge by the first bytes: a name or a type that the sender claims proves nothing."""
    if data[:3] == b"\xff\xd8\xff" or data[:8] == b"\x89PNG\r\n\x1a\n":
        return
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return
    if data[4:8] == b"ftyp" and data[8:12] in _HEIC_BRANDS:
        raise PhotoError(
            "This is a HEIC or AVIF photo, which cannot be shown. Set the camera to JPEG, or share it as JPEG."
        )
    raise PhotoError("This file is not a photo. Choose a JPEG, PNG or WebP picture.")


@contextmanager
def _no_bombs() -> Iterator[None]:
    """Turn whatever the decoder says of a damaged or oversized picture into words."""
    ImageFile.LOAD_TRUNCATED_IMAGES = False  # the PDF library switches it on for the whole process
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            yield
    except PhotoError:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise PhotoError(_too_large()) from None
    except (*_DAMAGE, zlib.error):
        raise PhotoError("The photo is damaged or was cut short on its way. Send it again.") from None


def _too_large() -> str:
    return f"The picture has more than {MOST_PIXELS // 10**6} megapixels. Choose a smaller size in the camera."


def _open(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data), formats=list(MEDIA_TYPE))


def _measure(data: bytes) -> tuple[int, int, str]:
    """Return width and height as seen, and the type, from the header alone."""
    with _open(data) as image:
        width, height = image.size
        if width * height > MOST_PIXELS or max(width, height) > LONGEST_SIDE:
            raise PhotoError(_too_large())
        if _is_on_its_side(image):
            width, height = height, width
        return width, height, MEDIA_TYPE[str(image.format)]


def _is_on_its_side(image: Image.Image) -> bool:
    """EXIF 2.32, tag 274 Orientation: 5 to 8 are turned by a quarter."""
    return image.getexif().get(0x0112) in {5, 6, 7, 8}


def _shrink(data: bytes, side: int) -> bytes:
    """Return a fresh JPEG, upright, at most `side` long, with nothing but its pixels."""
    with _open(data) as image:
        # Asked for its own shape, the JPEG decoder itself drops what is not needed: a quarter of the time.
        image.draft("RGB", _fitted(image.size, side))
        image.load()
        small = ImageOps.exif_transpose(_scaled(image, side))
        made = io.BytesIO()
        _on_white(small).save(made, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return made.getvalue()


def _fitted(size: tuple[int, int], side: int) -> tuple[int, int]:
    ratio = min(1.0, side / max(size))
    return max(1, round(size[0] * ratio)), max(1, round(size[1] * ratio))


def _scaled(image: Image.Image, side: int) -> Image.Image:
    small: Image.Image = image if image.mode in {"RGB", "L"} else image.convert("RGBA")
    small.thumbnail((side, side), Image.Resampling.LANCZOS)
    small.info["exif"] = image.info.get("exif", b"")
    return small


def _on_white(image: Any) -> Image.Image:
    """Return new pixels on white: no transparency, and none of the notes the file carried."""
    fresh = Image.new("RGB", image.size, "white")
    mask = image.getchannel("A") if image.mode == "RGBA" else None
    fresh.paste(image.convert("RGB"), mask=mask)
    return fresh
