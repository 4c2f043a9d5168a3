"""The list of sites, a new site from a layout, one site's page, its place and its owner."""

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissioning import snapshot
from commissioning.asbuilt.forms import ports_for
from commissioning.asbuilt.layouts import LAYOUTS, Layout, document_of, with_hand_pump
from commissioning.models import Contact, Event, Site
from commissioning.plots.schematic import schematic
from sizing.parts import COMPONENT_KINDS, Well
from sizing.system import build
from tests.commissioning.schematic_geometry import overlaps
from tests.commissioning.worlds import measure, visit_on

pytestmark = pytest.mark.django_db
NASTY = [
    "<script>alert(1)</script>",
    'O\'Hara & "Sons"',
    "٣ آبار",
    "x" * 4000,
    "a\x00b",
    "\u202e\u200b",
    "=1+1",
    "'; --",
]
NEW = {"name": "Juniper Flat", "place": "by the ford", "unit_system": "us", "zone": "America/Denver"}


@pytest.mark.parametrize("layout", list(LAYOUTS))
def test_new_site_has_the_components_of_its_layout(as_technician: Client, layout: str) -> None:
    answer = as_technician.post(reverse("site-new"), {**NEW, "layout": layout})
    site = Site.objects.get(name="Juniper Flat")
    assert answer["Location"] == reverse("record-detail", args=[site.pk])
    assert site.zone == "America/Denver"
    system = snapshot.system_now(site)
    assert set(system.nodes) == {one.tag for one in LAYOUTS[layout].components}
    assert set(system.runs) == {one.tag for one in LAYOUTS[layout].runs}
    assert Event.objects.filter(site=site, kind="record.changed").count() == (1 if LAYOUTS[layout].components else 0)


@pytest.mark.parametrize("layout", list(LAYOUTS))
def test_tick_adds_a_hand_pump_on_a_well(as_technician: Client, layout: str) -> None:
    as_technician.post(reverse("site-new"), {**NEW, "layout": layout, "hand_pump": "on"})
    system = snapshot.system_now(Site.objects.get(name="Juniper Flat"))
    assert isinstance(system.host_of(system.node("HP1"), Well).part, Well)


@pytest.mark.parametrize("layout", [*LAYOUTS.values(), *map(with_hand_pump, LAYOUTS.values())])
def test_every_end_is_a_port_that_the_form_offers_and_is_drawn_apart(layout: Layout) -> None:
    document = document_of(layout)
    kinds = {one["tag"]: one["kind"] for one in document["components"]}
    for run in document["runs"]:
        for end in ("start", "end"):
            port = run[f"{end}_port"] or "any"
            assert port in ports_for(COMPONENT_KINDS[kinds[run[end]]], run["kind"]), (run["tag"], end)
    assert overlaps(schematic(build(document), unit_system="metric", print=False)) == []


@pytest.mark.parametrize("text", NASTY)
def test_nasty_name_is_shown_harmlessly_or_refused_at_its_field(as_technician: Client, text: str) -> None:
    answer = as_technician.post(reverse("site-new"), {**NEW, "name": text, "layout": "empty"}, follow=True)
    assert answer.status_code == 200
    page = answer.content.decode()
    assert "<script>alert" not in page
    if not Site.objects.exists():
        assert 'id="id_name_error"' in page
        assert 'value="by the ford"' in page, "what was typed elsewhere is kept"


@pytest.mark.parametrize(
    ("field", "value"), [("zone", "Mars/Olympus"), ("unit_system", "cubits"), ("layout", "x"), ("name", " ")]
)
def test_wrong_choice_is_refused_beside_its_field(as_technician: Client, field: str, value: str) -> None:
    answer = as_technician.post(reverse("site-new"), {**NEW, "layout": "empty", field: value})
    assert answer.status_code == 200
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert not Site.objects.exists()


def test_list_finds_by_name_place_and_tag(as_technician: Client, recorded: Site, laid_out: Site) -> None:
    def found(words: str) -> set[str]:
        return {row.name for row in as_technician.get(reverse("site-list"), {"q": words}).context["rows"]}

    both = {recorded.name, laid_out.name}
    assert found("") == both
    assert found("quince") == {recorded.name}
    assert found("ridge") == both, "it stands in one name and in the other's place"
    assert found("w1") == both
    assert found("spring w1") == {laid_out.name}
    assert found("nowhere \x00 <b>") == set()


def test_list_answers_htmx_with_its_rows_only(as_technician: Client, recorded: Site) -> None:
    page = as_technician.get(reverse("site-list"), headers={"HX-Request": "true"}).content.decode()
    assert page.lstrip().startswith("<section")
    assert "<html" not in page
    assert recorded.name in page


def test_list_needs_the_same_number_of_queries_however_long(
    as_technician: Client, technician: Any, recorded: Site
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            as_technician.get(reverse("site-list"))
        return len(caught)

    visit_on(recorded, technician)
    queries()  # the first request of a session writes it
    few = queries()
    for number in range(12):
        visit_on(Site.objects.create(name=f"site {number}"), technician)
    assert queries() == few


def test_list_says_what_is_open(as_technician: Client, technician: Any, recorded: Site) -> None:
    visit_on(recorded, technician)
    row = as_technician.get(reverse("site-list")).context["rows"][0]
    assert row.visit.startswith("start-up, ")
    assert row.open_words == "visit not ended"


@pytest.mark.parametrize("name", ["site-detail", "site-edit", "contact-edit", "record-detail"])
def test_unknown_site_is_not_found_and_a_stranger_is_sent_to_sign_in(
    client: Client, as_technician: Client, recorded: Site, name: str
) -> None:
    unknown = "00000000-0000-4000-8000-000000000000"
    assert as_technician.get(reverse(name, args=[unknown])).status_code == 404
    assert as_technician.get(reverse(name, args=[recorded.pk])).status_code == 200
    assert client.get(reverse(name, args=[recorded.pk])).status_code == 302


def test_place_and_climate_are_kept_as_typed(
    as_technician: Client, recorded: Site, form_of: Callable[[str], dict[str, str]]
) -> None:
    url = reverse("site-edit", args=[recorded.pk])
    sent = {**form_of(url), "unit_system": "metric", "plate-altitude": "6070", "plate-altitude-unit": "ft"}
    answer = as_technician.post(url, {**sent, "covered": "well to taps", "not_covered": "the school's own plumbing"})
    assert answer.status_code == 302
    recorded.refresh_from_db()
    assert recorded.plate["altitude"] == {"typed": "6070", "unit": "ft"}
    assert recorded.not_covered == "the school's own plumbing"


def test_wrong_place_keeps_everything_typed(
    as_technician: Client, recorded: Site, form_of: Callable[[str], dict[str, str]]
) -> None:
    url = reverse("site-edit", args=[recorded.pk])
    sent = {**form_of(url), "unit_system": "metric", "plate-latitude": "95", "plate-altitude": "1,8", "covered": "taps"}
    page = as_technician.post(url, sent).content.decode()
    assert 'id="plate-latitude-error"' in page
    assert 'value="1,8"' in page
    assert "taps" in page


def test_change_of_the_place_judges_an_open_visit_again(
    as_technician: Client, technician: Any, recorded: Site, form_of: Callable[[str], dict[str, str]]
) -> None:
    taken = measure(
        visit_on(recorded, technician), "pump_cable_loop_resistance", "PU1",
        ("resistance", "0.5", "ohm", "leads 1 and 2"), actor=technician,
    )  # fmt: skip
    before = taken.judgements.count()
    url = reverse("site-edit", args=[recorded.pk])
    as_technician.post(url, {**form_of(url), "unit_system": "metric", "plate-ground_temperature": "25"})
    assert taken.judgements.count() == before + 1
    assert taken.judgements.order_by("made_at").last().because == "record changed"


def test_owner_stands_beside_the_record_and_not_in_the_evidence(as_technician: Client, recorded: Site) -> None:
    events = Event.objects.count()
    entry = {"owner": "Ridge water committee", "telephone": "555 0100", "address": "Schoolhouse"}
    as_technician.post(reverse("contact-edit", args=[recorded.pk]), entry)
    assert Contact.objects.get(site=recorded).owner == "Ridge water committee"
    assert Event.objects.count() == events
    assert "Ridge water committee" in as_technician.get(recorded.get_absolute_url()).content.decode()
