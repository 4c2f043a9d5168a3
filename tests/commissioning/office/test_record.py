"""The open record at the desk: out as a file, back in whole, or refused in words."""

import io
import zipfile
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from commissioning import evidence
from commissioning.models import Event, Site
from commissioning.open_record import export_site
from tests.commissioning.open_record.test_exact import emptied
from tests.commissioning.worlds import site_with_record, visit_on

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def site(technician, settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return site_with_record(technician)


def test_office_takes_a_site_out_as_a_file(as_office, site):
    answer = as_office.get(reverse("site-export", args=[site.pk]))
    assert answer["Content-Disposition"] == 'attachment; filename="quince-ridge-school.zip"'
    assert zipfile.ZipFile(io.BytesIO(answer.content)).namelist() == ["record.json"]
    assert answer.content == export_site(site)


def test_site_page_leads_the_office_to_the_file(as_office, as_technician, site):
    address = reverse("site-export", args=[site.pk])
    assert address in as_office.get(site.get_absolute_url()).text
    assert address not in as_technician.get(site.get_absolute_url()).text


def test_office_reads_a_site_back(as_office, site):
    data, name = export_site(site), site.name
    emptied()
    answer = as_office.post(reverse("site-import"), {"file": SimpleUploadedFile("site.zip", data)})
    assert answer.status_code == 302
    assert Site.objects.get().name == name


@pytest.mark.parametrize(
    ("data", "words"), [(b"not a zip", "This is not an exported site."), (b"", "The submitted file is empty.")]
)
def test_what_is_no_site_is_refused_at_the_field(as_office, data, words):
    answer = as_office.post(reverse("site-import"), {"file": SimpleUploadedFile("site.zip", data)})
    assert answer.status_code == 200
    assert words in answer.text
    assert not Event.objects.exists()


def test_a_missing_file_is_said_in_words(as_office, technician, site):
    visit = visit_on(site, technician)
    body = {
        "id": str(uuid4()), "visit": str(visit.pk), "measurement": None, "sha256": "0" * 64, "media_type": "image/jpeg",
        "width": 4, "height": 3, "caption": "", "taken_at": "2027-05-03T10:00:00+00:00",
    }  # fmt: skip
    evidence.append(site=site, kind="photo.added", body=body, actor=technician)
    answer = as_office.get(reverse("site-export", args=[site.pk]), follow=True)
    assert "missing from the server" in answer.text


def test_both_are_for_the_office_alone(as_technician, client, site):
    for address in (reverse("site-import"), reverse("site-export", args=[site.pk])):
        assert as_technician.get(address).status_code == 404
        assert client.get(address).status_code == 302  # to the sign-in
