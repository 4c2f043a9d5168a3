"""Charge and drift among the plots of the sheet: drawn where there are readings for it, and from those readings."""

import re
from datetime import datetime, timedelta
from typing import Any

import pytest

from commissioning.handover.battery_plot import battery_plots
from commissioning.handover.drawings import drawings_of
from commissioning.handover.drift_plots import drift_plots
from commissioning.models import Visit
from commissioning.progress import progress_of
from tests.commissioning.service.test_comparison import strokes
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.sizing.more_systems import heron_farm

pytestmark = pytest.mark.django_db
NOON = datetime.fromisoformat("2027-04-14T12:00:00-06:00")
BATTERY, CONTROLLER = "BA1", "CC1"
DASHED, THIN = 'stroke-dasharray="7 4"', 'stroke-width="1"'


def typable(document: dict[str, Any]) -> dict[str, Any]:
    """Return a document without tables and without what sits on a run: none of it is needed here."""
    document["components"] = [one for one in document["components"] if one["tag"] != "FU1"]
    for one in document["components"]:
        one["nameplate"] = {k: v for k, v in one["nameplate"].items() if not isinstance(v, (list, tuple))}
    return document


@pytest.fixture
def visit(technician: Any) -> Visit:
    site = site_with_record(technician, document=typable(heron_farm()))
    return visit_on(site, technician, at=NOON)


def on_charge(visit: Visit, actor: Any) -> None:
    current = (("current", "18", "A"), ("voltage", "27.6", "V"), ("stage", "bulk", "1"))
    measure(visit, "charge_current", CONTROLLER, *current, actor=actor, at=NOON)


def under_load(visit: Visit, actor: Any) -> None:
    load = (("rest_voltage", "25.4", "V"), ("voltage", "24.6", "V"), ("current", "9.5", "A"))
    measure(visit, "battery_sag", BATTERY, *load, actor=actor, at=NOON)


def test_battery_is_drawn_at_each_current_that_was_read(visit: Visit, technician: Any) -> None:
    under_load(visit, technician)
    on_charge(visit, technician)
    (plot,) = battery_plots(progress_of(visit))
    assert plot["title"] == "Charge, BA1"
    # load draws, so it lies left of nought: - 9.5 A; charging right of it: + 18 A
    title = re.search(r"<title[^>]*>([^<]*)", plot["drawing"])
    assert title is not None
    assert title[1] == "Battery BA1: no load 25.4 V at 0 A, load 24.6 V at -9.5 A, charging 27.6 V at 18 A."
    assert plot["drawing"].count('class="is-within dot"') == 3
    assert plot in drawings_of(progress_of(visit))


def test_set_point_of_the_charge_stands_between_its_limits(visit: Visit, technician: Any) -> None:
    under_load(visit, technician)
    before = battery_plots(progress_of(visit))[0]["drawing"]
    measure(visit, "battery_temperature", BATTERY, ("temperature", "25", "degC"), actor=technician, at=NOON)
    measure(visit, "charge_voltage", CONTROLLER, ("voltage", "28.4", "V"), ("stage", "absorption", "1"),
            actor=technician, at=NOON)  # fmt: skip
    after = battery_plots(progress_of(visit))[0]["drawing"]
    assert (before.count(DASHED), after.count(DASHED)) == (0, 1)
    assert after.count(THIN) == before.count(THIN) + 2  # the limits on both sides of it


def test_one_reading_alone_is_no_plot(visit: Visit, technician: Any) -> None:
    on_charge(visit, technician)
    assert battery_plots(progress_of(visit)) == []


def test_drift_is_drawn_on_a_later_visit_and_not_on_the_first(technician: Any) -> None:
    site = site_with_record(technician)
    first = visit_on(site, technician, at=NOON - timedelta(days=400))
    strokes(first, technician, "15.0", NOON - timedelta(days=400))
    assert drift_plots(first) == []
    later = visit_on(site, technician, "service", at=NOON)
    strokes(later, technician, "12.9", NOON)
    (plot,) = drift_plots(later)
    assert plot["title"].startswith("Water per stroke, HP1")
    assert "at 2 visits" in plot["drawing"]
    assert plot in drawings_of(progress_of(later))
