"""Signing in and out, the brake on guessing, a forgotten password."""

import re
from datetime import timedelta

import pytest
from django.contrib.auth.hashers import identify_hasher, make_password
from django.core import mail
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from commissioning.models import User

pytestmark = pytest.mark.django_db

PASSWORD = "correct horse 7"
SIGN_IN = "/account/sign-in"


@pytest.fixture
def throttled(settings):
    settings.AXES_ENABLED = True
    return settings.AXES_FAILURE_LIMIT


def try_password(client, password, username="marsh", **extra):
    return client.post(SIGN_IN, {"username": username, "password": password}, **extra)


def test_person_signs_in_however_the_name_is_capitalised(client, technician):
    assert try_password(client, PASSWORD, "Marsh").url == "/"
    assert client.get("/").wsgi_request.user == technician


def test_wrong_password_says_so_and_keeps_the_name(client, technician):
    answer = try_password(client, "wrong")
    assert answer.status_code == 200
    assert "do not belong together" in answer.text
    assert 'value="marsh"' in answer.text


def test_unknown_person_gets_the_same_words(client, technician):
    marsh, nobody = try_password(client, "wrong"), try_password(client, "wrong", "nobody")
    plain = re.compile(r'value="[^"]*"|X-CSRFToken": "[^"]*"')
    assert plain.sub("", marsh.text) == plain.sub("", nobody.text)


def test_person_who_left_gets_the_same_words(client, technician):
    User.objects.update(is_active=False)
    assert "do not belong together" in try_password(client, PASSWORD).text


def test_sign_in_leads_on_to_the_page_asked_for_and_never_elsewhere(client, technician):
    given = {"username": "marsh", "password": PASSWORD}
    assert client.post(SIGN_IN, {**given, "next": "/account/password"}).url == "/account/password"
    client.post("/account/sign-out")
    assert client.post(SIGN_IN, {**given, "next": "https://elsewhere.example/"}).url == "/"


def test_session_gets_a_new_key_on_signing_in(client, technician):
    client.get(SIGN_IN)
    session = client.session
    session["x"] = 1
    session.save()
    before = session.session_key
    client.cookies["session"] = before
    try_password(client, PASSWORD)
    assert client.session.session_key != before


def test_signing_out_needs_a_post(as_technician):
    assert as_technician.get("/account/sign-out").status_code == 405
    as_technician.post("/account/sign-out")
    assert as_technician.get("/").status_code == 302


def test_guessing_is_stopped_even_with_the_right_password_then(client, technician, throttled):
    for _ in range(throttled - 1):
        assert try_password(client, "wrong").status_code == 200
    assert try_password(client, "wrong").status_code == 429
    answer = try_password(client, PASSWORD)
    assert answer.status_code == 429
    assert "Wait 15 minutes" in answer.text
    assert answer.headers["Retry-After"] == "900"


def test_capitals_do_not_give_more_tries(client, technician, throttled):
    for number in range(throttled):
        try_password(client, "wrong", "marsh" if number % 2 else "MARSH")
    assert try_password(client, PASSWORD, "Marsh").status_code == 429


def test_stranger_elsewhere_locks_nobody_out(client, technician, throttled):
    for _ in range(throttled + 1):
        try_password(client, "wrong", REMOTE_ADDR="198.51.100.7")
    assert try_password(client, PASSWORD, REMOTE_ADDR="203.0.113.5").status_code == 302


def test_other_person_at_the_same_address_is_not_locked_out(client, technician, office, throttled):
    for _ in range(throttled + 1):
        try_password(client, "wrong")
    assert try_password(client, PASSWORD, "quill").status_code == 302


def test_right_password_clears_the_count(client, technician, throttled):
    for _ in range(3):
        for _ in range(throttled - 1):
            try_password(client, "wrong")
        assert try_password(client, PASSWORD).status_code == 302
        client.post("/account/sign-out")


def test_lock_opens_after_its_time(client, technician, throttled):
    from axes.models import AccessAttempt

    for _ in range(throttled):
        try_password(client, "wrong")
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=16))
    assert try_password(client, PASSWORD).status_code == 302


def test_behind_a_proxy_the_address_is_the_one_the_proxy_saw(client, technician, throttled, settings):
    settings.BEHIND_PROXY = True
    for number in range(throttled):  # the first address on the list is what the asker claims
        try_password(client, "wrong", HTTP_X_FORWARDED_FOR=f"10.0.0.{number}, 198.51.100.7")
    assert try_password(client, PASSWORD, HTTP_X_FORWARDED_FOR="10.9.9.9, 198.51.100.7").status_code == 429
    assert try_password(client, PASSWORD, HTTP_X_FORWARDED_FOR="198.51.100.7, 203.0.113.5").status_code == 302


def test_without_a_proxy_the_header_is_not_believed(client, technician, throttled):
    for number in range(throttled):
        try_password(client, "wrong", HTTP_X_FORWARDED_FOR=f"10.0.0.{number}")
    assert try_password(client, PASSWORD, HTTP_X_FORWARDED_FOR="10.0.1.1").status_code == 429


def test_forgotten_password_is_chosen_anew_by_a_link(client, technician):
    User.objects.update(email="marsh@logbook.example")
    answer = client.post("/account/password/forgotten", {"email": "MARSH@logbook.example"})
    assert answer.url == reverse("password-reset-sent")
    link = re.search(r"http://testserver(\S+)", mail.outbox[0].body).group(1)
    form = client.get(link)
    assert technician.password not in form.url
    client.post(form.url, {"new_password1": "four dry wells", "new_password2": "four dry wells"})
    assert try_password(client, "four dry wells").status_code == 302
    client.post("/account/sign-out")
    assert "This link is used up" in client.get(link, follow=True).text


def test_answer_tells_no_stranger_who_has_an_address(client, technician):
    User.objects.update(email="marsh@logbook.example")
    known = client.post("/account/password/forgotten", {"email": "marsh@logbook.example"})
    unknown = client.post("/account/password/forgotten", {"email": "nobody@logbook.example"})
    assert (known.status_code, known.url) == (unknown.status_code, unknown.url)
    assert len(mail.outbox) == 1


@pytest.mark.parametrize("weak", ["short1", "password123", "t. marsh 77"])
def test_weak_password_is_refused(as_technician, weak):
    given = {"old_password": PASSWORD, "new_password1": weak, "new_password2": weak}
    assert as_technician.post("/account/password", given).status_code == 200


def test_password_is_changed_and_the_session_goes_on(as_technician, technician):
    given = {"old_password": PASSWORD, "new_password1": "four dry wells", "new_password2": "four dry wells"}
    assert as_technician.post("/account/password", given).url == "/"
    assert "Your password is changed." in as_technician.get("/", follow=True).text


@pytest.mark.parametrize("path", [SIGN_IN, "/account/password", "/account/password/forgotten"])
def test_no_field_opens_the_keypad_by_itself(client, as_technician, path):
    assert "autofocus" not in (as_technician if path == "/account/password" else client).get(path).text


def test_passwords_are_kept_with_argon2(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    assert identify_hasher(make_password(PASSWORD)).algorithm == "argon2"


def test_two_people_cannot_have_one_name_in_two_capitalisations(technician):
    with pytest.raises(IntegrityError), transaction.atomic():
        User.objects.create_user("MARSH")


def test_role_is_one_of_two(technician):
    with pytest.raises(IntegrityError), transaction.atomic():
        User.objects.update(role="owner")


def test_first_person_of_an_installation_is_of_the_office():
    assert User.objects.create_superuser("first", password=PASSWORD).is_office


def test_person_is_called_by_the_printed_name_or_else_by_the_other(technician):
    assert str(technician) == "T. Marsh"
    assert str(User(username="fenn")) == "fenn"
