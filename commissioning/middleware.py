"""What every answer carries, and who gets one: headers, sign-in, the session's daily renewal."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlsplit

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.middleware.gzip import GZipMiddleware
from django.shortcuts import resolve_url
from django.utils import timezone
from django_htmx.http import HttpResponseClientRedirect

FOR_PROGRAMS = ("/phone/hello/", "/phone/items/", "/phone/photo/", "/phone/pack/")

Answer = Callable[[HttpRequest], HttpResponseBase]

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'self'",
        "img-src 'self' data: blob:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "Permissions-Policy": "camera=(self), geolocation=(self), microphone=(), payment=(), usb=()",
    "Cross-Origin-Resource-Policy": "same-origin",
    # a page of records belongs to one person: shared caches keep nothing, the browser asks again
    "Cache-Control": "private, no-cache",
}


def security_headers(get_response: Answer) -> Answer:
    """Add the headers that a view has not set itself."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        return response

    return answer


def pressed_pages(get_response: Answer) -> Answer:
    """Press pages together on their way: signal on site is poor. Files are pressed already.

    Django's part adds a random length, so that the length of a page tells nothing of what stands in it.
    """
    press = GZipMiddleware(lambda request: HttpResponse())

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        is_page = response.headers.get("Content-Type", "").startswith("text/html")
        return press.process_response(request, response) if is_page else response

    return answer


class SignInRequiredMiddleware(LoginRequiredMiddleware):
    """Close every view that is not marked `login_not_required`, and say so in the asker's own way."""

    def handle_no_permission(  # type: ignore[override]  # the base only ever redirects
        self, request: Any, view_func: Any
    ) -> HttpResponse:
        if asks_for_json(request):
            return no_page("sign-in", "Sign in to go on.", 401)
        if not request.htmx:
            return redirect_to_login(request.get_full_path(), resolve_url(self.get_login_url(view_func)))
        page = urlsplit(request.htmx.current_url_abs_path or "/")
        back = redirect_to_login(page.geturl(), resolve_url(self.get_login_url(view_func)))
        return HttpResponseClientRedirect(back.url)


def no_page(error: str, message: str, status: int) -> JsonResponse:
    """Return an answer for a program: our mark, a word, a sentence."""
    content = {"logbook": 1, "error": error, "message": message}
    return JsonResponse(content, status=status, headers={"Cache-Control": "no-store"})


def asks_for_json(request: HttpRequest) -> bool:
    """Return whether a program asks: it must never take a sign-in page for success."""
    if request.path.startswith(FOR_PROGRAMS):
        return True
    accepted = request.headers.get("Accept", "")
    return request.content_type == "application/json" or (
        "application/json" in accepted and "text/html" not in accepted
    )


def keep_session_alive(get_response: Answer) -> Answer:
    """Renew a signed-in session once a day: its age then counts from the last use, at one write a day."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        today = timezone.now().date().isoformat()
        if request.user.is_authenticated and request.session.get("used_on") != today:
            request.session["used_on"] = today
        return get_response(request)

    return answer
