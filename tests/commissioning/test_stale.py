"""A change of the record makes earlier measurements stale: owed again with the reason, and no sheet over them."""

from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from commissioning import evidence
from commissioning.asbuilt.services import change_record
from commissioning.handover.standing import why_only_isolated
from commissioning.models import Component, Visit
from commissioning.progress import Line, Status, progress_of
from sizing.holds import Standing
from tests.commissioning.worlds import measure, site_with_record, typed_plate, visit_on
from tests.sizing.systems import plate, quince_ridge

pytestmark = pytest.mark.django_db
MORNING = datetime(2027, 4, 14, 15, tzinfo=UTC)
FLOAT = "fill_stop_level:LS1"


@pytest.fixture
def visit(technician: Any) -> Visit:
    return visit_on(site_with_record(technician), technician, at=MORNING)


def line(visit: Visit, owed: str) -> Line:
    found = progress_of(visit).line(owed)
    assert found is not None
    return found


def stop(visit: Visit, actor: Any, at: datetime = MORNING, depth: str = "2.05") -> Any:
    return measure(visit, "fill_stop_level", "LS1", ("depth", depth, "m"), actor=actor, at=at, way="dip")


def change(visit: Visit, tag: str, actor: Any, **fields: Any) -> None:
    """Change the nameplate of a component, in core units."""
    document = quince_ridge()
    plate(document, tag).update(fields)
    row = Component.objects.get(site=visit.site, tag=tag)
    typed = typed_plate(row.kind, plate(document, tag), "metric")
    put = {"op": "put", "sort": "component", "id": str(row.pk), "kind": row.kind, "tag": tag, "nameplate": typed}
    change_record(site=visit.site, changes=[put], reason="moved", actor=actor)


def test_a_moved_float_is_owed_again_with_the_reason(visit: Visit, technician: Any) -> None:
    stop(visit, technician)
    assert line(visit, FLOAT).is_good
    change(visit, "LS1", technician, set_elevation=17.95)
    stale = line(visit, FLOAT)
    assert stale.status is Status.BEHIND or stale.status is Status.OWED
    assert stale.is_open
    assert not stale.is_good
    assert stale.stale == "level switch LS1: set level above datum changed"
    assert [one.check_key for one in stale.earlier] == ["fill_stop_level"]
    (block,) = [b for b in progress_of(visit).blocks if b.line and b.line.owed.id == FLOAT]
    assert block.words == f"owed again: {stale.stale}"


def test_what_the_change_does_not_touch_still_counts(visit: Visit, technician: Any) -> None:
    measure(visit, "walk_round_tank", "T1", actor=technician, answer="as it should be", at=MORNING)
    change(visit, "LS1", technician, set_elevation=17.95)
    assert line(visit, "walk_round_tank:T1").is_good


def test_measured_again_on_the_new_record_it_counts(visit: Visit, technician: Any) -> None:
    stop(visit, technician)
    change(visit, "LS1", technician, set_elevation=17.95)
    stop(visit, technician, MORNING + timedelta(hours=2), "1.95")
    again = line(visit, FLOAT)
    assert again.is_good
    assert again.stale == ""


def test_a_corrected_nameplate_is_judged_again_and_counts(visit: Visit, technician: Any) -> None:
    stop(visit, technician)
    change(visit, "T1", technician, inlet_elevation=18.4)
    assert line(visit, FLOAT).is_good


def test_a_judgement_made_since_does_not_freshen_it(visit: Visit, technician: Any) -> None:
    """The change itself judges again on the new record; the reading is as old as it was."""
    one = stop(visit, technician)
    change(visit, "LS1", technician, set_elevation=17.8)
    assert one.judgements.count() == 2
    assert line(visit, FLOAT).stale


def test_a_new_tag_is_no_change(visit: Visit, technician: Any) -> None:
    stop(visit, technician)
    row = Component.objects.get(site=visit.site, tag="LS1")
    put = {"op": "put", "sort": "component", "id": str(row.pk), "kind": row.kind, "tag": "LS9"}
    change_record(site=visit.site, changes=[put], reason="", actor=technician)
    assert line(visit, "fill_stop_level:LS9").is_good


def test_another_controller_under_the_same_tag_was_replaced(visit: Visit, technician: Any) -> None:
    measure(visit, "rotation", "PU1", actor=technician, answer="as it should be", at=MORNING)
    old, new = Component.objects.get(site=visit.site, tag="C1"), str(uuid4())
    ends = [
        {"op": "put", "sort": "run", "id": str(run.pk), "kind": run.kind, "tag": run.tag, end: new}
        for end, runs in (("start", old.runs_from), ("end", old.runs_to))
        for run in runs.all()
    ]
    put = {"op": "put", "sort": "component", "id": new, "kind": old.kind, "tag": "C1", "nameplate": old.nameplate}
    gone = {"op": "retire", "sort": "component", "id": str(old.pk)}
    change_record(site=visit.site, changes=[gone, put, *ends], reason="burnt", actor=technician)
    assert line(visit, "rotation:PU1").stale.startswith(("pump controller C1 (retired) was replaced", "cable K3"))


def test_a_stale_check_keeps_its_hold_standing(visit: Visit, technician: Any) -> None:
    for check, tag in (("low_water_guard_dry", "LS2"), ("fill_stop_level", "LS1")):
        readings = [("depth", "2.05", "m")] if check == "fill_stop_level" else []
        answer = {} if readings else {"answer": "as it should be"}
        measure(visit, check, tag, *readings, actor=technician, at=MORNING, **answer)
    hold = progress_of(visit).hold("leave_unattended")
    assert hold is not None
    assert hold.standing is Standing.SETTLED
    change(visit, "LS1", technician, set_elevation=17.95)
    hold = progress_of(visit).hold("leave_unattended")
    assert hold is not None
    assert hold.standing is Standing.STANDS


def test_what_was_said_of_the_old_reading_is_past(visit: Visit, technician: Any) -> None:
    aside = {"id": str(uuid4()), "visit": str(visit.pk), "check": "fill_stop_level", "subject": "LS1"}
    body = {**aside, "how": "cannot_be_taken", "reason": "no water today"}
    evidence.append(site=visit.site, kind="check.set_aside", body=body, actor=technician, at=MORNING)
    stop(visit, technician, MORNING + timedelta(hours=1))
    change(visit, "LS1", technician, set_elevation=17.95)
    assert line(visit, FLOAT).is_open
    body = {**aside, "id": str(uuid4()), "how": "cannot_be_taken", "reason": "no sun left"}
    later = MORNING + timedelta(hours=3)
    evidence.append(site=visit.site, kind="check.set_aside", body=body, actor=technician, at=later)
    assert line(visit, FLOAT).status is Status.NOT_TAKEN


def test_taken_again_on_a_later_visit_it_is_not_owed_on_the_first(visit: Visit, technician: Any) -> None:
    stop(visit, technician)
    change(visit, "LS1", technician, set_elevation=17.95)
    later = visit_on(visit.site, technician, "service", at=MORNING + timedelta(days=400))
    assert line(visit, FLOAT).stale
    stop(later, technician, MORNING + timedelta(days=400), "1.95")
    assert line(later, FLOAT).is_good
    assert line(visit, FLOAT).stale == ""


def test_progress_costs_no_query_more_while_nothing_is_stale(
    visit: Visit, technician: Any, django_assert_max_num_queries: Any
) -> None:
    stop(visit, technician)
    measure(visit, "walk_round_tank", "T1", actor=technician, answer="as it should be", at=MORNING)
    with django_assert_max_num_queries(14) as before:
        progress_of(visit)
    change(visit, "LS1", technician, set_elevation=17.95)
    change(visit, "LS2", technician, set_elevation=-41.0)
    with django_assert_max_num_queries(len(before) + 4):
        progress_of(visit)


def test_pages_say_why_it_is_owed_again(
    visit: Visit, technician: Any, as_technician: Client, as_office: Client
) -> None:
    stop(visit, technician)
    change(visit, "LS1", technician, set_elevation=17.95)
    for client, url in (
        (as_technician, visit.get_absolute_url()),
        (as_technician, reverse("measurement", args=[visit.pk, FLOAT])),
        (as_office, reverse("acceptance-detail", args=[visit.pk])),
    ):
        assert "set level above datum changed" in client.get(url).content.decode(), url


def test_no_sheet_is_issued_over_a_stale_check(visit: Visit, technician: Any) -> None:
    stop(visit, technician)
    assert not [words for words in why_only_isolated(progress_of(visit)) if "owed again" in words]
    change(visit, "LS1", technician, set_elevation=17.95)
    (words,) = [words for words in why_only_isolated(progress_of(visit)) if "owed again" in words]
    assert words.endswith("LS1, is owed again: level switch LS1: set level above datum changed.")
