"""Where the main button leads: on in working order, a condition right before what needs it, nowhere once it is over."""

import re
from collections.abc import Iterator
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.models import Visit
from commissioning.progress import Line, progress_of
from commissioning.visits.sections import next_line
from commissioning.visits.services import end_visit, set_aside
from tests.commissioning.visits.conftest import make_safe, url_of
from tests.commissioning.worlds import measure

pytestmark = pytest.mark.django_db


def test_ended_visit_leads_on_to_nothing(as_technician: Client, visit: Visit, technician: Any) -> None:
    measure(visit, "turbidity", "W1", ("turbidity", "0.8", "NTU"), actor=technician)
    url = url_of(visit, "turbidity:W1")
    assert "Next:" in as_technician.get(url).content.decode()
    end_visit(visit=visit, left_isolated=False, reason="", actor=technician)
    page = as_technician.get(url).content.decode()
    assert "Next:" not in page
    assert "Sign the visit" not in page


def test_condition_is_led_to_right_before_what_needs_it(as_technician: Client, visit: Visit, technician: Any) -> None:
    first = next_line(progress_of(visit))
    assert first is not None
    assert first.owed.id == "static_level:W1"  # lost with the first pumping
    make_safe(visit, technician)
    free = [one.owed.id for one in iter_next(visit, technician)]
    assert free.index("irradiance:A1") == free.index("open_circuit_voltage:A1") - 2
    assert free.index("module_temperature:A1") == free.index("open_circuit_voltage:A1") - 1


def iter_next(visit: Visit, actor: Any) -> Iterator[Line]:
    """Yield what the main button leads to, setting each aside, until the strings are reached."""
    for _ in range(30):
        line = next_line(progress_of(visit))
        assert line is not None
        yield line
        if line.owed.check == "open_circuit_voltage":
            return
        given = {"check": line.owed.check, "subject": line.owed.subject, "id": uuid4(), "actor": actor}
        set_aside(visit=visit, how="parked", reason="", **given)


def test_settled_need_leads_on_and_not_back(as_technician: Client, visit: Visit, technician: Any) -> None:
    """A condition read once more after its check goes on to the next; the check itself can still be looked at."""
    make_safe(visit, technician)
    measure(visit, "irradiance", "A1", ("irradiance", "905", "W/m2"), actor=technician, way="meter")
    volts = [("voltage", "63.0", "V", f"string {n}") for n in (1, 2)]
    measure(visit, "open_circuit_voltage", "A1", *volts, actor=technician)
    measure(visit, "irradiance", "A1", ("irradiance", "907", "W/m2"), actor=technician, way="meter")
    page = as_technician.get(url_of(visit, "irradiance:A1", "?back=open_circuit_voltage:A1")).content.decode()
    assert "Next:" in page
    assert re.search(r"See \d+ Open-circuit voltage", page)


def test_rows_that_are_still_owed_stand_in_sight(as_technician: Client, visit: Visit, technician: Any) -> None:
    row = (("flow", "21.4", "L/min", "row 1"), ("power", "410", "W", "row 1"))
    measure(visit, "well_pump_flow", "PU1", *row, actor=technician)
    page = as_technician.get(reverse("visit-detail", args=[visit.pk])).content.decode()
    assert "More rows owed" in page
    assert "2 more rows owed" in page
