"""The as-built pages on a phone and at a desk: readable for all, no sideways scrolling."""

from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse

from commissioning.asbuilt import services
from commissioning.asbuilt.layouts import SOLAR_WELL
from commissioning.models import Site
from tests.e2e.conftest import DESK, PHONE

pytestmark = pytest.mark.django_db(transaction=True)


def pages(site: Site) -> list[str]:
    pump, main = site.components.get(tag="PU1"), site.runs.get(tag="P2")
    return [
        reverse("site-list"),
        reverse("site-new"),
        *(reverse(name, args=[site.pk]) for name in ("site-detail", "site-edit", "contact-edit", "record-detail")),
        reverse("component-edit", args=[site.pk, pump.pk]),
        reverse("run-edit", args=[site.pk, main.pk]),
        reverse("component-retire", args=[site.pk, pump.pk]),
    ]


@pytest.mark.long
@pytest.mark.parametrize("options", [PHONE, pytest.param(DESK, marks=pytest.mark.long)], ids=["phone", "desk"])
def test_pages_have_no_accessibility_faults_and_do_not_scroll_sideways(
    open_page: Callable[..., Any],
    accessibility_faults: Callable[[Any], list[str]],
    technician: Any,
    options: dict[str, Any],
) -> None:
    site = services.open_site(
        name="Alder Spring nursery", place="below the ridge", unit_system="us", zone="America/Denver",
        layout=SOLAR_WELL, actor=technician,
    )  # fmt: skip
    page = open_page("/", user=technician, **options)
    for url in pages(site):
        page.goto(url)
        assert accessibility_faults(page) == [], url
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), url
