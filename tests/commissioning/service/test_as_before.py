"""As before, in one tap: an answer of its own, with a note of where it comes from; never on what could hurt."""

import re
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.models import Measurement, Site, Visit
from commissioning.progress import progress_of
from commissioning.service.as_before import as_before
from tests.commissioning.service.test_comparison import replace
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
FIRST = datetime.fromisoformat("2025-04-14T12:00:00-06:00")
GOOD = "as it should be"
PLAIN, HURTING, AT_THE_END = "handle_play:HP1", "proved_dead:C1", "as_left:site"


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


@pytest.fixture
def later(site: Site, technician: Any) -> Visit:
    first = visit_on(site, technician, at=FIRST)
    for owed in (PLAIN, HURTING, AT_THE_END):
        check, subject = owed.split(":")
        measure(first, check, subject, actor=technician, at=FIRST, answer=GOOD)
    return visit_on(site, technician, "service", at=FIRST + timedelta(days=365))


def url(visit: Visit, owed: str) -> str:
    return reverse("measurement", args=[visit.pk, owed])


def offered(visit: Visit, owed: str) -> Any:
    progress = progress_of(Visit.objects.get(pk=visit.pk))
    line = progress.line(owed)
    assert line is not None
    return as_before(progress, line)


def test_one_tap_keeps_an_answer_of_its_own_with_its_origin(as_technician: Client, later: Visit) -> None:
    text = as_technician.get(url(later, PLAIN)).content.decode()
    tap = text[: text.index("Only after looking")]
    sent = dict(re.findall(r'name="(id|answer|note)" value="([^"]*)"', tap))
    assert sent["answer"] == GOOD
    for _ in range(2):  # a double tap
        assert as_technician.post(url(later, PLAIN), sent).status_code == 302
    kept = Measurement.objects.get(visit=later)
    assert (kept.answer, str(kept.taken_by)) == (GOOD, "T. Marsh")
    assert kept.note == "Looked at again: as before (14 April 2025, T. Marsh)."
    assert kept.taken_at > FIRST + timedelta(days=1)


@pytest.mark.parametrize("owed", [HURTING, AT_THE_END])
def test_what_could_hurt_is_answered_by_hand(later: Visit, owed: str) -> None:
    assert offered(later, owed) is None


def test_another_part_is_looked_at_afresh(site: Site, later: Visit, technician: Any) -> None:
    assert offered(later, PLAIN) is not None
    replace(site, "HP1", technician)
    assert offered(later, PLAIN) is None
