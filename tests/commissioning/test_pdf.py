"""The sheet's renderer: locked in, repeatable, on both papers.

The vectors are the ways in which HTML, CSS and SVG can name a resource (HTML Living Standard,
CSS Images 3, CSS Fonts 4, CSS Paged Media 3, SVG 2). A server on the loopback counts what arrives.
"""

import base64
import contextlib
import io
import re
import threading
import zlib
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest

from commissioning import pdf

pytestmark = pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available()))

SECRET = "canary-7f3a09c1"
PIXEL = base64.b64decode("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==")


class Canary(BaseHTTPRequestHandler):
    def do_GET(self):
        self.server.hits.append(self.path)
        self.send_response(200)
        self.send_header("Content-Type", "image/png")
        self.end_headers()
        self.wfile.write(PIXEL)

    def log_message(self, *args):
        """Keep the test's output quiet."""


@pytest.fixture(scope="module")
def canary():
    server = ThreadingHTTPServer(("127.0.0.1", 0), Canary)
    server.hits = []
    server.url = f"http://127.0.0.1:{server.server_port}"
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield server
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def secret_file(tmp_path_factory):
    folder = tmp_path_factory.mktemp("secret")
    (folder / "note.txt").write_text(SECRET)
    (folder / "note.svg").write_text(
        f'<svg xmlns="http://www.w3.org/2000/svg" width="300" height="20"><text y="15">{SECRET}</text></svg>'
    )
    return folder


XLINK = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
DATA = "data:image/svg+xml,<svg " + XLINK.replace('"', "'") + ">"

VECTORS = {  # H is the canary's address, F a folder with a secret
    "img": '<img src="H/1.png">',
    "img protocol-relative": '<img src="//HOST/2.png">',
    "img file": '<img src="file://F/note.svg">',
    "img path": '<img src="F/note.svg">',
    "img relative": '<img src="../../note.svg">',
    "img srcset": '<img srcset="H/3.png 1x">',
    "img with a base": '<base href="H/"><img src="4.png">',
    "img ftp": '<img src="ftp://HOST/5.png">',
    "img upper-case scheme": '<img src="HTTP://HOST/6.png">',
    "img looks registered": '<img src="sheet:photo/../../note.svg">',
    "css background": '<p style="background:url(H/7.png)">x</p>',
    "css background file": "<style>p{background:url(file://F/note.svg)}</style><p>x</p>",
    "css import": "<style>@import url(H/8.css);</style>",
    "css import file": "<style>@import 'file://F/note.txt';</style>",
    "css font": "<style>@font-face{font-family:a;src:url(H/9.ttf)}p{font-family:a}</style><p>x</p>",
    "css content": "<style>p::before{content:url(H/10.png)}</style><p>x</p>",
    "css list": "<style>li{list-style-image:url(H/11.png)}</style><ul><li>x</ul>",
    "css border": "<style>p{border:1px solid;border-image-source:url(H/12.png)}</style><p>x</p>",
    "css page": "<style>@page{background:url(H/13.png)}</style>",
    "css margin box": "<style>@page{@top-left{content:url(H/14.png)}}</style>",
    "css colour profile": "<style>@color-profile --a{src:url(H/15.icc)}</style><p style='color:color(--a 1 0 0)'>x</p>",
    "css mask": '<p style="mask-image:url(H/16.png);-webkit-mask-image:url(H/16.png)">x</p>',
    "link style": '<link rel="stylesheet" href="H/17.css">',
    "link style data": '<link rel="stylesheet" href="data:text/css,@import%20url(H/18.css);">',
    "link attachment": '<link rel="attachment" href="H/19.txt">',
    "link attachment file": '<link rel="attachment" href="file://F/note.txt">',
    "a attachment": '<a rel="attachment" href="file://F/note.txt">x</a>',
    "svg image": f'<svg {XLINK}><image xlink:href="H/20.png" width="9" height="9"/></svg>',
    "svg image file": '<svg><image href="file://F/note.svg" width="99" height="9"/></svg>',
    "svg use": f'<svg {XLINK}><use xlink:href="H/21.svg#a"/></svg>',
    "svg style": "<svg><style>@import url(H/22.css);</style><rect width='9' height='9'/></svg>",
    "svg filter": "<svg><filter id='f'><feImage href='H/23.png'/></filter><rect filter='url(H/23.svg#f)'/></svg>",
    "object": '<object data="H/24.png"></object>',
    "embed": '<embed src="H/25.png">',
    "iframe": '<iframe src="H/26.html"></iframe>',
    "input": '<input type="image" src="H/27.png">',
    "video": '<video poster="H/28.png" src="H/28.mp4"></video>',
    "script": '<script src="H/29.js"></script>',
    "refresh": '<meta http-equiv="refresh" content="0;url=H/30.html">',
    "data svg image": f"""<img src="{DATA}<image xlink:href='H/31.png' width='9' height='9'/></svg>">""",
    "data svg file": f"""<img src="{DATA}<image xlink:href='file://F/note.svg' width='99' height='9'/></svg>">""",
    "data svg use": f"""<img src="{DATA}<use href='H/32.svg#a'/></svg>">""",
}


@pytest.mark.parametrize("vector", VECTORS)
def test_no_address_in_the_html_reaches_anything(vector, canary, secret_file):
    body = (
        VECTORS[vector].replace("HOST", canary.url[7:]).replace("H/", canary.url + "/").replace("F/", f"{secret_file}/")
    )
    before = len(canary.hits)
    made = None
    with contextlib.suppress(pdf.RefusedAddressError):
        made = pdf.render_pdf(f"<html><body>{body}</body></html>")
    assert canary.hits[before:] == []
    assert made is None or SECRET not in readable(made)


def readable(made):
    """Return all text and every stream of a PDF, unpacked."""
    from pypdf import PdfReader

    reader = PdfReader(io.BytesIO(made))
    text = "".join(page.extract_text() for page in reader.pages)
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", made, re.DOTALL)
    return text + "".join(unpacked(one).decode("latin-1") for one in streams)


def unpacked(stream):
    try:
        return zlib.decompressobj().decompress(stream)
    except zlib.error:
        return stream


def test_the_canary_would_have_sung(canary, secret_file):
    """The same vectors with the library's own fetcher do arrive, so silence above means something."""
    from weasyprint import HTML

    before = len(canary.hits)
    body = VECTORS["img"] + VECTORS["css background"] + VECTORS["css import"] + VECTORS["link attachment file"]
    made = HTML(string=body.replace("H/", canary.url + "/").replace("F/", f"{secret_file}/")).write_pdf()
    assert len(canary.hits) - before == 3
    assert SECRET in readable(made)


@pytest.mark.parametrize(
    "vector",
    ["img", "img relative", "css background", "css font", "svg image", "link attachment", "object", "link style data"],
)
def test_a_refused_address_aborts_the_sheet(vector):
    with pytest.raises(pdf.RefusedAddressError):
        pdf.render_pdf(VECTORS[vector].replace("H/", "http://127.0.0.1:9/"))


SHEET = """<!doctype html><html lang="en"><head><title>Handover sheet 2027-041</title></head><body>
<header class="top" data-sheet="Handover sheet 2027-041"><h1>Handover sheet</h1></header>
<p class="large"><span class="standing">Issued with open items</span></p>
<p>180.4 … 194.4 kPa, ≥ 0.5 MΩ, −5 °C, 3 m³/h</p><img src="sheet:photo/1" alt="the pump"></body></html>"""
BLOBS = {"sheet:photo/1": (PIXEL, "image/png")}


def test_a_registered_picture_is_printed():
    made = pdf.render_pdf(SHEET, blobs=BLOBS)
    assert b"/Subtype /Image" in made or b"/Subtype/Image" in made
    with pytest.raises(pdf.RefusedAddressError, match="sheet:photo/1"):
        pdf.render_pdf(SHEET)


@pytest.mark.parametrize(("paper", "width", "height"), [("A4", 595.28, 841.89), ("Letter", 612.0, 792.0)])
def test_paper_has_its_size(paper, width, height):
    """ISO 216: A4 is 210 × 297 mm; ANSI/ASME Y14.1: Letter is 8.5 × 11 in; 1 pt = 1/72 in."""
    from pypdf import PdfReader

    box = PdfReader(io.BytesIO(pdf.render_pdf(SHEET, paper=paper, blobs=BLOBS))).pages[0].mediabox
    assert float(box.width) == pytest.approx(width, abs=0.01)
    assert float(box.height) == pytest.approx(height, abs=0.01)


def test_the_same_html_gives_the_same_bytes():
    assert pdf.render_pdf(SHEET, blobs=BLOBS) == pdf.render_pdf(SHEET, blobs=BLOBS)


def test_text_copies_exactly_in_the_shipped_font_and_the_pdf_is_tagged():
    from pypdf import PdfReader

    reader = PdfReader(io.BytesIO(pdf.render_pdf(SHEET, blobs=BLOBS)))
    page = reader.pages[0]
    assert "180.4 … 194.4 kPa, ≥ 0.5 MΩ, −5 °C, 3 m³/h" in page.extract_text()
    fonts = {str(font.get_object()["/BaseFont"]) for font in page["/Resources"]["/Font"].values()}
    assert fonts
    assert all("Lato" in font for font in fonts)
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.metadata.title == "Handover sheet 2027-041"


def test_the_footer_carries_number_and_standing():
    from pypdf import PdfReader

    text = PdfReader(io.BytesIO(pdf.render_pdf(SHEET, blobs=BLOBS))).pages[0].extract_text()
    assert text.count("Issued with open items") == 2
    assert "page 1 of 1" in text


def test_an_unknown_paper_is_refused():
    with pytest.raises(pdf.PdfError, match="no such paper"):
        pdf.render_pdf(SHEET, paper="A5", blobs=BLOBS)
