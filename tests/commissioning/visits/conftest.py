"""What the tests of a visit share: a recorded site with a visit, and what a phone would send."""

from typing import Any
from uuid import uuid4

import pytest
from django.urls import reverse

from commissioning.models import Site, Visit
from commissioning.progress import Line, progress_of
from tests.commissioning.worlds import measure, site_with_record, visit_on


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


@pytest.fixture
def visit(site: Site, technician: Any) -> Visit:
    return visit_on(site, technician)


def url_of(visit: Visit, owed_id: str, query: str = "") -> str:
    return reverse("measurement", args=[visit.pk, owed_id]) + query


def line_of(visit: Visit, owed_id: str) -> Line:
    line = progress_of(visit).line(owed_id)
    assert line is not None, f"{owed_id} is not owed"
    return line


def static_level(first: str = "24.10", second: str = "24.11", **more: str) -> dict[str, str]:
    """Return what the form of the static level sends."""
    return {"id": str(uuid4()), "r-level-0": first, "r-level-1": second, "unit-level": "m", **more}


def make_safe(visit: Visit, actor: Any) -> None:
    """Settle the hold "safe to work"."""
    for check, tag in (
        ("walk_round_well", "W1"),
        ("walk_round_array", "A1"),
        ("walk_round_tank", "T1"),
        ("proved_dead", "C1"),
    ):
        measure(visit, check, tag, actor=actor, answer="as it should be")
