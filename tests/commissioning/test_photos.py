"""Photos: what is taken in, what is refused, and what the small copies no longer carry.

File signatures: JPEG ITU-T T.81 B.1.1, PNG ISO/IEC 15948 5.2, WebP RFC 9649, HEIF ISO/IEC 23008-12.
Orientation: Exif 2.32 (CIPA DC-008), tag 274.
"""

import hashlib
import io
import random
import struct
import subprocess
import sys
import zlib
from pathlib import Path

import pytest
from PIL import Image, ImageFile

from commissioning import photos
from commissioning.photos import PhotoError, take_in


def encoded(image, kind="JPEG", **options):
    made = io.BytesIO()
    image.save(made, kind, **options)
    return made.getvalue()


def two_colours(width=400, height=200):
    """Return a picture whose left half is red and right half blue."""
    picture = Image.new("RGB", (width, height), "red")
    picture.paste("blue", (width // 2, 0, width, height))
    return picture


ROOT = Path(__file__).resolve().parents[2]
MEASURED = """
import io, sys
from pathlib import Path
from commissioning.photos import PhotoError, take_in

def peak():
    return int(next(line for line in Path("/proc/self/status").open() if line.startswith("VmHWM")).split()[1])

data = sys.stdin.buffer.read()
before = peak()
try:
    take_in(io.BytesIO(data))
except PhotoError:
    pass
print((peak() - before) / 1024)
"""


def memory_taken(data):
    """Return by how many MiB a fresh process grows at its largest, taking in these bytes."""
    command = [sys.executable, "-c", MEASURED]
    ran = subprocess.run(command, input=data, capture_output=True, check=True, cwd=ROOT)
    return float(ran.stdout)


def opened(data):
    return Image.open(io.BytesIO(data))


def taken(data):
    return take_in(io.BytesIO(data))


@pytest.mark.parametrize(("kind", "media_type"), [("JPEG", "image/jpeg"), ("PNG", "image/png"), ("WEBP", "image/webp")])
def test_the_exact_bytes_are_kept_and_hashed(kind, media_type):
    data = encoded(two_colours(), kind)
    photo = taken(data)
    assert photo.data == data
    assert photo.sha256 == hashlib.sha256(data).hexdigest()
    assert (photo.width, photo.height, photo.media_type) == (400, 200, media_type)


def test_a_forty_megapixel_photo_gets_small_copies():
    data = encoded(two_colours(8000, 5000), quality=80)
    photo = taken(data)
    assert opened(photo.derivative).size == (1600, 1000)
    assert opened(photo.thumbnail).size == (320, 200)
    assert (photo.width, photo.height) == (8000, 5000)
    assert memory_taken(data) < 60, "the decoder must shrink while it reads, not hold 120 MB of pixels"


def test_a_small_photo_is_never_enlarged():
    assert opened(taken(encoded(two_colours(40, 20))).derivative).size == (40, 20)


def with_exif(data_image, **tags):
    exif = Image.Exif()
    exif[0x0112] = tags.get("orientation", 1)
    if gps := tags.get("gps"):
        exif.get_ifd(0x8825).update(gps)
    exif[0x010F] = "CAMERA-OF-SOMEBODY"
    return encoded(data_image, exif=exif, comment=b"COMMENT-OF-SOMEBODY")


@pytest.mark.parametrize(
    ("orientation", "size", "red_at"),
    [
        (1, (400, 200), (20, 100)),  # as stored
        (3, (400, 200), (380, 100)),  # half a turn: the left half is now right
        (6, (200, 400), (100, 20)),  # a quarter clockwise: left becomes top
        (8, (200, 400), (100, 380)),  # a quarter anticlockwise: left becomes bottom
    ],
)
def test_the_copies_stand_upright(orientation, size, red_at):
    photo = taken(with_exif(two_colours(), orientation=orientation))
    copy = opened(photo.derivative)
    assert (photo.width, photo.height) == copy.size == size
    red, _, blue = copy.getpixel(red_at)
    assert red > 200
    assert blue < 60


def test_the_copies_carry_no_place_and_no_device():
    place = {1: "N", 2: (47.0, 11.0, 13.0), 3: "E", 4: (8.0, 33.0, 7.0)}
    photo = taken(with_exif(two_colours(), gps=place))
    assert opened(photo.data).getexif().get_ifd(0x8825)
    for copy in (photo.derivative, photo.thumbnail):
        assert not opened(copy).getexif()
        assert b"SOMEBODY" not in copy


def test_what_is_appended_to_a_photo_does_not_reach_the_copies():
    photo = taken(encoded(two_colours()) + b"<script>alert(1)</script>")
    assert b"<script>" not in photo.derivative + photo.thumbnail


@pytest.mark.parametrize("mode", ["1", "L", "P", "LA", "RGBA", "CMYK", "I;16", "YCbCr"])
def test_every_way_of_storing_colours_becomes_a_plain_copy(mode):
    kind = "JPEG" if mode in {"CMYK", "YCbCr"} else "PNG"
    source = two_colours() if mode != "I;16" else two_colours().convert("L")
    photo = taken(encoded(source.convert(mode), kind))
    assert opened(photo.derivative).mode == "RGB"


def test_transparency_becomes_white():
    clear = Image.new("RGBA", (50, 50), (0, 0, 0, 0))
    assert opened(taken(encoded(clear, "PNG")).derivative).getpixel((25, 25)) == (255, 255, 255)


def png_header(width, height):
    """Return a PNG that claims a size and holds next to nothing (ISO/IEC 15948, 11.2.2)."""

    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")


@pytest.mark.parametrize("size", [(13_300, 13_300), (60_000, 60_000), (12_001, 10), (10, 12_001), (7_100, 7_100)])
def test_a_pixel_bomb_is_refused_by_its_header(size):
    with pytest.raises(PhotoError, match="megapixels"):
        taken(png_header(*size))


def test_a_pixel_bomb_takes_no_memory():
    assert memory_taken(png_header(13_300, 13_300)) < 10


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"these are notes, not a picture" * 50, "not a photo"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not a photo"),
        (b"GIF89a" + bytes(50), "not a photo"),
        (b"%PDF-1.7" + bytes(50), "not a photo"),
        (b"\x00\x00\x00\x18ftypheic" + bytes(50), "HEIC"),
        (b"\x00\x00\x00\x1cftypavif" + bytes(50), "AVIF"),
        (b"\xff\xd8\xff" + b"this only starts like one", "damaged"),
        (b"RIFF\x10\x00\x00\x00WEBPVP8 " + bytes(20), "damaged"),
        (encoded(two_colours())[:-400], "cut short"),
        (encoded(two_colours(), "PNG")[:-40], "cut short"),
        (png_header(400, 400), "damaged"),
    ],
)
def test_what_is_no_whole_photo_is_refused_in_words(data, words):
    with pytest.raises(PhotoError) as refusal:
        taken(data)
    assert words in refusal.value.message


def test_a_photo_cut_short_is_refused_although_the_pdf_library_is_lenient(monkeypatch):
    """WeasyPrint sets this flag for the whole process when it is imported."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    with pytest.raises(PhotoError, match="cut short"):
        taken(encoded(two_colours())[:-400])


def test_a_file_over_the_limit_is_refused_without_reading_it_all():
    class Endless(io.RawIOBase):
        asked = 0

        def read(self, size=-1):
            Endless.asked += size
            return b"\xff\xd8\xff" + bytes(size - 3)

    with pytest.raises(PhotoError, match="25 MB"):
        take_in(Endless())
    assert Endless.asked == photos.LARGEST_FILE + 1


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_flipped_bits_give_a_photo_or_a_refusal_and_nothing_else(kind):
    whole = encoded(two_colours(64, 48), kind)
    dice = random.Random(20270416)  # noqa: S311  a test that can be repeated
    for _ in range(200):
        broken = bytearray(whole)
        for _ in range(dice.randint(1, 12)):
            broken[dice.randrange(len(broken))] ^= 1 << dice.randrange(8)
        try:
            photo = taken(bytes(broken))
        except PhotoError:
            continue
        assert photo.sha256 == hashlib.sha256(broken).hexdigest()
