"""A visit, and the phones of two people on it."""

from typing import Any

import pytest

from commissioning.models import Site, User, Visit
from tests.commissioning.sync.phones import Phone
from tests.commissioning.worlds import site_with_record, visit_on


@pytest.fixture
def site(technician: User, settings: Any, tmp_path: Any) -> Site:
    settings.MEDIA_ROOT = tmp_path
    return site_with_record(technician)


@pytest.fixture
def visit(site: Site, technician: User) -> Visit:
    return visit_on(site, technician)


@pytest.fixture
def phone(visit: Visit, technician: User) -> Phone:
    return Phone(technician, visit)


@pytest.fixture
def other(visit: Visit, make_user: Any) -> Phone:
    """A second person's phone on the same visit."""
    return Phone(make_user("reed", display_name="A. Reed"), visit)
