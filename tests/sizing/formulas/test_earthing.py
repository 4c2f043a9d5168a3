"""Earth electrodes against the handbook's tables."""

from math import asinh, inf, pi

import pytest
from scipy import integrate

from sizing.formulas.earthing import (
    arrester_lead_voltage,
    bond_resistance_limit,
    equipment_grounding_size,
    potential_probe_distance,
    probe_error_term,
    rod_resistance,
    soil_resistivity,
    step_voltage_ratio,
    surface_potential_ratio,
    two_rod_resistance,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT, INCH = 0.3048, 0.0254


def test_the_302_rule():
    # IEEE 142: R = ρ/302 in Ω·cm for a rod of 10 ft by 5/8 in. From memory.
    assert 100 / rod_resistance(1, 10 * FOOT, 0.625 * INCH) == pytest.approx(302, abs=1)
    assert rod_resistance(100, 10 * FOOT, 0.625 * INCH) == pytest.approx(33.1, abs=0.1)


def test_share_of_the_resistance_near_the_rod():
    # MIL-HDBK-419A, volume I, 2.6: 85 % within 10 ft of a 10 ft rod of 1 in, 89 % within 100 ft of a 100 ft rod.
    assert surface_potential_ratio(10 * FOOT, INCH, 10 * FOOT) == pytest.approx(0.15, abs=0.005)
    assert 1 - surface_potential_ratio(100 * FOOT, INCH, 100 * FOOT) == pytest.approx(0.89, abs=0.005)


@pytest.mark.parametrize(("feet", "ratio"), [(5, 0.75), (10, 0.68), (20, 0.61), (50, 0.53), (100, 0.48)])
def test_step_voltages_of_the_handbook(feet, ratio):
    # MIL-HDBK-419A, volume I, Table 2-7, rods of 1 in, pace 3 ft; its 10 and 20 ft rows round up by 0.007.
    assert step_voltage_ratio(feet * FOOT, INCH, 3 * FOOT) == pytest.approx(ratio, abs=0.011)


def test_surface_potential_is_a_line_of_current_sources():
    # The rod as a line of equal point currents in a half space: V(x) = ρ·I/(2π·L) · ∫ dz/√(x² + z²), by scipy.
    length, diameter, x, rho = 3.0, 0.016, 2.0, 100.0
    line, _ = integrate.quad(lambda z: 1 / (x * x + z * z) ** 0.5, 0, length)
    mine = surface_potential_ratio(length, diameter, x) * rod_resistance(rho, length, diameter)
    assert mine == pytest.approx(rho / (2 * pi * length) * line)
    assert line == pytest.approx(asinh(length / x))


def test_probe_at_62_percent_has_no_error():
    # MIL-HDBK-419A, volume I, 2.7: x = 0.618 D.
    assert potential_probe_distance(30) == pytest.approx(18.54, abs=0.005)
    assert probe_error_term(30, potential_probe_distance(30)) == pytest.approx(0, abs=1e-12)
    assert probe_error_term(30, 25) > 0 > probe_error_term(30, 10)


def test_two_far_rods_halve_the_resistance():
    one = rod_resistance(100, 2.4, 0.016)
    assert two_rod_resistance(100, 2.4, 0.016, 1e6) == pytest.approx(one / 2, rel=1e-4)
    assert one > two_rod_resistance(100, 2.4, 0.016, 2.5) > two_rod_resistance(100, 2.4, 0.016, 5) > one / 2


def test_wenner_on_uniform_soil():
    # Four probes a apart on a half space: V/I = ρ/(2π)·(1/a − 1/2a − 1/2a + 1/a) = ρ/(2π·a). By hand.
    assert soil_resistivity(4, 100 / (2 * pi * 4)) == pytest.approx(100)


@pytest.mark.parametrize(
    ("rating", "size"),
    [
        (15, "14"),
        (20, "12"),
        (30, "10"),
        (60, "10"),
        (70, "8"),
        (100, "8"),
        (150, "6"),
        (200, "6"),
        (300, "4"),
        (400, "3"),
    ],
)
def test_equipment_grounding_of_the_code(rating, size):
    # NEC (NFPA 70, 2020) Table 250.122, copper.
    assert equipment_grounding_size(rating) == f"{size} AWG"


def test_a_kilovolt_a_metre():
    # 1 kA/µs on a straight metre: about 1 kV. From memory.
    assert arrester_lead_voltage(1, 1e9) == pytest.approx(1000)


def test_bond_by_hand():
    # 0.03 Ω of conductor and four joints of 5 mΩ: 0.05 Ω.
    assert bond_resistance_limit(0.03, 4, 0.005) == pytest.approx(0.05)


ROD = {"length": 3, "diameter": 0.016}
BAD_ROD = {"length": [0, inf], "diameter": [0, 0.61, inf]}
BOUNDS = [
    (rod_resistance, {"resistivity": 100, **ROD}, {"resistivity": [0, inf], **BAD_ROD}),
    (
        two_rod_resistance,
        {"resistivity": 100, **ROD, "spacing": 4},
        {"resistivity": [0, inf], **BAD_ROD, "spacing": [3, inf]},
    ),
    (surface_potential_ratio, {**ROD, "distance": 3}, {**BAD_ROD, "distance": [0, 0.008, 0.0081, inf]}),
    (step_voltage_ratio, {**ROD, "pace": 0.9}, {**BAD_ROD, "pace": [0, 0.008, 0.0081, inf]}),
    (potential_probe_distance, {"current_probe_distance": 30}, {"current_probe_distance": [0, inf]}),
    (
        probe_error_term,
        {"current_probe_distance": 30, "potential_probe_distance": 18},
        {"current_probe_distance": [0, inf], "potential_probe_distance": [0, 30]},
    ),
    (soil_resistivity, {"spacing": 4, "resistance": 4}, {"spacing": [0, inf], "resistance": [0, inf]}),
    (equipment_grounding_size, {"overcurrent_rating": 30}, {"overcurrent_rating": [0, 601]}),
    (arrester_lead_voltage, {"length": 0.5, "current_rise": 1e9}, {"length": [-1, inf], "current_rise": [-1, inf]}),
    (
        bond_resistance_limit,
        {"conductor_resistance": 0.03, "joints": 4, "joint_resistance": 0.005},
        {"conductor_resistance": [-1, inf], "joints": [-1, 1001], "joint_resistance": [-1, inf]},
    ),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
