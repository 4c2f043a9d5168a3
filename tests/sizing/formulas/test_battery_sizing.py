"""Battery sizing, step by step by hand, and the printed temperature factors."""

from math import inf

import pytest

from sizing.formulas.battery_sizing import (
    capacity_for_share,
    required_capacity,
    temperature_multiplier,
    unadjusted_capacity,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

DAY = 86_400.0


def test_sizing_by_hand():
    # IEEE 1013-2007 clause 6, procedure from memory: 60 A·h/d · 3 d = 180; / 0.5 = 360; / 0.8 = 225;
    # the larger, × 1.11 = 399.6 A·h.
    unadjusted = unadjusted_capacity(60, 3 * DAY)
    assert unadjusted == pytest.approx(180)
    assert capacity_for_share(unadjusted, 0.5) == pytest.approx(360)
    assert capacity_for_share(unadjusted, 0.8) == pytest.approx(225)
    assert required_capacity(unadjusted, 60, 0.5, 0.2, 0.8, 1.11, 0) == pytest.approx(399.6)


def test_each_of_the_three_limits_can_govern():
    assert required_capacity(180, 60, 0.5, 0.5, 0.8, 1, 0) == pytest.approx(360)
    assert required_capacity(180, 60, 0.5, 0.1, 0.8, 1, 0) == pytest.approx(600)
    assert required_capacity(180, 60, 1.0, 0.5, 0.8, 1, 0.1) == pytest.approx(225 * 1.1)


@pytest.mark.parametrize(
    ("fahrenheit", "multiplier"), [(80, 1.0), (70, 1.04), (60, 1.11), (50, 1.19), (40, 1.30), (30, 1.40), (20, 1.59)]
)
def test_printed_temperature_factors(fahrenheit, multiplier):
    # Public battery-sizing sheet; 70 to 40 °F equal IEEE 485 Table 1.
    assert temperature_multiplier((fahrenheit - 32) / 1.8) == pytest.approx(multiplier, abs=1e-9)


def test_colder_asks_for_more():
    assert temperature_multiplier(0) > temperature_multiplier(10) > temperature_multiplier(20)


SHARE = [0, 1.1]
BOUNDS = [
    (unadjusted_capacity, {"daily_charge": 60, "autonomy": DAY}, {"daily_charge": [0, inf], "autonomy": [0, inf]}),
    (capacity_for_share, {"charge": 180, "share": 0.5}, {"charge": [0, inf], "share": SHARE}),
    (temperature_multiplier, {"temperature": 10}, {"temperature": [-6.7, 26.7]}),
    (
        required_capacity,
        {
            "unadjusted": 180,
            "daily_charge": 60,
            "deepest_discharge": 0.5,
            "deepest_daily": 0.2,
            "end_of_life": 0.8,
            "temperature_multiplier": 1.1,
            "design_margin": 0.1,
        },
        {
            "unadjusted": [0, inf],
            "daily_charge": [0, inf],
            "deepest_discharge": SHARE,
            "deepest_daily": SHARE,
            "end_of_life": SHARE,
            "temperature_multiplier": [0.9, inf],
            "design_margin": [-0.1, inf],
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
