"""A phone: a browser of its own with an empty book, before a small entrance or before the real server."""

import base64
import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tests.e2e.conftest import FLAGS, PHONE
from tests.e2e.phone.entrance import Entrance, Server

SITE, VISIT = "11111111-1111-4111-8111-111111111111", "22222222-2222-4222-8222-222222222222"
KEEP = """async ({ user, kind, body, label, photos = [], site, visit }) => {
  const { keep } = await import("/static/phone/store.js");
  const blobs = photos.map(({ text, ...rest }) =>
    ({ ...rest, blob: new Blob([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], { type: "image/jpeg" }) }));
  const item = await keep({ kind, site, visit, body, label, photos: blobs, ...(user && { user }) });
  return item;
}"""
FAILING_KEEP = "async (given) => { try { await (" + KEEP + ")(given); return 'kept'; } catch (e) { return e.reason; } }"


class Phone:
    """What a test does with the phone's own scripts."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def keep(self, number: int = 1, **given: Any) -> dict[str, Any]:
        """Keep one measurement; `photos=[bytes, …]` go with it."""
        return self.page.evaluate(KEEP, self.given(number, **given))

    def tries_to_keep(self, number: int = 1, **given: Any) -> str:
        """Return "kept", or the reason why not."""
        return self.page.evaluate(FAILING_KEEP, self.given(number, **given))

    @staticmethod
    def given(number: int, *, photos: tuple[bytes, ...] = (), **other: Any) -> dict[str, Any]:
        pictures = [{"text": base64.b64encode(one).decode(), "width": 4, "height": 3, "caption": ""} for one in photos]
        body = {"visit": VISIT, "check": "static_level", "subject": "W1", "readings": [{"typed": f"{number}.10"}]}
        usual = {"site": SITE, "visit": VISIT, "kind": "measurement.taken", "body": body, "label": f"Level {number}"}
        return {**usual, "photos": pictures, **other}

    def run(self, module: str, expression: str) -> Any:
        """Return what an expression over a module's names is: run("store.js", "allItems()")."""
        return self.page.evaluate(
            f"async () => {{ const m = await import('/static/phone/{module}'); return await m.{expression}; }}"
        )

    def items(self) -> list[dict[str, Any]]:
        return self.run("store.js", "allItems()")

    def states(self) -> list[str]:
        return [one["state"] for one in self.items()]

    def flush(self) -> str:
        return self.run("send.js", "flush()")["word"]

    def line(self) -> str:
        return " ".join(self.page.locator("#phone-state > *").all_inner_texts())


@pytest.fixture
def entrance() -> Iterator[Entrance]:
    made = Entrance()
    server = Server(made)
    made.url = server.url
    yield made
    server.shutdown()
    server.server_close()


@pytest.fixture
def phone(browser: Any, entrance: Any) -> Iterator[Callable[..., Phone]]:
    """Open the entrance's empty page: `phone()`; `phone(context=other.page.context)` is a second tab."""
    contexts, faults = [], []

    def open_one(context: Any = None, path: str = "/", **options: Any) -> Phone:
        if context is None:
            context = browser.new_context(base_url=entrance.url, **{**PHONE, **options})
            contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(path)
        return Phone(page)

    open_one.lasting = lambda folder: open_one(lasting_context(browser, folder, entrance.url, contexts))
    yield open_one
    for context in contexts:
        context.close()
    assert faults == []


def lasting_context(browser: Any, folder: Any, url: str, contexts: list[Any]) -> Any:
    """Return a browser with a profile on disk: a private one forgets, and frees no room that it has used."""
    options = {**PHONE, "base_url": url, "args": FLAGS, "executable_path": shutil.which("chromium")}
    context = browser.browser_type.launch_persistent_context(str(folder), headless=True, **options)
    contexts.append(context)
    return context
