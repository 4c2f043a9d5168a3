"""One question of the office, sent back to whoever took a check, and its answer: asked, shown, answered, kept."""

from html import unescape
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse

from commissioning import evidence
from commissioning.acceptance.services import ask_question
from commissioning.models import Event, Question, Reply, Visit
from commissioning.progress import progress_of
from commissioning.visits.services import answer_question, end_visit
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
OWED = "turbidity:W1"
WHICH = "Which cup was this read in?"
READ = ("turbidity", "0.8", "NTU")


@pytest.fixture
def visit(technician: Any) -> Visit:
    visit = visit_on(site_with_record(technician), technician)
    measure(visit, "turbidity", "W1", READ, actor=technician)
    return visit


def ask(visit: Visit, actor: Any, words: str = WHICH, owed: str = OWED) -> Question:
    line = progress_of(visit).line(owed)
    assert line is not None
    return ask_question(visit=visit, line=line, words=words, actor=actor)


def address(visit: Visit) -> str:
    return reverse("question-ask", args=[visit.pk, OWED])


def text(client: Client, name: str, *args: object) -> str:
    return unescape(client.get(reverse(name, args=args)).text)


def test_office_asks_and_it_is_one_event_that_names_what_was_measured(as_office: Client, office: Any, visit: Visit):
    before = Event.objects.count()
    answer = as_office.post(address(visit), {"words": WHICH})
    assert answer.headers["Location"] == reverse("acceptance-detail", args=[visit.pk])
    event = Event.objects.of_site(visit.site_id).last()
    assert event is not None
    assert (event.kind, event.actor, Event.objects.count()) == ("question.asked", office, before + 1)
    asked = Question.objects.get()
    assert (asked.words, asked.measurement) == (WHICH, visit.measurements.get())


def test_it_stands_at_the_check_on_the_visit_and_at_acceptance(
    as_office: Client, as_technician: Client, office: Any, visit: Visit
):
    url = reverse("measurement", args=[visit.pk, OWED])
    assert "The office asks" not in text(as_technician, "visit-detail", visit.pk)
    ask(visit, office)
    page = text(as_technician, "visit-detail", visit.pk)
    assert f"M. Quill asks: {WHICH}" in page
    assert url in page[page.index("The office asks") : page.index('id="owed"')]
    assert WHICH in text(as_technician, "measurement", visit.pk, OWED)
    at_desk = text(as_office, "acceptance-detail", visit.pk)
    listed = at_desk[at_desk.index('id="open-questions"') :]
    assert url in listed[: listed.index("</section>")]
    assert "Not answered yet." in at_desk


def test_an_open_question_blocks_nothing_by_itself(office: Any, visit: Visit):
    before = [block.words for block in progress_of(visit).blocks]
    ask(visit, office)
    assert [block.words for block in progress_of(visit).blocks] == before


def test_answer_in_words_closes_it_and_both_are_shown(as_technician: Client, as_office: Client, office: Any, visit):
    asked = ask(visit, office)
    url = reverse("question-detail", args=[visit.pk, asked.pk])
    before = Event.objects.count()
    sent = {"id": str(uuid4()), "words": "The tall one."}
    for _ in range(2):  # a double tap is one answer
        answer = as_technician.post(url, sent)
        assert answer.headers["Location"] == reverse("measurement", args=[visit.pk, OWED])
    assert Event.objects.count() == before + 1
    page = text(as_technician, "measurement", visit.pk, OWED)
    assert "The office asks" not in page
    assert "The tall one." in page[page.index("Asked and answered") :]
    assert "The office asks" not in text(as_technician, "visit-detail", visit.pk)
    at_desk = text(as_office, "acceptance-detail", visit.pk)
    assert "open-questions" not in at_desk
    assert "The tall one. (T. Marsh" in at_desk
    ask(visit, office, "And when was it rinsed?")  # closed: the next one may be asked


def test_a_new_reading_may_be_the_answer(as_technician: Client, office: Any, technician: Any, visit: Visit):
    asked, first = ask(visit, office), visit.measurements.get()
    url = reverse("question-detail", args=[visit.pk, asked.pk])
    assert "The new reading is the answer" not in as_technician.get(url).text
    again = measure(
        visit, "turbidity", "W1", ("turbidity", "0.9", "NTU"), actor=technician, supersedes=str(first.pk),
        supersedes_reason="read in the tall cup",
    )  # fmt: skip
    assert f'name="reading" value="{again.pk}"' in text(as_technician, "measurement", visit.pk, OWED)
    answer = as_technician.post(url, {"id": str(uuid4()), "words": "", "reading": str(again.pk)})
    assert answer.status_code == 302
    assert str(Reply.objects.get().measurement_id) == again.pk
    assert "Answered by the reading of this check." in text(as_technician, "measurement", visit.pk, OWED)


def test_it_is_answered_after_the_visit_has_ended_too(as_technician: Client, office: Any, technician: Any, visit):
    end_visit(visit=visit, left_isolated=False, reason="", actor=technician)
    asked = ask(visit, office)
    page = text(as_technician, "measurement", visit.pk, OWED)
    assert f'data-answer="{asked.pk}"' in page
    answer = as_technician.post(
        reverse("question-detail", args=[visit.pk, asked.pk]), {"id": str(uuid4()), "words": "The tall one."}
    )
    assert answer.status_code == 302
    assert not progress_of(visit).line(OWED).open_question


def test_one_question_at_a_time_and_what_was_typed_stays(as_office: Client, office: Any, visit: Visit):
    ask(visit, office)
    answer = as_office.post(address(visit), {"words": "And by whom?"})
    assert "A question on this check is still open." in answer.text
    assert "And by whom?" in answer.text
    assert Question.objects.count() == 1
    with pytest.raises(evidence.RefusedError):
        ask(visit, office)


@pytest.mark.parametrize("words", ["", "   ", "x" * 4001, "a\x00b"])
def test_wrong_words_are_refused_at_the_field(as_office: Client, as_technician: Client, office: Any, visit, words):
    assert "error" in as_office.post(address(visit), {"words": words}).text
    assert not Question.objects.exists()
    asked = ask(visit, office)
    url = reverse("question-detail", args=[visit.pk, asked.pk])
    answer = as_technician.post(url, {"id": str(uuid4()), "words": words})
    assert answer.status_code == 200
    assert "error" in answer.text
    assert not Reply.objects.exists()


def test_reading_of_another_check_is_no_answer(as_technician: Client, office: Any, technician: Any, visit: Visit):
    asked = ask(visit, office)
    other = measure(visit, "sand", "W1", ("sand", "0.0", "mL/L"), actor=technician)
    url = reverse("question-detail", args=[visit.pk, asked.pk])
    for reading in (str(other.pk), str(uuid4()), "seven"):
        answer = as_technician.post(url, {"id": str(uuid4()), "words": "", "reading": reading})
        assert answer.status_code == 200, reading
    assert not Reply.objects.exists()


def test_asking_is_for_the_office_and_script_is_shown_as_text(
    as_technician: Client, as_office: Client, technician: Any, office: Any, visit: Visit
):
    assert as_technician.get(address(visit)).status_code == 404
    assert as_technician.post(address(visit), {"words": WHICH}).status_code == 404
    with pytest.raises(PermissionDenied):
        ask(visit, technician)
    asked = ask(visit, office, "<script>alert(1)</script>")
    answer_question(question=asked, id=uuid4(), words="<b>tall</b>", actor=technician)
    for name, args in (("acceptance-detail", ()), ("measurement", (OWED,)), ("question-detail", (asked.pk,))):
        page = as_office.get(reverse(name, args=[visit.pk, *args])).text
        assert "<script>alert" not in page, name
        assert "<b>tall" not in page, name
        assert "&lt;script&gt;" in page, name


def test_question_of_another_visit_is_not_found(as_technician: Client, office: Any, technician: Any, visit: Visit):
    asked = ask(visit, office)
    other = visit_on(visit.site, technician)
    assert as_technician.get(reverse("question-detail", args=[other.pk, asked.pk])).status_code == 404


def test_database_refuses_to_change_either(office: Any, technician: Any, visit: Visit):
    answer_question(question=ask(visit, office), id=uuid4(), words="The tall one.", actor=technician)
    for table in ("question", "reply"):
        for change in (f"DELETE FROM commissioning_{table}", f"UPDATE commissioning_{table} SET words = 'x'"):
            with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
                cursor.execute(change)
