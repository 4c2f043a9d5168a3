"""What was recorded once: a component replaced, a nameplate filled in as on another one, a record copied."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from commissioning import snapshot
from commissioning.models import Component, Event, Run, Site
from commissioning.open_record.export import export_site
from commissioning.progress import progress_of
from tests.commissioning.asbuilt.conftest import fields_of
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
NEW = {"name": "Juniper Flat", "place": "", "unit_system": "metric", "zone": "UTC", "layout": "empty"}
UNKNOWN = "00000000-0000-4000-8000-000000000000"


def there(site: Site, tag: str) -> Component:
    found: Component = site.components.standing().get(tag=tag)
    return found


def url(name: str, one: Component) -> str:
    return reverse(name, args=[one.site_id, one.pk])


# replaced


@pytest.mark.parametrize("is_same", [True, False])
def test_new_one_takes_tag_host_and_connections(as_technician: Client, recorded: Site, is_same: bool) -> None:
    before, events = snapshot.system_now(recorded), Event.objects.filter(kind="record.changed").count()
    old = there(recorded, "PU1")
    entry = {"maker": "", "model": "", "serial": "77", "reason": "bearings", **({"is_same": "on"} if is_same else {})}
    answer = as_technician.post(url("component-replace", old), entry)
    new = there(recorded, "PU1")
    assert new.pk != old.pk
    assert new.serial == "77"
    assert new.nameplate == (old.nameplate if is_same else {})
    where = reverse("record-detail", args=[recorded.pk]) if is_same else url("component-edit", new)
    assert answer["Location"] == where
    after = snapshot.system_now(recorded)
    ends = [{run.tag: (run.start, run.end) for run in system.runs.values()} for system in (before, after)]
    assert ends[0] == ends[1]
    assert after.node("PU1").host == "W1"
    assert Event.objects.filter(kind="record.changed").count() == events + 1


def test_what_sat_in_the_old_one_sits_in_the_new_one(as_technician: Client, recorded: Site) -> None:
    old = there(recorded, "T1")
    hosted = {one.tag for one in old.hosted.all()}
    as_technician.post(url("component-replace", old), {"reason": "cracked"})
    new = there(recorded, "T1")
    assert {one.tag for one in new.hosted.all()} == hosted != set()
    assert set(new.nameplate) == {name for name in old.nameplate if name.endswith("elevation")}, "heights stay"
    assert not Run.objects.standing().filter(start=old).exists()


def test_replacing_asks_for_a_reason(as_technician: Client, recorded: Site) -> None:
    page = as_technician.post(url("component-replace", there(recorded, "PU1")), {"reason": " ", "serial": "<b>9"})
    assert page.status_code == 200
    assert "id_reason_error" in page.content.decode()
    assert "&lt;b&gt;9" in page.content.decode(), "what was typed is kept"


def test_history_tells_all_that_stood_under_the_tag(as_technician: Client, recorded: Site) -> None:
    entry = {"reason": "bearings <i>", "is_same": "on"}
    as_technician.post(url("component-replace", there(recorded, "PU1")), entry)
    page = as_technician.get(url("component-edit", there(recorded, "PU1")))
    assert [(one.what, one.reason) for one in page.context["history"]] == [("replaced", "bearings <i>"), ("added", "")]
    assert "bearings &lt;i&gt;" in page.content.decode()
    sent = {**fields_of(page), "reason": "read again", "plate-rated_power": "600"}
    as_technician.post(url("component-edit", there(recorded, "PU1")), sent)
    page = as_technician.get(url("component-edit", there(recorded, "PU1")))
    assert page.context["history"][0].what == "changed"


def test_what_was_measured_on_the_old_one_is_owed_again(as_technician: Client, technician: Any, recorded: Site) -> None:
    visit = visit_on(recorded, technician)
    taken = measure(
        visit, "pump_cable_loop_resistance", "PU1",
        ("resistance", "0.5", "ohm", "leads 1 and 2"), actor=technician,
    )  # fmt: skip
    as_technician.post(url("component-replace", there(recorded, "PU1")), {"reason": "bearings"})
    taken.refresh_from_db()
    assert taken.component is not None
    assert taken.component.retired_at
    line = progress_of(visit).line("pump_cable_loop_resistance:PU1")
    assert line is not None
    assert line.is_open, "owed again of the new one"
    assert export_site(recorded)


def test_unknown_component_is_not_replaced_nor_by_a_stranger(
    client: Client, as_technician: Client, recorded: Site
) -> None:
    assert as_technician.get(reverse("component-replace", args=[recorded.pk, UNKNOWN])).status_code == 404
    assert client.get(url("component-replace", there(recorded, "PU1"))).status_code == 302


# the same as


def test_nameplate_of_another_site_fills_the_form_and_keeps_nothing(
    as_technician: Client, recorded: Site, laid_out: Site
) -> None:
    other, mine = there(recorded, "A1"), there(laid_out, "A1")
    page = as_technician.get(url("component-edit", mine), {"like": str(other.pk)})
    assert str(other.pk) in page.content.decode()
    sent = fields_of(page)
    assert sent["plate-module_power"] == other.nameplate["module_power"]["typed"]
    assert sent["plate-module_power-unit"] == other.nameplate["module_power"]["unit"]
    assert sent["plate-series"] == sent["plate-tilt"] == "", "how many and how they stand is of the place"
    assert there(laid_out, "A1").nameplate == {}
    assert as_technician.post(url("component-edit", mine), sent).status_code == 302
    assert there(laid_out, "A1").nameplate["module_power"] == other.nameplate["module_power"]


@pytest.mark.parametrize("like", ["", "no id", UNKNOWN, "\x00"])
def test_nothing_is_filled_in_as_on_what_is_not_there(as_technician: Client, laid_out: Site, like: str) -> None:
    page = as_technician.get(url("component-edit", there(laid_out, "A1")), {"like": like})
    assert fields_of(page)["plate-module_power"] == ""


def test_no_well_is_the_same_as_another(as_technician: Client, recorded: Site, laid_out: Site) -> None:
    page = as_technician.get(url("component-edit", there(laid_out, "W1")), {"like": str(there(recorded, "W1").pk)})
    assert page.context["likes"] == []
    assert fields_of(page)["plate-depth"] == ""


# a whole record


def test_new_site_like_another_has_its_record_without_serial_numbers(as_technician: Client, recorded: Site) -> None:
    Component.objects.filter(site=recorded, tag="PU1").update(serial="123", maker="Fell")
    as_technician.post(reverse("site-new"), {**NEW, "like": str(recorded.pk)})
    site = Site.objects.get(name="Juniper Flat")
    mine, theirs = snapshot.document_of(site), snapshot.document_of(recorded)
    for sort in ("components", "runs"):
        bare = [[{**one, "id": "", "serial": ""} for one in document[sort]] for document in (mine, theirs)]
        assert bare[0] == bare[1]
        assert not {one["id"] for one in mine[sort]} & {one["id"] for one in theirs[sort]}
    assert there(site, "PU1").maker == "Fell"
    assert there(site, "PU1").serial == ""
    assert Event.objects.filter(site=site, kind="record.changed").count() == 1


def test_copy_keeps_what_sits_on_a_run(as_technician: Client, recorded: Site) -> None:
    new = reverse("component-new", args=[recorded.pk, "overcurrent_device"])
    cable = recorded.runs.get(tag="K1")
    as_technician.post(new, {**fields_of(as_technician.get(new)), "host": str(cable.pk)})
    as_technician.post(reverse("site-new"), {**NEW, "like": str(recorded.pk)})
    system = snapshot.system_now(Site.objects.get(name="Juniper Flat"))
    assert system.node("FU1").host == "K1"


def test_site_that_is_not_there_is_no_pattern(as_technician: Client, technician: Any) -> None:
    site_with_record(technician)
    page = as_technician.post(reverse("site-new"), {**NEW, "like": UNKNOWN})
    assert page.status_code == 200
    assert "id_like_error" in page.content.decode()


def test_pipe_is_filled_in_from_another_but_for_how_it_lies(as_technician, laid_out):
    main, branch = laid_out.runs.get(tag="P2"), laid_out.runs.get(tag="P5")
    typed = {"plate-nominal": "40 mm SDR 11 PE 100", "plate-length": "95", "plate-joints": "threaded"}
    at = reverse("run-edit", args=[laid_out.pk, main.pk])
    as_technician.post(at, {**fields_of(as_technician.get(at)), **typed})
    page = as_technician.get(reverse("run-edit", args=[laid_out.pk, branch.pk]), {"like": str(main.pk)})
    filled = fields_of(page)
    assert filled["plate-nominal"] == "40 mm SDR 11 PE 100"
    assert filled["plate-joints"] == "threaded"
    assert filled["plate-material"] == "pe"
    assert filled["plate-length"] == ""
    assert filled["tag"] == "P5"


def test_button_leads_on_to_the_next_open_nameplate_and_in_the_end_to_the_record(as_technician, laid_out):
    well, tank = laid_out.components.get(tag="W1"), laid_out.components.get(tag="PU1")
    at = reverse("component-edit", args=[laid_out.pk, well.pk])
    assert "Keep, then PU1 submersible pump" in as_technician.get(at).content.decode()
    kept = as_technician.post(at, {**fields_of(as_technician.get(at)), "then": "next"})
    assert kept.url == reverse("component-edit", args=[laid_out.pk, tank.pk])
    plain = as_technician.post(at, fields_of(as_technician.get(at)))
    assert plain.url == reverse("record-detail", args=[laid_out.pk])


def test_new_pipe_goes_on_where_the_one_like_it_ended(as_technician, laid_out):
    main = laid_out.runs.get(tag="P4")
    main.refresh_from_db()
    at = reverse("run-edit", args=[laid_out.pk, main.pk])
    as_technician.post(at, {**fields_of(as_technician.get(at)), "plate-nominal": "50 mm SDR 17 PE 100"})
    page = as_technician.get(reverse("run-new", args=[laid_out.pk, "pipe"]), {"like": str(main.pk)})
    filled = fields_of(page)
    assert filled["start"] == f"{laid_out.components.get(tag='J1').pk}:"
    assert filled["plate-nominal"] == "50 mm SDR 17 PE 100"


def test_another_like_the_one_just_kept_is_offered_at_once(as_technician, laid_out):
    at = reverse("run-new", args=[laid_out.pk, "pipe"])
    ends = {"start": f"{laid_out.components.get(tag='J1').pk}:", "end": f"{laid_out.components.get(tag='V2').pk}:"}
    typed = {**fields_of(as_technician.get(at)), **ends, "plate-nominal": "25 mm SDR 11 PE 100", "then": "again"}
    kept = as_technician.post(at, typed)
    made = laid_out.runs.get(tag=typed["tag"])
    assert kept.url == f"{at}?like={made.pk}"
