"""What a phone starts with: the worker's text, the manifest, two pages with nobody's data, the page of taking along."""

import gzip
import json
import re
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.contrib.staticfiles import finders
from django.test import Client

from commissioning.sync import worker

pytestmark = pytest.mark.django_db


def told(client: Client) -> dict[str, Any]:
    """Return the constants that the worker is told before its own text."""
    text = client.get("/sw.js").content.decode()
    return {name: json.loads(value) for name, value in re.findall(r"^const ([A-Z]+) = (.+);$", text, re.MULTILINE)[:5]}


def text_of(name: str) -> str:
    return Path(str(finders.find(name))).read_text(encoding="utf-8")


def test_worker_is_served_from_the_root_and_never_from_a_cache(client):
    answer = client.get("/sw.js")
    assert answer.headers["Content-Type"] == "text/javascript"
    assert answer.headers["Cache-Control"] == "no-cache"
    assert answer.content.decode().endswith(text_of("phone/worker.js"))


def test_every_asset_that_the_worker_names_is_there(client):
    names = told(client)["ASSETS"]
    for address in names:
        if address.startswith(settings.STATIC_URL):
            assert finders.find(address.removeprefix(settings.STATIC_URL)), address
        else:
            assert client.get(address).status_code == 200, address
    assert len(names) == len(set(names))


def test_assets_hold_every_module_that_any_module_imports(client):
    """One that is missing would break every page without signal, and only there."""
    names = set(told(client)["ASSETS"])
    for address in [one for one in names if "/phone/" in one and one.endswith(".js")]:
        text = text_of(address.removeprefix(settings.STATIC_URL))
        wanted = re.findall(r'from "\./([\w.]+)"|import\("\./([\w.]+)"\)', text)
        for name in [one or other for one, other in wanted]:
            assert f"{settings.STATIC_URL}phone/{name}" in names, f"{address} → {name}"


def test_assets_hold_every_style_and_script_of_a_page_on_site(client, phone):
    names = set(told(client)["ASSETS"])
    for path in ("", "static_level:W1/", "sign/", "end/", "photos/"):
        page = phone.client.get(f"/visit/{phone.visit.pk}/{path}").content.decode()
        asked = set(re.findall(r'(?:src|href)="(/static/[^"]+)"', page))
        assert asked <= names, path
        assert len(asked) > 4


def test_version_changes_with_any_content(monkeypatch, tmp_path):
    names, addresses = worker.asset_names(), ["/static/look.css"]
    before = worker.version_of(names, addresses)
    assert worker.version_of(names, addresses) == before
    changed = tmp_path / "look.css"
    changed.write_text("body { color: red }")
    real = finders.find
    monkeypatch.setattr(finders, "find", lambda name: str(changed) if name == "look.css" else real(name))
    assert worker.version_of(names, addresses) != before
    assert worker.version_of(names, [*addresses, "/static/more.css"]) != before


def test_open_pages_hold_nobodys_data(client, phone):
    for path in ("/phone/", "/phone/elsewhere/"):
        page = client.get(path).content.decode()
        assert "data-user" not in page
        assert "csrf" not in page.lower()
        assert client.get(path).content.decode() == page  # or the worker would seem new at every look


def test_manifest_has_what_a_home_screen_asks_for(client):
    answer = client.get("/manifest.webmanifest")
    assert answer.headers["Content-Type"] == "application/manifest+json"
    content = answer.json()
    assert {one["sizes"] for one in content["icons"]} == {"192x192", "512x512"}
    assert all(finders.find(one["src"].removeprefix(settings.STATIC_URL)) for one in content["icons"])
    assert (content["start_url"], content["display"], content["scope"]) == ("/phone/", "standalone", "/")


def test_page_of_taking_along_is_for_those_who_may_see_the_visit(client, phone):
    path = f"/phone/take/{phone.visit.pk}/"
    page = phone.client.get(path).content.decode()
    assert f'data-visit="{phone.visit.pk}" data-site="{phone.visit.site_id}"' in page
    assert f'data-user="{phone.user.handle}"' in page
    assert client.get(path).status_code == 302
    assert phone.client.get("/phone/take/00000000-0000-4000-8000-000000000000/").status_code == 404


def test_page_is_pressed_for_who_takes_it_so_and_a_file_is_not(phone):
    asked = {"Accept-Encoding": "gzip"}
    answer = phone.client.get(f"/visit/{phone.visit.pk}/", headers=asked)
    assert answer.headers["Content-Encoding"] == "gzip"
    assert phone.visit.site.name in gzip.decompress(answer.content).decode()
    assert "Content-Encoding" not in phone.client.get("/sw.js", headers=asked).headers
    assert "Content-Encoding" not in phone.client.get(f"/visit/{phone.visit.pk}/").headers
