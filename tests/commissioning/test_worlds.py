"""The ready site is the very system that it says, whatever units it was typed in."""

from typing import Any

import pytest

from commissioning import snapshot
from commissioning.models import Measurement
from sizing.system import build
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.sizing.systems import quince_ridge

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("unit_system", ["metric", "us"])
def test_typed_record_builds_the_system_it_was_typed_from(technician: Any, unit_system: str) -> None:
    system, meant = snapshot.system_now(site_with_record(technician, unit_system)), build(quince_ridge())
    assert set(system.nodes) == set(meant.nodes)
    assert set(system.runs) == set(meant.runs)
    assert system.node("W1").need("pump_setting") == pytest.approx(45.0, rel=1e-9)
    rows = system.node("PU1").part.need_table("PU1", "performance")
    meant_rows = meant.node("PU1").part.need_table("PU1", "performance")
    assert [row[2] for row in rows] == pytest.approx([row[2] for row in meant_rows], rel=1e-9)
    assert system.node("LS1").host == "T1"
    assert system.runs["P1"].start.port == "discharge"


def test_measurement_is_taken_and_judged(technician: Any) -> None:
    visit = visit_on(site_with_record(technician), technician)
    readings = [("level", "24.10", "m", "1"), ("level", "24.11", "m", "2")]
    taken = measure(visit, "static_level", "W1", *readings, actor=technician)
    assert Measurement.objects.get(pk=taken.pk).judgements.count() == 1
