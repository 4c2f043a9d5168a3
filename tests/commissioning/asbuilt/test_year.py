"""The page of a year: the answer first, what is missing with the way to it, nothing for strangers."""

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissioning.models import Site
from tests.commissioning.worlds import site_with_record
from tests.sizing.design.systems import changed
from tests.sizing.systems import quince_ridge

pytestmark = pytest.mark.django_db

HOURS = (3.0, 3.8, 4.6, 5.2, 5.6, 6.0, 6.3, 6.1, 5.5, 4.4, 3.3, 2.7)
SUN = [[month, hours * 3600] for month, hours in enumerate(HOURS, 1)]


@pytest.fixture
def sunny(technician: Any) -> Site:
    return site_with_record(technician, document=changed(quince_ridge(), site__daily_demand=4.0, site__sun_hours=SUN))


def page_of(client: Client, site: Site) -> Any:
    return client.get(reverse("record-year", args=[site.pk]))


def test_the_answer_stands_first(as_technician: Client, sunny: Site) -> None:
    page = page_of(as_technician, sunny)
    year = page.context["year"]
    assert year.sentence.startswith("On ")
    assert "of 365 days of a mean year the 4000\u00a0L wanted are there; December falls short most" in year.sentence
    text = page.content.decode()
    assert text.index(year.sentence) < text.index("<svg") < text.index("<table")
    assert [month.name for month in year.months if month.is_design] == ["December"]


def test_gallons_where_the_site_counts_in_them(as_technician: Client, technician: Any) -> None:
    document = changed(quince_ridge(), site__daily_demand=0.4, site__sun_hours=SUN)
    page = page_of(as_technician, site_with_record(technician, "us", document=document))
    # 0.4 m³ = 105.7 US gal; every day is served
    assert "105.7\u00a0gal (US) wanted are there" in page.context["year"].sentence
    assert page.context["year"].is_enough


def test_what_is_missing_leads_to_its_form(as_technician: Client, recorded: Site) -> None:
    page = page_of(as_technician, recorded)
    assert "year" not in page.context
    assert f'href="{reverse("site-edit", args=[recorded.pk])}"' in page.content.decode()


def test_unknown_site_is_not_found_and_queries_do_not_grow(as_technician: Client, sunny: Site) -> None:
    assert as_technician.get(reverse("record-year", args=["00000000-0000-4000-8000-000000000000"])).status_code == 404
    page_of(as_technician, sunny)
    with CaptureQueriesContext(
        connection,
    ) as queries:
        page_of(as_technician, sunny)
    assert len(queries) <= 9
