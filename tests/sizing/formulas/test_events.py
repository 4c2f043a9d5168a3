"""Rates, losses and contacts, by their definitions."""

from math import inf

import pytest

from sizing.formulas.events import contact_resistance, events_in, flow_lost
from tests.sizing.formulas.refusal import assert_refused, refusals

HOUR, DAY = 3600.0, 86_400.0


def test_six_starts_in_a_morning_of_four_hours_are_one_and_a_half_an_hour():
    assert events_in(6, 4 * HOUR, HOUR) == pytest.approx(1.5)


def test_two_trips_in_a_week_are_two_sevenths_a_day():
    assert events_in(2, 7 * DAY, DAY) == pytest.approx(2 / 7)


def test_a_longer_time_makes_the_same_count_rarer():
    assert events_in(5, 2 * DAY, DAY) < events_in(5, DAY, DAY)


def test_what_does_not_arrive_is_lost():
    assert flow_lost(30e-3 / 60, 27e-3 / 60) == pytest.approx(3e-3 / 60)
    assert flow_lost(27e-3 / 60, 30e-3 / 60) < 0


def test_contact_by_ohm():
    # 48 mV at 12 A is 4 mΩ; at half the current a sound contact shows half the drop
    assert contact_resistance(0.048, 12) == pytest.approx(0.004)
    assert contact_resistance(0.024, 6) == pytest.approx(0.004)


BOUNDS = (
    (events_in, {"count": 3, "time": 60.0, "period": 60.0}, {"count": [-1], "time": [0.0, inf], "period": [0.0, inf]}),
    (flow_lost, {"sent": 5e-4, "arrived": 4e-4}, {"sent": [-1.0, inf], "arrived": [-1.0, inf]}),
    (contact_resistance, {"voltage": 0.05, "current": 10.0}, {"voltage": [inf], "current": [0.0, inf]}),
)


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_refuses_what_is_out_of_range(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
