"""Sunlight outside the air against FAO examples and pvlib."""

from math import inf

import pytest
from pvlib.irradiance import get_extra_radiation

from sizing.formulas.extraterrestrial import (
    daylight_duration,
    extraterrestrial_daily,
    extraterrestrial_normal,
    irradiation_from_sunshine,
)
from tests.sizing.formulas.refusal import assert_refused, refusals


@pytest.mark.parametrize("day", [1, 3, 80, 172, 186, 266, 300, 355, 365])
def test_normal_irradiance_agrees_with_pvlib(day):
    expected = get_extra_radiation(day, solar_constant=1366.1, method="spencer")
    assert extraterrestrial_normal(day, 1366.1) == pytest.approx(expected, rel=1e-9)


def test_the_sun_is_nearest_in_january():
    assert extraterrestrial_normal(3, 1361) > extraterrestrial_normal(80, 1361) > extraterrestrial_normal(186, 1361)


def test_fao_examples_8_and_9():
    # FAO Irrigation and Drainage Paper 56, examples 8 and 9: 3 September, 20° S: 32.2 MJ/(m²·d), 11.7 h.
    assert extraterrestrial_daily(-20, 246) / 1e6 == pytest.approx(32.2, abs=0.05)
    assert daylight_duration(-20, 246) / 3600 == pytest.approx(11.7, abs=0.05)


def test_fao_example_10():
    # Same, example 10: Rio de Janeiro, 22°54′ S, 15 May: Ra 25.1, N 10.9 h, n 7.1 h: Rs 14.5 MJ/(m²·d). From memory.
    outside, longest = extraterrestrial_daily(-22.9, 135), daylight_duration(-22.9, 135)
    assert (outside / 1e6, longest / 3600) == (pytest.approx(25.1, abs=0.05), pytest.approx(10.9, abs=0.05))
    ground = irradiation_from_sunshine(outside, 7.1 * 3600, longest, 0.25, 0.5)
    assert ground / 1e6 == pytest.approx(14.5, abs=0.05)


def test_the_equator_has_twelve_hours_every_day():
    for day in (1, 100, 200, 300):
        assert daylight_duration(0, day) == pytest.approx(43_200)


DAY = {"latitude": 20, "day_of_year": 100}
BAD_DAY = {"latitude": [-66.1, 66.1], "day_of_year": [0.9, 366.1]}
BOUNDS = [
    (
        extraterrestrial_normal,
        {"day_of_year": 1, "solar_constant": 1361},
        {"day_of_year": [0.9, 367.1], "solar_constant": [0, inf]},
    ),
    (extraterrestrial_daily, DAY, BAD_DAY),
    (daylight_duration, DAY, BAD_DAY),
    (
        irradiation_from_sunshine,
        {"extraterrestrial": 3e7, "sunshine": 3e4, "daylight": 4e4, "offset": 0.25, "slope": 0.5},
        {
            "extraterrestrial": [-1, inf],
            "sunshine": [-1, 4.1e4],
            "daylight": [0, 86_401],
            "offset": [-0.1, 1.1],
            "slope": [-0.1, 1.1],
        },
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
