"""Wrong passwords are counted by name and address; past the limit the door stays shut for a while.

So are mails that are asked for, and what strangers ask of the public pages.
"""

from hashlib import sha256
from typing import Any

from django.conf import settings
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_cache_control

MOST_MAILS = 3
MAIL_WINDOW = 3600  # s
MOST_MAILS_ASKED = 20
"""For one mail address, and from one place, within the window; our own choice. Counted in each process for itself."""

OPEN_WINDOW = 600  # s
MOST_LOOKED_UP = 600
MOST_EXAMINED = 60
"""Public pages asked for, and files sent to be examined, from one place within the window; our own choice."""


def may_look_up(request: HttpRequest) -> bool:
    """Count a question to a public page; return whether it is answered. A file to be examined weighs more."""
    place = client_address(request)
    may = _counted(f"looked-up:{place}", OPEN_WINDOW) <= MOST_LOOKED_UP
    if request.method == "POST":
        may = _counted(f"examined:{place}", OPEN_WINDOW) <= MOST_EXAMINED and may
    return may


def may_send_mail(request: HttpRequest, address: str) -> bool:
    """Count a mail that is asked for; return whether it may be sent: nobody's box is filled from here."""
    by_address = _counted(f"mail-to:{address.strip().casefold()}")
    from_place = _counted(f"mail-from:{client_address(request)}")
    return by_address <= MOST_MAILS and from_place <= MOST_MAILS_ASKED


def _counted(what: str, window: int = MAIL_WINDOW) -> int:
    key = sha256(what.encode("utf-8", "replace")).hexdigest()
    cache.add(key, 0, window)
    try:
        return cache.incr(key)
    except ValueError:  # it ran out just now
        return 1


def username(request: HttpRequest, credentials: dict[str, Any] | None) -> str:
    """Return the name asked for; its capitals do not make it another."""
    given = (credentials or {}).get("username") or request.POST.get("username", "")
    return str(given).strip().casefold()[:255]


def client_address(request: HttpRequest) -> str | None:
    """Return who asks: behind a proxy, the last address on the list is the one the proxy saw itself."""
    if settings.BEHIND_PROXY:
        forwarded = request.headers.get("X-Forwarded-For", "").split(",")[-1].strip()
        return forwarded or request.META.get("REMOTE_ADDR")
    return request.META.get("REMOTE_ADDR")


def locked_out(
    request: HttpRequest, original_response: HttpResponse | None, credentials: dict[str, Any] | None
) -> HttpResponse:
    minutes = int(settings.AXES_COOLOFF_TIME.total_seconds() // 60)
    response = render(request, "accounts/locked.html", {"minutes": minutes}, status=429)
    response.headers["Retry-After"] = str(minutes * 60)
    patch_cache_control(response, no_store=True)
    return response
