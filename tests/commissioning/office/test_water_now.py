"""A laboratory's result that comes after the sheet stands on every page where somebody reads whether the water is safe.

What a value may be is the business of the core's tests; here: who is told, since when, and when that ends. That a limit
for taste is none for health: WHO Guidelines for drinking-water quality, fourth edition, table A3.3 against chapter 10
(from memory).
"""

import json
from datetime import UTC, datetime, timedelta
from html import unescape
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissioning import water_now
from commissioning.canonical import digest
from commissioning.handover.standing import standing_of
from commissioning.models import Measurement, Sheet, Site, Visit
from commissioning.office.waiting import Whom, waiting_on
from commissioning.owner.pack import pack_context
from commissioning.owner.services import make_link
from commissioning.progress import progress_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
NOON = datetime(2027, 4, 14, 18, tzinfo=UTC)
DAY = timedelta(days=1)
MAY = NOON + 19 * DAY  # 3 May 2027
TOKEN = "A" * 22
BAD = "Not for drinking since 3 May 2027."


@pytest.fixture
def visit(technician: Any) -> Visit:
    return visit_on(site_with_record(technician), technician, at=NOON)


def sheet_of(visit: Visit, office: Any, *, is_safe: bool, known: tuple[str, ...] = (), n: int = 1) -> Sheet:
    """Return a sheet with as much of a frozen record as tells of drinking."""
    words = "Issued, nothing open." if is_safe else "Not for drinking until released."
    standing = {"words": words, "lines": [], "not_for_drinking": not is_safe, "laboratory": list(known)}
    issue = {"standing": standing, "issued_on": "15 April 2027", "token": TOKEN, "paper": "A4"}
    body = json.dumps({"sheet": issue, "results": [], "id": str(uuid4())})
    return Sheet.objects.create(
        site=visit.site, visit=visit, year=2027, sequence=n, body=body, hash=digest(body), token_hash=digest(TOKEN * n),
        issued_by=office, issued_at=NOON + DAY,
    )  # fmt: skip


def found(visit: Visit, actor: Any, colonies: str, at: datetime = MAY, subject: str = "O1", **more: Any) -> Measurement:
    return measure(visit, "coliform", subject, ("colonies", colonies, "cfu/100mL"), actor=actor, at=at, **more)


def public() -> str:
    return unescape(Client().get(reverse("sheet-verify", args=[TOKEN])).text)


def revisions(office: Any) -> list[Any]:
    return [one for one in waiting_on(office, MAY.date()) if "needs a revision" in one.what]


def settle(visit: Visit, actor: Any) -> None:
    """Take what else the hold on drinking asks for, so that good results release the water."""
    for line in progress_of(visit).hold("drink").still_owed:
        key, tag = line.owed.check, line.owed.subject
        if key == "residual_at_sampling":
            measure(visit, key, tag, ("residual", "0.0", "mg/L"), actor=actor, at=NOON)
        elif key == "sample_taken":
            measure(visit, key, tag, actor=actor, at=NOON, answer="as it should be")


def test_owner_public_page_pack_and_office_are_told_of_a_bad_result(visit, technician, office, as_office):
    sheet_of(visit, office, is_safe=True)
    token = make_link(site=visit.site, actor=office)
    page = reverse("owner-link-page", args=[token])
    assert BAD not in Client().get(page).text
    assert "Genuine and current" in public()
    assert revisions(office) == []
    found(visit, technician, "12")
    for text in (
        unescape(Client().get(page).text),
        public(),
        unescape(as_office.get(reverse("owner-pack", args=[visit.site_id])).text),
    ):
        assert BAD in text
        assert "Coliform bacteria, O1 (3 May 2027)" in text
        assert "Boiling kills germs, and does not take out nitrate" in text
        assert "Ask your local health authority what applies where you live" in text
    context = pack_context(visit.site)
    assert not context["is_safe"]
    [one] = revisions(office)
    assert (one.what, one.whom, one.since) == ("Sheet 2027-001 needs a revision", Whom.OFFICE, MAY.date())
    assert "do not drink: tell the owner" in one.detail
    assert "Found: Coliform bacteria, O1" in as_office.get(reverse("laboratory", args=[visit.pk])).text


def test_public_notice_names_nobody_and_no_place(visit, technician, office):
    sheet_of(visit, office, is_safe=True)
    found(visit, technician, "12")
    for words in ("Quince Ridge", "on the rise", "T. Marsh", "M. Quill", "school", str(visit.pk)):
        assert words not in public()


def test_a_good_result_that_follows_releases_it_again(visit, technician, office):
    sheet_of(visit, office, is_safe=True)
    bad = found(visit, technician, "12")
    found(visit, technician, "0", MAY + 7 * DAY, supersedes=str(bad.pk), supersedes_reason="chlorinated, sampled again")
    assert "For drinking again since 10 May 2027." in public()
    context = pack_context(visit.site)
    assert context["is_safe"]
    assert "For drinking again since 10 May 2027." in context["water_words"]
    assert revisions(office) == []  # the sheet says so already


def test_a_good_result_at_another_tap_releases_nothing(visit, technician, office):
    sheet_of(visit, office, is_safe=True)
    found(visit, technician, "12")
    found(visit, technician, "0", MAY + 7 * DAY, "O2")
    assert BAD in public()
    assert not pack_context(visit.site)["is_safe"]


def test_a_result_of_a_later_visit_counts_and_an_older_good_one_does_not_cover_it(visit, technician, office):
    found(visit, technician, "0", NOON)
    sheet_of(visit, office, is_safe=True)
    assert water_now.water_now(visit.site, Sheet.objects.get()) is None
    service = visit_on(visit.site, technician, "service", MAY)
    found(service, technician, "3")
    assert BAD in public()
    found(service, technician, "0", MAY + DAY, "O2")
    assert BAD in public()


def test_sheet_drafted_over_a_bad_result_of_another_visit_is_not_for_drinking(visit, technician, office):
    settle(visit, technician)
    found(visit, technician, "0", NOON)
    assert not standing_of(progress_of(visit), [], "")["not_for_drinking"]
    service = visit_on(visit.site, technician, "service", MAY)
    bad = found(service, technician, "3")
    standing = standing_of(progress_of(visit), [], "")
    assert standing["not_for_drinking"]
    assert "Found by the laboratory: Coliform bacteria, O1 (3 May 2027)." in standing["lines"][0]
    assert str(bad.pk) in standing["laboratory"]


@pytest.mark.parametrize(("check", "typed", "forbids"), [("arsenic", "0.05", True), ("iron", "0.9", False)])
def test_what_harms_forbids_drinking_and_what_stains_does_not(visit, technician, office, check, typed, forbids):
    sheet_of(visit, office, is_safe=True)
    made = measure(visit, check, "site", (check, typed, "mg/L"), actor=technician, at=MAY)
    assert made.judgement().verdict == "outside"
    assert (BAD in public()) is forbids
    assert bool(revisions(office)) is forbids


def test_results_that_release_the_water_ask_for_a_revision_and_are_shown(visit, technician, office):
    sheet_of(visit, office, is_safe=False)
    found(visit, technician, "0", MAY)
    assert "Released for drinking" not in public()  # the rest of what the hold asks for is still owed
    settle(visit, technician)
    assert "Released for drinking since 3 May 2027." in public()
    assert pack_context(visit.site)["is_safe"]
    [one] = revisions(office)
    assert one.detail.endswith("issue it again with what came")


def test_a_sheet_that_knows_the_result_needs_no_revision(visit, technician, office):
    made = found(visit, technician, "12")
    sheet_of(visit, office, is_safe=False, known=(str(made.pk),))
    assert revisions(office) == []
    assert BAD in public()  # the notice stands all the same


def test_without_a_sheet_the_owner_is_told_too(visit, technician):
    found(visit, technician, "12")
    assert BAD in pack_context(visit.site)["water_words"]


def test_system_that_is_not_for_drinking_is_not_called_released(visit, office):
    sheet = sheet_of(visit, office, is_safe=True)
    standing = {
        "words": "x",
        "lines": ["Not drinking water at all: O1."],
        "not_for_drinking": False,
        "is_for_drinking": False,
    }
    Sheet.objects.filter(pk=sheet.pk).update(
        body=json.dumps({"sheet": {"standing": standing, "issued_on": "x"}, "results": []}), hash="e" * 64
    )
    context = pack_context(Site.objects.get(pk=visit.site_id))
    assert not context["is_safe"]
    assert "was not recorded as one for drinking" in context["water_words"]


def test_queries_of_the_list_do_not_grow_with_the_sheets(technician, office):
    def many() -> int:
        with CaptureQueriesContext(connection) as asked:
            assert len(revisions(office)) == Sheet.objects.count()
        return len(asked)

    def world(name: str, n: int) -> None:
        visit = visit_on(site_with_record(technician, name=name), technician, at=NOON)
        sheet_of(visit, office, is_safe=True, n=n)
        found(visit, technician, "12")

    world("Fennel", 1)
    many()  # what sheets say is read once
    once = many()
    world("Tarn Side", 2)
    many()
    assert many() == once
