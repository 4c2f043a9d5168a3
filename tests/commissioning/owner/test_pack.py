"""The owner's pack: made from the record alone, as page and as PDF; what it says is what the record holds."""

import io
import re
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.models import Sheet, Site
from commissioning.owner.pack import pack_context, pack_pdf
from commissioning.planned import months_after
from tests.commissioning.handover.started_up import start_up
from tests.commissioning.worlds import site_with_record

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


def test_page_and_file_name_the_systems_own_switches_and_valves(site: Site, as_technician: Client) -> None:
    page = as_technician.get(reverse("owner-pack", args=[site.pk])).text
    for words in (
        "Switch C1 (pump controller) off at its own switch.",
        "Switch S1 (isolator) off",
        "Shut V2",
        "Storage tank T1",
    ):
        assert words in page
    assert "HP1" in page


def test_pdf_is_printed_on_the_paper_of_the_site(site: Site) -> None:
    from pypdf import PdfReader

    words = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pack_pdf(site))).pages)
    assert "For the wall" in words
    assert re.search(r"Who\s+to\s+call", words)
    assert "Leave for the winter" in words


def test_nobody_is_told_that_the_water_is_safe_without_a_sheet(site: Site) -> None:
    context = pack_context(site)
    assert not context["is_safe"]
    assert "Do not drink" in context["water_words"]


def test_numbers_are_those_that_the_sheet_froze(
    technician: Any,
    issue: Callable[..., Sheet],
    small_page: None,
) -> None:
    visit = start_up(technician)
    issue(visit)
    context = pack_context(visit.site)
    level = next(one for one in context["normals"] if one.title.startswith("Static"))
    assert level.value.replace("\u00a0", " ").startswith("24.1")  # read twice: 24.10 m and 24.11 m
    assert level.subject == "W1 school well"
    assert all(one.value for one in context["normals"])


def test_valve_table_says_what_each_valve_shuts_off(site: Site) -> None:
    lines = {one.number: one for one in pack_context(site)["valves"]}
    assert "O1" in lines["V2"].does
    assert lines["V2"].position == "open"


def test_record_that_is_no_system_says_so(technician: Any) -> None:
    site = site_with_record(technician, document={"site": {}, "components": [], "runs": []}, name="Bare")
    assert "stop" in pack_context(site)


@pytest.mark.parametrize(
    ("day", "months", "due"),
    [
        (date(2027, 1, 31), 1, date(2027, 2, 28)),
        (date(2027, 12, 15), 1, date(2028, 1, 15)),
        (date(2027, 8, 31), 6, date(2028, 2, 29)),
    ],
)
def test_due_day_is_the_same_day_some_months_on(day: date, months: int, due: date) -> None:
    assert months_after(day, months) == due


def test_stranger_sees_no_pack(site: Site, client: Client) -> None:
    for name in ("owner-pack", "owner-pack-file"):
        assert client.get(reverse(name, args=[site.pk])).status_code == 302
