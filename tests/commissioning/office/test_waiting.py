"""What waits and on whom is read from the record, oldest first, and leaves the list when it is settled."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from commissioning import evidence
from commissioning.models import Site, Visit
from commissioning.office.waiting import Waiting, Whom, waiting_on, whom_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
MORNING = datetime(2027, 4, 14, 15, tzinfo=UTC)
TODAY = datetime(2027, 5, 14, tzinfo=UTC).date()


def began(actor: Any, name: str = "Quince Ridge school") -> Visit:
    return visit_on(site_with_record(actor, name=name), actor, at=MORNING)


def put(visit: Visit, kind: str, actor: Any, days: int = 0, **body: Any) -> None:
    evidence.append(
        site=visit.site,
        kind=kind,
        actor=actor,
        at=MORNING + timedelta(days=days),
        body={"visit": str(visit.pk), **body},
    )


def aside(visit: Visit, actor: Any, check: str, subject: str, how: str, reason: str, days: int = 0) -> None:
    body = {"id": str(uuid4()), "check": check, "subject": subject, "how": how, "reason": reason}
    put(visit, "check.set_aside", actor, days, **body)


def named(found: list[Waiting]) -> list[tuple[str, Whom]]:
    return [(one.what, one.whom) for one in found]


def test_what_waits_longest_stands_first_with_whom_it_waits_on(technician, office):
    visit = began(technician)
    defect = {"id": str(uuid4()), "words": "Relief valve weeps.", "is_unsafe": True, "who": "J. Fenn"}
    put(visit, "defect.raised", technician, 3, **defect)
    aside(visit, technician, "coliform", "site", "parked", "sampled 12 March", 1)
    aside(visit, technician, "static_level", "W1", "parked", "waits for a part, ordered", 2)
    found = waiting_on(office, TODAY)
    assert named(found) == [
        ("Start-up visit not signed", Whom.TECHNICIAN),
        ("Coliform bacteria, site", Whom.LABORATORY),
        ("Static level, W1", Whom.PART),
        ("Defect 1 (unsafe)", Whom.TECHNICIAN),
    ]
    assert found[-1].name == "J. Fenn"


def test_what_is_settled_leaves_the_list(technician, office):
    visit = began(technician)
    defect = str(uuid4())
    put(visit, "defect.raised", technician, id=defect, words="Weeps.", is_unsafe=False)
    aside(visit, technician, "static_level", "W1", "parked", "no dip meter")
    assert len(waiting_on(office, TODAY)) == 3
    body = {"defect": defect, "words": "New seal."}
    evidence.append(site=visit.site, kind="defect.put_right", actor=technician, body=body)
    measure(visit, "static_level", "W1", ("level", "18.20", "m", "1"), actor=technician)
    put(visit, "visit.ended", technician, 1, left_isolated=False, reason="")
    assert named(waiting_on(office, TODAY)) == [("Sheet to look over", Whom.OFFICE)]


def test_last_word_on_a_check_counts(technician, office):
    visit = began(technician)
    aside(visit, technician, "static_level", "W1", "parked", "no dip meter")
    aside(visit, technician, "static_level", "W1", "taken_up", "", 1)
    assert named(waiting_on(office, TODAY)) == [("Start-up visit not signed", Whom.TECHNICIAN)]


@pytest.mark.parametrize(
    ("words", "whom"),
    [("J. Fenn", Whom.TECHNICIAN), ("the owner", Whom.OWNER), ("Laboratory", Whom.LABORATORY), ("", Whom.TECHNICIAN),
     ("waits for a part", Whom.PART), ("J. Partridge", Whom.TECHNICIAN)],
)  # fmt: skip
def test_who_is_named_tells_on_whom_it_waits(words, whom):
    assert whom_of(words) is whom


def test_queries_do_not_grow_with_the_sites(technician, office):
    def many() -> int:
        with CaptureQueriesContext(
            connection,
        ) as asked:
            waiting_on(office, TODAY)
        return len(asked)

    aside(began(technician), technician, "coliform", "site", "parked", "sent")
    once = many()
    for name in ("Fennel", "Tarn Side"):
        aside(began(technician, name), technician, "coliform", "site", "parked", "sent")
    assert many() == once <= 12
    assert Site.objects.count() == 3


def test_page_filters_by_whom_and_leads_to_the_place(technician, as_office):
    visit = began(technician)
    aside(visit, technician, "coliform", "site", "parked", "<b>sent</b>")
    page = as_office.get(reverse("waiting")).content.decode()
    assert "Start-up visit not signed" in page
    assert "&lt;b&gt;sent" in page
    page = as_office.get(reverse("waiting"), {"on": "laboratory"}).content.decode()
    assert "Start-up visit not signed" not in page
    assert reverse("measurement", args=[visit.pk, "coliform:site"]) in page
    assert as_office.get(reverse("waiting"), {"on": "nobody", "page": "x"}).status_code == 200


def test_room_is_for_the_office(as_technician, as_office: Client):
    assert as_technician.get(reverse("waiting")).status_code == 404
    assert "Nothing waits." in as_office.get(reverse("waiting")).content.decode()


def test_concession_that_ends_soon_waits_on_the_office_once_a_sheet_stands(technician, office):
    from commissioning.models import Concession, Sheet

    visit = began(technician)
    put(visit, "visit.ended", technician, left_isolated=False, reason="")
    Concession.objects.create(
        visit=visit, check_key="static_level", subject="W1", reason="low", by=office, at=MORNING,
        expires_on=TODAY + timedelta(days=30),
    )  # fmt: skip
    Sheet.objects.create(
        site=visit.site, visit=visit, year=2027, sequence=1, body="{}", hash="0" * 64, token_hash="1" * 64,
        issued_by=office, issued_at=timezone.now(),
    )  # fmt: skip
    assert named(waiting_on(office, TODAY)) == [("Concession ends 13 June 2027", Whom.OFFICE)]
    assert waiting_on(office, TODAY - timedelta(days=1)) == []
