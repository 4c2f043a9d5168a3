"""Wrong passwords are counted by name and address; past the limit the door stays shut for a while."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_cache_control


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
