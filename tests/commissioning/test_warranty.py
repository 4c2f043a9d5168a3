"""Papers of a part: fitted on, warranty; on its form, after a replacement, in the owner's pack and on arrival."""

from datetime import date, timedelta
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from commissioning import evidence, snapshot
from commissioning.asbuilt import services
from commissioning.asbuilt.copying import changes_like
from commissioning.models import Component, Site
from commissioning.nameplates import NameplateError
from commissioning.owner.pack import pack_context
from commissioning.planned import months_after
from commissioning.service.arrival import arrival_of
from commissioning.warranty import warranties_of, warranty_of
from sizing.parts import COMPONENT_KINDS, RUN_KINDS, SiteData
from tests.commissioning.worlds import site_with_record, visit_on

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


def pump(site: Site) -> Component:
    return site.components.standing().get(tag="PU1")


def fit(site: Site, actor: Any, day: str, months: str = "") -> Component:
    one = pump(site)
    papers = {"installed_on": day, **({"warranty": {"typed": months}} if months else {})}
    change = {"op": "put", "sort": "component", "id": str(one.pk), "kind": one.kind,
              "nameplate": {**one.nameplate, **papers}}  # fmt: skip
    evidence.append(site=site, kind="record.changed", body={"changes": [change]}, actor=actor)
    return pump(site)


def test_every_part_that_is_bought_has_papers_and_nothing_else_has() -> None:
    for part in COMPONENT_KINDS.values():
        names = list(part.declarations())
        assert (names[-2:] == ["installed_on", "warranty"]) is (part.kind != "junction"), part.kind
    assert all("warranty" not in part.declarations() for part in [*RUN_KINDS.values(), SiteData])


def test_a_record_without_papers_keeps_its_text_and_so_its_hash(site: Site, technician: Any) -> None:
    before = snapshot.text_now(site)
    assert "warranty" not in before
    assert "installed_on" not in before
    one = fit(site, technician, "2024-04-14", "24")
    assert snapshot.text_now(site) != before
    change = {"op": "put", "sort": "component", "id": str(one.pk), "kind": one.kind,
              "fields": {"installed_on": None, "warranty": None}}  # fmt: skip
    evidence.append(site=site, kind="record.changed", body={"changes": [change]}, actor=technician)
    assert snapshot.text_now(site) == before


def test_warranty_ends_after_its_months(site: Site, technician: Any) -> None:
    """A term of months ends on the same day of the month, or on the last one of a shorter month (by the calendar)."""
    assert warranty_of(fit(site, technician, "2024-04-14")).until is None
    assert warranty_of(fit(site, technician, "2024-04-14", "24")).until == date(2026, 4, 14)
    assert warranty_of(fit(site, technician, "2024-02-29", "12")).until == date(2025, 2, 28)
    assert warranty_of(fit(site, technician, "2024-08-31", "6")).until == date(2025, 2, 28)


def test_months_are_counted_as_a_calendar_library_counts_them() -> None:
    for days, months in ((n * 37, n % 61) for n in range(400)):
        day = date(2000, 1, 1) + timedelta(days=days)
        assert months_after(day, months) == day + relativedelta(months=months)


def test_last_day_still_counts(site: Site, technician: Any) -> None:
    found = warranty_of(fit(site, technician, "2024-04-14", "24"))
    assert found.words(date(2026, 4, 14)) == "still under warranty until 14 April 2026"
    assert found.words(date(2026, 4, 15)) == "warranty ended 14 April 2026"


def test_append_door_refuses_what_is_no_day(site: Site, technician: Any) -> None:
    for day in ("14.4.2024", "2024-4-14", "2024-02-30", "20240414", "0024-04-14", 7):
        with pytest.raises(NameplateError):
            fit(site, technician, day)  # type: ignore[arg-type]
    assert "installed_on" not in pump(site).nameplate


def form_url(site: Site) -> str:
    return reverse("component-edit", args=[site.pk, pump(site).pk])


@pytest.mark.parametrize(("typed", "words"), [("2024-13-01", "Give the day as 2027-04-14."), ("", "still to come")])
def test_form_says_at_the_field_what_is_wrong(as_technician: Client, site: Site, typed: str, words: str) -> None:
    typed = typed or (timezone.localdate() + timedelta(days=2)).isoformat()
    sent = {"tag": "PU1", "name": "", "plate-installed_on": typed, "plate-warranty": "24"}
    text = as_technician.post(form_url(site), sent).content.decode()
    assert words in text
    assert f'value="{typed}"' in text
    assert "installed_on" not in pump(site).nameplate


def test_a_new_one_has_its_own_day_and_not_the_old_ones_warranty(
    as_technician: Client, site: Site, technician: Any
) -> None:
    fit(site, technician, "2024-04-14", "600")
    url = reverse("component-replace", args=[site.pk, pump(site).pk])
    assert "still under warranty until 14 April 2074" in as_technician.get(url).content.decode()
    sent = {"maker": "", "model": "", "serial": "7", "reason": "worn", "is_same": "on", "installed_on": "2026-01-05"}
    assert as_technician.post(url, sent).status_code == 302
    new = pump(site)
    assert (new.serial, new.nameplate["installed_on"]) == ("7", "2026-01-05")
    assert "warranty" not in new.nameplate
    assert "principle" in new.nameplate  # what the maker printed holds for the new one too


def test_nobody_is_told_to_keep_an_old_one_whose_warranty_ended(
    as_technician: Client, site: Site, technician: Any
) -> None:
    fit(site, technician, "2020-04-14", "24")
    url = reverse("component-replace", args=[site.pk, pump(site).pk])
    assert "warranty" not in as_technician.get(url).content.decode().replace("warranty of the new one", "")


def test_a_copied_record_brings_no_papers_along(site: Site, technician: Any) -> None:
    fit(site, technician, "2024-04-14", "24")
    assert not any("installed_on" in change.get("nameplate", {}) for change in changes_like(site))


def test_owner_and_technician_read_until_when(as_technician: Client, site: Site, technician: Any) -> None:
    fit(site, technician, "2024-04-14", "600")
    (told,) = [one for one in pack_context(site)["parts"] if one.part.tag == "PU1"]
    assert (told.installed, told.warranty) == ("14 April 2024", "still under warranty until 14 April 2074")
    visit = visit_on(site, technician, "service")
    assert [one.words for one in arrival_of(visit)["warranties"]] == ["still under warranty until 14 April 2074"]
    for url in (reverse("owner-pack", args=[site.pk]), reverse("arrival", args=[visit.pk])):
        assert "still under warranty until 14 April 2074" in as_technician.get(url).content.decode()


def test_the_one_that_ends_first_stands_first(site: Site, technician: Any) -> None:
    fit(site, technician, "2024-04-14", "24")
    services.replace(
        component=site.components.standing().get(tag="C1"),
        entry={"is_same": True, "maker": "", "model": "", "serial": "2", "reason": "wet",
               "installed_on": date(2024, 1, 1)},
        actor=technician,
    )  # fmt: skip
    assert [one.component.tag for one in warranties_of(site)] == ["PU1"]  # a day without a term has no end
