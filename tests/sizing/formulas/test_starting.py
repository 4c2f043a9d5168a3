"""The start of a pump by hand, and the array's power turned round."""

from math import inf, nan

import pytest

from sizing.formulas.photovoltaic import maximum_power
from sizing.formulas.starting import irradiance_for_power, start_power
from tests.sizing.formulas.refusal import assert_refused, refusals

ROWS = ((200.0, 20.0, 2e-4), (200.0, 40.0, 1e-4), (400.0, 20.0, 5e-4), (400.0, 40.0, 3e-4))


def test_start_by_hand():
    # at 20 m: 2e-4 at 200 W, 5e-4 at 400 W: 200 − 2e-4 · 200 / 3e-4 = 66.7 W; at 40 m 200 − 1e-4 · 200 / 2e-4 = 100 W
    assert start_power(ROWS, 20.0) == pytest.approx(200 - 400 / 3 * 1.0)
    assert start_power(ROWS, 40.0) == pytest.approx(100.0)


def test_a_power_that_gives_nothing_is_a_floor():
    idle = ((150.0, 20.0, 0.0), (150.0, 10.0, 1e-5), *ROWS)
    assert start_power(idle, 20.0) == 150.0


@pytest.mark.parametrize("irradiance", [60.0, 300.0, 980.0])
@pytest.mark.parametrize("cell", [-10.0, 25.0, 62.0])
def test_it_undoes_the_power_of_a_module(irradiance, cell):
    power = maximum_power(600.0, irradiance, cell, -0.0037)
    assert irradiance_for_power(power, 600.0, cell, -0.0037) == pytest.approx(irradiance)


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (start_power, {"rows": ROWS, "head": 30.0}, {"rows": [ROWS[:2]], "head": [10.0, 50.0]}),
        (
            irradiance_for_power,
            {"power": 100.0, "rated_power": 600.0, "cell_temperature": 25.0, "coefficient": -0.004},
            {
                "power": [-1, inf],
                "rated_power": [0, nan],
                "cell_temperature": [-91, 151],
                "coefficient": [-0.009, 0.009],
            },
        ),
    ),
)
def test_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
