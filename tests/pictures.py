"""Takes the pictures of the README from the demo, so that they show what is there.

    .venv/bin/python -m tests.pictures

Makes a demo in a folder of its own, serves it on a free loopback port, ends it again. Needs chromium and pdftoppm.
"""

import io
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from tests.e2e.conftest import DESK, FLAGS, PHONE

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "static/pictures"
COLOURS = 48  # a page has few; the file stays small
WIDTH = {"phone": 585, "desk": 1100}  # px


def main() -> int:
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="pictures-") as data, served(Path(data)) as address:
        password = (Path(data) / "demo_password").read_text()
        with sync_playwright() as playwright:
            executable = shutil.which("chromium") or shutil.which("chromium-browser")
            browser = playwright.chromium.launch(executable_path=executable, args=FLAGS)
            on_the_phone(signed_in(browser, address, "technician", password, PHONE))
            at_the_desk(signed_in(browser, address, "office", password, DESK))
            browser.close()
    return 0


@contextmanager
def served(data: Path) -> Iterator[str]:
    """Serve a fresh demo; give its address."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "manage.py", "demo", "--port", str(port)]
    surroundings = {**os.environ, "DATA_DIR": str(data), "NO_BOOTSTRAP": "1"}
    with subprocess.Popen(
        command, cwd=ROOT, env=surroundings, stdout=subprocess.PIPE, text=True, start_new_session=True
    ) as made:
        try:
            assert made.stdout is not None
            assert any("serving" in line for line in made.stdout)
            yield f"http://localhost:{port}"
        finally:
            os.killpg(made.pid, signal.SIGINT)
            made.wait(timeout=40)


def signed_in(browser: Any, address: str, name: str, password: str, screen: dict[str, Any]) -> Page:
    page: Page = browser.new_context(base_url=address, **screen).new_page()
    page.goto("/account/sign-in")
    page.fill("[name=username]", name)
    page.fill("[name=password]", password)
    page.click("main form button")
    return page


def on_the_phone(page: Page) -> None:
    page.goto("/visits/")
    page.get_by_text("Saltbush clinic").first.click()
    visit = page.url.rstrip("/")
    keep(page, "order", "phone")
    page.goto(f"{visit}/short_circuit_current:A1/")
    keep(page, "measurement", "phone")


def at_the_desk(page: Page) -> None:
    page.goto("/visits/")
    page.get_by_text("Saltbush clinic").first.click()
    page.goto(f"/acceptance/{page.url.rstrip('/').rsplit('/', 1)[-1]}/")
    keep(page, "acceptance", "desk")
    page.goto("/sheets/")
    with page.expect_navigation():
        page.locator("#sheet-rows a").first.click()
    address = page.locator("a[href$='.pdf']").first.get_attribute("href")
    write("sheet", first_page(page.context.request.get(address or "").body()), WIDTH["desk"])


def first_page(pdf: bytes) -> Image.Image:
    """Return the first page of a PDF, as poppler draws it."""
    command = ["pdftoppm", "-png", "-r", "130", "-l", "1", "-"]
    return Image.open(io.BytesIO(subprocess.run(command, input=pdf, capture_output=True, check=True).stdout))


def keep(page: Page, name: str, screen: str) -> None:
    """Keep what the screen shows, small."""
    page.wait_for_load_state("networkidle")
    write(name, Image.open(io.BytesIO(page.screenshot())), WIDTH[screen])


def write(name: str, picture: Image.Image, width: int) -> None:
    width = min(width, picture.width)
    small = picture.convert("RGB").resize(
        (width, round(picture.height * width / picture.width)), Image.Resampling.LANCZOS
    )
    file = PICTURES / f"{name}.png"
    small.quantize(COLOURS, dither=Image.Dither.NONE).save(file, optimize=True)
    print(f"{file.relative_to(ROOT)}: {file.stat().st_size} bytes")


if __name__ == "__main__":
    sys.exit(main())
