"""A sheet is issued as shown, numbered without gaps, revised, withdrawn; nothing of it is ever edited."""

import io
import json
import zipfile
from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from commissioning import evidence, pdf
from commissioning.canonical import canonical_json, digest
from commissioning.chain import problems
from commissioning.handover import services
from commissioning.models import Contact, Event, Sheet
from commissioning.open_items import open_items
from commissioning.open_record.export import export_site
from commissioning.progress import progress_of
from tests.commissioning.handover.conftest import ADDRESS, entry_for, raise_defect
from tests.commissioning.handover.started_up import begin_up, readings_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("without_pdf")]


def frozen(sheet):
    return json.loads(sheet.body)


# ---- the frozen record ------------------------------------------------------------------


def test_record_is_canonical_and_its_hash_is_that_of_its_text(visit, issue):
    sheet = Sheet.objects.get(pk=issue(visit).pk)
    assert canonical_json(json.loads(sheet.body)) == sheet.body
    assert digest(sheet.body) == sheet.hash


def test_record_holds_texts_and_whole_numbers_alone(visit, issue):
    def kinds(content):
        if isinstance(content, dict):
            return set().union(*map(kinds, content.values()), {str})
        if isinstance(content, list):
            return set().union(*map(kinds, content), set())
        return {type(content)}

    assert kinds(frozen(issue(visit))) <= {str, int, bool, type(None)}


def test_record_names_its_evidence(visit, issue):
    record = frozen(issue(visit))
    line = next(x for g in record["results"] for x in g["lines"] if x["check"] == "static_level")
    taken = visit.measurements.get(check_key="static_level")
    assert (line["measurement"], line["event"]) == (str(taken.pk), taken.event.hash)
    assert [r["typed"] for r in line["readings"]] == ["24.10", "24.11"]
    assert {r["id"] for r in line["readings"]} == {str(r.pk) for r in taken.readings.all()}
    event = Event.objects.of_site(visit.site_id).last()  # the issue itself, after the head it was frozen on
    assert record["log_head"] == {"sequence": event.sequence - 1, "hash": event.previous_hash}
    assert record["as_built"]["snapshot"] == visit.site.snapshots.order_by("made_at").last().hash


def test_record_keeps_the_nameplate_as_typed(visit, issue):
    components = {one["tag"]: one for one in frozen(issue(visit))["as_built"]["components"]}
    assert "Depth 60\u00a0m" in components["W1"]["lines"]
    assert "Principle positive displacement (helical rotor, diaphragm)" in components["PU1"]["lines"]
    assert components["PU1"]["tables"][0]["rows"][0][:2] == ["200", "20"]


def test_owner_stands_by_name_and_what_can_be_erased_does_not(visit, issue):
    Contact.objects.create(
        site=visit.site, owner="The school's committee", telephone="555-0142", address="Upper Road 7"
    )
    sheet = issue(visit)
    assert frozen(sheet)["parties"]["owner"] == "The school's committee"
    assert "555-0142" not in sheet.body
    assert "Upper Road" not in sheet.body


def test_exceptions_name_who_and_why(visit, issue, office, technician):
    from commissioning.acceptance.services import grant_concession

    measure(
        visit, "well_depth_measured", "W1", *readings_of("well_depth_measured", [("depth", "49")]), actor=technician
    )
    line = progress_of(visit).line("well_depth_measured:W1")
    grant_concession(visit=visit, line=line, reason="Backfilled.", expires_on=date(2030, 1, 31), actor=office)
    body = {
        "id": "0" * 8 + "-0000-4000-8000-" + "0" * 12,
        "visit": str(visit.pk),
        "hold": "fill_tank",
        "reason": "Clear by eye.",
    }
    evidence.append(site=visit.site, kind="hold.released", body=body, actor=office)
    found = frozen(issue(visit))["exceptions"]
    (concession,) = found["concessions"]
    assert (concession["letter"], concession["by"], concession["until"]) == ("A", "M. Quill", "31 January 2030")
    assert concession["reason"] == "Backfilled."
    (released,) = found["released"]
    assert (released["hold"], released["reason"], released["by"]) == ("fill the tank", "Clear by eye.", "M. Quill")


def test_replaced_measurement_is_named(visit, issue, technician):
    old = visit.measurements.get(check_key="static_level")
    readings = readings_of("static_level", [("level", "24.20", "1"), ("level", "24.21", "2")])
    new = measure(
        visit,
        "static_level",
        "W1",
        *readings,
        actor=technician,
        supersedes=str(old.pk),
        supersedes_reason="Wrong mark.",
    )
    assert frozen(issue(visit))["exceptions"]["replaced"] == [
        {"id": str(old.pk), "owed": "static_level:W1", "by": str(new.pk), "reason": "Wrong mark."}
    ]


def test_issuer_signs_for_what_was_shown(visit, issue):
    shown = services.draft_of(visit).shown_hash
    last = frozen(issue(visit))["signatures"][-1]
    assert (last["name"], last["role"], last["shown_hash"]) == ("M. Quill", "office", shown)


def test_draft_is_another_after_any_event(visit, technician):
    before = services.draft_of(visit).shown_hash
    assert services.draft_of(visit).shown_hash == before
    raise_defect(visit, technician)
    assert services.draft_of(visit).shown_hash != before


# ---- number, revision, withdrawal -------------------------------------------------------


def test_numbers_run_through_the_year_without_gaps(technician, issue):
    visits = [begin_up(technician, site_with_record(technician, name=f"Site {i}")) for i in range(3)]
    sheets = [issue(one) for one in visits]
    assert [s.sequence for s in sheets] == [1, 2, 3]
    assert {s.year for s in sheets} == {sheets[0].issued_at.year}
    assert sheets[2].number.endswith("-003")


def test_revision_supersedes_the_one_before_with_its_reason(visit, issue):
    first = issue(visit)
    second = issue(visit, reason="The owner's name was wrong.")
    first.refresh_from_db()
    assert (second.number, second.revision) == (first.number, 2)
    assert (first.state, first.state_reason) == ("superseded", "The owner's name was wrong.")
    assert frozen(second)["sheet"]["supersedes"] == first.hash


def test_revision_without_a_reason_is_refused(visit, issue):
    issue(visit)
    with pytest.raises(services.NotIssuedError, match="Say why"):
        issue(visit)
    assert Sheet.objects.count() == 1


def test_withdrawn_sheet_is_followed_by_a_new_number(visit, issue, office):
    first = issue(visit)
    services.withdraw_sheet(sheet=first, reason="Wrong system.", actor=office)
    first.refresh_from_db()
    assert (first.state, first.state_reason) == ("withdrawn", "Wrong system.")
    second = issue(visit)
    assert (second.sequence, second.revision) == (2, 1)


def test_sheet_is_withdrawn_once_and_a_superseded_one_not_at_all(visit, issue, office):
    first, second = issue(visit), issue(visit, reason="Again.")
    for sheet in (first, second, second):
        if sheet == second and Sheet.objects.get(pk=second.pk).state == "issued":
            services.withdraw_sheet(sheet=sheet, reason="Gone.", actor=office)
            continue
        with pytest.raises(evidence.RefusedError):
            services.withdraw_sheet(sheet=sheet, reason="Gone.", actor=office)


def test_each_act_is_one_event_by_name_and_the_chain_holds(visit, issue, office):
    before = Event.objects.count()
    sheet = issue(visit)
    services.withdraw_sheet(sheet=sheet, reason="Gone.", actor=office)
    added = list(Event.objects.order_by("received_at", "sequence").values_list("kind", "actor__username"))[before:]
    assert added == [("sheet.issued", "quill"), ("sheet.withdrawn", "quill")]
    assert problems() == []


def test_office_alone_issues_and_withdraws(visit, issue, technician):
    sheet = issue(visit)
    entry = entry_for(services.draft_of(visit), reason="Mine.")
    with pytest.raises(PermissionDenied):
        services.issue_sheet(visit=visit, entry=entry, actor=technician, address=ADDRESS)
    with pytest.raises(PermissionDenied):
        services.withdraw_sheet(sheet=sheet, reason="Mine.", actor=technician)


# ---- what is issued is what was shown ---------------------------------------------------


def test_record_that_grew_since_it_was_shown_is_not_issued(visit, office, technician):
    entry = entry_for(services.draft_of(visit))
    raise_defect(visit, technician)
    with pytest.raises(services.ChangedError):
        services.issue_sheet(visit=visit, entry=entry, actor=office, address=ADDRESS)
    assert not Sheet.objects.exists()


def test_changed_nameplate_that_changes_a_verdict_is_judged_before_issue(visit, office, technician):
    well = visit.site.components.get(tag="W1")
    plate = {**well.nameplate, "static_level": {"typed": "40", "unit": "m"}}
    change = {"op": "put", "sort": "component", "id": str(well.pk), "kind": "well", "tag": "W1", "nameplate": plate}
    evidence.append(site=visit.site, kind="record.changed", body={"changes": [change]}, actor=technician)
    entry = entry_for(services.draft_of(visit))
    with pytest.raises(services.ChangedError):
        services.issue_sheet(visit=visit, entry=entry, actor=office, address=ADDRESS)
    assert progress_of(visit).line("static_level:W1").verdict == "outside"


def test_event_that_slips_in_while_it_is_rendered_stops_it(visit, office, technician, monkeypatch):
    """The slow part runs before the lock: what came meanwhile is seen under it."""
    entry = entry_for(services.draft_of(visit))
    real = services.frozen_record

    def slow(*args):
        made = real(*args)
        raise_defect(visit, technician)
        return made

    monkeypatch.setattr(services, "frozen_record", slow)
    with pytest.raises(services.ChangedError):
        services.issue_sheet(visit=visit, entry=entry, actor=office, address=ADDRESS)
    assert not Sheet.objects.exists()


def test_number_taken_while_it_is_rendered_is_given_up_for_the_next(visit, technician, office, issue, monkeypatch):
    other = begin_up(technician, site_with_record(technician, name="Other"))
    entry = entry_for(services.draft_of(visit))
    real, calls = services.frozen_record, []

    def slow(*args):
        made = real(*args)
        if not calls:
            calls.append(1)
            issue(other)
        return made

    monkeypatch.setattr(services, "frozen_record", slow)
    sheet = services.issue_sheet(visit=visit, entry=entry, actor=office, address=ADDRESS)
    assert sorted(Sheet.objects.values_list("sequence", flat=True)) == [1, 2]
    assert (sheet.sequence, frozen(sheet)["sheet"]["sequence"]) == (2, 2)


def test_render_that_fails_issues_nothing(visit, issue, monkeypatch):
    monkeypatch.setattr("commissioning.pdf.pdf_available", lambda: None)

    def fail(record, paper):
        raise pdf.PdfError("torn")

    monkeypatch.setattr(services, "printed_sheet", fail)
    before = Event.objects.count()
    with pytest.raises(pdf.PdfError):
        issue(visit)
    assert (Sheet.objects.count(), Event.objects.count()) == (0, before)


def test_without_the_libraries_it_is_issued_without_a_file(visit, issue):
    assert issue(visit).file_hash == ""


# ---- how it stands ----------------------------------------------------------------------


def test_every_open_item_is_named_with_who_and_when(visit, issue):
    record = frozen(issue(visit))
    items = open_items(progress_of(visit))
    assert [i["what"] for i in record["sheet"]["open_items"]] == [i.title for i in items]
    assert all(i["who"] and i["due"] == "23 April 2027" for i in record["sheet"]["open_items"])
    assert record["sheet"]["standing"]["words"].startswith(f"Issued with open items ({len(items)}).")


def test_open_item_that_nobody_sees_to_stops_the_issue(visit, issue):
    with pytest.raises(services.NotIssuedError, match="open item"):
        issue(visit, seen_to={})


def test_unreleased_water_is_said_large(visit, issue):
    standing = frozen(issue(visit))["sheet"]["standing"]
    assert standing["words"].endswith("Not for drinking until released.")
    assert any("O1 drinking tap" in line and "HP1" in line for line in standing["lines"])
    assert "Not drinking water at all: O2 wash trough." in standing["lines"]


def test_unsafe_defect_is_issued_only_as_left_isolated(visit, issue, technician):
    raise_defect(visit, technician, "Bare conductor at C1.", is_unsafe=True)
    with pytest.raises(services.NotIssuedError, match="Bare conductor"):
        issue(visit)
    sheet = issue(visit, isolated="S1 locked open, tag on both taps, T. Marsh.")
    standing = frozen(sheet)["sheet"]["standing"]
    assert standing["words"].startswith("Left isolated: do not use.")
    assert standing["lines"][0] == "S1 locked open, tag on both taps, T. Marsh."


def test_standing_hold_of_voltage_and_polarity_is_issued_only_as_left_isolated(technician, issue):
    visit = visit_on(site_with_record(technician), technician)
    with pytest.raises(services.NotIssuedError, match="close strings"):
        issue(visit)
    assert issue(visit, isolated="Strings apart.").with_open_items


def test_record_that_does_not_hold_together_is_not_issued(visit, issue, monkeypatch):
    draft = services.draft_of(visit)
    broken = services.Draft(**{**draft.__dict__, "progress": _with_problem(draft.progress)})
    monkeypatch.setattr(services, "draft_of", lambda visit: broken)
    with pytest.raises(services.NotIssuedError, match="tag X1 stands twice"):
        issue(visit)


def _with_problem(progress):
    progress.problem = "tag X1 stands twice"
    return progress


def test_fully_good_visit_has_nothing_open(visit):
    from commissioning.handover.standing import NOTHING_OPEN, standing_of

    progress = progress_of(visit)
    progress.system = None  # no outlet: nothing to drink from
    assert standing_of(progress, [], "")["words"] == NOTHING_OPEN


# ---- the duty ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "u", "met"),
    [(118_000.0, 1_750.0, "within"), (50_500.0, 1_750.0, "borderline"), (40_000.0, 1_750.0, "outside")],
)
def test_pressure_is_held_against_what_was_asked_and_not_against_the_model(value, u, met):
    """JCGM 106 8.3: within where y − U ≥ 50 kPa, outside where y + U < 50 kPa; U = 2 × 1.75 kPa."""
    from commissioning.handover.duty import against_duty

    terms = [{"name": "pressure", "u": u, "shared": False}, {"name": "pipe friction", "u": 9e9, "shared": True}]
    f = {"value": value, "bound": "", "spread": 2e10, "terms": terms, "verdict": "unjudged",
         "expected": {"nominal": 126_000.0, "lower": 116_000.0, "upper": 150_000.0}}  # fmt: skip
    judged = against_duty(f, 50_000.0)
    assert judged["verdict"] == met
    assert judged["spread"] == pytest.approx(3_500.0)


BARS = [
    ([], "No duty is recorded for any outlet."),
    (["met"], "Duty met at the outlet: O1."),
    (["met", "met"], "Duty met at every outlet: O1, O2."),
    (["not measured", "not measured"], "Duty not measured at any outlet: O1, O2."),
    (["met", "not met", "unjudged"], "Duty not met at O2; unjudged at O3; met at O1."),
    (["not measured", "borderline", "met"], "Duty not measured at O1; borderline at O2; met at O3."),
]


@pytest.mark.parametrize(("met", "said"), BARS)
def test_duty_is_said_in_one_sentence_the_worst_first(met, said):
    from commissioning.handover.said import duty_bar

    assert duty_bar([{"tag": f"O{i}", "met": one} for i, one in enumerate(met, 1)]) == said


# ---- out and in again -------------------------------------------------------------------


def test_exported_site_carries_the_sheet_as_it_was_hashed(visit, issue):
    sheet = issue(visit)
    with zipfile.ZipFile(io.BytesIO(export_site(visit.site))) as archive:
        record = json.loads(archive.read("record.json"))
    (event,) = [one for one in record["events"] if one["kind"] == "sheet.issued"]
    assert event["id"] == str(sheet.pk)
    assert json.loads(event["body"])["record"] == sheet.body
