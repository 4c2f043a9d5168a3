"""The page of the design check, and the hold that waits for it."""

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissioning.asbuilt.design_shown import margin_words
from commissioning.models import Site
from commissioning.progress import design_words, progress_of
from sizing.design.declare import Outcome
from sizing.design.judge import design_check
from sizing.holds import Standing
from sizing.quantities import Quantity as Q
from sizing.system import build
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.sizing.design.systems import birch_hollow, changed, without
from tests.sizing.systems import quince_ridge

pytestmark = pytest.mark.django_db


def page_of(client: Client, site: Site) -> Any:
    return client.get(reverse("record-design", args=[site.pk]))


def sections_of(page: Any) -> dict[str, Any]:
    return {section.title: section for section in page.context["sections"]}


def test_page_prints_value_limit_and_margin_in_words(as_technician: Client, recorded: Site) -> None:
    page = page_of(as_technician, recorded)
    rows = {(row.title, row.subject): row for row in sections_of(page)["Safety"].met}
    row = rows["Array voltage at record low", "A1 solar array, with C1 pump controller"]
    # 3 × 22.6 V × [1 − 0.0029 × (−20 − 25)] = 76.65 V against 100 V
    assert row.value == "76.65\u00a0V"
    assert row.limits == "≤\u00a0100.0\u00a0V"
    assert row.margin == "23.35\u00a0V to spare, 23\u00a0% of the limit"
    assert "23.35\u00a0V to spare" in page.content.decode()
    assert [step.symbol for step in row.steps] == ["V_max"]


def test_what_is_not_met_comes_first_and_opens(as_technician: Client, technician: Any) -> None:
    site = site_with_record(technician, document=changed(quince_ridge(), A1__series=5))
    page = page_of(as_technician, site)
    first = sections_of(page)["Safety"].not_met
    assert {row.title for row in first} >= {"Array voltage at record low", "Relief valve"}
    text = page.content.decode()
    assert text.index("too much") < text.index("Cannot be said yet") < text.index("met, the closest first")
    assert 'class="verdict outside">not met<' in text
    assert page.context["head"].startswith(f"{len(first) + len(sections_of(page)['Function'].not_met)} not met")


def test_what_is_missing_leads_to_its_field(as_technician: Client, technician: Any) -> None:
    site = site_with_record(technician, document=changed(quince_ridge(), S1__rated_voltage=None))
    lacking = {lack.words: lack for lack in sections_of(page_of(as_technician, site))["Safety"].lacking}
    lack = lacking["S1: rated dc voltage is not recorded"]
    form = reverse("component-edit", args=[site.pk, site.components.get(tag="S1").pk])
    assert lack.url == f"{form}#plate-rated_voltage"
    assert 'id="plate-rated_voltage"' in as_technician.get(form).content.decode()
    assert lack.waits == "Array voltage at record low A1 with S1"


def test_a_missing_part_leads_to_the_form_of_what_lacks_it(as_technician: Client, recorded: Site) -> None:
    lacking = sections_of(page_of(as_technician, recorded))["Safety"].lacking
    relief = next(lack for lack in lacking if "relief valve" in lack.words)
    assert relief.url == reverse("component-edit", args=[recorded.pk, recorded.components.get(tag="PU1").pk])


def test_a_missing_field_of_the_site_leads_to_the_site(as_technician: Client, recorded: Site) -> None:
    lacking = sections_of(page_of(as_technician, recorded))["Function"].lacking
    assert {f"{reverse('site-edit', args=[recorded.pk])}#plate-{name}" for name in ("daily_demand", "frost_depth")} <= {
        lack.url for lack in lacking
    }
    frost = next(lack for lack in lacking if lack.url.endswith("frost_depth"))
    assert frost.waits == "Cover against frost P2, P3, P4, P5, P6"


def test_a_failing_outlet_prints_where_the_head_went(as_technician: Client, technician: Any) -> None:
    site = site_with_record(technician, document=changed(quince_ridge(), P6__inside_diameter=0.0204))
    page = page_of(as_technician, site)
    row = next(row for row in sections_of(page)["Function"].not_met if row.title == "Pressure at the outlet")
    assert row.shares is not None
    assert "P6 gravity main" in [line.label for line in row.shares.lines]
    assert "Where the head went: P6 gravity main takes " in page.content.decode()


def test_page_in_us_units(as_technician: Client, technician: Any) -> None:
    on_cables = ("FU2", "FU3", "FU4")
    site = site_with_record(technician, "us", document=without(birch_hollow(), *on_cables), name="Birch Hollow")
    page = page_of(as_technician, site)
    rows = {row.title: row for row in sections_of(page)["Function"].met}
    assert rows["Pressure at the outlet"].value.endswith("psi")
    unprotected = [row.subject for row in sections_of(page)["Safety"].not_met]
    assert unprotected == [f"BA1 battery, with {tag} cable" for tag in ("K4", "K5", "K6")]


def test_a_record_that_does_not_hold_together_says_so(as_technician: Client, technician: Any) -> None:
    document = quince_ridge()
    loop = {**next(r for r in document["runs"] if r["tag"] == "P3"), "tag": "P9", "start": "J1", "end": "O1"}
    site = site_with_record(technician, document={**document, "runs": [*document["runs"], loop]})
    page = page_of(as_technician, site)
    assert page.status_code == 200
    assert "loop" in page.content.decode()


def test_an_empty_layout_shows_what_it_waits_for(as_technician: Client, laid_out: Site) -> None:
    page = page_of(as_technician, laid_out)
    assert page.status_code == 200
    assert sections_of(page)["Safety"].lacking


def test_page_needs_no_more_queries_for_more_components(as_technician: Client, recorded: Site, laid_out: Site) -> None:
    def queries(site: Site) -> int:
        with CaptureQueriesContext(
            connection,
        ) as captured:
            page_of(as_technician, site)
        return len(captured)

    page_of(as_technician, recorded)
    assert queries(recorded) == queries(laid_out) <= 8


def test_page_without_login_or_of_an_unknown_site(as_technician: Client, recorded: Site) -> None:
    assert page_of(Client(), recorded).status_code == 302
    unknown = reverse("record-design", args=["00000000-0000-4000-8000-000000000000"])
    assert as_technician.get(unknown).status_code == 404
    assert as_technician.post(reverse("record-design", args=[recorded.pk])).status_code == 405


def test_record_leads_to_the_design_check(as_technician: Client, recorded: Site) -> None:
    text = as_technician.get(reverse("record-detail", args=[recorded.pk])).content.decode()
    assert f'href="{reverse("record-design", args=[recorded.pk])}"' in text


@pytest.mark.parametrize(
    ("outcome", "words"),
    [
        (Outcome(Q.VOLTAGE, 112.0, upper=100.0), "12.00\u00a0V too much, 12\u00a0% of the limit"),
        (Outcome(Q.GAUGE_PRESSURE, 40_000.0, lower=50_000.0), "10.0\u00a0kPa too little, 20\u00a0% of the limit"),
        (Outcome(Q.COUNT, 0.0, lower=1.0), "1 too few"),
        (Outcome(Q.TEMPERATURE, 5.0, lower=0.0), "5.0\u00a0°C to spare"),
        (Outcome(Q.RATIO, 0.029, upper=0.03), "0.1\u00a0% to spare, 3.3\u00a0% of the limit"),
        (Outcome(Q.CURRENT, 100.0, lower=1.0), "99.00\u00a0A to spare"),
        (Outcome(Q.LENGTH, 1.0, lower=1.0), "nothing to spare"),
    ],
)
def test_margin_in_words(outcome: Outcome, words: str) -> None:
    assert margin_words(outcome, "metric") == words


# the hold


def hold_of(site: Site, technician: Any) -> Any:
    """Return the hold "close strings" with every check of it good, on a site."""
    visit = visit_on(site, technician)
    measure(visit, "string_polarity", "A1", actor=technician, answer="as it should be")
    progress = progress_of(visit)
    return progress.hold("close_strings")


def test_hold_stands_for_the_design_alone(technician: Any, as_technician: Client) -> None:
    site = site_with_record(technician, document=changed(quince_ridge(), C1__maximum_voltage=70.0))
    hold = hold_of(site, technician)
    assert [design_words(one) for one in hold.not_designed] == [
        "array voltage at record low, A1 with C1: not met",
    ]
    assert hold.standing is Standing.STANDS
    visit = site.visits.get()
    text = as_technician.get(reverse("hold-detail", args=[visit.pk, "close_strings"])).content.decode()
    assert "Array voltage at record low, A1 with C1: not met" in text
    assert reverse("record-design", args=[site.pk]) in text


def test_a_hold_says_which_field_the_design_waits_for(technician: Any) -> None:
    site = site_with_record(technician, document=changed(quince_ridge(), site__record_low=None))
    words = [design_words(one) for one in hold_of(site, technician).not_designed]
    assert words
    assert all("record-low temperature is not recorded" in one for one in words)


def test_a_design_that_is_met_leaves_the_hold_to_its_checks(technician: Any, recorded: Site) -> None:
    hold = hold_of(recorded, technician)
    assert hold.not_designed == []
    assert [line.check.key for line in hold.still_owed] == ["open_circuit_voltage"]


def test_words_of_results_are_those_of_the_rule() -> None:
    result = design_check(build(quince_ridge()), ["relief_there"])[0]
    assert design_words(result) == "relief valve, PU1: not met"
