"""The pages for what went wrong. A record of another's and one that never was look alike: not found."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views import defaults

from commissioning.middleware import FOR_PROGRAMS, asks_for_json, no_page


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    return defaults.bad_request(request, exception, "errors/400.html")


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    if request.path.startswith(FOR_PROGRAMS):
        return no_page("unknown", "There is no such address.", 404)
    return render(request, "errors/404.html", status=404)


def server_error(request: HttpRequest) -> HttpResponse:
    if asks_for_json(request):
        return no_page("server", "This is our fault. Nothing was lost; it is tried again.", 500)
    return defaults.server_error(request, "errors/500.html")


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form sent with a stale or missing token, mostly after signing in anew in another tab."""
    if asks_for_json(request):
        return no_page("token", "The token was stale. Say hello again, then send.", 403)
    return render(request, "errors/403.html", status=403)
