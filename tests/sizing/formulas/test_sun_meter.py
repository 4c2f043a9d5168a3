"""The sun off another array: the inverse of the current's translation, and pvlib's two planes."""

from math import inf, nan

import pytest

from sizing.formulas.photovoltaic import short_circuit_current
from sizing.formulas.sun_meter import irradiance_from_current, irradiance_in_other_plane
from tests.sizing.formulas.refusal import assert_refused, refusals


def test_by_hand():
    # 9.5 A module, 0.05 %/K, cells at 45 °C: 7.676 A / (9.5 A · 1.01) · 1000 W/m² = 800 W/m²
    assert irradiance_from_current(7.676, 9.5, 45.0, 0.0005) == pytest.approx(800.0)


@pytest.mark.parametrize("irradiance", [150.0, 640.0, 1080.0])
@pytest.mark.parametrize("cell", [-5.0, 25.0, 61.0])
def test_it_undoes_the_translation_of_the_current(irradiance, cell):
    read = short_circuit_current(9.5, irradiance, cell, 0.00045)
    assert irradiance_from_current(read, 9.5, cell, 0.00045) == pytest.approx(irradiance, rel=1e-12)


def test_one_plane_is_carried_to_another_in_the_ratio_of_the_clear_sky():
    assert irradiance_in_other_plane(600.0, 800.0, 1000.0) == pytest.approx(750.0)
    assert irradiance_in_other_plane(600.0, 800.0, 800.0) == 600.0


@pytest.mark.parametrize(
    ("formula", "arguments", "argument"),
    refusals(
        (
            irradiance_from_current,
            {"current": 5.0, "rated_current": 9.5, "cell_temperature": 45.0, "coefficient": 0.0005},
            {
                "current": [-1, inf],
                "rated_current": [0, inf],
                "cell_temperature": [-91, 151, nan],
                "coefficient": [-0.009, 0.009],
            },
        ),
        (
            irradiance_in_other_plane,
            {"irradiance": 600.0, "clear_here": 800.0, "clear_there": 900.0},
            {"irradiance": [-1, inf], "clear_here": [0, inf], "clear_there": [-1, nan]},
        ),
    ),
)
def test_refuses(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
