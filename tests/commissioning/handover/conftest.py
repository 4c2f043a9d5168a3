"""Visits to hand over, one measured from end to end and one hardly begun, and their sheets."""

from collections.abc import Callable
from datetime import date
from typing import Any
from uuid import uuid4

import pytest

from commissioning import evidence, files, pdf
from commissioning.handover import services, sheet_pdf
from commissioning.models import Defect, Sheet, Site, User, Visit
from tests.commissioning.handover.started_up import begin_up, start_up
from tests.commissioning.worlds import site_with_record, visit_on

ADDRESS = "http://testserver/v/{}/"
WAVE = "[[[10,40,0],[30,10,16],[60,50,40],[120,20,90]]]"


@pytest.fixture
def visit(technician: Any) -> Visit:
    """Return it as it is read again: its number, as it was given, is a text."""
    return Visit.objects.select_related("site").get(pk=begin_up(technician).pk)


@pytest.fixture
def full_visit(technician: Any) -> Visit:
    return start_up(technician)


@pytest.fixture
def without_pdf(monkeypatch: pytest.MonkeyPatch) -> None:
    """Issue without the slow part, as on a machine that lacks the text libraries."""
    lacking = "PDF pages need the system's text libraries: apt install x"
    monkeypatch.setattr("commissioning.pdf.pdf_available", lambda: lacking)
    monkeypatch.setattr("commissioning.handover.views.pdf_available", lambda: lacking)


def entry_for(draft: services.Draft, **changes: Any) -> services.Entry:
    """Return what an office person would type for a draft."""
    seen = {item.key: services.Seen(item.who or "T. Marsh", date(2027, 4, 23)) for item in draft.items}
    given: dict[str, Any] = {"shown_hash": draft.shown_hash, "paper": "A4", "seen_to": seen, "strokes": WAVE}
    return services.Entry(**{**given, **changes})


@pytest.fixture
def issue(office: Any) -> Callable[..., Sheet]:
    """Issue the sheet of a visit as it stands: `issue(visit, reason="…")`."""

    def made(visit: Visit, **changes: Any) -> Sheet:
        entry = entry_for(services.draft_of(visit), **changes)
        return services.issue_sheet(visit=visit, entry=entry, actor=office, address=ADDRESS)

    return made


def posted(draft: services.Draft, **changes: Any) -> dict[str, Any]:
    """Return what the form of a draft sends."""
    return {"shown_hash": draft.shown_hash, "paper": "A4", "who_all": "T. Marsh", "due_all": "2027-04-23", **changes}


def raise_defect(visit: Visit, actor: Any, words: str = "Drain valve drips.", **body: Any) -> Defect:
    """Return a defect raised on a visit."""
    given = {"id": str(uuid4()), "visit": str(visit.pk), "words": words, "is_unsafe": False, **body}
    defect = evidence.append(site=visit.site, kind="defect.raised", body=given, actor=actor).projected
    assert isinstance(defect, Defect)
    return defect


def site_of_a_tank(actor: User, name: str = "Quince Ridge") -> Site:
    """Return a site of a tank and nothing else, for where what is on the sheet does not matter: quick to issue."""
    tank = {"kind": "storage_tank", "tag": "T1", "name": "", "host": "", "nameplate": {}}
    return site_with_record(actor, document={"site": {}, "components": [tank], "runs": []}, name=name)


@pytest.fixture
def small_page(monkeypatch: pytest.MonkeyPatch) -> None:
    """Print the record's hash alone, the record enclosed: what a whole sheet looks like is tested elsewhere."""

    def small(record: str, paper: pdf.Paper) -> bytes:
        lines = "<p>line</p>" * 60
        html = f"<html><title>x</title><p>{paper} {files.digest_of(record.encode())}</p>{lines}"
        return pdf.render_pdf(html, paper=paper, enclosed=[sheet_pdf.record_file(record)])

    monkeypatch.setattr(sheet_pdf, "render_sheet", small)


@pytest.fixture
def tank_visit(technician: Any) -> Visit:
    return visit_on(site_of_a_tank(technician), technician)


@pytest.fixture
def tank_sheet(tank_visit: Visit, issue: Callable[..., Sheet], small_page: None) -> Sheet:
    return Sheet.objects.get(pk=issue(tank_visit).pk)
