"""The visit before anything is covered: its page, its field sheet, its end, and what a start-up says of it later."""

from typing import Any

import pytest
from django.urls import reverse

from commissioning.handover.services import NotIssuedError, draft_of
from commissioning.handover.services import _refuse as refuse
from commissioning.models import Visit
from commissioning.progress import progress_of
from commissioning.visits.field_sheet import items_of
from sizing.holds import Standing
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.sizing.systems import plate, quince_ridge

pytestmark = pytest.mark.django_db
GOOD = "as it should be"


@pytest.fixture
def site(technician: Any) -> Any:
    """Return Quince Ridge with its main P3 in the ground, and every other pipe in sight."""
    document = quince_ridge()
    for tag in ("P1", "P2", "P4", "P5", "P6"):
        if any(one["tag"] == tag for one in document["runs"]):
            plate(document, tag)["lies"] = "open"
    plate(document, "P3").update(lies="ground", cover=0.8)
    return site_with_record(technician, document=document)


@pytest.fixture
def visit(site: Any, technician: Any) -> Visit:
    return visit_on(site, technician, kind="before_cover")


def end_page(client: Any, visit: Visit) -> str:
    return str(client.get(reverse("visit-end", args=[visit.pk])).content.decode())


def take_all(visit: Visit, actor: Any) -> None:
    """Test the line and answer every observation of the visit as it should be."""
    pressures = {"start": "250", "settled": "249", "end": "246"}
    readings = [("pressure", text, "kPa", label) for label, text in pressures.items()]
    readings += [("temperature", "13.0", "degC", label) for label in ("settled", "end")]
    measure(visit, "buried_line_test", "P3", *readings, actor=actor, way="hold")
    for line in progress_of(visit).lines:
        if line.check.kind.value == "observed":
            measure(visit, line.owed.check, line.owed.subject, actor=actor, answer=GOOD)


def test_page_owes_the_lines_that_go_out_of_sight_and_the_hold_stands(as_technician, visit):
    page = as_technician.get(visit.get_absolute_url()).content.decode()
    assert "Before cover visit" in page
    assert "Hold: cover the pipes" in page
    assert "trenches and walls stay open" in page
    lines = [one.owed.id for one in progress_of(visit).lines]
    assert [one for one in lines if one.startswith("buried_line")] == ["buried_line_test:P3"]


def test_end_says_that_trenches_stay_open_until_the_hold_is_settled(as_technician, technician, visit):
    assert "leaves the trenches and walls open" in end_page(as_technician, visit)
    take_all(visit, technician)
    assert progress_of(visit).hold("cover_pipe").standing is Standing.SETTLED
    assert "What was tested may be covered." in end_page(as_technician, visit)


def test_field_sheet_has_the_test_with_room_for_every_minute(visit):
    item = next(one for one in items_of(progress_of(visit)) if one.title == "Line tested before it is covered")
    assert item.subject.startswith("P3")
    assert item.cautions
    assert len([one for one in item.blanks if one.label.startswith("Pressure")]) >= 3


def test_no_handover_sheet_comes_from_a_visit_before_cover(visit):
    with pytest.raises(NotIssuedError, match="proves what is buried and no more"):
        refuse(draft_of(visit), None)


def test_start_up_says_what_was_tested_in_the_trench(as_technician, technician, site, visit):
    start_up = visit_on(site, technician)
    at = start_up.get_absolute_url()
    assert "Before cover: no line in the ground was tested: P3." in as_technician.get(at).content.decode()
    take_all(visit, technician)
    assert "Before cover: the buried line was tested." in as_technician.get(at).content.decode()
    assert "Before cover:" not in as_technician.get(visit.get_absolute_url()).content.decode()
