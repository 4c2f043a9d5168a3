"""The desk in a real browser: a sheet issued, issued again, withdrawn, and its files examined by a stranger.

The sheet is that of a tank and nothing else, on one small page under the real seal: how a whole one looks, and what
its results are, is tested elsewhere.
"""

import re
from pathlib import Path
from typing import Any

import pytest

from commissioning import files, pdf
from commissioning.models import Event, Sheet, SheetState, Visit
from tests.commissioning.handover.conftest import raise_defect, small_page, tank_visit
from tests.e2e.conftest import DESK, PHONE

__all__ = ["small_page", "tank_visit"]
pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("small_page"),
    pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available())),
]
SLOW = 60_000  # ms; a machine with other work to do
ON_SHEET = re.compile(r"/sheets/[0-9a-f-]{36}/$")


class Desk:
    """An office person at the desk."""

    def __init__(self, page: Any, visit: Visit) -> None:
        self.page, self.visit = page, visit
        page.set_default_timeout(SLOW)

    def issue(self, reason: str = "") -> Sheet:
        """Issue the sheet as it is drafted, and return it."""
        self.page.goto(f"/sheets/draft/{self.visit.pk}/")
        who = self.page.get_by_label("Who, where nothing is said below")
        if who.count():
            who.fill("T. Marsh")
            self.page.get_by_label("By, where nothing is said below").fill("2027-04-23")
        if reason:
            self.page.get_by_label("Why it is issued again").fill(reason)
        self.page.get_by_role("button", name="Issue the sheet").click()
        self.page.wait_for_url(ON_SHEET)
        return Sheet.objects.get(pk=self.page.url.rstrip("/").rsplit("/", 1)[-1])

    def withdraw(self, reason: str) -> None:
        """Withdraw the sheet that is shown."""
        self.page.get_by_role("link", name="Withdraw").click()
        self.page.get_by_label("Why it is withdrawn").fill(reason)
        self.page.get_by_role("button", name="Withdraw the sheet").click()
        self.page.wait_for_url(ON_SHEET)

    def state(self) -> str:
        return str(self.page.locator(".standing-now").inner_text())


class Stranger:
    """Somebody with a file and a phone, who knows nothing but the address that is printed on the paper."""

    def __init__(self, page: Any, folder: Path) -> None:
        self.page, self.folder = page, folder
        page.set_default_timeout(SLOW)

    def examined(self, data: bytes) -> str:
        """Send a file, and return what the page says of it."""
        file = self.folder / "sheet.pdf"
        file.write_bytes(data)
        self.page.goto("/v/")
        with self.page.expect_navigation():  # the file's hash is asked after at once, without sending it
            self.page.get_by_label("PDF file").set_input_files(str(file))
        self.page.get_by_label("PDF file").set_input_files(str(file))
        self.page.get_by_text("Chosen. Send it with the button").wait_for()
        with self.page.expect_response(lambda one: one.request.method == "POST"):
            self.page.get_by_role("button", name="Examine the file").click()
        self.page.wait_for_url(re.compile(r"/v/$"))
        return " ".join(self.page.locator("main > .hold, main > .hold ~ p").all_inner_texts())


def test_sheet_is_issued_issued_again_and_withdrawn_and_each_paper_is_told_apart(
    open_page: Any, office: Any, tank_visit: Visit, tmp_path: Path
) -> None:
    desk = Desk(open_page("/sheets/", user=office, **DESK), tank_visit)
    stranger = Stranger(open_page("/v/", **PHONE), tmp_path)
    first = desk.issue()
    assert (first.number[5:], first.revision, desk.state()) == ("001", 1, "Issued, current")
    paper = files.read(first.file_hash)
    said = stranger.examined(paper)
    assert said.startswith(f"Authentic: sheet {first.number}, revision 1")
    assert "Genuine and current." in said
    said = stranger.examined(paper.replace(b"/Producer", b"/Publicer", 1) if b"/Producer" in paper else paper + b"\n")
    assert said.startswith(f"Changed: sheet {first.number}, revision 1")
    assert "do not rely on it" in said

    second = desk.issue("The tank's name was wrong.")
    assert (second.number, second.revision) == (first.number, 2)
    desk.page.goto(f"/sheets/{first.pk}/")
    assert desk.state() == "Superseded: The tank's name was wrong."
    assert desk.page.get_by_role("link", name="Withdraw").count() == 0  # only what is current can be
    said = stranger.examined(paper)
    assert said.startswith(f"Superseded: sheet {first.number}, revision 1")
    assert "superseded by revision 2" in said
    assert stranger.examined(files.read(second.file_hash)).startswith("Authentic")

    desk.page.goto(f"/sheets/{second.pk}/")
    desk.withdraw("It was another system.")
    assert desk.state() == "Withdrawn: It was another system."
    said = stranger.examined(files.read(second.file_hash))
    assert said.startswith(f"Withdrawn: sheet {second.number}, revision 2")
    assert "no longer valid" in said
    assert "another system" not in said  # the reason stays in the office
    kinds = [one for one in Event.objects.order_by("received_at").values_list("kind", flat=True) if "sheet" in one]
    assert kinds == ["sheet.issued", "sheet.issued", "sheet.withdrawn"]


@pytest.mark.long
def test_nothing_is_issued_again_or_withdrawn_without_a_reason(open_page: Any, office: Any, tank_visit: Visit) -> None:
    desk = Desk(open_page("/sheets/", user=office, **DESK), tank_visit)
    sheet = desk.issue()
    desk.page.goto(f"/sheets/draft/{tank_visit.pk}/")
    desk.page.get_by_role("button", name="Issue the sheet").click()
    assert desk.page.evaluate("document.activeElement.name") == "reason"  # the browser itself leads there
    for form in desk.page.locator("form").all():
        form.evaluate("(one) => { one.noValidate = true; }")  # one that does not check by itself
    desk.page.get_by_role("button", name="Issue the sheet").click()
    desk.page.get_by_text("Not issued: something is missing or wrong").wait_for()
    assert desk.page.locator("#id_reason_error").inner_text() == "Say why."
    desk.page.goto(f"/sheets/{sheet.pk}/withdraw/")
    desk.page.locator("main form.narrow").evaluate("(one) => { one.noValidate = true; }")
    desk.page.get_by_role("button", name="Withdraw the sheet").click()
    desk.page.get_by_text("Say why.").wait_for()
    assert [one.state for one in Sheet.objects.all()] == [SheetState.ISSUED]


@pytest.mark.long
def test_draft_that_was_overtaken_is_shown_anew_and_keeps_what_was_typed(
    open_page: Any, office: Any, technician: Any, tank_visit: Visit
) -> None:
    desk = Desk(open_page(f"/sheets/draft/{tank_visit.pk}/", user=office, **DESK), tank_visit)
    desk.page.get_by_label("Who, where nothing is said below").fill("P. Reed")
    desk.page.get_by_label("By, where nothing is said below").fill("2027-04-23")
    raise_defect(tank_visit, technician)  # somebody on site, meanwhile
    desk.page.get_by_role("button", name="Issue the sheet").click()
    desk.page.get_by_text("Something was added to this site since the draft was shown").wait_for()
    assert desk.page.get_by_label("Who, where nothing is said below").input_value() == "P. Reed"
    assert "Drain valve drips." in desk.page.inner_text("main")
    assert not Sheet.objects.exists()


def test_question_goes_out_from_the_desk_and_its_answer_comes_back(
    open_page: Any, office: Any, technician: Any, tank_visit: Visit, accessibility_faults: Any
) -> None:
    desk = Desk(open_page(f"/acceptance/{tank_visit.pk}/", user=office, **DESK), tank_visit)
    desk.page.get_by_role("link", name=re.compile("^Ask about")).first.click()
    desk.page.get_by_label("Question").fill("Which lid is this?")
    assert accessibility_faults(desk.page) == []
    desk.page.get_by_role("button", name="Ask", exact=True).click()
    desk.page.get_by_role("heading", name="Asked, not answered").wait_for()
    phone = open_page(f"/visit/{tank_visit.pk}/", user=technician, **PHONE)
    assert accessibility_faults(phone) == []
    phone.locator("section[aria-labelledby=office-asks] a.line").click()
    assert accessibility_faults(phone) == []
    assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")
    phone.get_by_label("Answer").fill("The one of the access hole.")
    phone.get_by_role("button", name="Answer", exact=True).click()
    phone.get_by_role("heading", name="Asked and answered").wait_for()
    desk.page.reload()
    assert "The one of the access hole." in desk.page.inner_text("main")
    assert desk.page.get_by_role("heading", name="Asked, not answered").count() == 0
