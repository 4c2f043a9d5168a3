"""A visit measured from end to end, and its sheet."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from commissioning.handover import services
from commissioning.models import Sheet, Visit
from tests.commissioning.handover.started_up import start_up

ADDRESS = "http://testserver/v/{}/"
WAVE = "[[[10,40,0],[30,10,16],[60,50,40],[120,20,90]]]"


@pytest.fixture
def visit(technician: Any) -> Visit:
    return start_up(technician)


@pytest.fixture
def without_pdf(monkeypatch: pytest.MonkeyPatch) -> None:
    """Issue without the slow part, as on a machine that lacks the text libraries."""
    for module in ("services", "views"):
        monkeypatch.setattr(
            f"commissioning.handover.{module}.{'pdf.' if module == 'services' else ''}pdf_available",
            lambda: "PDF pages need: apt install x",
        )


def entry_for(draft: services.Draft, **changes: Any) -> services.Entry:
    """Return what an office person would type for a draft."""
    seen = {item.key: services.Seen(item.who or "T. Marsh", date(2027, 4, 23)) for item in draft.items}
    return services.Entry(
        **{"shown_hash": draft.shown_hash, "paper": "A4", "seen_to": seen, "strokes": WAVE, **changes}
    )


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
