"""What holds for every template, style sheet and script in the tree."""

import re
from pathlib import Path

import pytest
from django.template import engines
from django.test import RequestFactory
from django_htmx.middleware import HtmxDetails

from commissioning.htmx import wants_fragment
from commissioning.navigation import rooms

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
STYLES = sorted((ROOT / "static").rglob("*.css"))
LOOK_LIMIT = 12_000  # bytes; every page loads it, over whatever signal there is

# What the content security policy forbids, found here before a browser finds it silently.
INLINE = re.compile(r"<style|<script(?![^>]*\bsrc=)|\sstyle=|\son[a-z]+=|javascript:|hx-on|hx-vals=.js:", re.IGNORECASE)
TAG = re.compile(r"\{[%{#].*?[%}#]\}")  # a template's own, whose arguments look like attributes
UNSAFE = re.compile(r"\|\s*safe\b|mark_safe|autoescape off")
UNSAFE_ALLOWED = {"_field.html"}  # Django's own help texts are lists


def named(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", TEMPLATES, ids=named)
def test_template_compiles_and_holds_nothing_inline(path):
    engines["django"].get_template(str(path.relative_to(ROOT / "templates")))
    text = path.read_text()
    assert INLINE.findall(TAG.sub("", text)) == []
    assert path.name in UNSAFE_ALLOWED or UNSAFE.findall(text) == []


@pytest.mark.parametrize("path", [path for path in TEMPLATES if path.name.startswith("_")], ids=named)
def test_fragment_states_its_context(path):
    assert path.read_text().startswith("{# context: ")


@pytest.mark.parametrize("path", STYLES, ids=named)
def test_style_sheet_loads_nothing_from_elsewhere(path):
    assert re.findall(r"@import|url\(\s*['\"]?(?:https?:|//)", path.read_text()) == []


def test_style_sheet_of_every_page_stays_small():
    assert (ROOT / "static/look.css").stat().st_size <= LOOK_LIMIT


@pytest.mark.parametrize(
    ("headers", "is_fragment"),
    [
        ({}, False),
        ({"HX-Request": "true"}, True),
        ({"HX-Request": "true", "HX-Boosted": "true"}, False),
        ({"HX-Request": "true", "HX-History-Restore-Request": "true"}, False),
    ],
    ids=["browser", "htmx", "boosted", "restored history"],
)
def test_fragment_is_for_htmx_alone(headers, is_fragment):
    request = RequestFactory().get("/", headers=headers)
    request.htmx = HtmxDetails(request)
    assert wants_fragment(request) is is_fragment


def test_stranger_sees_no_rooms():
    assert rooms(RequestFactory().get("/")) == {"rooms": []}


@pytest.mark.django_db
def test_technician_sees_no_room_of_the_office(monkeypatch, technician, office):
    monkeypatch.setattr("commissioning.navigation.ROOMS", (("All", "home", False), ("Office", "password-change", True)))
    request = RequestFactory().get("/account/password")
    request.user = technician
    assert [room["label"] for room in rooms(request)["rooms"]] == ["All"]
    request.user = office
    assert [(room["label"], room["is_here"]) for room in rooms(request)["rooms"]] == [("All", True), ("Office", True)]


@pytest.mark.django_db
def test_page_tells_htmx_to_keep_to_the_policy_and_to_store_no_page(as_technician):
    page = as_technician.get("/account/password").text
    config = re.search(r"htmx-config\" content='([^']+)'", page).group(1)
    assert '"includeIndicatorStyles":false' in config
    assert '"allowEval":false' in config
    assert '"historyCacheSize":0' in config
    assert "htmx-2.min.js" in page
