"""A set point changed after it was measured: typed wrongly, or moved on site? The form asks; the two are not alike."""

from datetime import UTC, datetime
from typing import Any

import pytest
from django.urls import reverse

from commissioning.models import Component, Event
from commissioning.progress import progress_of
from sizing.checks.catalogue import CHECKS
from tests.commissioning.asbuilt.conftest import fields_of
from tests.commissioning.worlds import measure, visit_on

pytestmark = pytest.mark.django_db
MORNING = datetime(2027, 4, 14, 15, tzinfo=UTC)


@pytest.fixture
def visit(recorded: Any, technician: Any) -> Any:
    made = visit_on(recorded, technician, at=MORNING)
    # floor 16.0 m, overflow 18.20 m: water 2.05 m deep stands at 18.05 m, where the float is recorded
    measure(made, "fill_stop_level", "LS1", ("depth", "2.05", "m"), actor=technician, at=MORNING, way="dip")
    return made


def address(visit: Any, tag: str = "LS1") -> str:
    return reverse("component-edit", args=[visit.site_id, visit.site.components.standing().get(tag=tag).pk])


def send(client: Any, visit: Any, level: str, **more: str) -> Any:
    at = address(visit)
    return client.post(at, {**fields_of(client.get(at)), "plate-set_elevation": level, **more})


def line(visit: Any) -> Any:
    return progress_of(visit).line("fill_stop_level:LS1")


def test_form_asks_which_it_was_and_keeps_nothing_yet(as_technician, visit):
    events = Event.objects.count()
    asked = send(as_technician, visit, "17.55").content.decode()
    assert "Typed wrongly, or changed on site?" in asked
    assert f"there was measured: {CHECKS['fill_stop_level'].title}, LS1." in asked
    assert 'value="17.55"' in asked
    assert Event.objects.count() == events


def test_what_was_typed_wrongly_is_judged_again_and_not_owed_again(as_technician, visit):
    assert line(visit).verdict == "within"
    assert send(as_technician, visit, "17.55", how="corrected").status_code == 302
    after = line(visit)
    assert not after.is_stale
    assert after.verdict == "outside"  # the tank filled 0.5 m above where the float is now known to hang
    assert Component.objects.get(site=visit.site, tag="LS1").nameplate["set_elevation"]["typed"] == "17.55"


def test_what_was_changed_on_site_is_owed_again(as_technician, visit):
    send(as_technician, visit, "17.55", how="changed")
    assert line(visit).is_stale
    assert line(visit).stale == "level switch LS1: set level above datum changed"


def test_a_move_after_a_correction_is_a_move(as_technician, technician, visit):
    send(as_technician, visit, "18.06", how="corrected")
    assert not line(visit).is_stale
    send(as_technician, visit, "17.55", how="changed")
    assert line(visit).is_stale


def test_a_correction_after_a_move_does_not_unmove_it(as_technician, visit):
    send(as_technician, visit, "17.55", how="changed")
    send(as_technician, visit, "17.65", how="corrected")
    assert line(visit).is_stale


def test_nothing_is_asked_where_nothing_measured_hangs_on_it(as_technician, visit):
    at = address(visit, "T1")
    kept = as_technician.post(at, {**fields_of(as_technician.get(at)), "plate-overflow_elevation": "18.25"})
    assert kept.status_code == 302


def test_history_says_which_it_was(as_technician, visit):
    send(as_technician, visit, "18.06", how="corrected")
    assert "Put right what was typed wrongly" in as_technician.get(address(visit)).content.decode()
