"""Water hammer against printed surge tables."""

from math import inf

import pytest

from sizing.formulas.surge import (
    PVC_MODULUS,
    WATER_BULK_MODULUS,
    joukowsky_surge,
    rapid_closing_time,
    rigid_column_surge,
    transmitted_surge,
    wave_speed,
    wave_speed_by_dimension_ratio,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT, PSI, DENSITY = 0.3048, 6894.757, 998.6

# AWWA C900 and M23: surge in PVC per 1 ft/s, psi, by dimension ratio (from memory, all rows).
SURGES = [(14, 19.8), (18, 17.4), (21, 16.0), (25, 14.7), (26, 14.4), (32.5, 12.8), (41, 11.4)]


@pytest.mark.parametrize(("dimension_ratio", "psi"), SURGES)
def test_surge_of_one_foot_per_second_in_pvc(dimension_ratio, psi):
    speed = wave_speed_by_dimension_ratio(dimension_ratio, PVC_MODULUS)
    assert joukowsky_surge(DENSITY, speed, FOOT) / PSI == pytest.approx(psi, abs=0.06)


def test_both_wave_speeds_agree_on_one_pipe():
    # DR − 2 is D/e; 4660 ft/s is √(K/ρ) with K = 300 000 psi and ρ = 1025 kg/m³, so 1.5 % apart for fresh water.
    general = wave_speed(WATER_BULK_MODULUS, DENSITY, PVC_MODULUS, 24)
    assert general == pytest.approx(wave_speed_by_dimension_ratio(26, PVC_MODULUS), rel=0.02)


def test_wave_speed_in_steel_pipe_of_the_textbooks():
    # Rigid limit is the speed of sound, about 1480 m/s at 20 °C (CRC Handbook, from memory).
    assert wave_speed(2.18e9, 998.2, 1e18, 10) == pytest.approx(1480, abs=5)
    assert wave_speed(2.18e9, 998.2, 200e9, 50) == pytest.approx(1480 / (1 + 2.18 * 50 / 200) ** 0.5, rel=5e-3)


def test_copper_at_two_metres_per_second():
    # Guide text: about 380 psi; the celerity of 1300 m/s is implied.
    assert joukowsky_surge(998, 1300, 2) / PSI == pytest.approx(380, rel=0.02)


def test_a_wave_returns_after_twice_the_length():
    assert rapid_closing_time(36, 350) == pytest.approx(72 / 350)


def test_closing_in_half_a_return_time_as_rigid_column_equals_joukowsky():
    # ρLv/t = ρav where t = L/a: the two theories cross there.
    assert rigid_column_surge(998, 100, 1.5, 100 / 1200) == pytest.approx(joukowsky_surge(998, 1200, 1.5))


def test_the_copied_rule_is_five_times_the_rigid_column():
    # "P = 0.070·V·L/t" gives 70 psi for 5 ft/s in 200 ft over 1 s; 62.4 lb/ft³ brought to rest takes 13.45 psi.
    assert rigid_column_surge(DENSITY, 200 * FOOT, 5 * FOOT, 1) / PSI == pytest.approx(13.45, rel=0.01)


def test_a_surge_at_a_change_of_bore():
    # Surge Analysis and the Wave Plan Method, problem 1.28: area ratio 4, wave 100 m: 40 m on, −60 m back.
    assert transmitted_surge(100, 4) == pytest.approx(40)
    assert transmitted_surge(100, 1) == pytest.approx(100)


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
BOUNDS = [
    (
        wave_speed,
        {"bulk_modulus": 2e9, "density": 998, "pipe_modulus": 3e9, "diameter_over_wall": 20},
        {
            "bulk_modulus": POSITIVE,
            "density": POSITIVE,
            "pipe_modulus": POSITIVE,
            "diameter_over_wall": [2, inf],
        },
    ),
    (
        wave_speed_by_dimension_ratio,
        {"dimension_ratio": 21, "pipe_modulus": 2.8e9},
        {"dimension_ratio": [2, inf], "pipe_modulus": POSITIVE},
    ),
    (
        joukowsky_surge,
        {"density": 998, "wave_speed": 400, "velocity_change": 1},
        {"density": POSITIVE, "wave_speed": POSITIVE, "velocity_change": NOT_NEGATIVE},
    ),
    (
        rapid_closing_time,
        {"length": 100, "wave_speed": 400},
        {"length": NOT_NEGATIVE, "wave_speed": POSITIVE},
    ),
    (
        rigid_column_surge,
        {"density": 998, "length": 100, "velocity": 1, "closing_time": 2},
        {"density": POSITIVE, "length": NOT_NEGATIVE, "velocity": NOT_NEGATIVE, "closing_time": POSITIVE},
    ),
    (transmitted_surge, {"surge": 1, "area_ratio": 2}, {"surge": [inf], "area_ratio": POSITIVE}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
