"""What could also be taken: in sight, owed by nobody, and counting like any other once it is taken."""

from datetime import UTC, timedelta
from itertools import groupby
from typing import Any

import pytest
from django.test import Client

from commissioning.models import Site, Visit
from commissioning.open_items import open_items
from commissioning.progress import Progress, progress_of
from commissioning.visits.sections import sections_of
from tests.commissioning.handover.started_up import NOON, READINGS, readings_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
DEPTH, WELLHEAD = "well_depth_measured:W1", "wellhead_pressure:PU1"


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


@pytest.fixture
def visit(technician: Any, site: Site) -> Visit:
    return visit_on(site, technician, at=NOON)


def ids(progress: Progress) -> tuple[set[str], set[str]]:
    return {one.owed.id for one in progress.lines}, {one.owed.id for one in progress.offered}


def depth(visit: Visit, technician: Any, typed: str) -> None:
    measure(
        visit, "well_depth_measured", "W1", *readings_of("well_depth_measured", [("depth", typed)]), actor=technician
    )


def test_it_is_offered_and_neither_owed_nor_in_the_way(visit: Visit) -> None:
    progress = progress_of(visit)
    owed, offered = ids(progress)
    assert {DEPTH, WELLHEAD} <= offered
    assert not offered & owed
    assert not {item.owed for item in open_items(progress)} & offered
    assert progress.line(DEPTH) is not None


def test_page_lists_it_folded_and_leads_to_it(as_technician: Client, visit: Visit) -> None:
    page = as_technician.get(visit.get_absolute_url()).text
    at = page.index("Could also be taken")
    assert "<details>" in page[at : at + 400]
    assert f"/{DEPTH}/" in page[at:]
    assert f"/{DEPTH}/" not in page[:at]
    assert as_technician.get(f"{visit.get_absolute_url()}{DEPTH}/").status_code == 200


def test_taken_and_good_it_stands_with_the_others(visit: Visit, technician: Any) -> None:
    before = progress_of(visit).owed_count
    depth(visit, technician, "59.8")
    progress = progress_of(visit)
    assert DEPTH in ids(progress)[0]
    assert progress.owed_count == before
    assert DEPTH not in {item.owed for item in open_items(progress)}


def test_taken_and_bad_it_counts_like_any_other(visit: Visit, technician: Any) -> None:
    depth(visit, technician, "49")
    assert DEPTH in {item.owed for item in open_items(progress_of(visit))}


def test_taken_in_vain_it_blocks_nothing(technician: Any, visit: Visit) -> None:
    # two levels to the hand's breadth cannot show a centimetre
    coarse = (("start_level", "1.5", "m"), ("end_level", "1.5", "m"), ("time", "1.2", "h"))
    measure(visit, "tank_overnight_loss", "T1", *coarse, actor=technician)
    line = progress_of(visit).line("tank_overnight_loss:T1")
    assert line is not None
    assert line.verdict == "unjudged"
    assert line.is_good


def test_what_the_baseline_has_is_owed_again_at_service(technician: Any, site: Site, visit: Visit) -> None:
    items = next(items for check, _, items in READINGS if check == "wellhead_pressure")
    measure(visit, "wellhead_pressure", "PU1", *readings_of("wellhead_pressure", items), actor=technician, at=NOON)
    later = visit_on(site, technician, kind="service", at=NOON + timedelta(days=400))
    owed, offered = ids(progress_of(later))
    assert WELLHEAD in owed
    assert "conductivity:W1" in offered
    assert "as_found:site" in owed


def test_a_visit_before_cover_owes_what_will_be_covered(technician: Any, site: Site) -> None:
    visit = visit_on(site, technician, kind="before_cover", at=NOON)
    progress = progress_of(visit)
    owed, _ = ids(progress)
    assert {"buried_line_test:P6", "cover_depth:site", "photographs:site", "walk_round_pipework:site"} <= owed
    assert "static_level:W1" not in owed
    hold = progress.hold("cover_pipe")
    assert hold is not None
    assert hold.standing.value == "stands"


def test_each_part_of_the_system_stands_together(visit: Visit) -> None:
    (section,) = (one for one in sections_of(progress_of(visit), UTC) if one.key == "offered")
    groups = [line.words.partition(" · ")[0] for line in section.folded]
    assert len(set(groups)) > 3
    assert [group for group, _ in groupby(groups)] == list(dict.fromkeys(groups))
