"""Suction head against worked examples."""

from math import inf

import pytest

from sizing.formulas.atmosphere import atmospheric_pressure
from sizing.formulas.npsh import npsh_available, npsh_from_gauge, npsh_margin, npsh_needed
from sizing.formulas.water import static_head_pressure, vapour_pressure, water_density
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT, PSI, POUND_PER_CUBIC_FOOT = 0.3048, 6894.757, 16.018463


def test_suction_of_technical_paper_410():
    # Example 7.32: 5 psi gauge tank, 25 ft lift, 6 ft of losses, 0.256 psi vapour: 13.89 ft.
    head = npsh_available(19.696 * PSI, 0.256 * PSI, 62.364 * POUND_PER_CUBIC_FOOT, -25 * FOOT, 6 * FOOT)
    assert head / FOOT == pytest.approx(13.89, abs=0.03)
    assert npsh_needed(20, 1.3) == pytest.approx(26)


def test_suction_from_a_gauge():
    # Rotating-machinery text no. 25, examples 4 and 5: 38.72 + 1.55 + 1 = 41.27 ft, with 2.31 ft/psi.
    density = PSI / (2.31 * FOOT * 9.80665)
    head = npsh_from_gauge(2.4 * PSI, 14.7 * PSI, 0.339 * PSI, density, 10 * FOOT, 1 * FOOT)
    assert head / FOOT == pytest.approx(41.27, abs=0.03)


def test_gauge_and_sum_of_losses_agree():
    # The same suction seen both ways: what is lost on the way and turned into speed, the gauge lacks.
    density, air, vapour = 999.0, 9e4, 1700.0
    lost_and_moving = 0.8 + 2**2 / (2 * 9.80665)
    gauge = static_head_pressure(1.5 - lost_and_moving, density)
    from_gauge = npsh_from_gauge(gauge, air, vapour, density, 2, 0)
    assert from_gauge == pytest.approx(npsh_available(air, vapour, density, 1.5, 0.8))


def test_a_mountain_takes_suction_away():
    # 1 m of altitude costs about 1.1 mm of water head near sea level: U.S. Standard Atmosphere 1976,
    # 101 325 to 89 874 Pa over the first kilometre is 1.168 m of water.
    density, vapour = water_density(15), vapour_pressure(15)
    heads = [npsh_available(atmospheric_pressure(h), vapour, density, 0, 0) for h in (0, 1000)]
    assert npsh_margin(*heads) == pytest.approx(11_451 / (density * 9.80665), rel=1e-3)


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
BOUNDS = [
    (
        npsh_available,
        {
            "surface_pressure": 1e5,
            "vapour_pressure": 2e3,
            "density": 998,
            "static_head": 1,
            "suction_loss": 1,
        },
        {
            "surface_pressure": POSITIVE,
            "vapour_pressure": [-1, 1.1e5, inf],
            "density": POSITIVE,
            "static_head": [inf],
            "suction_loss": NOT_NEGATIVE,
        },
    ),
    (
        npsh_from_gauge,
        {
            "gauge_pressure": -2e4,
            "atmosphere": 1e5,
            "vapour_pressure": 2e3,
            "density": 998,
            "velocity": 1,
            "gauge_height": 0,
        },
        {
            "gauge_pressure": [-1.1e5, inf],
            "atmosphere": POSITIVE,
            "vapour_pressure": NOT_NEGATIVE,
            "density": POSITIVE,
            "velocity": NOT_NEGATIVE,
            "gauge_height": [inf],
        },
    ),
    (
        npsh_margin,
        {"npsh_available": 6, "npsh_required": 3},
        {"npsh_available": [inf], "npsh_required": NOT_NEGATIVE},
    ),
    (
        npsh_needed,
        {"npsh_required": 3, "margin_ratio": 1.3},
        {"npsh_required": NOT_NEGATIVE, "margin_ratio": [0.9, inf]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
