"""The load-out list: from what is owed and from the nameplates, and nothing that this system has no use for."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.asbuilt.layouts import LAYOUTS, document_of
from commissioning.snapshot import system_of
from sizing.checks.catalogue import CHECKS
from sizing.quantities import Quantity as Q
from sizing.running import load_out
from sizing.system import System, build
from tests.commissioning.worlds import site_with_record, visit_on
from tests.sizing.systems import plate, quince_ridge

BARE = {"name": "", "unit_system": "metric", "plate": {}}


def laid(key: str) -> System:
    return system_of({"site": BARE, **document_of(LAYOUTS[key])})


def test_bleach_is_that_of_a_hand_calculation() -> None:
    # 50 to 200 mg/L aimed at 100 (MIL-HDBK-1164); volumes by hand from the record of the invented school:
    # well π/4·0.152²·(60 − 24) = 0.653 m³; tank π/4·2.40²·(18.20 − 16.0) = 9.953 m³; the pipes less than 0.5 m³.
    # 5 % by mass of chlorine in volume is 50 g/L: 100 g/m³ · (10.6 to 11.1) m³ / 50 g/L = 21.2 to 22.2 L.
    system = build(quince_ridge())
    [(tag, volume)] = load_out.bleach(system)
    assert tag == "W1"
    assert 21.2e-3 < volume < 22.2e-3


def test_bleach_is_not_guessed_where_the_record_does_not_say() -> None:
    document = quince_ridge()
    del plate(document, "W1")["static_level"]
    system = build(document)
    assert load_out.bleach(system) == []
    said = [one.words for one in load_out.consumables(system, {"chlorine_dose"})]
    assert any("the record does not say" in one for one in said)


def test_fuses_alike_are_one_line_with_their_rating() -> None:
    found = load_out.fuses(laid("solar_well_booster"))
    assert [one.tags for one in found] == [("FU1", "FU2")]


def test_only_a_system_with_a_battery_wants_distilled_water_and_an_apron() -> None:
    for key, has in (("solar_well_gravity", False), ("battery_well_pressure", True)):
        system = laid(key)
        goods = [*load_out.consumables(system, set()), *load_out.for_system(system, load_out.SAFETY)]
        words = [one.words for one in goods]
        assert any("Distilled" in one for one in words) is has
        assert any("apron" in one for one in words) is has


def test_instruments_are_those_of_the_checks_with_the_range_they_read() -> None:
    [one] = load_out.instruments([CHECKS["static_level"]])
    reading = CHECKS["static_level"].way().inputs[0]
    assert one.words == CHECKS["static_level"].way().instruments[0]
    assert (one.ranges[0][1], one.ranges[0][2]) == reading.soft
    assert load_out.instruments([]) == []


def test_no_instrument_is_said_to_read_what_it_cannot() -> None:
    for one in load_out.instruments(list(CHECKS.values())):
        quantities = {quantity for quantity, _, _ in one.ranges}
        if one.words == "multimeter":
            assert quantities == {Q.VOLTAGE}
        if one.words == "pressure gauge":
            assert quantities <= {Q.GAUGE_PRESSURE, Q.PRESSURE_DIFFERENCE}


def test_lithium_wants_no_water() -> None:
    document = document_of(LAYOUTS["battery_well_pressure"])
    next(one for one in document["components"] if one["tag"] == "BA1")["nameplate"] = {
        "chemistry": "lithium iron phosphate"
    }
    words = [one.words for one in load_out.consumables(system_of({"site": BARE, **document}), set())]
    assert not any("Distilled" in one for one in words)


@pytest.mark.django_db
def test_list_is_there_before_a_visit_and_on_one(technician: Any, as_technician: Client) -> None:
    site = site_with_record(technician)
    before = as_technician.get(reverse("site-load-out", args=[site.pk, "start_up"]))
    visit = visit_on(site, technician)
    during = as_technician.get(reverse("visit-load-out", args=[visit.pk]))
    for answer in (before, during):
        assert answer.status_code == 200
        for words in ("Instruments", "Liquid bleach", "The permit", "First aid"):
            assert words in answer.text
    assert as_technician.get(reverse("site-load-out", args=[site.pk, "picnic"])).status_code == 404
