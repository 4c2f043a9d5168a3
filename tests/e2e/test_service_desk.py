"""A whole service visit in a real browser: asked, found, measured, a part replaced, measured anew, recorded, due again.

The readings are invented. What is asserted is what the visit is for: what moved is seen, what was replaced begins a new
baseline and owes its checks again, and the office reads work and next day from one paper.
"""

import io
import re
from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from commissioning import pdf
from commissioning.models import Site, Visit
from commissioning.office.due import due_until
from commissioning.service.due import service_due
from tests.commissioning.service.test_comparison import strokes
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.e2e import job_hands as hands
from tests.e2e.conftest import DESK, PHONE
from tests.e2e.job_readings import GOOD, READINGS, repeated

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.long]
STROKES, FIRST_WATER = "volume_per_stroke:HP1", "strokes_to_water:HP1"
WORN = repeated("volume", "12.8", "12.9", "12.8") | repeated("strokes", "40", "40", "40")
NEW = repeated("volume", "15.2", "15.3", "15.2") | repeated("strokes", "40", "40", "40")


@pytest.fixture
def site(technician: Any) -> Site:
    """A site that was started up some years ago, and not visited since."""
    site, then = site_with_record(technician), timezone.now() - timedelta(days=900)
    first = visit_on(site, technician, at=then)
    level = (("level", "24.10", "m", "1"), ("level", "24.11", "m", "2"))
    measure(first, "static_level", "W1", *level, actor=technician, at=then)
    measure(first, "strokes_to_water", "HP1", ("strokes", "4", "1"), actor=technician, at=then)
    strokes(first, technician, "15.0", then)
    Visit.objects.filter(pk=first.pk).update(ended_at=then + timedelta(hours=8))
    return site


@pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available()))
def test_service_visit_from_the_owners_words_to_the_next_day(
    open_page: Any, technician: Any, office: Any, site: Site
) -> None:
    page = open_page(reverse("record-detail", args=[site.pk]), user=technician, **PHONE)
    page.set_default_timeout(hands.PATIENCE)
    visit = begun(page)
    arrive(page)
    assert page.locator("nav[aria-label='Next step'] .main").inner_text().startswith("1 As found")
    hands.go_on(page)
    hands.answer(page, GOOD)
    take(page, visit, "static_level:W1", {"r-level-0": "24.30", "r-level-1": "24.31"})
    take(page, visit, FIRST_WATER, READINGS[FIRST_WATER])
    take(page, visit, STROKES, WORN)
    hands.follow(page, "Beside the baseline")
    assert "has moved" in page.inner_text("main")
    replace_the_pump(page, site)
    owed_again_and_new(page, visit)
    sign_and_end(page, visit)
    read_by_the_office(open_page(visit, user=office, **DESK), visit, office, site)


def begun(page: Any) -> str:
    hands.follow(page, "Start a visit")
    page.get_by_label("service", exact=True).check()
    hands.press(page, "Begin")
    page.wait_for_url("**/visit/*/")
    return str(page.url)


def arrive(page: Any) -> None:
    """Ask the owner, see what is due, and go to the order: what the words ask for stands first."""
    hands.follow(page, "Before you touch anything")
    text = page.inner_text("main")
    assert "Seals and strokes against the first ones." in text
    assert "last shown done" in text
    page.get_by_text("The hand pump gives little").click()
    page.get_by_label("In the owner’s words").fill("Since the dry season.")
    hands.press(page, "Keep what the owner says")
    page.get_by_text("Since the dry season.", exact=False).first.wait_for()
    hands.go_on(page)
    assert "parts foot valve leaking from" in page.locator("#first").inner_text()


def take(page: Any, visit: str, owed: str, readings: dict[str, str]) -> None:
    page.goto(f"{visit}{owed}/")
    hands.type_readings(page, readings)
    hands.keep(page)


def replace_the_pump(page: Any, site: Site) -> None:
    """Put another hand pump of the same model in, from the page of the record."""
    old = site.components.standing().get(tag="HP1")
    page.goto(reverse("component-replace", args=[site.pk, old.pk]))
    page.get_by_label("Serial number").fill("1207")
    page.get_by_label("Why").fill("seals worn through")
    page.get_by_label("the same model").check()
    hands.press(page, "Replace")
    page.wait_for_url("**/record")
    assert site.components.standing().get(tag="HP1").pk != old.pk


def owed_again_and_new(page: Any, visit: str) -> None:
    page.goto(visit)
    assert "owed again" in page.inner_text("main")
    take(page, visit, FIRST_WATER, READINGS[FIRST_WATER])
    take(page, visit, STROKES, NEW)
    hands.follow(page, "Beside the baseline")
    text = page.inner_text("main")
    assert "HP1 was replaced" in text
    assert "not comparable" in text.lower()


def sign_and_end(page: Any, visit: str) -> None:
    page.goto(f"{visit}sign/")
    page.get_by_label("I took these measurements").check()
    page.get_by_label("Name", exact=True).fill("T. Marsh")
    page.get_by_label("Role").fill("technician")
    hands.press(page, "Sign")
    page.goto(f"{visit}end/")
    hands.press(page, "End the visit")
    page.get_by_text(re.compile("^Ended")).first.wait_for()


def read_by_the_office(page: Any, visit: str, office: Any, site: Site) -> None:
    """Read the record as PDF, and find the site due again a year on, and not before it is near."""
    page.get_by_role("link", name="Beside the baseline").first.click()
    href = page.get_by_role("link", name="Service record, PDF").get_attribute("href")
    answer = page.request.get(href)
    assert answer.headers["content-type"] == "application/pdf"
    text = text_of(answer.body())
    due = service_due(site)
    assert due is not None
    for words in ("The hand pump gives little", "Since the dry season", "seals worn through", "HP1", "As found",
                  f"Next service due by {due.on:%-d %B %Y}"):  # fmt: skip
        assert words in text, words
    named = f"Service, {site.name}"
    assert named in [one.what for one in due_until(office, due.on - timedelta(days=30))]
    assert named not in [one.what for one in due_until(office, timezone.now().date())]


def text_of(file: bytes) -> str:
    from pypdf import PdfReader

    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(file)).pages).split())
