"""Every page of the logbook through axe, on a phone and at a desk, in the light and in the dark.

The pages are those of the resolver, in the world of the matrix. In every run a few; with --long all.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.contrib.staticfiles.handlers import StaticFilesHandler
from django.test.testcases import LiveServerThread

from tests.commissioning.matrix_world import World, world_of
from tests.commissioning.test_matrix import ANSWERS
from tests.e2e.conftest import DESK, PHONE, sign_in

NO_PAGES = {
    "healthz", "readyz", "worker", "manifest", "phone-hello", "phone-photo", "phone-pack", "photo-file",
    "service-record", "visit-record", "sheet-file", "owner-pack-file", "owner-link-pack", "laboratory-file",
    "site-export", "site-export-all", "site-readings", "visit-field-sheet",
}  # fmt: skip
"""What answers with a file, or a program."""

ON_PHONE = ("measurement", "owner-link-page")
AT_DESK = ("acceptance-detail", "waiting")
STRANGERS = {"sign-in", "password-reset", "password-reset-sent", "password-reset-confirm"}
TARGET = 48  # px, look.md: hands in gloves
SMALL_TARGETS = """
least => {
  const seen = one => one.checkVisibility({visibilityProperty: true}) && !one.closest('[aria-hidden=true]');
  const inText = one => one.matches('a') && getComputedStyle(one).display === 'inline'
    && one.parentElement.innerText.trim() !== one.innerText.trim();
  const there = 'a[href], button, input:not([type=hidden]), select, textarea, summary';
  return [...document.querySelectorAll(there)]
    .filter(one => seen(one) && !inText(one))
    .map(one => one.matches('[type=radio], [type=checkbox]') && one.closest('label') || one)
    .map(one => [one, one.getBoundingClientRect()])
    .filter(([, box]) => box.width > 2 && box.right > 0)
    .filter(([, box]) => box.height < least - 0.5 || box.width < least - 0.5)
    .map(([one, box]) => `${Math.round(box.width)} × ${Math.round(box.height)}: ${one.outerHTML.slice(0, 140)}`);
}
"""


@pytest.fixture(scope="module")
def served(in_demo: Path) -> Iterator[tuple[World, str]]:
    """The demo with all that the matrix adds, served to a browser."""
    world = world_of(in_demo)
    server = LiveServerThread("localhost", StaticFilesHandler)
    server.daemon = True
    server.start()
    server.is_ready.wait()
    assert server.error is None, server.error
    yield world, f"http://localhost:{server.port}"
    server.terminate()


def pages(is_phone: bool, is_long: bool) -> list[str]:
    """Return the names of the pages to be seen."""
    there = [name for name, (_, office) in ANSWERS.items() if office.startswith("200") and name not in NO_PAGES]
    return [*there, "sign-in"] if is_long else list(ON_PHONE if is_phone else AT_DESK)


@pytest.mark.long
def test_what_is_left_out_is_no_page(served: tuple[World, str], client: Any) -> None:
    world, _ = served
    client.force_login(world.office, backend="django.contrib.auth.backends.ModelBackend")
    slow = {"phone-pack", "service-record", "owner-pack-file", "visit-record", "owner-link-pack"}
    for name in NO_PAGES - slow - {"site-export-all"}:  # which in this world leads back: a photo is still to come
        assert "text/html" not in client.get(world.address(name)).headers.get("Content-Type", ""), name


@pytest.mark.parametrize(("screen", "is_phone"), [(PHONE, True), (DESK, False)], ids=["phone", "desk"])
def test_every_page_is_for_everybody(
    served: tuple[World, str], browser: Any, accessibility_faults: Any, is_long: bool, screen: Any, is_phone: bool
) -> None:
    world, url = served
    faults: list[str] = []
    context, strange = browser.new_context(base_url=url, **screen), browser.new_context(base_url=url, **screen)
    sign_in(context, url, world.office)
    for name in pages(is_phone, is_long):
        page = (strange if name in STRANGERS else context).new_page()
        page.goto(world.address(name))
        faults += [f"{name}: {one}" for one in seen_on(page, accessibility_faults, is_phone, is_long)]
        page.close()
    context.close()
    strange.close()
    assert faults == []


def seen_on(page: Any, accessibility_faults: Any, is_phone: bool, is_long: bool) -> Iterator[str]:
    """Yield what is wrong with a page as a screen shows it."""
    for scheme in ("light", "dark") if is_long else (("light",) if is_phone else ("dark",)):
        page.emulate_media(color_scheme=scheme)
        yield from (f"{scheme}: {one}" for one in accessibility_faults(page))
    if page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
        yield "it scrolls sideways"
    if is_phone:
        yield from page.evaluate(SMALL_TARGETS, TARGET)
