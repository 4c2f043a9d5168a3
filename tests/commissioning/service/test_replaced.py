"""What was measured on a part that was then replaced on the same visit is owed again, and says why."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from commissioning.models import Visit
from commissioning.progress import Status, progress_of
from tests.commissioning.service.test_comparison import replace, strokes
from tests.commissioning.worlds import site_with_record, visit_on

pytestmark = pytest.mark.django_db
STROKES = "volume_per_stroke:HP1"


def line_of(visit: Visit) -> Any:
    line = progress_of(Visit.objects.get(pk=visit.pk)).line(STROKES)
    assert line is not None
    return line


def test_line_says_that_the_part_was_replaced_and_keeps_what_was_read(as_technician: Client, technician: Any) -> None:
    now = timezone.now()
    visit = visit_on(site_with_record(technician), technician, "service", at=now - timedelta(hours=2))
    old = strokes(visit, technician, "12.9", now - timedelta(hours=1))
    replace(visit.site, "HP1", technician)
    line = line_of(visit)
    assert (line.status, line.is_stale, line.stale_words) == (Status.OWED, True, "owed again: HP1 was replaced")
    assert [str(one.pk) for one in line.earlier] == [str(old.pk)]
    assert "owed again: HP1 was replaced" in as_technician.get(visit.get_absolute_url()).content.decode()
    new = strokes(visit, technician, "15.2", now)
    line = line_of(visit)
    assert (line.status, line.is_stale, str(line.measurement.pk)) == (Status.TAKEN, False, str(new.pk))


def test_once_the_visit_has_ended_what_was_measured_stays(technician: Any) -> None:
    now = timezone.now()
    visit = visit_on(site_with_record(technician), technician, "service", at=now - timedelta(hours=2))
    old = strokes(visit, technician, "12.9", now - timedelta(hours=1))
    Visit.objects.filter(pk=visit.pk).update(ended_at=now)
    replace(visit.site, "HP1", technician)
    assert str(line_of(visit).measurement.pk) == str(old.pk)
