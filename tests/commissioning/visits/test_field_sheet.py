"""The field sheet: every owed check once, with its window and room to write."""

import io
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from pypdf import PdfReader

from commissioning.models import Measurement, Visit
from commissioning.progress import progress_of
from commissioning.visits.field_sheet import BEYOND, items_of
from sizing.checks.declare import Kind
from tests.commissioning.visits.conftest import static_level, url_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(technician: Any) -> Visit:
    return visit_on(site_with_record(technician), technician)


def test_every_open_check_stands_on_it_once_in_order(visit: Visit) -> None:
    progress = progress_of(visit)
    items = items_of(progress)
    wanted = [line.owed.number for line in progress.lines if line.is_open and line.check.kind is not Kind.DERIVED]
    assert [one.number for one in items] == wanted
    assert all(one.blanks or one.is_observed for one in items), "there is room to write"


def test_window_is_given_where_the_record_alone_says_it(visit: Visit) -> None:
    items = items_of(progress_of(visit))
    level = next(one for one in items if one.title == "Static level" and one.subject.startswith("W1"))
    # the driller's log of Quince Ridge says 24.0 m, and 3 m on either side is common practice, no source
    assert re.search(r"21\.00\D+27\.00\sm", level.windows[0].words), level.windows
    beyond = [one for one in items if any(window.words == BEYOND for window in one.windows)]
    assert beyond, "what needs the sun of the day is left to be computed"


def test_what_was_taken_is_not_asked_again(visit: Visit, technician: Any) -> None:
    before = len(items_of(progress_of(visit)))
    measure(visit, "electrode_resistance", "EE1", ("resistance", "14", "ohm", ""), actor=technician)
    assert len(items_of(progress_of(visit))) == before - 1


def test_paper_says_what_can_hurt(as_technician: Client, visit: Visit) -> None:
    answer = as_technician.get(reverse("visit-field-sheet", args=[visit.pk]))
    assert answer["Content-Type"] == "application/pdf"
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages)
    assert "Caution." in text
    assert visit.site.name in text
    for item in items_of(progress_of(visit)):
        assert item.title.split()[0] in text


def test_stranger_gets_none(client: Client, as_technician: Client, visit: Visit) -> None:
    assert client.get(reverse("visit-field-sheet", args=[visit.pk])).status_code == 302
    unknown = "00000000-0000-4000-8000-000000000000"
    assert as_technician.get(reverse("visit-field-sheet", args=[unknown])).status_code == 404
    assert reverse("visit-field-sheet", args=[visit.pk]) in as_technician.get(visit.get_absolute_url()).content.decode()


def test_what_comes_from_the_paper_says_so(as_technician: Client, visit: Visit) -> None:
    url = url_of(visit, "static_level:W1")
    as_technician.post(url, static_level(from_paper="on"))
    taken = Measurement.objects.get(visit=visit)
    assert '"origin_note":"field sheet"' in taken.event.body
    assert "from the field sheet" in as_technician.get(url).content.decode()


def test_what_was_read_on_the_spot_has_no_note(as_technician: Client, visit: Visit) -> None:
    as_technician.post(url_of(visit, "static_level:W1"), static_level())
    assert "origin_note" not in Measurement.objects.get(visit=visit).event.body
