"""Sums at the step: from what is typed so far, without a script; nothing is kept, nothing typed is lost."""

import html
from typing import Any

import pytest
from django.template.loader import render_to_string
from django.test import Client

from commissioning.models import Measurement, Visit
from tests.commissioning.visits.conftest import url_of
from tests.commissioning.worlds import site_with_record, visit_on
from tests.sizing.more_systems import sallow_clinic

pytestmark = pytest.mark.django_db
PRECHARGE = "precharge:PT1"
SENT = {
    "id": "3f0c6a5e-1c1a-4bb0-9a0e-0a8d6c1f7e11", "work_out": "1", "r-pressure": "", "unit-pressure": "kPa",
    "r-temperature": "10", "unit-temperature": "degC", "note": "cold morning",
}  # fmt: skip


@pytest.fixture
def clinic(technician: Any) -> Visit:
    document = sallow_clinic()
    document["components"] = [one for one in document["components"] if one["tag"] != "FU1"]
    return visit_on(site_with_record(technician, document=document, name="Sallow clinic"), technician)


def text(answer: Any) -> str:
    return html.unescape(answer.content.decode())


def test_page_offers_the_sum_with_its_working(as_technician: Client, clinic: Visit) -> None:
    page = text(as_technician.get(url_of(clinic, PRECHARGE)))
    assert "Sums for this step" in page
    assert "186.2\u00a0kPa" in page  # cut-in of 200 kPa less 2 psi (13.8 kPa)
    assert "Work it out with what is typed" in page


def test_what_is_typed_goes_into_the_sum_and_stays_in_the_form(as_technician: Client, clinic: Visit) -> None:
    """At 10 °C: (186.21 + 89.87) · 283.15 / 293.15 − 89.87 = 176.8 kPa, with 89.87 kPa of air 1000 m up."""
    page = text(as_technician.post(url_of(clinic, PRECHARGE), SENT))
    assert "176.8\u00a0kPa" in page
    assert 'value="10"' in page
    assert "cold morning" in page
    assert "Type a number" not in page  # the pressure is still to be read
    assert not Measurement.objects.exists()
    fragment = text(as_technician.post(url_of(clinic, PRECHARGE), SENT, headers={"HX-Request": "true"}))
    assert "<html" not in fragment
    assert "176.8\u00a0kPa" in fragment


def test_what_cannot_be_read_is_said_at_its_field(as_technician: Client, clinic: Visit) -> None:
    page = text(as_technician.post(url_of(clinic, PRECHARGE), {**SENT, "r-temperature": "10,5"}))
    assert "10.5" in page.split('id="sums"')[0]  # the cure, at the field
    assert "186.2\u00a0kPa" in page  # without it, at the temperature of the record
    assert not Measurement.objects.exists()


def test_a_form_after_the_sum_is_kept_as_ever(as_technician: Client, clinic: Visit) -> None:
    as_technician.post(url_of(clinic, PRECHARGE), SENT)
    kept = {**SENT, "r-pressure": "177"}
    del kept["work_out"]
    as_technician.post(url_of(clinic, PRECHARGE), kept)
    assert Measurement.objects.filter(check_key="precharge").count() == 1


def test_a_sum_that_lacks_something_says_what(as_technician: Client, visit: Visit) -> None:
    page = text(as_technician.get(url_of(visit, "chlorine_dose:W1")))
    assert "Cannot be worked out yet: " in page
    assert "Work it out with what is typed" not in page  # nothing that can be typed here would help


def test_without_a_token_as_on_a_phone_there_is_no_button(as_technician: Client, clinic: Visit) -> None:
    """What is kept on a phone is rendered without a token: no server stands behind its forms."""
    shown = {
        "sums": as_technician.get(url_of(clinic, PRECHARGE)).context["sums"],
        "sums_asked": False,
        "sums_wait": True,
    }
    page = html.unescape(render_to_string("visits/_sums.html", {**shown, "csrf_token": ""}))
    assert "186.2\u00a0kPa" in page
    assert "Work it out" not in page
