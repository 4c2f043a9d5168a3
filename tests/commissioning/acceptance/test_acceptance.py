"""The acceptance of a visit: what blocks, what was found, what the office concedes."""

import re
from datetime import date
from html import unescape
from uuid import uuid4

import pytest
from django.urls import reverse

from commissioning import evidence
from commissioning.acceptance.services import why_not_conceded
from commissioning.models import Concession, Event
from commissioning.progress import progress_of
from sizing.checks.catalogue import CHECKS
from sizing.holds import HOLDS
from tests.commissioning.handover.conftest import raise_defect
from tests.commissioning.handover.started_up import begin_up, readings_of, start_up
from tests.commissioning.worlds import measure

pytestmark = pytest.mark.django_db
ONLY_SETTLED = sorted({check for hold in HOLDS.values() if hold.only_settled for check in hold.requires})


@pytest.fixture
def visit(technician):
    """Return a visit with a depth that is not as logged: outside, and fit to be conceded."""
    visit = begin_up(technician)
    measure(
        visit, "well_depth_measured", "W1", *readings_of("well_depth_measured", [("depth", "49.0")]), actor=technician
    )
    return visit


def page_of(visit):
    return reverse("acceptance-detail", args=[visit.pk])


def concession_of(visit, owed="well_depth_measured:W1"):
    return reverse("concession-grant", args=[visit.pk, owed])


def test_every_owed_check_stands_on_the_page_with_its_number(as_office, visit):
    text = unescape(as_office.get(page_of(visit)).text)
    for line in progress_of(visit).lines:
        assert f'id="c{line.owed.number}"' in text
        assert line.check.title in text


def test_values_limits_and_verdicts_are_printed(as_office, visit):
    text = as_office.get(page_of(visit)).text
    assert "24.105\u00a0m" in text
    assert '<span class="verdict outside">outside</span>' in text
    assert "ip ip-small" in text
    assert "irradiance in the array" in text  # the condition of the open-circuit voltage
    assert "T. Marsh" in text


def test_everything_that_blocks_links_to_its_gap(as_office, visit, technician):
    defect = raise_defect(visit, technician)
    text = as_office.get(page_of(visit)).text
    blocks = text[text.index('<ol class="blocks">') : text.index("</ol>")]
    links = re.findall(r'href="([^"]+)"', blocks)
    progress = progress_of(visit)
    owed = [block for block in progress.blocks if block.words == "owed"]
    assert len(owed) > 5  # many that nobody has taken yet share one line
    assert len(links) == len(progress.blocks) - len(owed) + 1
    assert f"{len(owed)} checks owed" in blocks
    assert visit.get_absolute_url() in links
    assert reverse("defect-detail", args=[visit.pk, defect.pk]) in links
    assert reverse("measurement", args=[visit.pk, "coliform:O1"]) in links
    for link in links:
        assert as_office.get(link).status_code == 200


def test_check_with_an_open_defect_is_named_once(as_office, visit, technician):
    raise_defect(visit, technician, check="well_depth_measured", subject="W1")
    text = as_office.get(page_of(visit)).text
    blocks = text[text.index('<ol class="blocks">') : text.index("</ol>")]
    assert blocks.count("Depth of the well") == 2  # its line, and the same words for a screen reader


def test_technician_reads_and_is_offered_no_concession(as_technician, as_office, visit):
    assert concession_of(visit) in as_office.get(page_of(visit)).text
    answer = as_technician.get(page_of(visit))
    assert answer.status_code == 200
    assert "/concession/" not in answer.text


def test_unknown_visit_is_not_found(as_office):
    assert as_office.get(reverse("acceptance-detail", args=[uuid4()])).status_code == 404


def test_stranger_is_sent_to_sign_in(client, visit):
    assert client.get(page_of(visit)).headers["Location"].startswith("/account/sign-in")


def test_record_that_does_not_hold_together_is_said_so(as_office, visit, monkeypatch):
    from commissioning import snapshot
    from sizing.errors import SystemShapeError

    def broken(site):
        raise SystemShapeError("tag X1 stands twice")

    monkeypatch.setattr(snapshot, "system_of_text", broken)
    assert "tag X1 stands twice" in as_office.get(page_of(visit)).text


def test_number_of_queries_does_not_grow_with_what_was_measured(
    as_office, technician, django_assert_num_queries, django_assert_max_num_queries
):
    few, many = begin_up(technician), start_up(technician, name="Another school")
    raise_defect(many, technician)
    as_office.get(page_of(few))  # the session is renewed once a day
    with django_assert_max_num_queries(40) as counted:
        as_office.get(page_of(few))
    with django_assert_num_queries(len(counted)):
        as_office.get(page_of(many))


def test_office_concedes_by_name(as_office, office, visit):
    answer = as_office.post(
        concession_of(visit), {"reason": "Backfilled, as logged by the driller.", "expires_on": "2030-01-31"}
    )
    assert answer.status_code == 302
    event = Event.objects.of_site(visit.site_id).last()
    assert (event.kind, event.actor) == ("concession.granted", office)
    line = progress_of(visit).line("well_depth_measured:W1")
    assert line.is_good
    text = as_office.get(page_of(visit)).text
    assert "conceded, M. Quill" in text
    assert "31 January 2030" in text


def test_an_expired_concession_no_longer_settles_anything(as_office, office, visit):
    as_office.post(concession_of(visit), {"reason": "Until the dry season.", "expires_on": "2030-01-31"})
    assert progress_of(visit).line("well_depth_measured:W1").is_good
    visit.concessions.update(expires_on=date(2020, 1, 31))  # as if ten years had gone by
    assert not progress_of(visit).line("well_depth_measured:W1").is_good


def test_concession_is_for_the_office_alone(as_technician, technician, visit):
    assert as_technician.get(concession_of(visit)).status_code == 404
    assert as_technician.post(concession_of(visit), {"reason": "x"}).status_code == 404
    assert not Concession.objects.exists()


def test_check_that_is_not_owed_is_not_found(as_office, visit):
    for owed in ("well_depth_measured:W9", "nothing:W1", "static_level", "<script>:W1"):
        assert as_office.get(concession_of(visit, owed)).status_code == 404


def test_nothing_to_concede_and_still_owed_are_refused_in_words(as_office, visit):
    for owed, words in (("static_level:W1", "nothing to concede"), ("turbidity:W1", "still owed")):
        answer = as_office.post(concession_of(visit, owed), {"reason": "Because."})
        assert answer.status_code == 200
        assert words in answer.text
    assert not Concession.objects.exists()


def test_voltage_and_polarity_are_never_conceded(as_office, technician, visit):
    measure(
        visit, "string_polarity", "A1", actor=technician, answer="not as it should be",
        supersedes=str(visit.measurements.get(check_key="string_polarity").pk), supersedes_reason="looked again",
    )  # fmt: skip
    assert why_not_conceded(progress_of(visit).line("string_polarity:A1"))
    answer = as_office.post(concession_of(visit, "string_polarity:A1"), {"reason": "It is only polarity."})
    assert "can only be settled, never conceded" in answer.text
    assert not Concession.objects.exists()


def test_door_refuses_a_concession_of_what_only_settles_a_hold(visit, office):
    for check in ONLY_SETTLED:
        body = {"id": str(uuid4()), "visit": str(visit.pk), "check": check, "subject": "A1", "reason": "Because."}
        with pytest.raises(evidence.RefusedError):
            evidence.append(site=visit.site, kind="concession.granted", body=body, actor=office)


def test_the_two_holds_of_voltage_and_of_drinking_are_among_them():
    assert {"string_polarity", "open_circuit_voltage", "coliform"} <= set(ONLY_SETTLED) & set(CHECKS)


WRONG = [
    ({"reason": "", "expires_on": ""}, "Say why."),
    ({"reason": "   ", "expires_on": ""}, "Say why."),
    ({"reason": "Good.", "expires_on": "31.12.2030"}, "Type the day as year-month-day"),
    ({"reason": "Good.", "expires_on": "1999-01-01"}, "That day is past."),
    ({"reason": "Good.", "expires_on": "٢٠٣٠-٠١-٠١x"}, "Type the day as year-month-day"),
    ({"reason": "Good.", "expires_on": "99999-01-01"}, "Type the day as year-month-day"),
    ({"reason": "x" * 4001, "expires_on": ""}, "at most 4000 characters"),
    ({"reason": "a\x00b", "expires_on": ""}, "Null characters are not allowed"),
]


def test_wrong_input_is_answered_at_the_field_and_kept(as_office, visit):
    for typed, said in WRONG:
        answer = as_office.post(concession_of(visit), typed)
        assert answer.status_code == 200, typed
        assert said in answer.text, typed
        assert typed["expires_on"] in answer.text
        assert typed["reason"].strip("\x00 ")[:3] in answer.text
    assert not Concession.objects.exists()


def test_script_in_a_reason_is_shown_as_text(as_office, visit):
    as_office.post(concession_of(visit), {"reason": "<script>alert(1)</script>"})
    text = as_office.get(page_of(visit)).text
    assert "&lt;script&gt;alert(1)" in text
    assert "<script>alert" not in text
