"""A set point that reads as before: kept as read, never as a number, on the page and on the phone."""

import re
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from commissioning import evidence
from commissioning.models import Event, Measurement, SettingAside, Visit
from commissioning.progress import Status, progress_of
from commissioning.service.as_before import set_point_as_before
from commissioning.service.comparison import comparisons
from commissioning.service.record import record_context
from commissioning.sync.declared import check_data, unit_table
from commissioning.sync.standing import standing_of
from commissioning.visits.sections import sections_of
from commissioning.visits.times import zone_of
from tests.commissioning.service.test_comparison import replace
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.phone.node import MODULES, run
from tests.sizing.boosted import hollow_house

pytestmark = pytest.mark.django_db
FIRST = datetime.fromisoformat("2025-04-14T12:00:00-06:00")
CUT_IN, PRECHARGE = "cut_in:PS1", "precharge:PT1"


def boosted() -> dict[str, Any]:
    """Return the house with its booster, as a person types it: without the table, which no set point needs."""
    document = hollow_house()
    for one in document["components"]:
        one["nameplate"] = {k: v for k, v in one["nameplate"].items() if not isinstance(v, (list, tuple))}
    return document


@pytest.fixture
def later(technician: Any) -> Visit:
    site = site_with_record(technician, document=boosted())
    first = visit_on(site, technician, at=FIRST)
    cycles = [("pressure", typed, "kPa", n) for n, typed in (("1", "140"), ("2", "141"), ("3", "142"))]
    measure(first, "cut_in", "PS1", *cycles, actor=technician, at=FIRST)
    measure(first, "precharge", "PT1", ("pressure", "126", "kPa"), actor=technician, at=FIRST)
    return visit_on(site, technician, "service", at=FIRST + timedelta(days=365))


def url(visit: Visit, owed: str) -> str:
    return reverse("measurement", args=[visit.pk, owed])


def line_of(visit: Visit, owed: str) -> Any:
    line = progress_of(Visit.objects.get(pk=visit.pk)).line(owed)
    assert line is not None
    return line


def tap(client: Client, visit: Visit, owed: str) -> dict[str, str]:
    """Press what the page offers, and return what was sent."""
    text = client.get(url(visit, owed)).content.decode()
    form = re.search(r"<form[^>]*data-set-point>.*?</form>", text, re.DOTALL)
    assert form is not None
    sent = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form.group()))
    assert client.post(reverse("measurement-set-aside", args=[visit.pk, owed]), sent).status_code == 302
    return sent


def test_one_tap_keeps_that_it_was_read_and_no_number(as_technician: Client, later: Visit) -> None:
    before = Event.objects.count()
    sent = tap(as_technician, later, CUT_IN)
    as_technician.post(reverse("measurement-set-aside", args=[later.pk, CUT_IN]), sent)  # a double tap
    assert Event.objects.count() == before + 1
    kept = SettingAside.objects.get()
    assert kept.how == "as_before"
    assert kept.reason == "Read at the thing itself: as before, 141.0\u00a0kPa (14 April 2025, T. Marsh)."
    assert not Measurement.objects.filter(visit=later).exists()
    assert comparisons(later) == []
    line = line_of(later, CUT_IN)
    assert (line.status, line.is_open, line.is_good) == (Status.AS_BEFORE, False, False)
    assert "data-set-point" not in as_technician.get(url(later, CUT_IN)).content.decode()
    assert [one.check.key for one in record_context(later)["as_before"]] == ["cut_in"]


def test_what_a_hold_rests_on_stays_owed(as_technician: Client, later: Visit) -> None:
    assert "it stays owed until it is measured" in as_technician.get(url(later, PRECHARGE)).content.decode()
    tap(as_technician, later, PRECHARGE)
    line = line_of(later, PRECHARGE)
    assert (line.status, line.is_open) == (Status.OWED, True)
    words = [one.words for s in sections_of(progress_of(later), zone_of(later.site)) for one in s.lines]
    assert any(one.endswith("read, as before") for one in words)


def test_a_number_taken_after_all_counts(as_technician: Client, later: Visit, technician: Any) -> None:
    tap(as_technician, later, CUT_IN)
    cycles = [("pressure", "150", "kPa", n) for n in "123"]
    measure(later, "cut_in", "PS1", *cycles, actor=technician, at=FIRST + timedelta(days=365, hours=1))
    assert line_of(later, CUT_IN).status is Status.TAKEN


def offered(visit: Visit, owed: str) -> Any:
    progress = progress_of(Visit.objects.get(pk=visit.pk))
    line = progress.line(owed)
    assert line is not None
    return set_point_as_before(progress, line)


def test_nothing_is_offered_without_a_number_of_the_thing_that_stands_there(later: Visit, technician: Any) -> None:
    assert offered(later, CUT_IN) is not None
    assert offered(later, "cut_out:PS1") is None  # never measured
    assert offered(Visit.objects.get(site=later.site, kind="start_up"), CUT_IN) is None
    replace(later.site, "PS1", technician)
    assert offered(later, CUT_IN) is None


def test_append_door_wants_what_was_read(later: Visit, technician: Any) -> None:
    body = {"id": str(uuid4()), "visit": str(later.pk), "check": "cut_in", "subject": "PS1", "how": "as_before",
            "reason": " "}  # fmt: skip
    with pytest.raises(evidence.RefusedError):
        evidence.append(site=later.site, kind="check.set_aside", body=body, actor=technician)


STANDING = """
const { sectionsOf } = await import(it.sections);
const visit = m.standingOf(it.pack, it.records, () => null);
const words = sectionsOf(visit).flatMap((one) => one.lines).filter((one) => it.keys.includes(one.line.id));
return [visit.all.filter((line) => it.keys.includes(line.id)).map((line) => [line.id, line.status, line.isGood]).sort(),
  words.map((one) => one.words).sort()];"""


def test_phone_says_the_same_of_it(later: Visit, technician: Any) -> None:
    progress = progress_of(later)
    checks = {line.check.key: check_data(line.check) for line in (*progress.lines, *progress.offered)}
    pack = {**standing_of(progress), "zone": later.site.zone, "units": unit_table("metric"), "checks": checks,
            "known": [], "user": "", "name": "T. Marsh", "kind": "service"}  # fmt: skip
    records = []
    for n, owed in enumerate((CUT_IN, PRECHARGE)):
        check, subject = owed.split(":")
        body = {"id": str(uuid4()), "visit": str(later.pk), "check": check, "subject": subject, "how": "as_before",
                "reason": "Read at the thing itself."}  # fmt: skip
        item = {"body": body, "clock": {"wall": FIRST.isoformat()}}
        records.append({"id": str(n), "kind": "check.set_aside", "state": "kept", "user": "", "item": item})
        evidence.append(site=later.site, kind="check.set_aside", body=body, actor=technician)

    case = {
        "pack": pack,
        "records": records,
        "keys": [CUT_IN, PRECHARGE],
        "sections": (MODULES / "sections.js").as_uri(),
    }
    ((standing, words),) = run("standing.js", STANDING, [case])
    lines = [line_of(later, owed) for owed in (CUT_IN, PRECHARGE)]
    assert standing == sorted([one.owed.id, one.status.value, one.is_good] for one in lines)
    shown = [one for s in sections_of(progress_of(later), zone_of(later.site)) for one in s.lines]
    assert words == sorted(one.words for one in shown if one.url.rstrip("/").endswith((CUT_IN, PRECHARGE)))
