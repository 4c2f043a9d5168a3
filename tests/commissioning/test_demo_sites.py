"""The demo's sites stand as its page says: half started, handed over and served, designed only."""

import json
from collections.abc import Iterator
from datetime import timedelta
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import transaction
from django.utils import timezone
from jsonschema import Draft202012Validator

import commissioning.demo
from commissioning import snapshot
from commissioning.canonical import digest
from commissioning.demo.handwriting import drawn
from commissioning.models import Instrument, Judgement, Measurement, Role, Sheet, Site, User, Visit
from commissioning.open_record.schema import AS_BUILT_SCHEMA
from commissioning.progress import Progress, Status, progress_of
from commissioning.service.comparison import Compared, comparisons
from commissioning.strokes import parse_strokes
from sizing.checks.declare import Kind
from sizing.holds import Standing

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("seeded")]

FILES = sorted(Path(commissioning.demo.__file__).parent.glob("*.json"))


@pytest.fixture(scope="module")
def seeded(django_db_setup: None, django_db_blocker: Any, tmp_path_factory: Any) -> Iterator[None]:
    """The demo, written once for all tests here; what each does is undone, and all of it at the end."""
    with pytest.MonkeyPatch.context() as patch, django_db_blocker.unblock(), transaction.atomic():
        patch.setattr("django.conf.settings.MEDIA_ROOT", tmp_path_factory.mktemp("media"))
        User.objects.create_user("technician", display_name="T. Marsh", role=Role.TECHNICIAN)
        User.objects.create_user("office", display_name="M. Quill", role=Role.OFFICE)
        commissioning.demo.seed()
        yield
        transaction.set_rollback(True)


def of(name: str, kind: str) -> Progress:
    return progress_of(Visit.objects.get(site__name=name, kind=kind))


def verdicts(progress: Progress) -> dict[str, str]:
    return {line.owed.id: line.verdict for line in progress.lines if line.verdict}


def standings(progress: Progress) -> dict[str, Standing]:
    return {one.hold.key: one.standing for one in progress.holds}


def test_every_measurement_has_one_judgement_and_every_judgement_a_measurement() -> None:
    assert Measurement.objects.count() == Judgement.objects.count() > 80


def test_half_done_start_up_shows_every_verdict() -> None:
    found = verdicts(of("Saltbush clinic", "start_up"))
    assert found["short_circuit_current:A1"] == "outside"
    assert found["electrode_resistance:EE1"] == "borderline"
    assert found["pump_cable_loop_resistance:PU1"] == "unjudged"
    assert list(found.values()).count("within") > 12
    # the one shaded string is outside twice: by itself, and against the others
    assert [owed for owed, verdict in found.items() if verdict == "outside"] == [
        "short_circuit_current:A1",
        "string_spread:A1",
    ]


def test_half_done_start_up_says_which_field_is_missing() -> None:
    line = of("Saltbush clinic", "start_up").line("pump_cable_loop_resistance:PU1")
    assert line is not None
    assert line.judgement is not None
    assert line.judgement.findings[0]["missing"][0]["field"] == "winding_resistance"


def test_half_done_start_up_has_holds_standing_and_settled() -> None:
    found = standings(of("Saltbush clinic", "start_up"))
    assert found["start_well_pump"] is Standing.SETTLED
    assert found["fill_tank"] is Standing.STANDS
    assert found["drink"] is Standing.STANDS


def test_half_done_start_up_lists_what_blocks_a_sheet() -> None:
    progress = of("Saltbush clinic", "start_up")
    words = [block.words for block in progress.blocks]
    assert words[0].startswith("Defect 1: The radio mast")
    assert "cannot be taken: The trench was filled in before we came" in words
    assert not any("Pump was hung" in one for one in words)  # the depth is only offered
    assert "parked: Labels are in the other truck" in words
    assert words.count("owed") > 20
    assert {Status.OWED, Status.BEHIND, Status.PARKED} <= {line.status for line in progress.lines}


def test_slip_is_superseded_and_kept() -> None:
    old = Measurement.objects.get(superseded_by__supersedes_reason="Read 10 ft off on the tape")
    assert [r.typed for r in old.readings.all()] == ["129.30", "129.32"]


def test_start_up_three_years_ago_is_all_good() -> None:
    progress = of("Larkmoor school", "start_up")
    bad = [line.owed.id for line in progress.lines if not line.is_good]
    assert bad == []
    assert set(standings(progress).values()) == {Standing.SETTLED}
    derived = {line.owed.check for line in progress.lines if line.check.kind is Kind.DERIVED}
    assert derived >= {"string_spread", "well_drawdown", "specific_capacity", "wire_to_water"}


def test_everything_of_that_day_bears_that_day() -> None:
    visit = Visit.objects.get(site__name="Larkmoor school", kind="start_up")
    latest = timezone.now() - timedelta(days=3 * 365)
    assert all(one.taken_at < latest for one in visit.measurements.all())  # the derived ones too
    assert all(one.at < latest for one in visit.signatures.all())
    assert visit.ended_at is not None
    assert visit.ended_at < latest


def test_sheet_is_issued_with_nothing_open_and_is_what_its_hash_says() -> None:
    sheet = Sheet.objects.get()
    record = json.loads(sheet.body)
    assert sheet.state == "issued"
    assert not sheet.with_open_items
    assert sheet.number == f"{sheet.issued_at.year}-001"
    assert digest(sheet.body) == sheet.hash
    assert record["sheet"]["standing"]["words"] == "Issued, nothing open."
    assert [one["name"] for one in record["signatures"]] == ["T. Marsh", "E. Sable", "M. Quill"]
    for one in record["signatures"]:
        assert parse_strokes(one["strokes"]).lines
    assert all(one["calibrated"] for one in record["instruments"])


def test_public_page_of_the_sheet_says_genuine_and_current(client: Any) -> None:
    record = json.loads(Sheet.objects.get().body)
    page = client.get(record["sheet"]["address"].removeprefix("http://localhost:8000"))
    assert page.status_code == 200
    assert Sheet.objects.get().number in page.content.decode()


def test_service_shows_the_growing_fault_and_not_the_weather() -> None:
    progress = of("Larkmoor school", "service")
    found = verdicts(progress)
    assert found["specific_capacity:W1"] == found["well_pump_flow:PU1"] == found["sand:W1"] == "outside"
    assert found["well_pump_power:PU1"] == found["static_level:W1"] == "within"
    moved = {f"{c.check.key} {one.label}": one for c in comparisons(progress.visit) for one in c.compared}
    assert moved["specific_capacity Specific capacity"].has_moved
    assert moved["well_pump_flow Flow, row 3"].has_moved
    assert not moved["well_pump_power Power into the controller"].has_moved
    assert percent(moved["specific_capacity Specific capacity"]) < -30
    assert -25 < percent(moved["well_pump_flow Flow, row 3"]) < -15


def percent(one: Compared) -> float:
    return float(one.change.replace("\u2212", "-").removesuffix("\u00a0%"))


def test_design_only_has_a_record_with_gaps_and_no_visit() -> None:
    site = Site.objects.get(name="Fennel Gap farm")
    assert not site.visits.exists()
    assert {"PU1", "A1", "T1"} <= set(snapshot.system_now(site).nodes)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_record_files_are_open_as_built_files(file: Path) -> None:
    document = json.loads(file.read_text(encoding="utf-8"))
    assert not list(Draft202012Validator(AS_BUILT_SCHEMA).iter_errors(document))
    said = StringIO()
    call_command("expected", str(file), "--json", stdout=said)
    rows = json.loads(said.getvalue())["checks"]
    is_complete = file.stem != "fennel_gap_farm"
    assert any("missing" in row for row in rows)  # no condition was given
    assert any(row.get("nominal") is not None for row in rows) or not is_complete


def test_evidence_verifies() -> None:
    said = StringIO()
    call_command("verify", stdout=said)
    assert "are as they were written" in said.getvalue()


def test_one_instrument_is_overdue() -> None:
    today = timezone.now().date()
    assert [one.tag for one in Instrument.objects.filter(calibration_due__lt=today)] == ["SM1"]


def test_drawn_names_differ_and_are_signatures() -> None:
    names = {name: parse_strokes(drawn(name)) for name in ("T Marsh", "M Quill", "E Sable")}
    assert len({one.text for one in names.values()}) == 3
    assert all(one.box[2] > 80 for one in names.values())
