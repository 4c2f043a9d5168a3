"""The service record: its own document with its own number, what moved, what was done, when the next is due."""

import io
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from commissioning import pdf
from commissioning.models import Site, Visit
from commissioning.service.due import service_due
from commissioning.service.record import number_of
from commissioning.visits import services
from tests.commissioning.service.test_comparison import replace, strokes
from tests.commissioning.worlds import site_with_record, visit_on

pytestmark = pytest.mark.django_db
FIRST = datetime.fromisoformat("2025-04-14T12:00:00-06:00")
LATER = FIRST + timedelta(days=365)


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


@pytest.fixture
def later(site: Site, technician: Any) -> Visit:
    first = visit_on(site, technician, at=FIRST)
    strokes(first, technician, "15.0", FIRST)
    visit = visit_on(site, technician, "service", at=LATER)
    strokes(visit, technician, "12.9", LATER)
    return Visit.objects.get(pk=visit.pk)


def url(visit: Visit) -> str:
    return reverse("service-record", args=[visit.pk])


@pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available()))
def test_record_prints_what_moved_what_was_done_and_the_next_day(
    as_technician: Client, site: Site, later: Visit, technician: Any
) -> None:
    from pypdf import PdfReader

    raised = {"words": "Bolt missing.", "is_unsafe": False, "actor": technician}
    defect = services.raise_defect(visit=later, id=uuid4(), **raised)
    services.put_defect_right(defect=defect, words="New bolt.", actor=technician)
    services.raise_defect(visit=later, id=uuid4(), words="Slab cracked.", is_unsafe=True, actor=technician)
    replace(site, "HP1", technician)
    answer = as_technician.get(url(later))
    assert answer.headers["Content-Type"] == "application/pdf"
    text = " ".join("\n".join(p.extract_text() for p in PdfReader(io.BytesIO(answer.content)).pages).split())
    for words in ("Service record 1", "Quince Ridge school", "Next service due by 14 April 2027", "New bolt.",
                  "Slab cracked.", "worn", "14 April 2025", "certifies nothing"):  # fmt: skip
        assert words in text, words


def test_only_a_service_visit_has_one(as_technician: Client, site: Site, later: Visit) -> None:
    start_up = site.visits.get(kind="start_up")
    assert as_technician.get(url(start_up)).status_code == 404


def test_number_counts_the_service_visits_of_the_site(site: Site, later: Visit, technician: Any) -> None:
    second = visit_on(site, technician, "service", at=LATER + timedelta(days=300))
    assert (number_of(later), number_of(second)) == (1, 2)


def test_service_is_due_a_year_after_the_last_one_that_ended(later: Visit, technician: Any) -> None:
    assert service_due(later.site) is None
    ended = services.end_visit(visit=later, left_isolated=False, reason="", actor=technician)
    assert ended.ended_at is not None
    due = service_due(later.site)
    assert due is not None
    assert due.on - ended.ended_at.date() in (timedelta(days=364), timedelta(days=365))  # the zone may be a day behind
