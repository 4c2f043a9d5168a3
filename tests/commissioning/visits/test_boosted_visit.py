"""A visit to a clinic with a battery, a booster and a pressure tank: pages, what is derived, and the holds."""

from typing import Any

import pytest
from django.test import Client

from commissioning.models import Visit
from commissioning.progress import progress_of
from sizing.holds import Standing
from tests.commissioning.visits.conftest import line_of, url_of
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.sizing.more_systems import sallow_clinic

RESTED = (("voltage", "12.60", "V", "block 1"), ("voltage", "12.58", "V", "block 2"), ("rest", "10", "h"))


@pytest.fixture
def clinic(technician: Any) -> Visit:
    document = sallow_clinic()
    # a fuse that hangs on a cable is put in later, on the cable's own page
    document["components"] = [one for one in document["components"] if one["tag"] != "FU1"]
    return visit_on(site_with_record(technician, document=document, name="Sallow clinic"), technician)


def settle(visit: Visit, actor: Any, *owed: str) -> None:
    for one in owed:
        check, _, subject = one.partition(":")
        measure(visit, check, subject, actor=actor, answer="as it should be")


def test_every_check_of_a_boosted_system_has_its_page(client: Client, clinic: Visit, technician: Any) -> None:
    client.force_login(technician)
    for line in progress_of(clinic).lines:
        page = client.get(url_of(clinic, line.owed.id))
        assert page.status_code == 200, line.owed.id
        assert line.check.title in page.content.decode(), line.owed.id


def test_blocks_are_read_one_by_one_and_compared_by_themselves(clinic: Visit, technician: Any) -> None:
    measure(clinic, "battery_rest_voltage", "BA1", *RESTED, actor=technician)
    assert line_of(clinic, "battery_rest_voltage:BA1").verdict == "within"
    assert line_of(clinic, "block_spread:BA1").verdict == "within"
    assert line_of(clinic, "vent_opening:BA1").verdict == "within"


def test_charging_waits_for_polarity_blocks_and_a_battery_that_is_warm_enough(clinic: Visit, technician: Any) -> None:
    measure(clinic, "battery_rest_voltage", "BA1", *RESTED, actor=technician)
    settle(clinic, technician, "battery_polarity:BA1")
    assert hold(clinic, "connect_charging") is Standing.STANDS
    measure(clinic, "battery_temperature", "BA1", ("temperature", "19", "degC"), actor=technician)
    assert line_of(clinic, "charge_temperature:BA1").verdict == "within"
    assert hold(clinic, "connect_charging") is Standing.SETTLED


def test_charging_waits_for_polarity_and_blocks(clinic: Visit, technician: Any) -> None:
    measure(clinic, "battery_temperature", "BA1", ("temperature", "19", "degC"), actor=technician)
    measure(clinic, "battery_rest_voltage", "BA1", *RESTED, actor=technician)
    assert hold(clinic, "connect_charging") is Standing.STANDS
    settle(clinic, technician, "battery_polarity:BA1")
    assert hold(clinic, "connect_charging") is Standing.SETTLED


def test_pressure_waits_for_gas_relief_and_a_look(clinic: Visit, technician: Any) -> None:
    measure(clinic, "precharge", "PT1", ("pressure", "186", "kPa"), ("temperature", "20", "degC"), actor=technician)
    settle(clinic, technician, "relief_opens:RV1")
    assert hold(clinic, "pressurise") is Standing.STANDS
    settle(clinic, technician, "low_pressure_fill:PT1")
    assert hold(clinic, "pressurise") is Standing.SETTLED


def hold(visit: Visit, key: str) -> Standing:
    found = progress_of(visit).hold(key)
    assert found is not None
    return found.standing
