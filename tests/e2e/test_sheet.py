"""A sheet is issued at the desk, fetched as a file, and vouched for by its public page, in a real browser."""

import json
import re
from typing import Any

import pytest

from commissioning import files, pdf
from commissioning.handover.services import draft_of, issue_sheet
from commissioning.models import Sheet
from tests.commissioning.handover.conftest import entry_for
from tests.commissioning.handover.started_up import begin_up
from tests.e2e.conftest import DESK, PHONE, until

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available())),
]


@pytest.mark.long
def test_office_issues_a_sheet_and_the_public_page_vouches_for_the_file(
    open_page: Any, office: Any, technician: Any, tmp_path: Any
) -> None:
    visit = begin_up(technician)
    page = open_page(f"/acceptance/{visit.pk}/", user=office, **DESK)
    page.get_by_role("link", name="Draft the sheet").click()
    page.get_by_label("Who, where nothing is said below").fill("T. Marsh")
    page.get_by_label("By, where nothing is said below").fill("2027-04-23")
    pad = page.locator("canvas.sign")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    page.mouse.move(box["x"] + 30, box["y"] + 80)
    page.mouse.down()
    page.mouse.move(box["x"] + 90, box["y"] + 20, steps=5)
    page.mouse.move(box["x"] + 160, box["y"] + 90, steps=5)
    page.mouse.up()
    page.get_by_role("button", name="Issue the sheet").click(timeout=300_000)
    page.wait_for_url(re.compile(r"/sheets/[0-9a-f-]{36}/$"), timeout=300_000)
    assert page.locator("svg.signature").count() == 1

    sheet = Sheet.objects.get()
    file = tmp_path / "sheet.pdf"
    file.write_bytes(files.read(sheet.file_hash))
    path = "/v/" + page.get_by_role("link", name="/v/").inner_text().split("/v/")[1]
    public = open_page(path, **PHONE)
    assert public.get_by_text("Genuine and current").is_visible()
    answer = public.locator("[data-verify-answer]")
    public.get_by_label("PDF file").set_input_files(str(file))
    until(public, "document.querySelector('[data-verify-answer]').textContent.includes('unchanged')")
    other = tmp_path / "changed.pdf"
    other.write_bytes(file.read_bytes() + b"\n")
    public.get_by_label("PDF file").set_input_files(str(other))
    until(public, "document.querySelector('[data-verify-answer]').textContent.includes('another file')")
    assert "SHA-256" in answer.inner_text()
    public.get_by_role("button", name="Examine the file").click()  # sent, and its seal examined
    assert public.get_by_text("A copy of sheet").is_visible()
    public.get_by_label("PDF file").set_input_files(str(file))  # compared by its hash alone
    public.wait_for_url(re.compile(r"sha256="))
    assert public.get_by_text("Authentic: sheet").is_visible()


@pytest.mark.long
def test_pages_of_acceptance_and_sheet_can_be_read_by_all(
    open_page: Any, office: Any, technician: Any, accessibility_faults: Any, monkeypatch: Any, is_long: bool
) -> None:
    monkeypatch.setattr("commissioning.pdf.pdf_available", lambda: "no PDF in this test")
    visit = begin_up(technician)
    draft = draft_of(visit)
    sheet = issue_sheet(visit=visit, entry=entry_for(draft), actor=office, address="http://localhost/v/{}/")
    paths = (f"/acceptance/{visit.pk}/", f"/sheets/draft/{visit.pk}/", "/sheets/", f"/sheets/{sheet.pk}/",
             f"/sheets/{sheet.pk}/withdraw/", f"/v/{json.loads(sheet.body)['sheet']['token']}/", "/v/")  # fmt: skip
    for options in (PHONE, DESK) if is_long else (PHONE,):
        page = open_page(paths[0], user=office, **options)
        for path in paths:
            page.goto(path)
            assert accessibility_faults(page) == [], path
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path
