"""The printed code, read back by an independent reader."""

import re

import pytest
import zxingcpp
from PIL import Image, ImageDraw

from commissioning.qr import qr_svg

ADDRESS = "https://logbook.example/sheet/2027-041/7f3a09c15be2d480"


def pixels(drawing, scale=6):
    side = int(re.search(r'viewBox="0 0 (\d+) ', drawing)[1])
    picture = Image.new("L", (side * scale, side * scale), 255)
    pen = ImageDraw.Draw(picture)
    for x, y, run in re.findall(r"M(\d+) (\d+)h(\d+)v1", drawing):
        left, top = int(x) * scale, int(y) * scale
        pen.rectangle((left, top, left + int(run) * scale - 1, top + scale - 1), fill=0)
    return picture


@pytest.mark.parametrize("text", [ADDRESS, "1", "HTTP://X/Y", "naïve – £", "x" * 600])
def test_a_reader_finds_exactly_the_text(text):
    (found,) = zxingcpp.read_barcodes(pixels(qr_svg(text)))
    assert found.text == text
    assert found.format == zxingcpp.BarcodeFormat.QRCode


def test_a_code_with_a_torn_patch_can_still_be_read():
    picture = pixels(qr_svg(ADDRESS))
    middle = picture.width // 2
    ImageDraw.Draw(picture).rectangle((middle, middle, middle + 30, middle + 30), fill=255)
    (found,) = zxingcpp.read_barcodes(picture)
    assert found.text == ADDRESS


def test_the_drawing_is_inline_and_takes_the_colour_of_the_text():
    drawing = qr_svg(ADDRESS, title='a "code" & <more>')
    assert 'fill="currentColor"' in drawing
    assert "style=" not in drawing
    assert "<title>a &quot;code&quot; &amp; &lt;more&gt;</title>" in drawing
