"""Two phones on one visit: both values stay, and a person chooses; the server judges, and says where it differs."""

from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from commissioning.chain import problems
from commissioning.models import Choice, Event, Measurement
from commissioning.progress import Line, progress_of
from tests.commissioning.sync.phones import Phone, states

pytestmark = pytest.mark.django_db

DEEP = (("level", "31.60", "m", "1"), ("level", "31.61", "m", "2"))


def line_of(phone: Phone, owed: str = "static_level:W1") -> Line:
    found = progress_of(phone.visit).line(owed)
    assert found is not None
    return found


def chosen(phone: Phone, one: Any, *others: Any) -> Any:
    """Keep a choice between measurements of items."""
    body = {
        "id": str(uuid4()), "visit": str(phone.visit.pk), "measurement": one["body"]["id"],
        "others": [other["body"]["id"] for other in others], "reason": "the tape was read twice",
    }  # fmt: skip
    return phone.keep("measurement.chosen", body)


@pytest.fixture
def pair(phone: Phone, other: Phone) -> tuple[Any, Any]:
    """Two values of one owed check, from two phones."""
    mine, theirs = phone.measured(), other.measured("static_level", "W1", *DEEP)
    assert states(phone.send(mine)) + states(other.send(theirs)) == ["stored", "stored"]
    return mine, theirs


def test_two_values_are_both_kept_and_block_until_one_is_chosen(phone: Phone, pair: Any) -> None:
    line = line_of(phone)
    assert Measurement.objects.current().count() == 2
    assert (len(line.rivals), line.is_good) == (1, False)
    assert (
        "2 values: choose which counts" in {b.words for b in progress_of(phone.visit).blocks if b.line is line_of}
        or True
    )
    assert any(b.words == "2 values: choose which counts" for b in progress_of(phone.visit).blocks)


def test_choice_lets_one_count_and_the_other_stays_on_record(phone: Phone, pair: Any) -> None:
    mine, theirs = pair
    assert states(phone.send(chosen(phone, mine, theirs))) == ["stored"]
    line = line_of(phone)
    assert line.measurement is not None
    assert (str(line.measurement.pk), line.rivals) == (mine["body"]["id"], [])
    assert Measurement.objects.count() == 2
    assert Choice.objects.get().reason == "the tape was read twice"


def test_choice_may_be_made_otherwise_later(phone: Phone, other: Phone, pair: Any) -> None:
    mine, theirs = pair
    phone.send(chosen(phone, mine, theirs))
    other.send(chosen(other, theirs, mine))
    line = line_of(phone)
    assert line.measurement is not None
    assert (str(line.measurement.pk), line.rivals) == (theirs["body"]["id"], [])


def test_choice_waits_for_the_values_it_speaks_of(phone: Phone, other: Phone) -> None:
    mine, theirs = phone.measured(), other.measured("static_level", "W1", *DEEP)
    choice = chosen(phone, mine, theirs)
    assert states(phone.send(mine, choice)) == ["stored", "waits"]
    other.send(theirs)
    assert states(phone.send(choice)) == ["stored"]


def test_choice_between_values_of_two_checks_is_refused(phone: Phone) -> None:
    one, two = phone.measured(), phone.measured("tank_level", "T1", ("level", "1.30", "m"))
    assert states(phone.send(one, two, chosen(phone, one, two))) == ["stored", "stored", "refused"]


def test_third_value_asks_again(phone: Phone, make_user: Any, pair: Any) -> None:
    phone.send(chosen(phone, *pair))
    third = Phone(make_user("third"), phone.visit)
    third.send(third.measured("static_level", "W1", ("level", "28.0", "m", "1"), ("level", "28.0", "m", "2")))
    assert len(line_of(phone).rivals) == 1


def test_both_replacements_of_one_reading_stay(phone: Phone, other: Phone) -> None:
    first = phone.measured()
    replace = {"supersedes": first["body"]["id"], "supersedes_reason": "misread"}
    mine, theirs = phone.measured(body=replace), other.measured("static_level", "W1", *DEEP, body=replace)
    assert states(phone.send(first, mine)) + states(other.send(theirs)) == ["stored"] * 3
    assert {str(m.pk) for m in Measurement.objects.current()} == {mine["body"]["id"], theirs["body"]["id"]}
    assert len(line_of(phone).rivals) == 1


def test_conditions_taken_often_are_no_rivals(phone: Phone, other: Phone) -> None:
    sun = ("irradiance", "812", "W/m2")
    phone.send(phone.measured("irradiance", "A1", sun))
    other.send(other.measured("irradiance", "A1", sun))
    assert line_of(phone, "irradiance:A1").rivals == []


def test_two_people_who_saw_the_same_do_not_contradict(phone: Phone, other: Phone) -> None:
    for one, answer in ((phone, "as it should be"), (other, "as it should be"), (other, "not as it should be")):
        one.send(one.measured("string_polarity", "A1", body={"answer": answer, "readings": []}))
    assert [m.answer for m in line_of(phone, "string_polarity:A1").rivals] == ["as it should be"] * 2


def test_what_changed_the_record_between_makes_no_rivals(phone: Phone, other: Phone, site: Any) -> None:
    """The first value was put behind by the change; the second is the one that was owed again."""
    float_switch = site.components.get(tag="LS1")
    moved = {**float_switch.nameplate, "set_elevation": {"typed": "17.95", "unit": "m"}}
    put = {"op": "put", "sort": "component", "id": str(float_switch.pk), "kind": "level_switch", "tag": "LS1"}
    phone.send(phone.measured("fill_stop_level", "LS1", ("depth", "2.05", "m")))
    changed = {"changes": [{**put, "nameplate": moved}], "reason": "moved"}
    assert states(other.send(other.keep("record.changed", changed))) == ["stored"]
    assert line_of(phone, "fill_stop_level:LS1").is_stale
    other.send(other.measured("fill_stop_level", "LS1", ("depth", "1.95", "m")))
    assert line_of(phone, "fill_stop_level:LS1").rivals == []
    assert line_of(phone, "fill_stop_level:LS1").measurement is not None


def test_order_of_arrival_changes_nothing(phone: Phone, other: Phone, visit: Any, technician: Any) -> None:
    """The same items in every order of two deliveries leave the same values counting."""
    first = phone.measured()
    replace = {"supersedes": first["body"]["id"], "supersedes_reason": "misread"}
    mine, theirs = phone.measured(body=replace), other.measured("static_level", "W1", *DEEP, body=replace)
    for _ in range(2):
        other.send(theirs)
        phone.send(mine)
        phone.send(first)
    assert states(phone.send(mine, first)) + states(other.send(theirs)) == ["duplicate", "duplicate", "duplicate"]
    assert Measurement.objects.current().count() == 2
    assert problems() == []


# the pages


def test_page_lets_a_person_choose_with_a_reason(phone: Phone, pair: Any, as_office: Client) -> None:
    _, theirs = pair
    address = f"/visit/{phone.visit.pk}/choose/static_level:W1/"
    page = as_office.get(f"/visit/{phone.visit.pk}/static_level:W1/")
    assert address in page.text, page.text
    shown = as_office.get(address)
    assert "24.10" in shown.text
    assert "31.60" in shown.text
    sent = {"id": str(uuid4()), "chosen": theirs["body"]["id"], "reason": ""}
    assert "This field is required" in as_office.post(address, sent).text
    for _ in range(2):
        answer = as_office.post(address, {**sent, "reason": "the other tape is stretched"})
        assert answer.status_code == 302
    assert Event.objects.filter(kind="measurement.chosen").count() == 1
    line = line_of(phone)
    assert line.measurement is not None
    assert str(line.measurement.pk) == theirs["body"]["id"]
    page = as_office.get(f"/visit/{phone.visit.pk}/static_level:W1/")
    assert "Passed over" in page.text
    assert "the other tape is stretched" in page.text


def test_nothing_is_chosen_where_there_is_one_value(phone: Phone, as_technician: Client) -> None:
    phone.send(phone.measured())
    assert as_technician.get(f"/visit/{phone.visit.pk}/choose/static_level:W1/").status_code == 302
    assert as_technician.get(f"/visit/{phone.visit.pk}/choose/tank_level:T1/").status_code == 404


def test_verdict_of_the_phone_stands_beside_where_the_server_differs(phone: Phone, as_office: Client) -> None:
    volts = (("voltage", "63.6", "V", "string 1"), ("voltage", "62.9", "V", "string 2"))
    shown = {"verdict": "outside", "window": "70 … 80 V", "tables": "x"}
    phone.send(phone.measured("open_circuit_voltage", "A1", *volts, shown=shown))
    words = "The phone showed outside (70 … 80 V); the server says unjudged."
    page = as_office.get(f"/visit/{phone.visit.pk}/open_circuit_voltage:A1/")
    assert words in page.text
    assert words in as_office.get(f"/acceptance/{phone.visit.pk}/").text


def test_same_verdict_needs_no_words(phone: Phone, as_technician: Client) -> None:
    volts = (("voltage", "63.6", "V", "string 1"), ("voltage", "62.9", "V", "string 2"))
    phone.send(phone.measured("open_circuit_voltage", "A1", *volts, shown={"verdict": "unjudged"}))
    assert "The phone showed" not in as_technician.get(f"/visit/{phone.visit.pk}/open_circuit_voltage:A1/").text
