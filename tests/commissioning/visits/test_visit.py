"""The pages of a visit: the list, beginning, the order of checks, holds, setting aside, defects, signing, ending."""

import json
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from commissioning import evidence
from commissioning.models import Defect, Event, HoldRelease, SettingAside, Signature, Site, Visit
from commissioning.progress import progress_of
from tests.commissioning.visits.conftest import line_of, make_safe, static_level, url_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db


def detail(visit: Visit) -> str:
    return reverse("visit-detail", args=[visit.pk])


# list and beginning


def test_visits_that_go_on_come_first(as_technician: Client, site: Site, technician: Any) -> None:
    ended = visit_on(site, technician)
    body = {"visit": str(ended.pk), "left_isolated": True, "reason": "bad cable"}
    evidence.append(site=site, kind="visit.ended", body=body, actor=technician)
    going = visit_on(site, technician, "service", at=timezone.now() - timezone.timedelta(days=3))
    page = as_technician.get(reverse("visit-list")).content.decode()
    assert page.index(detail(going)) < page.index(detail(ended))
    assert "left isolated: do not use" in page


def test_visit_is_begun_once_however_often_the_button_is_pressed(as_technician: Client, site: Site) -> None:
    sent = {"id": str(uuid4()), "site": str(site.pk), "kind": "start_up"}
    for _ in range(2):
        answer = as_technician.post(reverse("visit-begin"), sent)
        assert answer.status_code == 302
    assert [str(p) for p in Visit.objects.get().technicians.all()] == ["T. Marsh"]


def test_beginning_without_a_site_is_said_at_the_field(as_technician: Client) -> None:
    answer = as_technician.post(reverse("visit-begin"), {"id": str(uuid4()), "kind": "start_up"})
    assert answer.status_code == 200
    assert "Choose a site." in answer.content.decode()


def test_list_takes_the_same_queries_for_one_visit_and_for_many(
    as_technician: Client, site: Site, technician: Any, django_assert_num_queries: Any
) -> None:
    assert _queries(as_technician, site, technician, 1) == _queries(as_technician, site, technician, 6)


def _queries(client: Client, site: Site, actor: Any, many: int) -> int:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    for _ in range(many):
        visit_on(site, actor)
    client.get(reverse("visit-list"))
    with CaptureQueriesContext(connection) as seen:
        client.get(reverse("visit-list"))
    return len(seen)


# the order of checks


def test_order_says_what_is_lost_and_stands_every_check_once(as_technician: Client, visit: Visit) -> None:
    page = as_technician.get(detail(visit)).content.decode()
    assert "lost if not taken now" in page
    assert "Take first" in page
    assert "Hold: close strings" in page
    for line in progress_of(visit).lines:
        assert page.count(f'href="{url_of(visit, line.owed.id)}"') in (1, 2), line.owed.id  # 2: the next one


def test_numbers_are_those_of_the_order(as_technician: Client, visit: Visit) -> None:
    page = as_technician.get(detail(visit)).content.decode()
    line = line_of(visit, "static_level:W1")
    assert (
        f'<span class="no">{line.owed.number}</span><a class="line" href="{url_of(visit, "static_level:W1")}"' in page
    )


def test_taken_check_shows_its_small_picture_and_word(as_technician: Client, visit: Visit, technician: Any) -> None:
    as_technician.post(url_of(visit, "static_level:W1"), static_level())
    page = as_technician.get(detail(visit)).content.decode()
    taken = page[page.index('id="taken"') :]
    assert "ip-small" in taken
    assert '<span class="verdict within">within</span>' in taken


def test_order_takes_the_same_queries_however_much_is_taken(
    as_technician: Client, visit: Visit, technician: Any
) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    counts = []
    for check, tag in (
        ("walk_round_well", "W1"),
        ("walk_round_array", "A1"),
        ("walk_round_tank", "T1"),
        ("walk_round_labels", "site"),
    ):
        measure(visit, check, tag, actor=technician, answer="as it should be")
        as_technician.get(detail(visit))
        with CaptureQueriesContext(connection) as seen:
            as_technician.get(detail(visit))
        counts.append(len(seen))
    assert len(set(counts)) == 1, counts


def test_names_are_shown_as_text(as_technician: Client, technician: Any) -> None:
    visit = visit_on(site_with_record(technician, name="<script>alert(1)</script>"), technician)
    for url in (
        detail(visit),
        reverse("visit-list"),
        url_of(visit, "static_level:W1"),
        reverse("visit-sign", args=[visit.pk]),
    ):
        page = as_technician.get(url).content.decode()
        assert "<script>alert" not in page
        assert "&lt;script&gt;alert" in page


def test_site_without_a_record_has_a_visit_with_nothing_but_site_checks(as_technician: Client, technician: Any) -> None:
    visit = visit_on(Site.objects.create(name="bare"), technician)
    assert as_technician.get(detail(visit)).status_code == 200
    for line in progress_of(visit).lines:
        assert as_technician.get(url_of(visit, line.owed.id)).status_code == 200


@pytest.mark.parametrize("unit_system", [pytest.param("metric", marks=pytest.mark.long), "us"])
def test_every_check_of_the_catalogue_has_its_page_and_answers_an_empty_form(
    as_technician: Client, technician: Any, unit_system: str
) -> None:
    visit = visit_on(site_with_record(technician, unit_system), technician)
    for line in progress_of(visit).lines:
        for way in line.check.ways or (None,):
            url = url_of(visit, line.owed.id, f"?way={way.key}" if way else "")
            assert as_technician.get(url).status_code == 200, url
            assert as_technician.post(url, {"id": str(uuid4())}).status_code == 200, url
    assert not visit.measurements.exists()


# holds


def test_hold_tells_what_stays_off_and_what_is_owed(as_technician: Client, visit: Visit) -> None:
    page = as_technician.get(reverse("hold-detail", args=[visit.pk, "start_well_pump"])).content.decode()
    assert "Stands: the well pump stays off." in page
    assert "Waits behind it" in page


def test_release_needs_a_reason_and_is_kept_once(as_technician: Client, visit: Visit) -> None:
    url = reverse("hold-detail", args=[visit.pk, "start_well_pump"])
    assert "Say why work may go on." in as_technician.post(url, {"id": str(uuid4()), "reason": " "}).content.decode()
    sent = {"id": str(uuid4()), "reason": "probe comes on Friday, somebody stays"}
    for _ in range(2):
        as_technician.post(url, sent)
    assert HoldRelease.objects.count() == 1
    page = as_technician.get(detail(visit)).content.decode()
    assert "Released by T. Marsh" in page


def test_hold_that_can_only_be_settled_refuses_with_its_reason(as_technician: Client, visit: Visit) -> None:
    url = reverse("hold-detail", args=[visit.pk, "close_strings"])
    answer = as_technician.post(url, {"id": str(uuid4()), "reason": "in a hurry"})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "can only be settled" in page
    assert "in a hurry" in page
    assert not HoldRelease.objects.exists()


def test_settled_hold_lets_its_checks_be_taken(as_technician: Client, visit: Visit, technician: Any) -> None:
    make_safe(visit, technician)
    sent = {"id": str(uuid4()), "answer": "as it should be"}
    assert as_technician.post(url_of(visit, "electronics_disconnected:C1"), sent).status_code == 302
    assert line_of(visit, "electronics_disconnected:C1").is_good
    assert "Settled" in as_technician.get(reverse("hold-detail", args=[visit.pk, "safe_to_work"])).content.decode()


def test_unknown_hold_is_not_found(as_technician: Client, visit: Visit) -> None:
    assert as_technician.get(reverse("hold-detail", args=[visit.pk, "no_such_hold"])).status_code == 404


# set aside


@pytest.mark.parametrize(
    ("how", "status"),
    [("parked", "parked"), ("cannot_be_taken", "cannot be taken"), ("does_not_apply", "does not apply here")],
)
def test_check_is_set_aside_and_taken_up_again(as_technician: Client, visit: Visit, how: str, status: str) -> None:
    url = reverse("measurement-set-aside", args=[visit.pk, "static_level:W1"])
    as_technician.post(url, {"id": str(uuid4()), "how": how, "reason": "no dip meter here"})
    assert line_of(visit, "static_level:W1").status == status
    assert "no dip meter here" in as_technician.get(detail(visit)).content.decode()
    as_technician.post(url, {"id": str(uuid4()), "how": "taken_up"})
    assert line_of(visit, "static_level:W1").status == "owed"


@pytest.mark.parametrize("how", ["cannot_be_taken", "does_not_apply", "", "nonsense"])
def test_setting_aside_without_reason_is_said_at_the_field(as_technician: Client, visit: Visit, how: str) -> None:
    url = reverse("measurement-set-aside", args=[visit.pk, "static_level:W1"])
    assert as_technician.post(url, {"id": str(uuid4()), "how": how}).status_code == 200
    assert not SettingAside.objects.exists()


def test_sample_on_its_way_waits_for_the_laboratory(as_technician: Client, visit: Visit) -> None:
    url = reverse("measurement-set-aside", args=[visit.pk, "coliform:O1"])
    assert "waits for the laboratory" in as_technician.get(detail(visit)).content.decode()
    assert as_technician.post(url, {"id": str(uuid4()), "sent_on": "yesterday"}).status_code == 200
    as_technician.post(url, {"id": str(uuid4()), "sent_on": "2027-04-14"})
    assert "sent to the laboratory Wed 14 April 2027" in as_technician.get(detail(visit)).content.decode()


# defects


def test_defect_is_raised_from_a_check_and_put_right(as_technician: Client, visit: Visit) -> None:
    url = reverse("defect-raise", args=[visit.pk]) + "?check=static_level:W1"
    sent = {"id": str(uuid4()), "words": "cap is cracked", "is_unsafe": "on", "who": "J. Fenn", "due": "2027-05-01"}
    for _ in range(2):
        as_technician.post(url, sent)
    defect = Defect.objects.get()
    assert (defect.number, defect.check_key, defect.subject, defect.is_unsafe) == (1, "static_level", "W1", True)
    assert "cap is cracked" in as_technician.get(detail(visit)).content.decode()
    page = reverse("defect-detail", args=[visit.pk, defect.pk])
    assert "Say what was done." in as_technician.post(page, {"words": ""}).content.decode()
    as_technician.post(page, {"words": "new cap"})
    as_technician.post(page, {"words": "another word"})
    defect.refresh_from_db()
    assert defect.put_right_words == "new cap"
    assert Event.objects.filter(kind="defect.put_right").count() == 1


@pytest.mark.parametrize("sent", [{}, {"words": "x", "due": "1st of May"}, {"words": "x" * 5000}])
def test_bad_defect_is_said_at_the_field(as_technician: Client, visit: Visit, sent: dict[str, str]) -> None:
    answer = as_technician.post(reverse("defect-raise", args=[visit.pk]), {"id": str(uuid4()), **sent})
    assert answer.status_code == 200
    assert not Defect.objects.exists()


def test_defect_of_another_site_is_not_found(as_technician: Client, visit: Visit, technician: Any) -> None:
    other = visit_on(site_with_record(technician, name="elsewhere"), technician)
    as_technician.post(reverse("defect-raise", args=[other.pk]), {"id": str(uuid4()), "words": "leak"})
    assert as_technician.get(reverse("defect-detail", args=[visit.pk, Defect.objects.get().pk])).status_code == 404


# signing and ending

LINE = json.dumps([[[10, 10, 0], [60, 30, 40], [120, 12, 90]]])


def signature(page: Any, **more: str) -> dict[str, str]:
    sent = {
        "id": str(uuid4()), "shown_hash": page.context["shown_hash"], "printed_name": "A. Owner", "role": "owner",
        "meaning": "I was shown the system and received these results", "strokes": LINE,
    }  # fmt: skip
    return {**sent, **more}


def test_signature_stands_under_exactly_what_was_shown(as_technician: Client, visit: Visit) -> None:
    url = reverse("visit-sign", args=[visit.pk])
    as_technician.post(url_of(visit, "static_level:W1"), static_level())
    page = as_technician.get(url)
    assert "24.1" in page.content.decode()
    sent = signature(page)
    for _ in range(2):
        assert as_technician.post(url, sent).status_code == 302
    signed = Signature.objects.get()
    assert signed.shown_hash == page.context["shown"].hash
    assert signed.strokes == LINE


def test_signature_is_refused_when_something_was_added_meanwhile(as_technician: Client, visit: Visit) -> None:
    url = reverse("visit-sign", args=[visit.pk])
    sent = signature(as_technician.get(url))
    as_technician.post(url_of(visit, "static_level:W1"), static_level())
    page = as_technician.post(url, sent).content.decode()
    assert "Something was added" in page
    assert 'value="A. Owner"' in page
    assert not Signature.objects.exists()


def test_hash_is_that_of_the_content_by_plain_json(as_technician: Client, visit: Visit) -> None:
    """JCS (RFC 8785) of texts and whole numbers with ASCII keys is what the json module writes sorted and tight."""
    import hashlib

    shown = as_technician.get(reverse("visit-sign", args=[visit.pk])).context["shown"]
    text = json.dumps(shown.content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert hashlib.sha256(text.encode()).hexdigest() == shown.hash


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("strokes", "drawing"),
        ("strokes", "[[[1e309,1,1]]]"),
        ("printed_name", ""),
        ("meaning", "I promise"),
        ("role", ""),
    ],
)
def test_bad_signature_is_said_at_the_field(as_technician: Client, visit: Visit, field: str, value: str) -> None:
    url = reverse("visit-sign", args=[visit.pk])
    answer = as_technician.post(url, signature(as_technician.get(url), **{field: value}))
    assert answer.status_code == 200
    assert answer.context["form"].errors[field]
    assert not Signature.objects.exists()


def test_typed_name_stands_where_nothing_is_drawn(as_technician: Client, visit: Visit) -> None:
    url = reverse("visit-sign", args=[visit.pk])
    as_technician.post(url, signature(as_technician.get(url), strokes=""))
    assert Signature.objects.get().printed_name == "A. Owner"


def test_visit_ends_after_it_was_signed_and_may_be_left_isolated(as_technician: Client, visit: Visit) -> None:
    url = reverse("visit-end", args=[visit.pk])
    assert "Nobody has signed" in as_technician.post(url, {}).content.decode()
    sign = reverse("visit-sign", args=[visit.pk])
    as_technician.post(sign, signature(as_technician.get(sign)))
    assert "Say what is shut off" in as_technician.post(url, {"left_isolated": "on"}).content.decode()
    for _ in range(2):
        as_technician.post(url, {"left_isolated": "on", "reason": "relief is stuck; booster locked, tag 4"})
    visit.refresh_from_db()
    assert visit.ended_at is not None
    assert visit.left_isolated
    page = as_technician.get(detail(visit)).content.decode()
    assert "Left isolated: do not use." in page
    assert "relief is stuck" in page


# doors

PAGES = ("visit-detail", "visit-sign", "visit-end", "visit-photos", "defect-raise")


@pytest.mark.parametrize("name", PAGES)
def test_visit_that_is_not_there_is_not_found(as_technician: Client, name: str) -> None:
    assert as_technician.get(reverse(name, args=[uuid4()])).status_code == 404


@pytest.mark.parametrize("name", PAGES)
def test_stranger_is_sent_to_sign_in(client: Client, visit: Visit, name: str) -> None:
    answer = client.get(reverse(name, args=[visit.pk]))
    assert answer.status_code == 302
    assert "sign-in" in answer.headers["Location"]


def test_person_who_has_left_sees_nothing(as_technician: Client, visit: Visit, technician: Any) -> None:
    technician.is_active = False
    technician.save()
    assert as_technician.get(detail(visit)).status_code in (302, 404)


def test_chain_of_the_site_is_whole_after_a_visit(as_technician: Client, visit: Visit) -> None:
    from django.core.management import call_command

    as_technician.post(url_of(visit, "static_level:W1"), static_level())
    as_technician.post(reverse("defect-raise", args=[visit.pk]), {"id": str(uuid4()), "words": "leak"})
    call_command("verify")
