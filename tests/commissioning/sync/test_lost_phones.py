"""A phone reported lost: its people are signed out, what it still sends is set apart, and nothing is thrown away."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.models import Device, Event, Measurement, Quarantined
from tests.commissioning.sync.phones import Phone, states

pytestmark = pytest.mark.django_db
BACKEND = "django.contrib.auth.backends.ModelBackend"


def post(client: Client, phone: Phone, **typed: str) -> Any:
    return client.post(reverse("phone-shut", args=[phone.device]), typed)


@pytest.fixture
def lost(phone: Phone, as_office: Client) -> Phone:
    """A phone that sent one reading, was reported lost, and into which its thief signs in again."""
    phone.send(phone.measured())
    assert post(as_office, phone, reason="left on the bus").status_code == 302
    return phone


def test_its_people_are_signed_out_everywhere_and_nobody_else(phone: Phone, other: Phone, as_office: Client) -> None:
    phone.send(phone.measured())
    elsewhere = Client()
    elsewhere.force_login(phone.user, backend=BACKEND)
    post(as_office, phone, reason="left on the bus")
    assert phone.deliver(phone.measured()).status_code == 401
    assert elsewhere.get("/").status_code == 302
    assert states(other.send(other.measured())) == ["stored"]
    assert as_office.get(reverse("phones")).status_code == 200


def test_what_it_still_sends_is_set_apart_word_for_word(lost: Phone, as_office: Client) -> None:
    lost.client.force_login(lost.user, backend=BACKEND)
    item = lost.measured()
    (result,) = lost.send(item)
    assert result["state"] == "refused"
    assert "shut out as lost" in result["faults"]["$.device"]
    assert Measurement.objects.count() == 1
    assert Quarantined.objects.get().event_id.hex == item["id"].replace("-", "")
    assert "shut out as lost" in as_office.get(reverse("phones")).text


def test_what_it_sent_before_is_said_to_be_stored(phone: Phone, as_office: Client) -> None:
    item = phone.measured()
    phone.send(item)
    post(as_office, phone, reason="left on the bus")
    phone.client.force_login(phone.user, backend=BACKEND)
    assert states(phone.send(item)) == ["duplicate"]
    assert not Quarantined.objects.exists()


def test_found_again_what_was_set_apart_is_taken_in(lost: Phone, as_office: Client) -> None:
    lost.client.force_login(lost.user, backend=BACKEND)
    item = lost.measured()
    lost.send(item)
    post(as_office, lost)
    assert Device.objects.get().shut_at is None
    assert states(lost.send(item)) == ["stored"]
    assert not Quarantined.objects.unsettled().exists()


def test_each_step_is_one_event_in_the_office_s_chain(lost: Phone, as_office: Client) -> None:
    post(as_office, lost)
    kinds = Event.objects.filter(site=None).order_by("sequence").values_list("kind", flat=True)
    assert list(kinds) == ["phone.shut_out", "phone.let_in"]


def test_only_the_office_may_and_a_reason_is_asked_for(phone: Phone, as_technician: Client, as_office: Client) -> None:
    phone.send(phone.measured())
    assert post(as_technician, phone, reason="mine").status_code == 404
    assert "This field is required" in post(as_office, phone, reason=" ").text
    assert Device.objects.get().shut_at is None
