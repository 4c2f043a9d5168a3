"""Readings leave as a table that no spreadsheet program runs, and every site leaves in one archive."""

import csv
import io
import zipfile
from typing import Any

import pytest
from django.urls import reverse

from commissioning.models import Site
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(technician: Any, settings: Any, tmp_path: Any) -> Site:
    settings.MEDIA_ROOT = tmp_path
    site = site_with_record(technician)
    visit = visit_on(site, technician)
    bad = "=cmd|' /C calc'!A0"
    measure(visit, "ambient_temperature", "site", ("ambient_temperature", "-3.5", "degC"), actor=technician, note=bad)
    return site


def test_note_that_begins_like_a_formula_is_text_and_a_negative_number_a_number(as_office, site):
    answer = as_office.get(reverse("site-readings", args=[site.pk]))
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    (row,) = csv.DictReader(io.StringIO(text, newline=""))
    assert (row["typed"], row["value in core unit"]) == ("-3.5", "-3.5")
    assert row["note"] == "'=cmd|' /C calc'!A0"
    assert answer.headers["Content-Disposition"].startswith("attachment")


def test_every_site_leaves_in_one_archive(as_office, site, technician):
    other = site_with_record(technician, name="Fennel Gap")
    answer = as_office.get(reverse("site-export-all"))
    with zipfile.ZipFile(io.BytesIO(b"".join(answer.streaming_content))) as archive:
        assert sorted(name[-40:-4] for name in archive.namelist()) == sorted([str(site.pk), str(other.pk)])
        for name in archive.namelist():
            with zipfile.ZipFile(io.BytesIO(archive.read(name))) as one:
                assert "record.json" in one.namelist()


def test_only_the_office_takes_them(as_technician, site):
    assert as_technician.get(reverse("site-readings", args=[site.pk])).status_code == 404
    assert as_technician.get(reverse("site-export-all")).status_code == 404
