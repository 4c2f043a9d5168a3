"""The as-built record: what it shows, what it lacks, and every way to change it."""

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissioning import snapshot
from commissioning.asbuilt.shown import GROUPS, IN_A_LINE, component_sections
from commissioning.models import Component, Event, Run, Site
from commissioning.nameplates import part_of
from commissioning.progress import progress_of
from sizing.parts import COMPONENT_KINDS, RUN_KINDS
from sizing.system import as_counted
from tests.commissioning.asbuilt.conftest import fields_of
from tests.commissioning.worlds import measure, visit_on

pytestmark = pytest.mark.django_db
Fields = Callable[[str], dict[str, str]]
NASTY = ["1,5", "1e309", "NaN", "٣", "<script>alert(1)</script>", "12 m", "-", "9" * 300]


def of(site: Site, tag: str) -> Component | Run:
    found = site.components.filter(tag=tag).first() or site.runs.filter(tag=tag).first()
    assert found is not None
    return found  # type: ignore[no-any-return]


def address(site: Site, tag: str, what: str = "edit") -> str:
    one = of(site, tag)
    noun = "component" if isinstance(one, Component) else "run"
    return reverse(f"{noun}-{what}", args=[site.pk, one.pk])


def changes(site: Site) -> int:
    return Event.objects.filter(site=site, kind="record.changed").count()


def test_record_shows_every_tag_with_its_nameplate_and_what_is_open(as_technician: Client, recorded: Site) -> None:
    page = as_technician.get(reverse("record-detail", args=[recorded.pk]))
    rows = {row.tag: row for section in page.context["sections"] for row in section.rows}
    assert set(rows) == {
        *recorded.components.values_list("tag", flat=True),
        *recorded.runs.values_list("tag", flat=True),
    }
    assert "Depth 60\u00a0m" in rows["W1"].line
    assert rows["W1"].open_words == ""
    assert rows["T1"].open_words == "", "a round tank has neither length nor width to fill in"
    assert rows["P3"].where == "J1 to O1"


def test_record_of_a_layout_says_which_field_which_check_waits_for(as_technician: Client, laid_out: Site) -> None:
    page = as_technician.get(reverse("record-detail", args=[laid_out.pk]))
    gaps = {(gap.tag, gap.field): gap for gap in [*page.context["gaps"], *page.context["more_gaps"]]}
    assert "Static level" in gaps[("W1", "Static level on the driller's log")].checks
    assert gaps[("A1", "Module Voc")].url == f"{address(laid_out, 'A1')}#plate-module_open_circuit_voltage"
    assert 'id="plate-module_open_circuit_voltage"' in as_technician.get(address(laid_out, "A1")).content.decode()


def test_record_needs_no_more_queries_for_more_components(
    as_technician: Client, technician: Any, laid_out: Site
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            as_technician.get(reverse("record-detail", args=[laid_out.pk]))
        return len(caught)

    queries()
    few = queries()
    for number in range(5, 15):
        Component.objects.create(site=laid_out, kind="valve", tag=f"V{number}")
    assert queries() == few


@pytest.mark.parametrize("kind", [*COMPONENT_KINDS, *RUN_KINDS])
def test_every_kind_has_a_form_that_keeps_a_bare_tag(
    as_technician: Client, laid_out: Site, form_of: Fields, kind: str
) -> None:
    noun = "component" if kind in COMPONENT_KINDS else "run"
    url = reverse(f"{noun}-new", args=[laid_out.pk, kind])
    sent = {**form_of(url), "tag": "X-9.1"}
    if noun == "run":
        ends = {
            "pipe": ("J1:", "T1:overflow"),
            "cable": ("EE1:bond", "A1:output"),
            "control": ("LS1:control", "C1:control"),
        }
        for name, end in zip(("start", "end"), ends[kind], strict=True):
            tag, _, port = end.partition(":")
            sent[name] = f"{of(laid_out, tag).pk}:{port}"
    before = changes(laid_out)
    assert as_technician.post(url, sent).status_code == 302
    assert of(laid_out, "X-9.1").kind == kind
    assert changes(laid_out) == before + 1


def test_change_keeps_what_was_typed_and_answers_htmx_with_the_way_back(
    as_technician: Client, recorded: Site, form_of: Fields
) -> None:
    url = address(recorded, "W1")
    sent = {**form_of(url), "plate-depth": "61.5", "serial": "A-77", "reason": "sounded again"}
    answer = as_technician.post(url, sent, headers={"HX-Request": "true"})
    assert answer.headers["HX-Redirect"] == reverse("record-detail", args=[recorded.pk])
    well = of(recorded, "W1")
    assert well.nameplate["depth"] == {"typed": "61.5", "unit": "m"}
    assert well.nameplate["static_level"] == {"typed": "24", "unit": "m"}
    assert "sounded again" in Event.objects.filter(site=recorded, kind="record.changed").last().body  # type: ignore[union-attr]


@pytest.mark.parametrize("text", NASTY)
def test_nasty_figure_is_refused_at_its_field_and_nothing_typed_is_lost(
    as_technician: Client, recorded: Site, form_of: Fields, text: str
) -> None:
    url = address(recorded, "W1")
    before = changes(recorded)
    sent = {**form_of(url), "plate-depth": text, "maker": "kept & there"}
    answer = as_technician.post(url, sent, headers={"HX-Request": "true"})
    page = answer.content.decode()
    assert answer.status_code == 200
    assert page.lstrip().startswith("<form")
    assert 'id="plate-depth-error"' in page
    assert 'value="kept &amp; there"' in page
    assert "<script>alert" not in page
    assert changes(recorded) == before


@pytest.mark.parametrize("tag", ["", "PU1", "pu1", "P1", "a b", "<b>", "site", "W/1", "x" * 30, "٣"])
def test_tag_is_refused_where_it_is_none_or_taken(
    as_technician: Client, recorded: Site, form_of: Fields, tag: str
) -> None:
    url = address(recorded, "W1")
    page = as_technician.post(url, {**form_of(url), "tag": tag}).content.decode()
    assert 'id="id_tag_error"' in page
    assert of(recorded, "W1").tag == "W1"


def test_nasty_words_are_shown_harmlessly(as_technician: Client, recorded: Site, form_of: Fields) -> None:
    url = address(recorded, "W1")
    name = "<script>alert(1)</script> & 'well'"
    assert as_technician.post(url, {**form_of(url), "name": name}).status_code == 302
    page = as_technician.get(reverse("record-detail", args=[recorded.pk])).content.decode()
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


def test_doubt_is_asked_back_and_an_answer_settles_it(as_technician: Client, recorded: Site, form_of: Fields) -> None:
    url = address(recorded, "W1")
    sent = {**form_of(url), "plate-depth": "900"}
    page = as_technician.post(url, sent).content.decode()
    assert 'id="plate-depth-doubt"' in page
    assert as_technician.post(url, {**sent, "plate-depth-right": "900 m"}).status_code == 302


def test_host_is_of_a_kind_that_can_hold_it(as_technician: Client, recorded: Site, form_of: Fields) -> None:
    url = address(recorded, "PU1")
    for host in (str(of(recorded, "T1").pk), "no id"):
        assert 'id="id_host_error"' in as_technician.post(url, {**form_of(url), "host": host}).content.decode()


def test_run_joins_two_different_components(as_technician: Client, recorded: Site, form_of: Fields) -> None:
    url = address(recorded, "P2")
    tank = of(recorded, "T1").pk
    page = as_technician.post(url, {**form_of(url), "start": f"{tank}:inlet", "end": f"{tank}:outlet"}).content.decode()
    assert 'id="id_end_error"' in page


def test_run_form_left_alone_changes_nothing(as_technician: Client, recorded: Site, form_of: Fields) -> None:
    before = Run.objects.values().get(site=recorded, tag="P1")
    as_technician.post(address(recorded, "P1"), form_of(address(recorded, "P1")))
    after = Run.objects.values().get(site=recorded, tag="P1")
    assert {**after, "changed_at": None} == {**before, "changed_at": None}


def test_more_rows_come_without_scripts_and_keep_what_was_typed(
    as_technician: Client, laid_out: Site, form_of: Fields
) -> None:
    url = address(laid_out, "PU1")
    sent = {**form_of(url), "plate-performance-1-head": "20,5", "more": "plate-performance"}
    page = as_technician.post(url, sent).content.decode()
    assert 'name="plate-performance-16-head"' in page
    assert 'value="20,5"' in page


def test_error_in_a_table_names_row_and_column_at_the_cell(
    as_technician: Client, recorded: Site, form_of: Fields
) -> None:
    url = address(recorded, "PU1")
    page = as_technician.post(url, {**form_of(url), "plate-performance-3-head": "40,0"}).content.decode()
    assert 'id="plate-performance-3-head-error">Row 3, head: Did you mean 40.0?' in page


def test_component_with_something_on_it_is_not_retired(as_technician: Client, recorded: Site) -> None:
    answer = as_technician.post(address(recorded, "W1", "retire"), {"reason": "dry"})
    page = answer.content.decode()
    assert "PU1 sits in or on it" in page
    assert "dry</textarea>" in page
    assert of(recorded, "W1").retired_at is None


def test_retired_run_leaves_the_record_with_its_reason(as_technician: Client, recorded: Site) -> None:
    url = address(recorded, "P3", "retire")
    assert as_technician.post(url, {"reason": " "}).status_code == 200
    assert as_technician.post(url, {"reason": "replaced by P9"}).status_code == 302
    assert of(recorded, "P3").retired_at is not None
    assert as_technician.get(address(recorded, "P3")).status_code == 404


def test_retiring_what_an_open_visit_measured_leaves_its_judgement(
    as_technician: Client, technician: Any, recorded: Site
) -> None:
    visit = visit_on(recorded, technician)
    taken = measure(visit, "electrode_resistance", "EE1", ("resistance", "12", "ohm"), actor=technician)
    before = taken.judgements.count()
    assert as_technician.post(address(recorded, "EE1", "retire"), {"reason": "corroded"}).status_code == 302
    assert taken.judgements.count() == before


def test_what_replaces_a_measured_component_is_owed_again_under_the_same_tag(
    as_technician: Client, technician: Any, recorded: Site, form_of: Fields
) -> None:
    visit = visit_on(recorded, technician)
    measure(visit, "electrode_resistance", "EE1", ("resistance", "12", "ohm"), actor=technician)
    as_technician.post(address(recorded, "EE1", "retire"), {"reason": "corroded"})
    url = reverse("component-new", args=[recorded.pk, "earth_electrode"])
    as_technician.post(url, {**form_of(url), "tag": "EE1"})
    line = progress_of(visit).line("electrode_resistance:EE1")
    assert line is not None
    assert line.measurement is None


def test_change_of_the_record_judges_an_open_visit_again(
    as_technician: Client, technician: Any, recorded: Site, form_of: Fields
) -> None:
    visit = visit_on(recorded, technician)
    taken = measure(
        visit, "pump_cable_loop_resistance", "PU1", ("resistance", "0.5", "ohm", "leads 1 and 2"), actor=technician
    )
    before = taken.judgements.count()
    url = address(recorded, "K3")
    as_technician.post(url, {**form_of(url), "plate-length": "96"})
    assert taken.judgements.count() == before + 1


def test_component_of_another_site_is_not_found(as_technician: Client, recorded: Site, laid_out: Site) -> None:
    url = reverse("component-edit", args=[laid_out.pk, of(recorded, "W1").pk])
    assert as_technician.get(url).status_code == 404
    assert as_technician.get(reverse("component-new", args=[laid_out.pk, "spaceship"])).status_code == 404


def test_record_with_a_tag_twice_says_so_instead_of_failing(as_technician: Client, laid_out: Site) -> None:
    Run.objects.create(site=laid_out, kind="pipe", tag="W1", start=of(laid_out, "V1"), end=of(laid_out, "V2"))  # type: ignore[misc]
    page = as_technician.get(reverse("record-detail", args=[laid_out.pk])).content.decode()
    assert "tag W1 stands twice" in page


def test_every_kind_has_its_place_on_the_page() -> None:
    placed = [kind for _, _, kinds in GROUPS for kind in kinds]
    assert sorted(placed) == sorted(COMPONENT_KINDS)
    for kind, names in IN_A_LINE.items():
        assert set(names) <= set(part_of(kind).declarations())


def test_record_shows_its_section_in_a_region_that_can_be_scrolled(as_technician: Client, recorded: Site) -> None:
    page = as_technician.get(reverse("record-detail", args=[recorded.pk])).content.decode()
    assert page.count('class="schematic" tabindex="0" role="region"') == 1
    assert '<svg class="sch' in page
    for tag in ("W1", "PU1", "T1"):
        assert f">{tag}" in page[page.index("<svg") : page.index("</svg>")]


def test_record_for_paper_says_all_that_is_recorded(as_technician: Client, recorded: Site) -> None:
    page = as_technician.get(reverse("record-print", args=[recorded.pk]))
    assert page.status_code == 200
    rows = {row.tag: row for section in page.context["sections"] for row in section.rows}
    assert set(rows) == {one.tag for one in [*recorded.components.standing(), *recorded.runs.standing()]}
    assert len(rows["A1"].line.split(" · ")) == len(of(recorded, "A1").nameplate)
    assert "<form" not in page.content.decode().partition("<main")[2].partition("as-built record")[2]


def test_record_without_a_sound_shape_is_shown_all_the_same(as_technician: Client, recorded: Site) -> None:
    recorded.runs.filter(tag="P1").update(tag="W1")
    page = as_technician.get(reverse("record-detail", args=[recorded.pk]))
    assert page.status_code == 200
    assert page.context["section"] == ""
    assert as_technician.get(reverse("record-print", args=[recorded.pk])).status_code == 200


def test_fuse_sits_on_the_cable_that_it_protects(as_technician: Client, recorded: Site, form_of: Fields) -> None:
    url = reverse("component-new", args=[recorded.pk, "overcurrent_device"])
    cable = of(recorded, "K1")
    as_technician.post(url, {**form_of(url), "host": str(cable.pk), "plate-rated_current": "16"})
    system = snapshot.system_now(recorded)
    assert system.run_under(system.node("FU1")).tag == "K1"
    edit = address(recorded, "FU1")
    assert form_of(edit)["host"] == str(cable.pk)
    as_technician.post(edit, {**form_of(edit), "plate-rated_current": "20"})
    assert Component.objects.get(site=recorded, tag="FU1").host_run == cable, "a change of the rating leaves it there"
    page = as_technician.post(address(recorded, "K1", "retire"), {"reason": "too thin"}).content.decode()
    assert "FU1 sits in or on it" in page
    rows = as_technician.get(reverse("record-detail", args=[recorded.pk])).content.decode()
    assert "in or on K1" in rows


def test_tags_stand_in_the_order_in_which_a_person_counts():
    assert sorted(["P10", "P2", "CV1", "P1", "V10", "V9.1"], key=as_counted) == [
        "CV1",
        "P1",
        "P2",
        "P10",
        "V9.1",
        "V10",
    ]


@pytest.mark.parametrize(
    ("shape", "typed"),
    [("vertical_cylinder", {"diameter": "2.4"}), ("rectangular", {"length": "7.0", "width": "5.0"})],
)
def test_tank_is_complete_by_the_measures_of_its_shape(as_technician, laid_out, shape, typed):
    tank = laid_out.components.get(tag="T1")
    at = reverse("component-edit", args=[laid_out.pk, tank.pk])
    heights = {"floor": "11", "outlet": "11.1", "inlet": "13.2", "overflow": "13"}
    sent = {f"plate-{name}_elevation": value for name, value in heights.items()}
    sent |= {f"plate-{name}": value for name, value in typed.items()}
    as_technician.post(at, {**fields_of(as_technician.get(at)), **sent, "plate-shape": shape})
    rows = [row for section in component_sections(laid_out) for row in section.rows]
    assert next(row.open_words for row in rows if row.tag == "T1") == ""


def test_table_of_the_site_can_be_pasted(as_technician, laid_out):
    assert "js/grid" in as_technician.get(reverse("site-edit", args=[laid_out.pk])).content.decode()
