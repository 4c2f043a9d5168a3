"""The phone counts what is owed, and puts it in its place, as the server does: both are asked, and compared."""

import json
from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from commissioning.acceptance.services import ask_question
from commissioning.models import Visit
from commissioning.progress import Progress, progress_of
from commissioning.service.services import keep_saying
from commissioning.sync.declared import check_data, unit_table
from commissioning.sync.standing import standing_of
from commissioning.visits import services
from commissioning.visits.sections import asked_lines, next_line, owed_sentence, sections_of
from commissioning.visits.signing import shown_at_signing
from commissioning.visits.times import zone_of
from tests.commissioning.handover.started_up import start_up
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.phone.node import MODULES, run

pytestmark = pytest.mark.django_db

SECTIONS = """
const { askedLines, sectionsOf, owedSentences } = await import(it.sections);
const { nextLine } = m;
const { shownAtSigning } = await import(it.signing);
const visit = m.standingOf(it.pack, it.records, () => null);
const line = (one) => [one.line.id, one.words, one.isBehind];
return {
  sections: sectionsOf(visit).map((one) => [one.key, one.hold ? "" : one.title, one.hold?.key ?? "",
    one.bars.map((hold) => hold.key), one.lines.map(line), one.folded.map(line),
    one.folded.length ? one.foldedWords : ""]),
  asked: askedLines(visit).map(line),
  sentences: owedSentences(visit), count: visit.owedCount, next: nextLine(visit)?.id ?? "",
  holds: visit.holds.map((hold) => [hold.key, hold.standing]), signing: shownAtSigning(visit),
};"""


def by_phone(progress: Progress, records: list[dict[str, Any]]) -> dict[str, Any]:
    site = progress.visit.site
    checks = {line.check.key: check_data(line.check) for line in (*progress.lines, *progress.offered)}
    pack = {
        **standing_of(progress), "zone": site.zone, "units": unit_table(site.unit_system), "checks": checks,
        "known": [], "tables": {}, "user": "", "name": "", "visit": str(progress.visit.pk),
        "kind": progress.visit.get_kind_display(),
    }  # fmt: skip
    case = {
        "pack": pack,
        "records": records,
        "sections": (MODULES / "sections.js").as_uri(),
        "signing": (MODULES / "sign_page.js").as_uri(),
    }
    found: dict[str, Any] = run("standing.js", SECTIONS, [json.loads(json.dumps(case))])[0]
    return found


def by_server(progress: Progress) -> dict[str, Any]:
    url = progress.visit.get_absolute_url()

    def line(one: Any) -> list[Any]:
        return [one.url.removeprefix(url).rstrip("/"), one.words, one.is_behind]

    keys = {f"Hold: {hold.hold.title}": hold.hold.key for hold in progress.holds}
    coming = next_line(progress)
    return {
        "sections": [
            [s.key, s.title, keys[s.hold.title] if s.hold else "", [keys[bar.title] for bar in s.bars],
             [line(one) for one in s.lines], [line(one) for one in s.folded], s.folded_words if s.folded else ""]
            for s in sections_of(progress, zone_of(progress.visit.site))
        ],
        "asked": [line(one) for one in asked_lines(progress, zone_of(progress.visit.site))],
        "sentences": owed_sentence(progress), "count": progress.owed_count,
        "next": coming.owed.id if coming else "",
        "holds": [[hold.hold.key, hold.standing.value] for hold in progress.holds],
        "signing": shown_at_signing(progress).content,
    }  # fmt: skip


def compare(visit: Visit) -> dict[str, Any]:
    progress = progress_of(Visit.objects.select_related("site").get(pk=visit.pk))
    server = by_server(progress)
    assert by_phone(progress, []) == server
    return server


@pytest.fixture
def visit(technician: Any) -> Visit:
    return visit_on(site_with_record(technician), technician, at=timezone.now() - timedelta(days=2))


def test_visit_that_has_just_begun_is_laid_out_alike(visit: Visit) -> None:
    found = compare(visit)
    assert found["count"] > 30
    assert "close_strings" in {one[2] for one in found["sections"]}


def test_service_visit_is_laid_out_alike_and_reads_before_it_isolates(technician: Any) -> None:
    visit = visit_on(site_with_record(technician), technician, "service")
    keep_saying(visit=visit, id=uuid4(), symptoms=["tank_stays_low", "hand_pump"], words="", actor=technician)
    found = compare(visit)
    titles = [title or hold for _, title, hold, *_ in found["sections"]]
    assert titles.index("Take first") < titles.index("Delivery") < titles.index("safe_to_work")


def test_what_is_taken_set_aside_and_released_is_laid_out_alike(visit: Visit, technician: Any) -> None:
    aside = {"visit": visit, "actor": technician}
    services.set_aside(
        **aside, check="walk_round_labels", subject="site", id=uuid4(), how="cannot_be_taken", reason="no labels"
    )
    services.set_aside(**aside, check="turbidity", subject="W1", id=uuid4(), how="parked", reason="")
    services.set_aside(**aside, check="coliform", subject="O1", id=uuid4(), how="parked", reason="sent Monday")
    for key in ("walk_round_well:W1", "walk_round_array:A1", "walk_round_tank:T1", "proved_dead:C1"):
        check, _, tag = key.partition(":")
        measure(visit, check, tag, actor=technician, answer="as it should be")
    measure(visit, "static_level", "W1", ("level", "24.1", "m", "1"), ("level", "24.1", "m", "2"), actor=technician)
    measure(
        visit, "well_pump_flow", "PU1", ("flow", "21.4", "L/min", "row 1"), ("power", "410", "W", "row 1"),
        ("irradiance", "790", "W/m2", "row 1"), ("level", "26.1", "m", "row 1"), actor=technician,
    )  # fmt: skip
    services.release_hold(visit=visit, hold="leave_unattended", id=uuid4(), reason="we stay", actor=technician)
    services.raise_defect(visit=visit, id=uuid4(), words="Valve half shut", is_unsafe=True, actor=technician)
    found = compare(visit)
    standings = dict(found["holds"])
    assert (standings["safe_to_work"], standings["leave_unattended"]) == ("settled", "released")
    assert "rows" in [one[0] for one in found["sections"]]


def test_visit_in_which_nearly_all_is_taken_is_laid_out_alike(technician: Any) -> None:
    found = compare(start_up(technician))
    assert found["count"] < 20


def test_question_of_the_office_waits_on_the_phone_until_it_is_answered_there(
    visit: Visit, technician: Any, office: Any
) -> None:
    measure(visit, "turbidity", "W1", ("turbidity", "0.8", "NTU"), actor=technician)
    line = progress_of(visit).line("turbidity:W1")
    assert line is not None
    asked = ask_question(visit=visit, line=line, words="Which cup?", actor=office)
    found = compare(visit)["asked"]
    assert [(owed, words[-25:]) for owed, words, _ in found] == [("turbidity:W1", "M. Quill asks: Which cup?")]
    body = {"id": str(uuid4()), "question": str(asked.pk), "words": "The tall one.", "measurement": None}
    clock = {"wall": timezone.now().isoformat()}
    item = {"body": body, "clock": clock}
    kept = {"id": str(uuid4()), "kind": "question.answered", "user": "", "state": "kept", "item": item}
    assert by_phone(progress_of(visit), [kept])["asked"] == []
    assert by_phone(progress_of(visit), [{**kept, "state": "refused"}])["asked"] == found
