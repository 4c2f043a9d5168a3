"""A value over all visits: the table says what the picture draws."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from commissioning.models import Site, Visit
from commissioning.service.comparison import comparisons
from commissioning.service.trend import Trend, trends_of
from tests.commissioning.service.test_comparison import HAND_PUMP, replace, strokes
from tests.commissioning.worlds import site_with_record, visit_on

pytestmark = pytest.mark.django_db
FIRST = datetime.fromisoformat("2022-04-14T12:00:00-06:00")
A_YEAR = timedelta(days=365)


@pytest.fixture
def site(technician: Any) -> Site:
    return site_with_record(technician)


def visited(site: Site, actor: Any, year: int, litres: str) -> Visit:
    at = FIRST + year * A_YEAR
    visit = visit_on(site, actor, "service" if year else "start_up", at=at)
    strokes(visit, actor, litres, at)
    return Visit.objects.get(pk=visit.pk)


def trend_on(visit: Visit) -> list[Trend]:
    found = next(one for one in comparisons(visit) if one.check.key == HAND_PUMP)
    return trends_of(found.now, found.past)


def test_every_visit_stands_in_the_table_and_in_the_picture(as_technician: Client, site: Site, technician: Any) -> None:
    visits = [visited(site, technician, year, litres) for year, litres in enumerate(("15.0", "14.7", "12.9"))]
    (trend,) = trend_on(visits[-1])
    # 15.0, 14.7 and 12.9 L over 40 strokes.
    assert [row.value for row in trend.rows] == ["0.3750", "0.3675", "0.3225"]
    days = [row.day.replace("\u00a0", " ") for row in trend.rows]
    assert days == ["14 Apr 2022", "14 Apr 2023", "13 Apr 2024"]
    assert trend.drawing.count("<circle") == 3
    shares = [float(row.share) for row in trend.rows]
    assert shares[2] / shares[0] == pytest.approx(12.9 / 15.0, abs=0.002)
    url = reverse("comparison", args=[visits[-1].pk, HAND_PUMP, "HP1"])
    text = as_technician.get(url).content.decode()
    assert all(words in text for words in ("All visits", "0.3675", "14\u00a0Apr\u00a02023"))


def test_what_was_there_before_a_replacement_is_a_dashed_ring(site: Site, technician: Any) -> None:
    visited(site, technician, 0, "15.0")
    replace(site, "HP1", technician)
    (trend,) = trend_on(visited(site, technician, 1, "12.9"))
    assert trend.has_rings
    assert [bool(row.changed) for row in trend.rows] == [True, False]


def test_the_first_visit_has_no_trend(site: Site, technician: Any) -> None:
    assert trend_on(visited(site, technician, 0, "15.0")) == []
