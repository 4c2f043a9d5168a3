"""The page behind the code on the paper: open to all, and nothing personal on it."""

import json
import re

import pytest
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from commissioning.canonical import digest
from commissioning.handover import services
from commissioning.handover.authenticity import examine
from commissioning.models import Sheet

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("without_pdf")]


def token_of(sheet):
    return json.loads(sheet.body)["sheet"]["token"]


def seen(sheet):
    return Client().get(reverse("sheet-verify", args=[token_of(sheet)]))


@pytest.fixture
def sheet(visit, issue):
    return issue(visit)


def test_current_sheet_is_genuine_and_current(sheet):
    answer = seen(sheet)
    assert answer.status_code == 200
    for words in ("Genuine and current", sheet.number, "revision 1", "Not for drinking until released"):
        assert words in answer.text


def test_superseded_sheet_names_the_revision_after_it(sheet, visit, issue):
    second = issue(visit, reason="Name wrong.")
    assert "superseded by revision 2" in seen(sheet).text
    assert "Genuine and current" in seen(second).text


def test_superseded_by_a_withdrawn_one_says_so(sheet, visit, issue, office):
    services.withdraw_sheet(sheet=issue(visit, reason="Name wrong."), reason="Wrong system.", actor=office)
    assert "superseded by revision 2, which is withdrawn" in seen(sheet).text


def test_withdrawn_sheet_says_so_and_keeps_the_reason_in_the_office(sheet, office):
    services.withdraw_sheet(sheet=sheet, reason="Owner M. Alder quarrels.", actor=office)
    text = seen(sheet).text
    assert "Withdrawn" in text
    assert "Alder" not in text
    assert "Genuine" not in text


def test_nothing_personal_is_shown(sheet, visit):
    text = seen(sheet).text
    for words in ("Quince Ridge", "on the rise", "T. Marsh", "M. Quill", "24.105", str(visit.pk)):
        assert words not in text


def test_file_hash_and_check_code_are_shown(sheet):
    Sheet.objects.filter(pk=sheet.pk).update(file_hash="ab" * 32)
    text = seen(sheet).text
    assert "ab" * 32 in text
    assert sheet.hash[:4] + " " + sheet.hash[4:8] in text
    assert "js/verify.js" in text


MALFORMED = ["x", "0" * 22, "A" * 21, "A" * 23, "../../etc", "a/b/c", "%00", "é" * 22, "<script>", "-" * 4000]


def without_csrf(answer):
    """Return a page without the one thing in it that differs at every request."""
    return re.sub(r'"X-CSRFToken": "\w+"', "", answer.text)


def test_unknown_and_malformed_look_alike(sheet):
    unknown = Client().get("/v/AAAAAAAAAAAAAAAAAAAAAA/")
    for token in MALFORMED:
        answer = Client().get(f"/v/{token}/")
        assert (answer.status_code, without_csrf(answer)) == (404, without_csrf(unknown)), token
        assert dict(answer.headers) == dict(unknown.headers), token


@pytest.mark.parametrize("path", ["/v/AAAAAAAAAAAAAAAAAAAAAA/", None])
def test_page_is_stored_indexed_and_told_on_by_nobody(sheet, path):
    headers = (Client().get(path) if path else seen(sheet)).headers
    assert headers["Cache-Control"] == "no-store"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert "noindex" in headers["X-Robots-Tag"]


def test_only_reading_is_possible(sheet):
    assert Client().post(reverse("sheet-verify", args=[token_of(sheet)])).status_code == 405


def test_token_has_128_bits_and_the_table_keeps_its_hash_alone(sheet, visit, issue):
    token = token_of(sheet)
    assert len(token) == 22  # 22 × 6 bits, of which 128 count
    assert sheet.token_hash == digest(token)
    assert token_of(issue(visit, reason="Again.")) != token


def test_looking_up_asks_the_database_as_often_for_any_unknown_token(sheet, django_assert_num_queries):
    for token, queries in (("AAAAAAAAAAAAAAAAAAAAAA", 1), ("x", 1), (token_of(sheet), 3)):  # its files, and results
        with django_assert_num_queries(queries):
            Client().get(f"/v/{token}/")


@pytest.fixture
def counted_anew():
    cache.clear()
    yield
    cache.clear()


def ask_from(place, path="/v/", **sent):
    client = Client(REMOTE_ADDR=place)
    return client.post(path, sent) if sent else client.get(path)


def test_questions_from_one_place_are_bounded_and_other_places_are_answered(sheet, counted_anew, monkeypatch):
    monkeypatch.setattr("commissioning.accounts.throttle.MOST_LOOKED_UP", 2)
    path = reverse("sheet-verify", args=[token_of(sheet)])
    assert [ask_from("192.0.2.1", path).status_code for _ in range(3)] == [200, 200, 429]
    refused = ask_from("192.0.2.1")  # the other page counts with it
    assert (refused.status_code, refused.headers["Retry-After"]) == (429, "600")
    assert "Wait 10 minutes, then ask again." in refused.text
    assert refused.headers["Cache-Control"] == "no-store"
    assert ask_from("192.0.2.2", path).status_code == 200


def test_files_are_bounded_more_closely_and_past_that_none_is_read(counted_anew, monkeypatch):
    monkeypatch.setattr("commissioning.accounts.throttle.MOST_EXAMINED", 1)
    monkeypatch.setattr("commissioning.handover.public.examine", lambda data: read.append(data) or examine(data))
    read = []
    file = SimpleUploadedFile
    assert ask_from("192.0.2.1", file=file("a.pdf", b"%PDF-1.7 a")).status_code == 200
    assert ask_from("192.0.2.1", file=file("b.pdf", b"%PDF-1.7 b")).status_code == 429
    assert read == [b"%PDF-1.7 a"]
    assert ask_from("192.0.2.1").status_code == 200  # the page itself is still shown


def test_place_is_the_one_that_the_proxy_saw(counted_anew, monkeypatch, settings):
    monkeypatch.setattr("commissioning.accounts.throttle.MOST_LOOKED_UP", 1)
    settings.BEHIND_PROXY = True
    answers = [
        Client().get("/v/", headers={"X-Forwarded-For": f"203.0.113.{n}, 192.0.2.1"}).status_code for n in (1, 2)
    ]
    assert answers == [200, 429]  # what a stranger puts in front makes nobody another
