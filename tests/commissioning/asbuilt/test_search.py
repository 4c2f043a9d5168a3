"""A site is found by whatever somebody has before them, in one query however many words are typed."""

from typing import Any

import pytest
from django.utils import timezone

from commissioning.asbuilt.site_search import sites_found
from commissioning.models import Contact, Sheet, Site
from tests.commissioning.worlds import site_with_record, visit_on

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(technician: Any) -> Site:
    """Quince Ridge with an owner, a pump of a serial, a controller taken out since, and a sheet."""
    site = site_with_record(technician)
    Site.objects.create(name="Elsewhere")
    Contact.objects.create(site=site, owner="Ada Wren")
    pump, controller = site.components.get(tag="PU1"), site.components.get(tag="C1")
    type(pump).objects.filter(pk=pump.pk).update(serial="SN-7731", model="Heron 4")
    type(pump).objects.filter(pk=controller.pk).update(serial="OLD-55", model="Gone 1", retired_at=timezone.now())
    Sheet.objects.create(
        site=site, visit=visit_on(site, technician), year=2027, sequence=14, body="{}", hash="0" * 64,
        token_hash="1" * 64, issued_by=technician, issued_at=timezone.now(),
    )  # fmt: skip
    return site


@pytest.mark.parametrize(
    "words",
    [
        "quince",
        "RISE",
        "wren",
        "sn-7731",
        "heron",
        "2027-014",
        "2027-14",
        "pu1",
        "wren heron 2027-014",
        "old-55",
        "pump",
    ],
)
def test_words_find_the_site(site, office, words):
    assert list(sites_found(office, words)) == [site]


@pytest.mark.parametrize("words", ["2027-015", "2026-014", "gone", "c1", "wren nobody", "%", "_", "'; --"])
def test_other_words_do_not(site, office, words):
    assert list(sites_found(office, words)) == []


def test_any_number_of_words_is_one_query(site, office, django_assert_num_queries):
    with django_assert_num_queries(1):
        list(sites_found(office, "wren heron pump 2027-014 rise quince"))


def test_stranger_finds_nothing(site, office):
    office.is_active = False
    assert list(sites_found(office, "quince")) == []
