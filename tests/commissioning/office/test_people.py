"""The office adds people, gives roles, shuts out; every change is one event, and names stay out of the evidence."""

from typing import Any

import pytest
from django.core import mail
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from commissioning import evidence
from commissioning.models import Event, User

pytestmark = pytest.mark.django_db
NEW = {
    "username": "fenn",
    "display_name": "J. Fenn",
    "email": "fenn@example.org",
    "role": "technician",
    "still_here": "on",
}


def edit(person: User) -> str:
    return reverse("person-edit", args=[person.handle])


def test_new_person_chooses_a_password_by_the_link_once(as_office: Client, client: Client):
    assert as_office.post(reverse("person-new"), NEW).status_code == 302
    person = User.objects.get(username="fenn")
    assert not person.has_usable_password()
    page = as_office.post(reverse("person-link", args=[person.handle]))
    link = page.context["link"].removeprefix("http://testserver")
    form = client.get(link, follow=True)
    chosen = {"new_password1": "wind over ridge 9", "new_password2": "wind over ridge 9"}
    client.post(form.request["PATH_INFO"], chosen)
    assert User.objects.get(username="fenn").check_password("wind over ridge 9")
    assert client.get(link, follow=True).context["validlink"] is False  # once only


def test_each_change_is_one_event_without_a_name(as_office, technician):
    before = Event.objects.count()
    changed = {**NEW, "username": "marsh", "display_name": "T. Marsh-Reed", "role": "office"}
    assert as_office.post(edit(technician), changed).status_code == 302
    technician.refresh_from_db()
    assert (technician.role, str(technician)) == ("office", "T. Marsh-Reed")
    event = Event.objects.latest("received_at")
    assert Event.objects.count() == before + 1
    assert event.kind == "person.kept"
    assert "arsh" not in event.body
    assert "example.org" not in event.body


def test_who_is_shut_out_is_signed_out_everywhere(as_office, as_technician, technician):
    assert as_technician.get(reverse("site-list")).status_code == 200
    left = {name: value for name, value in NEW.items() if name != "still_here"}
    as_office.post(edit(technician), {**left, "username": "marsh"})
    assert as_technician.get(reverse("site-list")).status_code == 302
    assert as_office.post(reverse("person-link", args=[technician.handle])).status_code == 404


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"role": "technician"}, "Somebody else of the office has to change your role."),
        ({"role": "office", "still_here": ""}, "Somebody else of the office has to shut you out."),
        ({"role": "office", "username": "MARSH"}, "Somebody signs in with this name already."),
        ({"role": "owner"}, "Select a valid choice"),
    ],
)
def test_bad_change_is_refused_at_its_field(as_office, office, technician, changes, words):
    answer = as_office.post(edit(office), {**NEW, "username": "quill", **changes})
    assert answer.status_code == 200
    assert words in answer.content.decode()
    office.refresh_from_db()
    assert (office.role, office.is_active, office.username) == ("office", True, "quill")


def test_the_door_itself_refuses_to_shut_behind_whoever_asks(office):
    body = {"handle": str(office.handle), "role": "office", "is_active": False}
    with pytest.raises(evidence.RefusedError):
        evidence.append(site=None, kind="person.kept", body=body, actor=office)


def test_pages_are_for_the_office(as_technician, technician, as_office):
    for url in (reverse("person-list"), reverse("person-new"), edit(technician)):
        assert as_technician.get(url).status_code == 404
        assert as_office.get(url).status_code == 200
    assert as_technician.post(reverse("person-link", args=[technician.handle])).status_code == 404


def test_nobodys_box_is_filled_with_mails(client: Client, make_user: Any):
    cache.clear()
    make_user("fenn", email="fenn@example.org")
    answers = [client.post(reverse("password-reset"), {"email": "Fenn@example.org"}) for _ in range(5)]
    assert {one.headers["Location"] for one in answers} == {reverse("password-reset-sent")}
    assert len(mail.outbox) == 3
    cache.clear()
