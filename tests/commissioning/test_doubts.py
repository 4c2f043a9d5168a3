"""Readings typed on a visit that do not fit each other are named with the likely slip and where they stand."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.template.loader import render_to_string
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissioning.doubts import doubts_in, doubts_of, other_units
from commissioning.progress import progress_of
from sizing.quantities import Quantity
from tests.commissioning.handover.started_up import start_up
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
NOON = datetime(2027, 4, 14, 18, tzinfo=UTC)


@pytest.fixture
def visit(technician: Any) -> Any:
    return visit_on(site_with_record(technician), technician, at=NOON)


def fill(visit: Any, actor: Any, flow: str, unit: str, **more: Any) -> Any:
    """Take the fill of T1: 0.25 m of a tank 2.40 m across are 1.131 m³, 27 L/min (7.13 gal/min) for 2513 s."""
    readings = (("start_level", "1.00", "m"), ("end_level", "1.25", "m"), ("flow", flow, unit), ("time", "2513", "s"))
    return measure(visit, "fill_balance", "T1", *readings, actor=actor, at=NOON, **more)


def test_a_sound_visit_from_end_to_end_leaves_no_doubt(technician: Any) -> None:
    assert doubts_of(start_up(technician)) == []


def test_gallons_typed_as_litres_are_named_with_their_page(visit: Any, technician: Any) -> None:
    fill(visit, technician, "7.13", "L/min")
    (doubt,) = doubts_of(visit)
    assert doubt.owed == ("fill_balance:T1",)
    assert doubt.slip.startswith("flow meanwhile: read in gal/min, typed as L/min")
    assert "379" in doubt.found or "378" in doubt.found  # per cent of what flow × time brings: 1 US gallon is 3.785 L
    assert doubt.involved[0].url.endswith(f"/{visit.pk}/fill_balance:T1/") or "fill_balance" in doubt.involved[0].url
    assert "flow meanwhile 7.13\u00a0L/min" in doubt.involved[0].read


def test_the_same_number_in_its_own_unit_is_right(visit: Any, technician: Any) -> None:
    fill(visit, technician, "7.13", "gal/min")
    assert doubts_of(visit) == []


def test_a_reading_that_was_replaced_is_doubted_no_more(visit: Any, technician: Any) -> None:
    old = fill(visit, technician, "7.13", "L/min")
    fill(visit, technician, "7.13", "gal/min", supersedes=str(old.pk), supersedes_reason="wrong unit")
    assert doubts_of(visit) == []


def test_the_sun_of_the_minute_is_held_against_the_power(visit: Any, technician: Any) -> None:
    at = NOON + timedelta(minutes=2)
    measure(visit, "irradiance", "A1", ("irradiance", "900", "W/m2"), actor=technician, at=NOON)
    measure(visit, "irradiance", "A1", ("irradiance", "300", "W/m2"), actor=technician, at=NOON + timedelta(hours=3))
    readings = (("voltage", "55.0", "V"), ("current", "86", "A"))  # a clamp left on ten turns: 8.6 A
    measure(visit, "well_pump_power", "PU1", *readings, actor=technician, at=at)
    (doubt,) = doubts_of(visit)
    assert set(doubt.owed) == {"well_pump_power:PU1", "irradiance:A1"}
    assert "ten times too large" in doubt.slip


def test_doubts_are_printed_with_links_and_cost_no_query(
    visit: Any, technician: Any, django_assert_num_queries: Any
) -> None:
    fill(visit, technician, "7.13", "L/min")
    progress = progress_of(visit)
    with django_assert_num_queries(0) as queries:
        doubts = doubts_in(progress)
    assert isinstance(queries, CaptureQueriesContext)
    text = render_to_string("pieces/_doubts.html", {"doubts": doubts})
    assert doubts[0].involved[0].url in text
    assert "Readings that do not fit" in text
    assert "Readings" not in render_to_string("pieces/_doubts.html", {"doubts": []})


def test_factors_between_units_are_those_of_the_standard() -> None:
    # NIST SP 811, appendix B.8.
    pressure = {o.words: o.factor for o in other_units(Quantity.GAUGE_PRESSURE, "kPa")}
    assert pressure["psi"] == pytest.approx(6.894757, rel=1e-6)
    assert pressure["bar"] == pytest.approx(100)
    flow = {o.words: o.factor for o in other_units(Quantity.FLOW, "L/min")}
    assert flow["gal/min"] == pytest.approx(3.785412, rel=1e-6)
    assert flow["gal/min (imp.)"] == pytest.approx(4.54609, rel=1e-6)
    assert flow["L/s"] == pytest.approx(60)
    assert {o.words: o.factor for o in other_units(Quantity.DEPTH, "m")}["ft"] == pytest.approx(0.3048)
    assert other_units(Quantity.TEMPERATURE, "degC") == ()


def test_the_visit_and_its_acceptance_show_the_doubt(
    visit: Any, technician: Any, as_technician: Client, as_office: Client
) -> None:
    pages = [
        (as_technician, visit.get_absolute_url()),
        (as_office, reverse("acceptance-detail", args=[visit.pk])),
    ]
    assert not any("Readings that do not fit" in client.get(url).content.decode() for client, url in pages)
    fill(visit, technician, "7.13", "L/min")
    for client, url in pages:
        page = client.get(url).content.decode()
        assert "read in gal/min, typed as L/min" in page
        assert reverse("measurement", args=[visit.pk, "fill_balance:T1"]) in page
