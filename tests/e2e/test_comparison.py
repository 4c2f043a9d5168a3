"""The pages that lay a visit beside its baseline: readable for all, on a small phone too."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from tests.commissioning.service.test_comparison import level, list_url, page_url, strokes
from tests.commissioning.worlds import measure, site_with_record, visit_on
from tests.e2e.conftest import PHONE

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.long
@pytest.mark.parametrize("scheme", ["light", pytest.param("dark", marks=pytest.mark.long)])
def test_pages_have_no_accessibility_fault_and_fit_a_small_phone(
    open_page: Any, accessibility_faults: Any, technician: Any, scheme: str
) -> None:
    site, now = site_with_record(technician), timezone.now()
    for kind, at, litres in (("start_up", now - timedelta(days=400), "15.0"), ("service", now, "12.9")):
        visit = visit_on(site, technician, kind, at=at)
        strokes(visit, technician, litres, at)
        measure(visit, "static_level", "W1", *level("24.10"), actor=technician, at=at)
        pumped = (("level", "26.4", "m"), ("flow", "36", "L/min"), ("minutes", "45", "min"))
        measure(visit, "pumping_level", "W1", *pumped, actor=technician, at=at)
    paths = [
        list_url(visit),
        *(page_url(visit, *one) for one in (("volume_per_stroke", "HP1"), ("pumping_level", "W1"))),
    ]
    page = open_page(paths[0], user=technician, color_scheme=scheme, **PHONE)
    for path in paths:
        page.goto(path)
        assert accessibility_faults(page) == [], path
    page.set_viewport_size({"width": 320, "height": 700})
    for path in paths:
        page.goto(path)
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, path
