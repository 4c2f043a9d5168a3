"""What makes the logbook start without signal: the service worker, the manifest, and two pages with nobody's data."""

import hashlib
import json
from pathlib import Path

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles import finders
from django.http import HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.http import require_GET

from commissioning.htmx import HtmxHttpRequest

# Everything that a page on site may ask for. The paper's own styles and fonts stay on the server.
PATTERNS = ("look.css", "visits.css", "record.css", "design.css", "desk.css", "page.js", "icon.svg", "js/*.js")
OTHERS = ("vendor/signature_pad/signature_pad.umd.min.js", "django_htmx/htmx-2.min.js", "phone/icon-192.png")
WORKER = "phone/worker.js"
ICONS = ((192, "phone/icon-192.png"), (512, "phone/icon-512.png"))
OPEN_PAGES = {"phone-here": "sync/here.html", "phone-elsewhere": "sync/elsewhere.html"}
PAPER, INK = "#fdfdfa", "#14171b"  # as in look.css


def asset_names() -> list[str]:
    """Return the names of all static files that the phone keeps, in a fixed order."""
    root = Path(str(finders.find("look.css"))).parent
    found = [path.relative_to(root).as_posix() for pattern in (*PATTERNS, "phone/*.js") for path in root.glob(pattern)]
    return sorted({*found, *OTHERS} - {WORKER})


def version_of(names: list[str], addresses: list[str]) -> str:
    """Return a hash that changes whenever anything that the phone keeps does; so does the worker's text with it."""
    found = hashlib.sha256("\n".join(addresses).encode())
    for name in (*names, WORKER):
        found.update(Path(str(finders.find(name))).read_bytes())
    for template in OPEN_PAGES.values():
        found.update(render_to_string(template).encode())
    return found.hexdigest()[:16]


@login_not_required
@require_GET
def worker(request: HtmxHttpRequest) -> HttpResponse:
    """Serve the service worker from the root, so that every page is in its scope; never from a cache."""
    names = asset_names()
    shell, elsewhere = (reverse(name) for name in OPEN_PAGES)
    addresses = [*(static(name) for name in names), reverse("manifest"), shell, elsewhere]
    told = {
        "VERSION": version_of(names, addresses), "ASSETS": addresses, "STATIC": settings.STATIC_URL, "SHELL": shell,
        "ELSEWHERE": elsewhere,
    }  # fmt: skip
    lines = "".join(f"const {name} = {json.dumps(value)};\n" for name, value in told.items())
    text = lines + Path(str(finders.find(WORKER))).read_text(encoding="utf-8")
    return HttpResponse(text, content_type="text/javascript", headers={"Cache-Control": "no-cache"})


@login_not_required
@require_GET
def manifest(request: HtmxHttpRequest) -> JsonResponse:
    """Say how the logbook stands on a phone's home screen."""
    icons = [{"src": static(name), "sizes": f"{size}x{size}", "type": "image/png"} for size, name in ICONS]
    content = {
        "id": "/", "name": "Commissioning logbook", "short_name": "Logbook", "start_url": reverse("phone-here"),
        "scope": "/", "display": "standalone", "background_color": PAPER, "theme_color": PAPER, "icons": icons,
    }  # fmt: skip
    return JsonResponse(content, content_type="application/manifest+json")


@login_not_required
@require_GET
def here(request: HtmxHttpRequest) -> HttpResponse:
    """Show what is on this phone: a page with nobody's data, into which the phone lays its own."""
    return render(request, OPEN_PAGES["phone-here"])


@login_not_required
@require_GET
def elsewhere(request: HtmxHttpRequest) -> HttpResponse:
    """Show what stands in place of a page that is not on the phone, when no answer comes."""
    return render(request, OPEN_PAGES["phone-elsewhere"])
