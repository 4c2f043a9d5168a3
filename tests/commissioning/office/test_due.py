"""Service falls due when the sheet advises it, or a year after the last service visit; calibration by the card."""

import json
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from commissioning.models import Instrument, Sheet, Site
from commissioning.office.due import due_until
from commissioning.service.due import service_due
from tests.commissioning.worlds import site_with_record, visit_on

pytestmark = pytest.mark.django_db
ISSUED = datetime(2027, 4, 14, 15, tzinfo=UTC)
TODAY = date(2028, 3, 1)


def certified(actor: Any, name: str, number: int, advised: str) -> Site:
    site = site_with_record(actor, name=name)
    body = json.dumps({"sheet": {"next_inspection": advised}})
    Sheet.objects.create(
        site=site, visit=visit_on(site, actor, at=ISSUED), year=2027, sequence=number, body=body,
        hash=f"{number}{advised}"[:64].ljust(64, "0"), token_hash=str(number) * 64, issued_by=actor, issued_at=ISSUED,
    )  # fmt: skip
    return site


def said(user: Any) -> list[tuple[date, str]]:
    return [(one.on, one.what) for one in due_until(user, TODAY)]


def test_the_earliest_stands_first_and_what_is_far_off_is_not_there(technician, office):
    certified(technician, "Tarn Side", 1, "14 April 2028")
    certified(technician, "Long Moss", 2, "14 April 2029")
    certified(technician, "Cold Acre", 3, "")
    Instrument.objects.create(
        tag="DP1", name="dip meter", quantity="depth", unit="m", calibration_due=date(2028, 2, 28)
    )
    assert said(office) == [
        (date(2028, 2, 28), "Calibration, DP1 dip meter"),
        (date(2028, 4, 14), "Service, Tarn Side"),
    ]


@pytest.mark.parametrize(("ago", "is_due"), [(320, True), (200, False)])
def test_a_service_visit_since_puts_it_off_by_a_year(technician, office, ago, is_due):
    site = certified(technician, "Tarn Side", 4, "1 April 2028")
    visit = visit_on(site, technician, kind="service")
    visit.ended_at = datetime(2028, 3, 1, 12, tzinfo=UTC) - timedelta(days=ago)
    visit.started_at = visit.ended_at
    visit.save()
    on = (visit.ended_at + timedelta(days=365)).date()
    assert said(office) == ([(on, "Service, Tarn Side")] if is_due else [])


@pytest.mark.parametrize(("advised", "why"), [("1 April 2028", "advised by sheet"), ("", "a year after")])
def test_office_and_technician_are_told_the_same_day(technician, office, advised, why):
    site = certified(technician, "Tarn Side", 9, advised)
    visit = visit_on(site, technician, kind="service", at=ISSUED - timedelta(days=30))
    visit.ended_at = ISSUED - timedelta(days=20)  # before the sheet, which counts as the later word if it has one
    visit.save()
    due = service_due(site)
    assert due.why.startswith(why)
    assert said(office) == [(due.on, "Service, Tarn Side")]


def test_a_site_without_a_sheet_is_due_after_its_last_service(technician, office):
    site = site_with_record(technician, name="Bare Rigg")
    assert service_due(site) is None
    visit = visit_on(site, technician, kind="service", at=ISSUED)
    visit.ended_at = ISSUED
    visit.save()
    assert said(office) == [(date(2028, 4, 13), "Service, Bare Rigg")]


def test_queries_do_not_grow(technician, office, django_assert_max_num_queries, django_assert_num_queries):
    certified(technician, "A", 5, "2 April 2028")
    with django_assert_max_num_queries(5):
        due_until(office, TODAY)
    for number in (6, 7, 8):
        certified(technician, f"site {number}", number, f"{number} April 2028")
    with django_assert_max_num_queries(5):
        assert len(due_until(office, TODAY)) == 4
    with django_assert_num_queries(4):  # the bodies are read once
        due_until(office, TODAY)


def test_page_says_what_is_overdue(as_office):
    Instrument.objects.create(
        tag="DP1",
        name="dip meter",
        quantity="depth",
        unit="m",
        calibration_due=timezone.now().date() - timedelta(days=1),
    )
    page = as_office.get(reverse("waiting")).content.decode()
    assert "overdue</strong>" in page
    assert "Calibration, DP1 dip meter" in page
