"""Three systems that no starter layout holds, typed in through the screens and judged as their builder would.

All of it in the long lane, whose result lines count what a person types and taps; their numbers are in every run
(tests/commissioning/test_unseen_numbers.py).
Expected numbers stand in `unseen/numbers.py`, each with its hand calculation; invented systems.
"""

from typing import Any

import pytest
from django.urls import reverse

from commissioning import snapshot
from commissioning.asbuilt.gaps import gaps_of
from commissioning.asbuilt.section import section_of
from commissioning.models import Site, Visit
from commissioning.progress import progress_of
from sizing.design.declare import Met
from sizing.design.judge import design_check
from sizing.system import System
from tests.commissioning.schematic_geometry import overlaps
from tests.e2e.unseen.booster import TWO_ARRAYS
from tests.e2e.unseen.clinic import CLINIC
from tests.e2e.unseen.hands import button, type_in
from tests.e2e.unseen.numbers import numbers_of_the_booster, numbers_of_the_clinic, numbers_of_the_spring
from tests.e2e.unseen.spring import SPRING_TANKS

pytestmark = pytest.mark.django_db(transaction=True)


def typed(open_page: Any, technician: Any, unseen: Any, **ways: bool) -> tuple[Any, Site, Any]:
    page = open_page(reverse("site-new"), user=technician)
    hands = type_in(page, unseen, **ways)
    return page, Site.objects.get(name=unseen.site), hands


@pytest.fixture
def keep_typing(is_long: bool, keep_record: Any) -> Any:
    """Write down what a person typed and tapped, from the page of a new site to the complete record."""

    def keep(name: str, hands: Any) -> None:
        figures = {"fields": hands.fields, "taps": hands.taps}
        if is_long:
            keep_record(f"typing_{name}", **figures)

    return keep


def begin_visit(page: Any, site: Site) -> Visit:
    page.goto(f"{reverse('visit-begin')}?site={site.pk}&kind=start_up")
    button(page, "Begin").click()
    page.wait_for_load_state()
    return Visit.objects.get(site=site)


def is_whole(site: Site, not_met: set[str]) -> System:
    """Check that nothing lacks, that the design says what it should, and that the drawing holds it all."""
    assert (gaps_of(site).fields, gaps_of(site).lacks) == ((), ())
    system = snapshot.system_now(site)
    results = design_check(system)
    assert {one.id for one in results if one.met is Met.NOT_MET} == not_met
    assert [one.id for one in results if one.met is Met.CANNOT_BE_SAID] == []
    drawn = section_of(site, is_print=True)
    assert overlaps(drawn) == []
    assert overlaps(section_of(site)) == []
    assert all(f">{tag}" in drawn for tag in system.nodes)
    return system


@pytest.mark.long
def test_spring_to_two_tanks_in_line_with_three_outlets(open_page, technician, keep_typing):
    page, site, hands = typed(open_page, technician, SPRING_TANKS)
    system = is_whole(site, {"velocity:P3", "velocity:P4"})
    numbers_of_the_spring(system)
    page.goto(reverse("record-design", args=[site.pk]))
    assert page.locator("article.rule", has_text="P4 between the tanks").get_by_text("not met", exact=True).is_visible()
    visit = begin_visit(page, site)
    said = page.inner_text("body")
    assert "no electrical work" not in said
    assert "Before cover: no line in the ground was tested" in said
    owed = {line.owed.id for line in progress_of(visit).lines if not line.owed.optional}
    taps = {f"delivery_flow:{tag}" for tag in ("O1", "O2", "O3")}
    assert taps | {"tightness_whole:T1", "tightness_whole:T2", "as_left:site"} <= owed
    assert {"tank_chlorine_dose:T1", "tank_chlorine_dose:T2"} <= owed
    assert not {one.partition(":")[0] for one in owed} & {"irradiance", "static_level", "chlorine_dose", "proved_dead"}
    assert (hands.fields, hands.taps) <= (105, 105), "more to type than before"
    keep_typing("spring_two_tanks", hands)


@pytest.mark.long
def test_two_arrays_and_a_booster_behind_an_inverter(open_page, technician, keep_typing):
    page, site, hands = typed(open_page, technician, TWO_ARRAYS)
    system = is_whole(site, set())
    numbers_of_the_booster(system)
    owed = {line.owed.id for line in progress_of(begin_visit(page, site)).lines if not line.owed.optional}
    assert {"charge_current:CC1", "charge_current:CC2", "booster_voltage:B1", "tank_drawdown:PT1"} <= owed
    keep_typing("two_arrays_inverter_booster", hands)


@pytest.mark.long
def test_clinic_with_an_overhead_tank_and_a_hand_pump_on_the_same_main(open_page, technician, keep_typing):
    page, site, hands = typed(open_page, technician, CLINIC)
    system = is_whole(site, set())
    numbers_of_the_clinic(system)
    owed = {line.owed.id for line in progress_of(begin_visit(page, site)).lines if not line.owed.optional}
    assert {"cannot_backflow:HP1", "volume_per_stroke:HP1", "low_water_guard_dry:LS2", "well_pump_flow:PU1"} <= owed
    keep_typing("clinic_hand_pump", hands)


@pytest.mark.long
@pytest.mark.parametrize("unseen", [SPRING_TANKS, CLINIC], ids=lambda one: one.key)
def test_what_is_reused_spares_typing(open_page, technician, unseen, keep_typing):
    _, _, plain = typed(open_page, technician, unseen, reuses_runs=False, goes_on=False)
    keep_typing(f"{unseen.key}_without_reuse", plain)
