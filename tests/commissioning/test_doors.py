"""Who gets an answer, and what every answer carries."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils import timezone

pytestmark = pytest.mark.django_db

# The whole list of what a stranger may open. Adding a name here is a decision.
OPEN_TO_ALL = {
    "sign-in", "password-reset", "password-reset-sent", "password-reset-confirm", "sheet-verify", "file-verify",
    "phone-hello", "owner-link-page", "owner-link-pack",  # only with the secret of a link that stands
    "healthz", "readyz",  # that it answers; the second to this machine alone
    # what a phone starts with: a script, a manifest and two pages without anybody's data
    "worker", "manifest", "phone-here", "phone-elsewhere",
}  # fmt: skip

SAMPLES: dict[str, Any] = {
    "UUIDConverter": UUID(int=7),
    "IntConverter": 7,
    "StringConverter": "seven",
    "SlugConverter": "seven",
    "PathConverter": "seven/eight",
}


def patterns(resolver: URLResolver | None = None) -> Iterator[URLPattern]:
    for pattern in (resolver or get_resolver()).url_patterns:
        if isinstance(pattern, URLResolver):
            yield from patterns(pattern)
        else:
            yield pattern


def address(pattern: URLPattern) -> str:
    converters = pattern.pattern.converters.items()
    return reverse(pattern.name, kwargs={key: SAMPLES[type(one).__name__] for key, one in converters})


def test_every_address_has_a_name():
    assert [str(pattern.pattern) for pattern in patterns() if not pattern.name] == []


def is_turned_away(answer: Any) -> bool:
    """Whether a person is sent to the sign-in page, or a program told so."""
    return answer.headers.get("Location", "").startswith("/account/sign-in?") or answer.status_code == 401


@pytest.mark.parametrize("method", ["get", "post", "put", "delete"])
def test_stranger_is_sent_to_sign_in_at_every_address_but_the_listed(client, method):
    open_to_stranger = {
        pattern.name for pattern in patterns() if not is_turned_away(getattr(client, method)(address(pattern)))
    }
    assert open_to_stranger <= OPEN_TO_ALL


def test_list_of_open_addresses_names_no_address_that_is_gone():
    assert {pattern.name for pattern in patterns()} >= OPEN_TO_ALL


def test_htmx_is_told_to_load_the_sign_in_page_whole(client):
    answer = client.get("/", headers={"HX-Request": "true", "HX-Current-URL": "http://testserver/account/password"})
    assert answer.status_code == 200
    assert answer.headers["HX-Redirect"] == "/account/sign-in?next=/account/password"
    assert answer.content == b""


@pytest.mark.parametrize("current", ["", "http://elsewhere.example/trap"])
def test_htmx_is_led_back_to_no_other_site(client, current):
    answer = client.get("/", headers={"HX-Request": "true", "HX-Current-URL": current})
    assert answer.headers["HX-Redirect"] == "/account/sign-in?next=/"


@pytest.mark.parametrize(
    "asked", [{"headers": {"Accept": "application/json"}}, {"content_type": "application/json"}], ids=["get", "post"]
)
def test_program_gets_401_and_never_a_sign_in_page(client, asked):
    answer = client.post("/", **asked)
    assert answer.status_code == 401
    assert answer.json()["error"] == "sign-in"


def test_browser_that_also_takes_json_gets_the_page(client):
    assert client.get("/", headers={"Accept": "text/html,application/json"}).status_code == 302


def test_forbidden_looks_like_unknown(as_technician, rf):
    from django.core.exceptions import PermissionDenied

    from commissioning.urls import handler403, handler404

    assert handler403 == handler404
    from commissioning.errors import not_found

    request = rf.get("/")
    assert not_found(request, PermissionDenied()).status_code == 404


@pytest.mark.parametrize("path", ["/account/sign-in", "/", "/nowhere", "/static/look.css"])
def test_every_answer_carries_the_security_headers(client, path):
    headers = client.get(path).headers
    policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'self'"
    assert policy["img-src"] == "'self' data: blob:"
    assert policy["frame-ancestors"] == policy["object-src"] == policy["base-uri"] == "'none'"
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert "camera=(self)" in headers["Permissions-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"


def test_page_is_kept_by_no_shared_cache(as_technician):
    assert "private" in as_technician.get("/account/password").headers["Cache-Control"]


def test_session_is_renewed_once_a_day_and_not_more(as_technician):
    as_technician.get("/account/password")
    first = Session.objects.get()
    as_technician.get("/account/password")
    assert Session.objects.get().expire_date == first.expire_date
    session = as_technician.session
    session["used_on"] = "2020-01-01"
    session.save()
    Session.objects.update(expire_date=timezone.now() + timedelta(days=1))
    as_technician.get("/account/password")
    assert Session.objects.get().expire_date > timezone.now() + timedelta(days=29)


def test_form_without_its_token_is_refused_in_plain_words(technician):
    client = Client(enforce_csrf_checks=True)
    answer = client.post("/account/sign-in", {"username": "marsh", "password": "x"})
    assert answer.status_code == 403
    assert "The form was stale" in answer.text


def test_failing_view_shows_our_page_and_no_detail(client, settings, monkeypatch):
    client.raise_request_exception = False
    monkeypatch.setattr("commissioning.accounts.views.SignIn.get", lambda *a, **k: 1 / 0)
    answer = client.get("/account/sign-in")
    assert answer.status_code == 500
    assert "This is our fault" in answer.text
    assert "ZeroDivision" not in answer.text


def test_unknown_host_is_refused(client):
    assert client.get("/account/sign-in", headers={"Host": "elsewhere.example"}).status_code == 400
