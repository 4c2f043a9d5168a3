"""With the instruments I have: what can be taken, what the others lack, remembered for each person."""

from datetime import date

import pytest
from django.urls import reverse

from commissioning.models import Instrument
from commissioning.visits.kit import is_of
from tests.commissioning.worlds import measure

pytestmark = pytest.mark.django_db


def page(client, visit):
    return client.get(reverse("visit-instruments", args=[visit.pk]))


def keep(client, visit, *kinds):
    return client.post(reverse("visit-instruments", args=[visit.pk]), {"kind": list(kinds)})


def titles(lines):
    return {one.title for one in lines}


def test_nothing_is_said_before_anything_is_ticked(as_technician, visit):
    found = page(as_technician, visit)
    assert "Tick what is at hand" in found.content.decode()
    assert "Can be taken" not in found.content.decode()


def test_checks_part_into_those_that_can_be_taken_and_those_that_lack_something(as_technician, technician, visit):
    assert keep(as_technician, visit, "dip meter").status_code == 302
    technician.refresh_from_db()
    assert technician.kit == "dip meter"
    found = page(as_technician, visit).context
    assert "Static level" in titles(found["possible"])
    assert "Array insulation" not in titles(found["possible"])
    missed = {one.line.title: one.ways for one in found["lacking"]}
    assert any("insulation tester" in words for ways in missed.values() for words in ways)
    assert titles(found["possible"]).isdisjoint(missed)
    assert "Walk round the well" in titles(found["possible"])


def test_what_is_taken_is_on_neither_list(as_technician, technician, visit):
    keep(as_technician, visit, "dip meter")
    readings = (("level", "24.10", "m", "first"), ("level", "24.11", "m", "second"))
    before = titles(page(as_technician, visit).context["possible"])
    measure(visit, "static_level", "W1", *readings, actor=technician)
    assert before - titles(page(as_technician, visit).context["possible"]) == {"Static level"}


def test_office_instruments_stand_beside_their_kind_with_their_calibration(as_technician, visit):
    Instrument.objects.create(tag="DP1", name="dip meter, metres", quantity="depth", unit="m",
                              calibration_due=date(2020, 3, 4))  # fmt: skip
    Instrument.objects.create(tag="DP2", name="dip meter", quantity="depth", unit="m")
    kinds = {one.word: one.of_office for one in page(as_technician, visit).context["kinds"]}
    assert kinds["dip meter"] == ["DP1: calibration ran out 4 March 2020", "DP2: no calibration recorded"]


@pytest.mark.parametrize(
    ("name", "kind", "is_one"),
    [
        ("multimeter, DC volts", "multimeter", True),
        ("DC clamp", "DC clamp meter", True),
        ("clamp-on flow meter", "flow meter", True),
        ("contact thermometer", "thermometer", True),
        ("sun meter", "flow meter", False),
    ],
)
def test_instrument_is_known_by_its_name(name, kind, is_one):
    assert is_of(name, kind) is is_one


def test_unknown_kind_is_refused_and_nothing_is_kept(as_technician, technician, visit):
    found = keep(as_technician, visit, "dip meter", "divining rod\n")
    assert found.status_code == 200
    assert "is no instrument of the list" in found.content.decode()
    technician.refresh_from_db()
    assert technician.kit == ""


def test_page_needs_a_person_and_a_visit(client, as_technician, visit):
    assert client.get(reverse("visit-instruments", args=[visit.pk])).status_code in (302, 404)
    away = "00000000-0000-4000-8000-000000000000"
    assert as_technician.get(reverse("visit-instruments", args=[away])).status_code == 404


def test_queries_do_not_grow_with_what_is_along(as_technician, visit, django_assert_max_num_queries):
    keep(as_technician, visit, "dip meter", "multimeter", "tape", "DC clamp meter")
    with django_assert_max_num_queries(40):
        page(as_technician, visit)
