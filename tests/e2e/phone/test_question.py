"""A question of the office on a phone without signal: read at the check, answered there, sent when there is signal."""

from typing import Any

import pytest

from commissioning.acceptance.services import ask_question
from commissioning.models import Question, Reply
from commissioning.progress import progress_of
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.e2e.conftest import PHONE, until
from tests.e2e.phone.small import small_record

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.long]
TAKEN = "document.getElementById('take-said').textContent.startsWith('It is on this phone now')"
DRAWN = "document.body.dataset.takenAlong === 'drawn'"
OWED = "static_level:W1"


@pytest.fixture
def visit(technician: Any, office: Any, transactional_db: None) -> Any:
    visit = visit_on(site_with_record(technician, document=small_record()), technician)
    measure(visit, "static_level", "W1", ("level", "24.10", "m"), ("level", "24.11", "m", "2"), actor=technician)
    line = progress_of(visit).line(OWED)
    assert line is not None
    ask_question(visit=visit, line=line, words="Which dip meter?", actor=office)
    return visit


def test_question_is_answered_without_signal_and_the_desk_still_reaches_its_server(
    open_page: Any, office: Any, visit: Any
) -> None:
    page = open_page(f"/phone/take/{visit.pk}/", user=office, **PHONE)
    page.locator("[data-take]").click()
    until(page, TAKEN, 60)
    until(page, "navigator.serviceWorker.controller !== null", 30)
    page.context.set_offline(True)
    page.goto(f"/visit/{visit.pk}/")
    until(page, DRAWN)
    page.get_by_role("link", name="Static level").first.click()  # under "The office asks", before all else
    until(page, DRAWN)
    asked = page.locator("#question")
    assert "Which dip meter?" in asked.inner_text()
    asked.get_by_label("Answer").fill("The yellow one.")
    asked.get_by_role("button", name="Answer", exact=True).click()
    page.locator("#question", has_text="kept on this phone").wait_for()
    assert "The yellow one." in page.locator("#question").inner_text()
    page.goto(f"/visit/{visit.pk}/")
    until(page, DRAWN)
    assert page.get_by_text("The office asks").count() == 0
    assert not Reply.objects.exists()
    page.context.set_offline(False)
    until(page, "document.getElementById('phone-state').innerText.includes('Everything sent')", 30)
    assert [one.words for one in Reply.objects.all()] == ["The yellow one."]
    # a desk's page about a visit that is on this phone: its form goes to the server, not into the phone's book
    page.goto(f"/acceptance/{visit.pk}/question/{OWED}/")
    page.get_by_label("Question").fill("And its number?")
    page.get_by_role("button", name="Ask").click()
    page.locator("p.kept", has_text="Asked: ").wait_for()
    assert Question.objects.count() == 2
