"""What the tests of the as-built room share: a recorded site, an empty one, and a form's own fields to send back."""

from collections.abc import Callable
from html.parser import HTMLParser
from typing import Any

import pytest

from commissioning.asbuilt import services
from commissioning.asbuilt.layouts import SOLAR_WELL
from commissioning.models import Site
from tests.commissioning.worlds import site_with_record


class FormReader(HTMLParser):
    """Collects what a browser would send of a page's last form, as it stands."""

    def __init__(self) -> None:
        super().__init__()
        self.sent: dict[str, str] = {}
        self.select = self.area = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        there = dict(attrs)
        name = there.get("name") or ""
        if tag == "input" and name and (there.get("type") not in ("radio", "checkbox") or "checked" in there):
            self.sent[name] = there.get("value") or ""
        elif tag == "select":
            self.select = name
        elif tag == "textarea":
            self.area, self.sent[name] = name, ""
        elif tag == "option" and self.select and ("selected" in there or self.select not in self.sent):
            self.sent[self.select] = there.get("value") or ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "select":
            self.select = ""
        if tag == "textarea":
            self.area = ""

    def handle_data(self, data: str) -> None:
        if self.area:
            self.sent[self.area] += data


def fields_of(page: Any) -> dict[str, str]:
    """Return what a browser would send if nothing were typed."""
    reader = FormReader()
    reader.feed(page.content.decode())
    reader.sent.pop("csrfmiddlewaretoken", None)
    return reader.sent


@pytest.fixture
def recorded(technician: Any) -> Site:
    return site_with_record(technician)


@pytest.fixture
def laid_out(technician: Any) -> Site:
    return services.open_site(
        name="Alder Spring nursery", place="below the ridge", unit_system="us", zone="America/Denver",
        layout=SOLAR_WELL, actor=technician,
    )  # fmt: skip


@pytest.fixture
def form_of(as_technician: Any) -> Callable[[str], dict[str, str]]:
    return lambda url: fields_of(as_technician.get(url))
