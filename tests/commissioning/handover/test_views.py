"""The sheets at the desk: draft, issue, list, page, withdrawal."""

import re
from html import unescape
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.handover import services
from commissioning.models import Event, Sheet
from tests.commissioning.handover.conftest import posted, raise_defect
from tests.commissioning.handover.started_up import begin_up
from tests.commissioning.worlds import site_with_record

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("without_pdf")]


def draft_of(visit):
    return reverse("sheet-draft", args=[visit.pk])


def test_draft_shows_what_would_be_frozen(as_office, visit):
    draft = services.draft_of(visit)
    text = unescape(as_office.get(draft_of(visit)).text)
    assert draft.shown_hash in text
    for item in draft.items:
        assert item.title in text
    for words in ("24.105\u00a0m", "not issued: no number", "Depth 60\u00a0m", "Not for drinking until released."):
        assert words in text


def test_office_issues_what_it_was_shown(as_office, visit):
    draft = services.draft_of(visit)
    answer = as_office.post(draft_of(visit), posted(draft))
    sheet = Sheet.objects.get()
    assert answer.headers["Location"] == reverse("sheet-detail", args=[sheet.pk])
    assert Event.objects.of_site(visit.site_id).last().kind == "sheet.issued"
    page = as_office.get(answer.headers["Location"]).text
    for words in (sheet.number, "Issued, current", sheet.hash, "apt install x"):
        assert words in page


def test_signature_is_kept_as_drawn(as_office, visit):
    wave = "[[[10,40,0],[30,10,16],[60,50,40],[120,20,90]]]"
    as_office.post(draft_of(visit), posted(services.draft_of(visit), strokes=wave))
    assert "Signature of M. Quill" in as_office.get(reverse("sheet-detail", args=[Sheet.objects.get().pk])).text


def test_technician_reads_the_draft_and_cannot_issue(as_technician, visit):
    answer = as_technician.get(draft_of(visit))
    assert answer.status_code == 200
    assert "Issue the sheet" not in answer.text
    assert as_technician.post(draft_of(visit), posted(services.draft_of(visit))).status_code == 404
    assert not Sheet.objects.exists()


def test_draft_that_changed_is_shown_again_with_what_was_typed(as_office, visit, technician):
    data = posted(services.draft_of(visit), isolated="S1 locked open.", who_all="J. Fenn")
    raise_defect(visit, technician, "Lid does not lock.")
    answer = as_office.post(draft_of(visit), data)
    assert answer.status_code == 200
    assert "Look at it again" in answer.text
    for words in ("Lid does not lock.", "S1 locked open.", "J. Fenn", services.draft_of(visit).shown_hash):
        assert words in answer.text
    assert not Sheet.objects.exists()


def test_open_items_ask_for_who_and_when(as_office, visit):
    draft = services.draft_of(visit)
    answer = as_office.post(draft_of(visit), posted(draft, who_all="", due_all=""))
    assert answer.text.count("Who sees to it?") == answer.text.count("By when?") == len(draft.items)
    assert not Sheet.objects.exists()


def test_item_of_its_own_stands_before_what_is_said_for_all(as_office, visit):
    draft = services.draft_of(visit)
    key = next(i.key for i in draft.items if "turbidity" in i.key)
    as_office.post(draft_of(visit), posted(draft, **{f"who {key}": "J. Fenn", f"due {key}": "2027-05-01"}))
    text = Sheet.objects.get().body
    assert text.count('"who":"J. Fenn"') == 1
    assert text.count('"due":"1 May 2027"') == 1


def test_unsafe_system_asks_how_it_was_left_isolated(as_office, visit, technician):
    raise_defect(visit, technician, "Bare conductor at C1.", is_unsafe=True)
    answer = as_office.post(draft_of(visit), posted(services.draft_of(visit)))
    assert "Say how it was left isolated" in answer.text
    assert "Bare conductor at C1." in answer.text
    as_office.post(draft_of(visit), posted(services.draft_of(visit), isolated="S1 locked open."))
    page = as_office.get(reverse("sheet-detail", args=[Sheet.objects.get().pk])).text
    assert "Left isolated: do not use." in page


def test_reissue_asks_for_a_reason_and_shows_both_revisions(as_office, visit, issue):
    first = issue(visit)
    answer = as_office.post(draft_of(visit), posted(services.draft_of(visit)))
    assert "Say why." in answer.text
    as_office.post(draft_of(visit), posted(services.draft_of(visit), reason="Owner's name."))
    page = as_office.get(reverse("sheet-detail", args=[first.pk])).text
    assert "Superseded: Owner" in page
    assert page.count("revision 2") >= 1


WRONG = [
    ({"due_all": "31.12.2027"}, "Type the day as year-month-day"),
    ({"due_all": "٢٠٢٧-٠٤-٢٣x"}, "Type the day as year-month-day"),
    ({"next_inspection": "soon"}, "Type the day as year-month-day"),
    ({"paper": "A5"}, "Select a valid choice"),
    ({"paper": ""}, "This field is required"),
    ({"who_all": "x" * 121}, "at most 120 characters"),
    ({"isolated": "x" * 4001}, "at most 4000 characters"),
    ({"strokes": "[[[NaN,1]]]"}, "could not be read"),
    ({"strokes": "[[[1,1]]]"}, "only a dot"),
    ({"who_all": "a\x00b"}, "Null characters are not allowed"),
    ({"shown_hash": "0" * 64}, "Look at it again"),
    ({"shown_hash": ""}, "Look at it again"),
]


def test_wrong_input_is_answered_and_what_was_typed_is_kept(as_office, visit):
    draft = services.draft_of(visit)
    for wrong, said in WRONG:
        answer = as_office.post(draft_of(visit), posted(draft, **{"isolated": "kept words", **wrong}))
        assert answer.status_code == 200, wrong
        assert said in answer.text, wrong
        assert wrong.get("isolated", "kept words")[:10] in answer.text
    assert not Sheet.objects.exists()


def test_script_in_names_is_shown_as_text(as_office, technician):
    visit = begin_up(technician, site_with_record(technician, name="<script>alert(1)</script>"))
    who = "<img src=x>"
    as_office.post(draft_of(visit), posted(services.draft_of(visit), who_all=who))
    sheet = Sheet.objects.get()
    for path in (draft_of(visit), reverse("sheet-detail", args=[sheet.pk]), reverse("sheet-list")):
        text = as_office.get(path).text
        assert "<script>alert" not in text
        assert "<img src=x>" not in text
        assert "&lt;script&gt;alert(1)" in text


def test_list_asks_the_database_as_often_for_many_as_for_few(
    as_office, technician, issue, django_assert_num_queries, django_assert_max_num_queries
):
    visits = [begin_up(technician, site_with_record(technician, name=f"Site {i}")) for i in range(3)]
    issue(visits[0])
    as_office.get(reverse("sheet-list"))
    with django_assert_max_num_queries(12) as counted:
        as_office.get(reverse("sheet-list"))
    for visit in visits[1:]:
        issue(visit)
    with django_assert_num_queries(len(counted)):
        text = as_office.get(reverse("sheet-list")).text
    assert [text.count(f"Site {i}") for i in range(3)] == [1, 1, 1]


def test_withdrawal_asks_why_and_is_for_the_office(as_office, as_technician, visit, issue):
    sheet = issue(visit)
    address = reverse("sheet-withdraw", args=[sheet.pk])
    assert as_technician.get(address).status_code == 404
    assert as_technician.post(address, {"reason": "x"}).status_code == 404
    assert "Say why." in as_office.post(address, {"reason": " "}).text
    as_office.post(address, {"reason": "Wrong system."})
    sheet.refresh_from_db()
    assert sheet.state == "withdrawn"
    assert "Withdrawn: Wrong system." in as_office.get(reverse("sheet-detail", args=[sheet.pk])).text
    assert "withdrawn already" in as_office.post(address, {"reason": "Again."}).text


def test_unknown_sheets_and_visits_are_not_found(as_office):
    for name in ("sheet-draft", "sheet-detail", "sheet-withdraw"):
        assert as_office.get(reverse(name, args=[uuid4()])).status_code == 404
    assert as_office.get(reverse("sheet-file", args=[uuid4(), "A4"])).status_code == 404


def test_stranger_is_sent_to_sign_in(visit, issue):
    sheet = issue(visit)
    for path in (
        reverse("sheet-list"), draft_of(visit), reverse("sheet-detail", args=[sheet.pk]),
        reverse("sheet-withdraw", args=[sheet.pk]), reverse("sheet-file", args=[sheet.pk, "A4"]),
    ):  # fmt: skip
        assert Client().get(path).headers["Location"].startswith("/account/sign-in"), path


def test_file_without_the_libraries_leads_back_with_one_clear_line(as_office, visit, issue):
    sheet = issue(visit)
    answer = as_office.get(reverse("sheet-file", args=[sheet.pk, "A4"]), follow=True)
    assert answer.redirect_chain[-1][0] == reverse("sheet-detail", args=[sheet.pk])
    assert "apt install x" in answer.text


def test_us_site_starts_with_letter(as_office, technician):
    visit = begin_up(technician, site_with_record(technician, "us"))
    text = as_office.get(draft_of(visit)).text
    assert re.search(r'value="Letter"[^>]*checked', text)


def test_public_address_is_printed_where_it_is_set(as_office, visit, settings):
    settings.PUBLIC_ADDRESS = "https://sheets.example"
    as_office.post(draft_of(visit), posted(services.draft_of(visit)))
    assert '"address":"https://sheets.example/v/' in Sheet.objects.get().body
