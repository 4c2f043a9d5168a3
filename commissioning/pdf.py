"""HTML to PDF bytes. The renderer can fetch nothing but what was registered for the one sheet.

A sheet holds text from many hands. Whatever address that text smuggles in, to another machine
or to a file of this one, is refused, and the refusal aborts the sheet: a certificate with
a hole in it would be worse than none. The same HTML gives the same bytes.
"""

import atexit
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any, Literal

STATIC = Path(__file__).resolve().parent.parent / "static"
SCHEME = "sheet:"
FONTS = ("Lato-Regular.ttf", "Lato-Bold.ttf", "Lato-Italic.ttf")
NOWHERE = "https://nowhere.invalid/"  # a relative address resolves to this, and is refused
INSTALL = "PDF pages need the system's text libraries: apt install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"

Paper = Literal["A4", "Letter"]
Blobs = Mapping[str, tuple[bytes, str]]


@dataclass(frozen=True)
class Enclosed:
    """A file that travels inside the PDF."""

    name: str
    data: bytes
    words: str
    made_at: datetime


_one_at_a_time = Lock()  # the shared font configuration is not made for threads


class PdfError(RuntimeError):
    """The sheet cannot be rendered."""


class RefusedAddressError(PdfError):
    """The HTML asks for something that was not registered for this sheet."""

    def __init__(self, url: str) -> None:
        super().__init__(f"not registered for this sheet: {url[:200]}")
        self.url = url


def pdf_available() -> str | None:
    """Return None if PDFs can be made here, otherwise the one line that says what to install."""
    try:
        import weasyprint  # noqa: F401  # loads the system's libraries
    except OSError:
        return INSTALL
    except ImportError:
        return "PDF pages need the package weasyprint: start with python3 manage.py, which installs it"
    return None


def render_pdf(
    html: str, *, paper: Paper = "A4", blobs: Blobs | None = None, enclosed: Sequence[Enclosed] = ()
) -> bytes:
    """Return the PDF of a whole page of HTML, styled as a sheet.

    `blobs` maps an address such as "sheet:photo/1" to (bytes, media type); nothing else is
    reachable. Raises RefusedAddressError at any other address, PdfError without the libraries.
    """
    if missing := pdf_available():
        raise PdfError(missing)
    from weasyprint.urls import FatalURLFetchingError

    fetcher = _fetcher(dict(blobs or {}))
    try:
        with _one_at_a_time:
            made = _render(html, paper, fetcher, enclosed)
    except FatalURLFetchingError:
        raise RefusedAddressError(fetcher.refused[0]) from None
    if fetcher.refused:  # in case a part of the renderer swallowed the error
        raise RefusedAddressError(fetcher.refused[0])
    return made


def _render(html: str, paper: Paper, fetcher: Any, enclosed: Sequence[Enclosed]) -> bytes:
    from weasyprint import HTML

    page = HTML(string=html, base_url=NOWHERE, url_fetcher=fetcher)
    made = page.write_pdf(
        stylesheets=_stylesheets(paper), font_config=_font_configuration(), pdf_tags=True,
        attachments=[_attachment(one) for one in enclosed],
    )  # fmt: skip
    return bytes(made)


def _attachment(one: Enclosed) -> Any:
    from weasyprint import Attachment

    dates = {"created": one.made_at, "modified": one.made_at}
    return Attachment(string=one.data, name=one.name, description=one.words, relationship="Data", **dates)


def _fetcher(blobs: dict[str, tuple[bytes, str]]) -> Any:
    """Return a fetcher that knows these blobs only. It never opens a socket or a file."""
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

    class RegisteredOnly(URLFetcher):  # type: ignore[misc]  # the library carries no annotations
        def __init__(self) -> None:
            super().__init__(allowed_protocols=set(), allow_redirects=False)
            self.refused: list[str] = []

        def fetch(self, url: str, headers: Any = None) -> Any:
            if url.startswith(SCHEME) and url in blobs:
                data, media_type = blobs[url]
                return URLFetcherResponse(url, data, {"Content-Type": media_type})
            self.refused.append(url)
            raise FatalURLFetchingError(url)

    return RegisteredOnly()


@cache
def _font_configuration() -> Any:
    from weasyprint.text.fonts import FontConfiguration

    atexit.register(_forget)
    return FontConfiguration()


def _forget() -> None:
    """Free the fonts while the libraries are still loaded, or the process ends with a complaint."""
    for kept in (_stylesheets, _stylesheet, _font_configuration):
        kept.cache_clear()


@cache
def _stylesheets(paper: Paper) -> list[Any]:
    """Return the style sheets of a paper, read once in the process."""
    if paper not in {"A4", "Letter"}:
        raise PdfError(f"no such paper: {paper}")
    names = ["sheet.css"] if paper == "A4" else ["sheet.css", "sheet-letter.css"]
    return [_stylesheet(name) for name in names]


@cache
def _stylesheet(name: str) -> Any:
    from weasyprint import CSS

    fonts = {f"{SCHEME}font/{font}": ((STATIC / "fonts" / font).read_bytes(), "font/ttf") for font in FONTS}
    text = (STATIC / "css" / name).read_text("utf-8")
    return CSS(string=text, base_url=NOWHERE, url_fetcher=_fetcher(fonts), font_config=_font_configuration())
