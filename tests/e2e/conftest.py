"""A real browser, the system's own chromium, as a phone and as a desk."""

import os
import shutil
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

FLAGS = [
    "--no-sandbox",  # tests run as root
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
DESK = {"viewport": {"width": 1280, "height": 900}}
PHONE = {"viewport": {"width": 390, "height": 844}, "device_scale_factor": 2, "is_mobile": True, "has_touch": True}
WHY_SKIPPED = "no chromium: browser tests did not run; type: apt-get install chromium"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if "e2e" in item.path.parts:
            item.add_marker(pytest.mark.e2e)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    executable = shutil.which("chromium") or shutil.which("chromium-browser")
    if executable is None and os.environ.get("REQUIRE_SYSTEM") == "1":
        pytest.fail(WHY_SKIPPED)
    if executable is None:
        pytest.skip(WHY_SKIPPED)
    from playwright.sync_api import sync_playwright

    # The browser driver keeps an event loop in this thread, and Django refuses queries beside one.
    before = os.environ.get("DJANGO_ALLOW_ASYNC_UNSAFE")
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=executable, headless=True, args=FLAGS)
        yield launched
        launched.close()
    os.environ.pop("DJANGO_ALLOW_ASYNC_UNSAFE")
    if before is not None:
        os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = before


@pytest.fixture
def open_page(browser: Any, live_server: Any) -> Iterator[Callable[..., Any]]:
    """Open a page of the live server: `open_page("/", user=technician, **PHONE)`; errors of scripts fail the test."""
    contexts, faults = [], []

    def open_one(path: str = "/", *, user: Any = None, **options: Any) -> Any:
        context = browser.new_context(base_url=live_server.url, **(options or PHONE))
        contexts.append(context)
        if user is not None:
            sign_in(context, live_server.url, user)
        page = context.new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda said: faults.append(said.text) if is_policy_fault(said) else None)
        page.goto(path)
        return page

    yield open_one
    for context in contexts:
        context.close()
    assert faults == []


def is_policy_fault(said: Any) -> bool:
    return said.type == "error" and "Content Security Policy" in said.text


def sign_in(context: Any, url: str, user: Any) -> None:
    """Give a browser the session of a person, without the sign-in page."""
    from django.conf import settings
    from django.test import Client

    client = Client()
    client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
    name = settings.SESSION_COOKIE_NAME
    context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": url}])


def until(page: Any, expression: str, seconds: float = 10) -> None:
    """Wait until a script's expression is true; the driver's own way needs `eval`, which the pages forbid."""
    end = time.monotonic() + seconds
    while not is_true(page, expression):
        assert time.monotonic() < end, expression
        time.sleep(0.05)


def is_true(page: Any, expression: str) -> bool:
    from playwright.sync_api import Error

    try:
        return bool(page.evaluate(expression))
    except Error as error:
        if "Execution context was destroyed" not in str(error):
            raise
        return False  # the page is just giving way to the next one


@pytest.fixture
def accessibility_faults() -> Callable[[Any], list[str]]:
    """Return what axe finds on a page, WCAG 2.2 A and AA with its best practices, one line each."""

    def find(page: Any) -> list[str]:
        from axe_playwright_python.sync_playwright import Axe

        found = Axe().run(page).response["violations"]
        return [f"{one['id']}: {one['help']}: {[node['html'][:120] for node in one['nodes']]}" for one in found]

    return find
