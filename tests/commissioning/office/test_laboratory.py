"""A laboratory's report is kept with its file; only the values at the checks settle whether the water may be drunk."""

from datetime import UTC, datetime
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from commissioning import files
from commissioning.management.commands.scrub import missing_reports
from commissioning.models import Event, LaboratoryReport, LaboratorySample, Visit
from commissioning.office.waiting import Whom, waiting_on
from commissioning.open_record import export_site
from commissioning.progress import progress_of
from sizing.holds import Standing
from tests.commissioning.worlds import measure, site_with_record, visit_on

pytestmark = pytest.mark.django_db
NOON = datetime(2025, 4, 14, 18, tzinfo=UTC)
PDF = b"%PDF-1.7 colonies: absent"
SENT = {"laboratory": "County bench", "sent_on": "2025-04-14", "words": "coliform"}
REPORT = {"number": "R-118", "method": "membrane filtration", "received_on": "2025-04-17"}


@pytest.fixture(autouse=True)
def media(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def visit(technician: Any) -> Visit:
    return visit_on(site_with_record(technician), technician, at=NOON)


def page(client: Client, name: str, *args: object) -> str:
    return client.get(reverse(name, args=args)).content.decode()


def keep_report(client: Client, sample: LaboratorySample, data: bytes = PDF, **changes: str) -> Any:
    file = SimpleUploadedFile("../../report.html", data, content_type="text/html")
    return client.post(reverse("laboratory-report", args=[sample.pk]), {**REPORT, **changes, "file": file})


def test_sample_waits_on_the_laboratory_until_its_report_is_kept(as_office, office, visit):
    assert as_office.post(reverse("laboratory", args=[visit.pk]), SENT).status_code == 302
    sample = LaboratorySample.objects.get()
    waits = [one for one in waiting_on(office, NOON.date()) if one.whom is Whom.LABORATORY]
    assert [(one.name, one.since) for one in waits] == [("County bench", NOON.date())]
    before = Event.objects.count()
    assert keep_report(as_office, sample).status_code == 302
    assert Event.objects.count() == before + 1
    assert [one for one in waiting_on(office, NOON.date()) if one.whom is Whom.LABORATORY] == []
    answer = as_office.get(reverse("laboratory-file", args=[LaboratoryReport.objects.get().pk]))
    assert answer.content == PDF
    assert answer.headers["Content-Type"] == "application/pdf"  # by its bytes, not by what the sender called it
    assert answer.headers["Content-Disposition"].startswith("attachment")
    assert files.digest_of(PDF) in str(export_site(visit.site))


def test_a_report_settles_nothing_and_its_bad_value_is_on_the_notice(as_office, technician, visit):
    as_office.post(reverse("laboratory", args=[visit.pk]), SENT)
    keep_report(as_office, LaboratorySample.objects.get())
    hold = progress_of(visit).hold("drink")
    assert hold is not None
    assert hold.standing is Standing.STANDS
    notice = page(as_office, "water-notice", visit.pk)
    assert "Do not drink this water" in notice
    assert "results are not all there yet" in notice
    measure(visit, "coliform", "O1", ("colonies", "12", "cfu/100mL"), actor=technician, at=NOON)
    notice = page(as_office, "water-notice", visit.pk)
    assert "found that the water is not as it should be" in notice
    assert "may be drunk" not in notice
    assert "R-118" in notice


@pytest.mark.parametrize(
    ("data", "changes", "words"),
    [
        (b"<html><script>", {}, "This is no PDF, JPEG or PNG."),
        (PDF, {"number": ""}, "This field is required."),
        (PDF, {"received_on": "2999-01-01"}, "That day is still to come."),
    ],
)
def test_bad_report_is_refused_at_its_field(as_office, visit, data, changes, words):
    as_office.post(reverse("laboratory", args=[visit.pk]), SENT)
    answer = keep_report(as_office, LaboratorySample.objects.get(), data, **changes)
    assert answer.status_code == 200
    assert words in answer.content.decode()
    assert not LaboratoryReport.objects.exists()


def test_scrub_misses_a_report_whose_file_is_gone(as_office, visit, settings):
    as_office.post(reverse("laboratory", args=[visit.pk]), SENT)
    keep_report(as_office, LaboratorySample.objects.get())
    assert missing_reports() == []
    [file] = settings.MEDIA_ROOT.glob(f"*/{files.digest_of(PDF)}")
    file.unlink()
    said = "the file of report R-118 of County bench (Quince Ridge school) is not here: lost"
    assert missing_reports() == [said]


def test_pages_are_for_the_office(as_technician, visit):
    for name in ("laboratory", "water-notice"):
        assert as_technician.get(reverse(name, args=[visit.pk])).status_code == 404
