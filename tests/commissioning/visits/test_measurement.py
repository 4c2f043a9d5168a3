"""Keeping a measurement: typed text, units, asking back, double taps, replacing, rows, series, observations."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from commissioning import evidence
from commissioning.models import Event, Instrument, Measurement, Reading, Visit
from tests.commissioning.visits.conftest import line_of, make_safe, static_level, url_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db

LEVEL = "static_level:W1"


def test_kept_reading_leads_to_its_result(as_technician: Client, visit: Visit) -> None:
    answer = as_technician.post(url_of(visit, LEVEL), static_level(), follow=True)
    assert answer.redirect_chain[0][0].startswith(url_of(visit, LEVEL))
    assert line_of(visit, LEVEL).verdict == "within"
    page = answer.content.decode()
    assert "Typed 24.10" in page
    assert 'class="ip"' in page


def test_reading_keeps_text_unit_instrument_and_person(as_technician: Client, visit: Visit, technician: Any) -> None:
    meter = Instrument.objects.create(
        tag="D1", name="dip meter", quantity="depth", unit="m", resolution="0.01", counts="1"
    )
    sent = static_level("79.10", "79.1", **{"unit-level": "ft", "instrument-level": str(meter.pk)})
    as_technician.post(url_of(visit, LEVEL), sent)
    first = Reading.objects.get(label="1")
    assert (first.typed, first.unit, first.instrument) == ("79.10", "ft", meter)
    assert first.value == pytest.approx(79.10 * 0.3048)  # international foot: NIST SP 811, appendix B
    assert first.measurement.taken_by == technician


def test_expected_window_is_not_shown_before_entry(as_technician: Client, visit: Visit) -> None:
    page = as_technician.get(url_of(visit, LEVEL)).content.decode()
    assert "21.00" not in page  # 24.0 m in the driller's log, limits ± 3 m
    assert "27.00" not in page
    assert "Caution." in page
    assert "Method" in page


def test_htmx_gets_only_the_fragment(as_technician: Client, visit: Visit) -> None:
    answer = as_technician.post(url_of(visit, LEVEL), static_level(), headers={"HX-Request": "true"})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "<html" not in page
    assert 'id="measurement"' in page
    assert 'id="result"' in page


def test_same_form_sent_twice_is_stored_once(as_technician: Client, visit: Visit) -> None:
    sent = static_level()
    for _ in range(2):
        assert as_technician.post(url_of(visit, LEVEL), sent).status_code == 302
    assert Measurement.objects.filter(check_key="static_level").count() == 1
    assert Event.objects.filter(kind="measurement.taken", body__contains='"static_level"').count() == 1


def test_same_form_with_other_readings_is_refused_and_the_first_stands(as_technician: Client, visit: Visit) -> None:
    sent = static_level()
    as_technician.post(url_of(visit, LEVEL), sent)
    answer = as_technician.post(url_of(visit, LEVEL), {**sent, "r-level-0": "25.00", "r-level-1": "25.01"})
    assert answer.status_code == 200
    assert "25.01" in answer.content.decode()  # what was typed is still there
    assert set(Reading.objects.values_list("typed", flat=True)) == {"24.10", "24.11"}


def test_second_person_is_asked_why_theirs_replaces_the_first(as_technician: Client, visit: Visit) -> None:
    as_technician.post(url_of(visit, LEVEL), static_level())
    answer = as_technician.post(url_of(visit, LEVEL), static_level("24.30", "24.31"))
    assert "Say below why yours replaces it" in answer.content.decode()
    assert Measurement.objects.filter(check_key="static_level").count() == 1


UNUSUAL = {"r-level-0": "252", "r-level-1": "252", "unit-level": "m"}  # soft bound 250 m, hard bound 1000 m


def test_unusual_value_is_asked_back_once_with_the_cure_first(as_technician: Client, visit: Visit) -> None:
    sent = {"id": str(uuid4()), **UNUSUAL}
    page = as_technician.post(url_of(visit, LEVEL), sent).content.decode()
    assert not Measurement.objects.exists()
    assert 'class="askback"' in page
    assert page.index('name="cure"') < page.index('name="right"')


def test_right_keeps_exactly_what_was_asked_about(as_technician: Client, visit: Visit) -> None:
    sent = {"id": str(uuid4()), **UNUSUAL}
    asked = as_technician.post(url_of(visit, LEVEL), sent).context["ask_back"]
    other = {**sent, "r-level-0": "260", "right": asked.right}
    as_technician.post(url_of(visit, LEVEL), other)
    assert not Measurement.objects.exists()  # 260 was never asked about
    as_technician.post(url_of(visit, LEVEL), {**sent, "right": asked.right})
    assert set(Reading.objects.values_list("typed", flat=True)) == {"252"}


def test_cure_puts_the_unit_right(as_technician: Client, visit: Visit) -> None:
    sent = {"id": str(uuid4()), **UNUSUAL}
    asked = as_technician.post(url_of(visit, LEVEL), sent).context["ask_back"]
    cure = asked.doubts[0][2]
    as_technician.post(url_of(visit, LEVEL), {**sent, "cure": cure})
    assert set(Reading.objects.values_list("typed", "unit")) != {("252", "m")}


def test_cure_does_not_overrule_what_was_typed_since(as_technician: Client, visit: Visit) -> None:
    sent = {"id": str(uuid4()), **UNUSUAL}
    asked = as_technician.post(url_of(visit, LEVEL), sent).context["ask_back"]
    typed = {**sent, "r-level-0": "25.2", "r-level-1": "25.2", "cure": asked.doubts[0][2]}
    as_technician.post(url_of(visit, LEVEL), typed)
    assert set(Reading.objects.values_list("typed", "unit")) == {("25.2", "m")}


def test_impossible_value_is_refused_at_the_field(as_technician: Client, visit: Visit) -> None:
    page = as_technician.post(url_of(visit, LEVEL), static_level("2400", "2400")).content.decode()
    assert "More than is possible here" in page
    assert 'id="error-r-level-0"' in page
    assert not Measurement.objects.exists()


def test_replacing_needs_a_reason_and_keeps_both(as_technician: Client, visit: Visit) -> None:
    as_technician.post(url_of(visit, LEVEL), static_level())
    again = url_of(visit, LEVEL, "?replace=1")
    assert "Say why it is replaced" in as_technician.post(again, static_level("24.3", "24.3")).content.decode()
    page = as_technician.post(
        again, static_level("24.3", "24.3", reason="tape was caught"), follow=True
    ).content.decode()
    assert 'class="struck number">24.10' in page
    assert "tape was caught" in page
    assert Measurement.objects.count() == 2
    assert Measurement.objects.current().get().supersedes_reason == "tape was caught"


def test_result_can_be_shown_in_another_unit(as_technician: Client, visit: Visit) -> None:
    as_technician.post(url_of(visit, LEVEL), static_level())
    page = as_technician.get(url_of(visit, LEVEL, "?unit=ft")).content.decode()
    assert "79.08" in page  # 24.105 m / 0.3048 = 79.08 ft
    assert as_technician.get(url_of(visit, LEVEL, "?unit=furlong")).status_code == 200


def test_earlier_reading_keeps_its_time(as_technician: Client, site: Any, technician: Any) -> None:
    visit = visit_on(site, technician, at=timezone.now() - timedelta(days=1))
    as_technician.post(url_of(visit, LEVEL), static_level(read_at="2000-01-01T10:00"))
    assert not Measurement.objects.exists()  # before the visit began
    from commissioning.visits.times import zone_of

    then = (timezone.now() - timedelta(hours=3)).astimezone(zone_of(site)).replace(second=0, microsecond=0)
    as_technician.post(url_of(visit, LEVEL), static_level(read_at=f"{then:%Y-%m-%dT%H:%M}"))
    assert Measurement.objects.get().taken_at == then


# observations


def test_observation_is_answered_in_words(as_technician: Client, visit: Visit) -> None:
    sent = {"id": str(uuid4()), "answer": "as it should be"}
    page = as_technician.post(url_of(visit, "walk_round_well:W1"), sent, follow=True).content.decode()
    assert "as it should be" in page
    assert line_of(visit, "walk_round_well:W1").is_good


@pytest.mark.parametrize("answer", ["not as it should be", "does not apply here"])
def test_observation_that_is_not_good_says_why(as_technician: Client, visit: Visit, answer: str) -> None:
    url = url_of(visit, "walk_round_well:W1")
    assert "Say " in as_technician.post(url, {"id": str(uuid4()), "answer": answer}).content.decode()
    assert not Measurement.objects.exists()
    as_technician.post(url, {"id": str(uuid4()), "answer": answer, "note": "slab cracked"})
    assert Measurement.objects.get().note == "slab cracked"


# shapes


def test_each_string_is_asked_for_and_judged(as_technician: Client, visit: Visit, technician: Any) -> None:
    make_safe(visit, technician)
    url = url_of(visit, "open_circuit_voltage:A1")
    sent = {"id": str(uuid4()), "r-voltage-0": "63.0", "unit-voltage": "V"}
    assert not Measurement.objects.filter(check_key="open_circuit_voltage").exists()
    assert "Type a number" in as_technician.post(url, sent).content.decode()
    page = as_technician.post(url, {**sent, "r-voltage-1": "62.8"}, follow=True).content.decode()
    assert "string 1" in page
    assert "string 2" in page


def test_number_of_strings_not_recorded_says_where_it_is_put_in(as_technician: Client, technician: Any) -> None:
    from tests.sizing.systems import plate, quince_ridge

    document = quince_ridge()
    del plate(document, "A1")["parallel"]
    visit = visit_on(site_with_record(technician, document=document), technician)
    make_safe(visit, technician)
    page = as_technician.get(url_of(visit, "open_circuit_voltage:A1")).content.decode()
    assert "is not recorded" in page
    array = visit.site.components.get(tag="A1")
    assert f"{reverse('component-edit', args=[visit.site.pk, array.pk])}#plate-parallel" in page
    answer = as_technician.post(url_of(visit, "open_circuit_voltage:A1"), {"id": str(uuid4()), "r-voltage-0": "63"})
    assert answer.status_code == 200


def test_series_is_dated_from_its_start(as_technician: Client, visit: Visit) -> None:
    sent = {
        "id": str(uuid4()), "elapsed": str(46 * 60), "unit-pressure": "kPa", "unit-temperature": "degC",
        "r-pressure-0": "170", "r-pressure-1": "169", "r-pressure-2": "169",
        "r-temperature-1": "14.0", "r-temperature-2": "14.0",
    }  # fmt: skip
    as_technician.post(url_of(visit, "tightness_whole:T1"), sent)
    taken = Measurement.objects.get(check_key="tightness_whole")
    assert timezone.now() - taken.taken_at == pytest.approx(timedelta(minutes=46), abs=timedelta(minutes=1))
    times = {r.label: r.at - taken.taken_at for r in taken.readings.filter(input="pressure")}
    assert times == {"start": timedelta(0), "settled": timedelta(minutes=15), "end": timedelta(minutes=45)}


def test_series_refuses_a_minute_that_has_not_come(as_technician: Client, visit: Visit) -> None:
    sent = {
        "id": str(uuid4()), "elapsed": str(20 * 60), "r-pressure-0": "170", "r-pressure-1": "169",
        "r-pressure-2": "169",
    }  # fmt: skip
    page = as_technician.post(url_of(visit, "tightness_whole:T1"), sent).content.decode()
    assert "its minute has not come" in page
    assert 'value="170"' in page


def test_rows_are_kept_one_after_the_other_and_judged_together(
    as_technician: Client, visit: Visit, technician: Any
) -> None:
    url = url_of(visit, "well_pump_flow:PU1")
    open_the_way(visit, technician)
    for n, (flow, power) in enumerate((("15.0", "250"), ("24.0", "400"), ("31.0", "520"))):
        sent = {
            "id": str(uuid4()), f"r-flow-{n}": flow, "unit-flow": "L/min", f"r-power-{n}": power, "unit-power": "W",
        }  # fmt: skip
        answer = as_technician.post(f"{url}?way=meter", sent)
        assert answer.status_code == 302, answer.context["form"].errors
        as_technician.post(f"{url}?way=meter", sent)  # a double tap
    current = Measurement.objects.current().get(check_key="well_pump_flow")
    assert current.supersedes_reason == "row 3 added"
    assert {r.label for r in current.readings.all()} == {"row 1", "row 2", "row 3"}
    assert len({r.at for r in current.readings.filter(input="flow")}) == 3
    page = as_technician.get(url).content.decode()
    assert "3 rows kept" in page
    assert 'class="plot"' in page
    assert "Row 4" in page
    assert 'class="struck' not in page  # a row that was added replaced nothing


def test_rows_are_put_right_with_all_of_them_in_the_form(as_technician: Client, visit: Visit, technician: Any) -> None:
    url = url_of(visit, "well_pump_flow:PU1")
    open_the_way(visit, technician)
    readings = [
        ("flow", "15.0", "L/min", "row 1"),
        ("power", "250", "W", "row 1"),
        ("flow", "240", "L/min", "row 2"),
        ("power", "400", "W", "row 2"),
    ]
    measure(visit, "well_pump_flow", "PU1", *readings, actor=technician, way="meter")
    page = as_technician.get(f"{url}?replace=1&way=meter").content.decode()
    assert 'value="15.0"' in page
    assert 'value="240"' in page
    sent = {
        "id": str(uuid4()), "r-flow-0": "15.0", "r-power-0": "250", "r-flow-1": "24.0", "r-power-1": "400",
        "unit-flow": "L/min", "unit-power": "W", "reason": "point was missing",
    }  # fmt: skip
    as_technician.post(f"{url}?replace=1&way=meter", sent)
    current = Measurement.objects.current().get(check_key="well_pump_flow")
    assert sorted(r.typed for r in current.readings.filter(input="flow")) == ["15.0", "24.0"]


def open_the_way(visit: Visit, actor: Any) -> None:
    """Release what stands before the pump runs into the tank."""
    make_safe(visit, actor)
    for hold in ("start_well_pump", "fill_tank"):
        body = {"id": str(uuid4()), "visit": str(visit.pk), "hold": hold, "reason": "tried with water to waste"}
        evidence.append(site=visit.site, kind="hold.released", body=body, actor=actor)


def test_parts_that_are_not_there_may_stay_empty(as_technician: Client, visit: Visit, technician: Any) -> None:
    make_safe(visit, technician)
    url = url_of(visit, "bond_resistance:EE1")
    assert "Type a number" in as_technician.post(url, {"id": str(uuid4())}).content.decode()
    as_technician.post(url, {"id": str(uuid4()), "r-resistance-0": "0.12", "unit-resistance": "ohm"})
    assert [r.label for r in Measurement.objects.get(check_key="bond_resistance").readings.all()] == ["array frame"]


def test_bound_is_kept_as_typed(as_technician: Client, visit: Visit, technician: Any) -> None:
    make_safe(visit, technician)
    page = as_technician.get(url_of(visit, "pump_cable_insulation:PU1")).content.decode()
    fields = as_technician.get(url_of(visit, "pump_cable_insulation:PU1")).context["form"].fields
    name = next(f for f in fields if f.startswith("sign-")).removeprefix("sign-")
    others = {f: str(fields[f].choices[0][0]) for f in fields if f.startswith("unit-")}
    sent = {"id": str(uuid4()), **others, name: "999", f"sign-{name}": ">"}
    for cell in (
        c for step in as_technician.get(url_of(visit, "pump_cable_insulation:PU1")).context["steps"] for c in step.cells
    ):
        if cell.options:
            sent[cell.name] = cell.options[-1].value
    assert "more than" in page
    as_technician.post(url_of(visit, "pump_cable_insulation:PU1"), sent)
    reading = Reading.objects.get(measurement__check_key="pump_cable_insulation", bound=">")
    assert reading.typed == "> 999"
    assert line_of(visit, "pump_cable_insulation:PU1").verdict == "within"


# conditions


def test_needed_condition_shows_value_age_and_whether_it_is_good(
    as_technician: Client, visit: Visit, technician: Any
) -> None:
    url = url_of(visit, "open_circuit_voltage:A1")
    assert "not measured yet" in as_technician.get(url).content.decode()
    measure(visit, "irradiance", "A1", ("irradiance", "905", "W/m2"), actor=technician, way="meter")
    page = as_technician.get(url).content.decode()
    assert "905" in page
    assert "good for another" in page
    then = timezone.now() - timedelta(hours=1)
    old = visit_on(visit.site, technician, at=then - timedelta(hours=1))
    measure(old, "irradiance", "A1", ("irradiance", "905", "W/m2"), actor=technician, way="meter", at=then)
    assert "too old" in as_technician.get(url_of(old, "open_circuit_voltage:A1")).content.decode()


def test_condition_leads_back_to_the_check_that_needed_it(as_technician: Client, visit: Visit) -> None:
    sent = {"id": str(uuid4()), "r-irradiance": "905", "unit-irradiance": "W/m2"}
    url = url_of(visit, "irradiance:A1", "?back=open_circuit_voltage:A1")
    page = as_technician.post(url, sent, follow=True).content.decode()
    assert "Back to" in page
    assert url_of(visit, "open_circuit_voltage:A1") in page


def test_sun_is_asked_for_once_more_after_a_reading_that_needs_it(
    as_technician: Client, visit: Visit, technician: Any
) -> None:
    make_safe(visit, technician)
    measure(visit, "irradiance", "A1", ("irradiance", "905", "W/m2"), actor=technician, way="meter")
    sent = {"id": str(uuid4()), "r-voltage-0": "63.0", "r-voltage-1": "62.8", "unit-voltage": "V"}
    page = as_technician.post(url_of(visit, "open_circuit_voltage:A1"), sent, follow=True).content.decode()
    assert "Next: irradiance after" in page


def test_missing_condition_is_a_link_in_the_result(as_technician: Client, visit: Visit, technician: Any) -> None:
    make_safe(visit, technician)
    sent = {"id": str(uuid4()), "r-voltage-0": "63.0", "r-voltage-1": "62.8", "unit-voltage": "V"}
    page = as_technician.post(url_of(visit, "open_circuit_voltage:A1"), sent, follow=True).content.decode()
    assert "unjudged" in page
    assert "Take irradiance" in page


# doors


def test_nothing_is_kept_behind_a_standing_hold_and_nothing_typed_is_lost(as_technician: Client, visit: Visit) -> None:
    url = url_of(visit, "open_circuit_voltage:A1")
    assert "Method" in as_technician.get(url).content.decode()
    sent = {"id": str(uuid4()), "r-voltage-0": "63.0", "r-voltage-1": "62.8", "unit-voltage": "V"}
    page = as_technician.post(url, sent).content.decode()
    assert "Hold “safe to work” stands" in page
    assert 'value="62.8"' in page
    assert not Measurement.objects.exists()


def test_ended_visit_takes_laboratory_results_only(as_technician: Client, visit: Visit, technician: Any) -> None:
    body = {"visit": str(visit.pk), "left_isolated": False, "reason": ""}
    evidence.append(site=visit.site, kind="visit.ended", body=body, actor=technician)
    page = as_technician.post(url_of(visit, LEVEL), static_level()).content.decode()
    assert "This visit has ended" in page
    assert not Measurement.objects.exists()


@pytest.mark.parametrize("owed", ["static_level:W9", "no_such_check:W1", "static_level", "static_level:W1/../x"])
def test_unknown_check_is_not_found(as_technician: Client, visit: Visit, owed: str) -> None:
    assert as_technician.get(url_of(visit, owed)).status_code == 404


def test_stranger_is_sent_to_sign_in(client: Client, visit: Visit) -> None:
    assert client.get(url_of(visit, LEVEL)).status_code == 302
    assert client.post(url_of(visit, LEVEL), static_level()).status_code == 302
    assert not Measurement.objects.exists()
