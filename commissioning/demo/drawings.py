"""Pictures for the demo, drawn by code and saying so: a gauge, a meter's display, a tank, an open trench.

They stand where a technician's photograph would, and show what was read.
"""

import io
from collections.abc import Callable, Sequence
from math import cos, pi, sin
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw, ImageFont

from commissioning import photo_copies, photos
from commissioning.demo.scribe import Reading

FONT = Path(__file__).resolve().parents[2] / "static/fonts/Lato-Bold.ttf"
SIZE = (800, 600)  # px
PAPER, INK, SOFT, WATER, EARTH = "#f3f1e8", "#20262c", "#8a8f94", "#9fbcd6", "#b9a184"
FIRST, SWEEP = 0.75 * pi, 1.5 * pi  # where a dial begins, clockwise from the right, and how far it goes round
HONEST = "drawing for the demo"

Photo = dict[str, Any]


def gauge(read: float, top: float, unit: str) -> Photo:
    """Return a dial with its hand at what was read."""
    image, draw = _sheet()
    centre, radius = (400, 290), 220
    draw.ellipse(_around(centre, radius), fill="white", outline=INK, width=12)
    for step in range(11):
        turn = FIRST + SWEEP * step / 10
        draw.line([_at(centre, 0.82 * radius, turn), _at(centre, 0.92 * radius, turn)], fill=INK, width=5)
        _words(draw, _at(centre, 0.66 * radius, turn), f"{top * step / 10:g}", 24)
    draw.line([centre, _at(centre, 0.78 * radius, FIRST + SWEEP * read / top)], fill=INK, width=9)
    draw.ellipse(_around(centre, 16), fill=INK)
    _words(draw, (400, 390), unit, 34)
    return _kept(image, draw, f"gauge at {read:g} {unit}")


def gauge_at(top: float) -> Callable[[Sequence[Reading]], Photo]:
    """Return what draws a dial at the last of some readings."""
    return lambda readings: gauge(float(readings[-1].typed), top, readings[-1].unit)


def display_of(readings: Sequence[Reading]) -> Photo:
    """Return a meter that shows the first of some readings."""
    return display(readings[0].typed, readings[0].unit)


def display(text: str, unit: str) -> Photo:
    """Return a meter with a display."""
    image, draw = _sheet()
    draw.rounded_rectangle((230, 50, 570, 520), 30, fill="#3a4048", outline=INK, width=6)
    draw.rectangle((265, 95, 535, 230), fill="#c9d3bf", outline=INK, width=4)
    _words(draw, (385, 165), text, 76)
    _words(draw, (500, 205), unit, 30)
    draw.ellipse(_around((400, 360), 80), fill="#555c65", outline=INK, width=5)
    draw.line([(400, 360), (450, 312)], fill="white", width=9)
    return _kept(image, draw, f"display {text} {unit}")


def tank(full: float, name: str) -> Photo:
    """Return a tank cut open, full to a share of its height."""
    image, draw = _sheet()
    top, bottom = 90, 500
    level = bottom - full * (bottom - top)
    draw.rectangle((210, level, 590, bottom), fill=WATER)
    draw.line([(210, top), (210, bottom), (590, bottom), (590, top)], fill=INK, width=10)
    draw.line([(590, 130), (660, 130), (660, 160)], fill=INK, width=10)
    draw.polygon([(380, level - 26), (420, level - 26), (400, level - 4)], outline=INK, width=4)
    return _kept(image, draw, name)


def trench(depth: str) -> Photo:
    """Return a pipe at the foot of an open trench, with a staff beside it."""
    image, draw = _sheet()
    draw.polygon(
        [(0, 150), (260, 150), (310, 510), (490, 510), (540, 150), (800, 150), (800, 560), (0, 560)], fill=EARTH
    )
    draw.ellipse(_around((400, 478), 30), fill="white", outline=INK, width=8)
    draw.line([(340, 120), (340, 508)], fill=INK, width=7)
    for mark in range(12):
        draw.line([(326, 150 + 30 * mark), (340, 150 + 30 * mark)], fill=INK, width=4)
    _words(draw, (400, 110), depth, 40)
    return _kept(image, draw, f"open trench, {depth} deep")


def report(number: str) -> Photo:
    """Return a laboratory's report as a picture of paper."""
    image, draw = _sheet()
    draw.rectangle((180, 30, 620, 545), fill="white", outline=INK, width=4)
    _words(draw, (400, 80), f"Report {number}", 36)
    for line in range(8):
        draw.line([(220, 150 + 36 * line), (580 - 40 * (line % 3), 150 + 36 * line)], fill=SOFT, width=5)
    _words(draw, (400, 480), "< 1 cfu in 100 mL", 32)
    return _kept(image, draw, f"laboratory report {number}")


def _sheet() -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", SIZE, PAPER)
    return image, ImageDraw.Draw(image)


def _around(centre: tuple[float, float], radius: float) -> tuple[float, float, float, float]:
    return centre[0] - radius, centre[1] - radius, centre[0] + radius, centre[1] + radius


def _at(centre: tuple[float, float], radius: float, turn: float) -> tuple[float, float]:
    return centre[0] + radius * cos(turn), centre[1] + radius * sin(turn)


def _words(draw: ImageDraw.ImageDraw, middle: tuple[float, float], text: str, size: int, fill: str = INK) -> None:
    draw.text(middle, text, fill=fill, font=ImageFont.truetype(FONT, size), anchor="mm")


def _kept(image: Image.Image, draw: ImageDraw.ImageDraw, caption: str) -> Photo:
    """Store the picture as a photo is stored, and return what its evidence says of it."""
    _words(draw, (400, 575), HONEST, 26, SOFT)
    file = io.BytesIO()
    image.save(file, "PNG", optimize=True)
    file.seek(0)
    taken = photos.take_in(file)
    photo_copies.keep(taken)
    return {
        "sha256": taken.sha256, "media_type": taken.media_type, "width": taken.width, "height": taken.height,
        "caption": f"{HONEST}: {caption}",
    }  # fmt: skip
