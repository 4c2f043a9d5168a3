"""The visit record prints what was signed, and nothing that came after."""

import io
from uuid import uuid4

import pytest
from django.urls import reverse

from commissioning import evidence, files, pdf
from commissioning.handover.visit_record import NotKeptError, visit_record
from commissioning.progress import progress_of
from commissioning.visits.services import sign_visit
from commissioning.visits.signing import shown_at_signing
from tests.commissioning.handover.conftest import WAVE, raise_defect

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available())),
]


def text_of(made):
    from pypdf import PdfReader

    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages)


def signed_on_the_page(client, visit, name="T. Marsh"):
    shown = shown_at_signing(progress_of(visit))
    data = {"id": str(uuid4()), "shown_hash": shown.hash, "printed_name": name, "role": "technician",
            "meaning": "I took these measurements", "strokes": WAVE}  # fmt: skip
    answer = client.post(reverse("visit-sign", args=[visit.pk]), data)
    assert answer.status_code == 302, answer.text
    return shown


def test_record_prints_what_was_signed_and_not_what_came_after(as_technician, technician, tank_visit):
    raise_defect(tank_visit, technician, "Lid does not lock.")
    shown = signed_on_the_page(as_technician, tank_visit)
    raise_defect(tank_visit, technician, "Found on the way home.")
    text = text_of(visit_record(tank_visit))
    for words in ("Visit record", "Quince Ridge", "Lid does not lock.", "T. Marsh", "I took these measurements",
                  "not the office's sheet", shown.hash[:16]):  # fmt: skip
        assert words in text
    assert "Found on the way home." not in text
    assert files.path_of(shown.hash).exists()


def test_record_is_the_same_bytes_each_time_and_has_an_address(as_technician, tank_visit):
    signed_on_the_page(as_technician, tank_visit)
    answer = as_technician.get(reverse("visit-record", args=[tank_visit.pk]))
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.content == visit_record(tank_visit)


def test_later_signature_says_that_the_visit_said_something_else(as_technician, technician, tank_visit):
    signed_on_the_page(as_technician, tank_visit)
    raise_defect(tank_visit, technician, "Lid does not lock.")
    signed_on_the_page(as_technician, tank_visit, "E. Sable")
    text = " ".join(text_of(visit_record(tank_visit)).split())
    assert "Lid does not lock." in text
    assert text.count("signed when the visit said something else") == 1


def test_nothing_signed_or_nothing_kept_is_one_clear_line(as_technician, technician, tank_visit):
    address = reverse("visit-record", args=[tank_visit.pk])
    assert "Nobody has signed this visit yet." in as_technician.get(address, follow=True).text
    sign_visit(visit=tank_visit, id=uuid4(), printed_name="E. Sable", role="owner", meaning="seen", strokes="",
               shown_hash="ab" * 32, actor=technician)  # fmt: skip
    with pytest.raises(NotKeptError, match="only its hash"):
        visit_record(tank_visit)


def test_left_isolated_is_printed_large(as_technician, technician, tank_visit):
    signed_on_the_page(as_technician, tank_visit)
    body = {"visit": str(tank_visit.pk), "left_isolated": True, "reason": "V1 shut and tagged."}
    evidence.append(site=tank_visit.site, kind="visit.ended", body=body, actor=technician)
    tank_visit.refresh_from_db()
    text = text_of(visit_record(tank_visit))
    assert text.count("Left isolated: do not use.") >= 2  # large, and in the footer
    assert "V1 shut and tagged." in text
