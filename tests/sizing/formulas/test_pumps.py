"""Head, power and affinity against printed examples."""

from math import inf

import pytest

from sizing.formulas.pumps import (
    affinity_flow,
    affinity_head,
    affinity_power,
    hydraulic_power,
    specific_energy,
    specific_energy_of_efficiency,
    total_dynamic_head,
    wire_to_water_efficiency,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

FOOT, GPM, HORSEPOWER = 0.3048, 3.785411784e-3 / 60, 745.69987


def test_field_head_of_the_handbook():
    # MIL-HDBK-1164, appendix A: 60 ft lift, 0.9 ft friction, 80.9 ft outlet pressure: 141.8 ft.
    assert total_dynamic_head(60, 0.9, 0, 80.9) == pytest.approx(141.8)
    assert total_dynamic_head(-3, 1, 2, 4) == pytest.approx(4)


def test_water_power_is_gpm_feet_over_3960():
    # USACE TI 814-01, equation 5-7; 62.37 lb/ft³ is 999 kg/m³.
    horsepower = hydraulic_power(10 * GPM, 200 * FOOT, 999) / HORSEPOWER
    assert horsepower == pytest.approx(10 * 200 / 3960, rel=2e-3)


def test_a_cubic_metre_lifted_a_metre_takes_0_002725_kwh():
    # 0.002725 kWh per m³·m: handbook figure (from memory), 1000·9.81/3.6e6.
    joule = specific_energy(hydraulic_power(1e-3, 1, 1000), 1e-3)
    assert joule / 3.6e6 == pytest.approx(0.002725, abs=1.5e-6)


def test_all_the_power_in_the_water_is_efficiency_one():
    power = hydraulic_power(6e-4, 70, 998)
    assert wire_to_water_efficiency(6e-4, 70, power, 998) == pytest.approx(1)
    assert wire_to_water_efficiency(6e-4, 70, 2 * power, 998) == pytest.approx(0.5)


def test_specific_energy_of_an_efficiency_is_that_of_its_power():
    # 10 m at an efficiency of 0.5: 10 · 0.002725 / 0.5 = 0.0545 kWh/m³ (handbook figure, from memory)
    assert specific_energy_of_efficiency(10, 0.5, 1000) / 3.6e6 == pytest.approx(0.0545, abs=3e-5)
    power = hydraulic_power(6e-4, 70, 998) / 0.4
    assert specific_energy_of_efficiency(70, 0.4, 998) == pytest.approx(specific_energy(power, 6e-4))


def test_affinity_laws_of_technical_paper_410():
    # Example 7.33: 3500 to 1700 rpm, 400 gpm, 126 ft, 17.5 hp become 194 gpm, 29.7 ft, 2.0 hp.
    ratio = 1700 / 3500
    assert affinity_flow(400, ratio) == pytest.approx(194, abs=0.5)
    assert affinity_head(126, ratio) == pytest.approx(29.7, abs=0.05)
    assert affinity_power(17.5, ratio) == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize("law", [affinity_flow, affinity_head, affinity_power])
def test_affinity_back_and_forth_is_nothing(law):
    assert law(law(3.3, 0.8), 1 / 0.8) == pytest.approx(3.3)


POSITIVE, NOT_NEGATIVE = [0, -1, inf], [-1, inf]
WATER = {"flow": NOT_NEGATIVE, "head": NOT_NEGATIVE, "density": POSITIVE}
BOUNDS = [
    (
        total_dynamic_head,
        {"lift": 1, "friction_head": 1, "minor_head": 1, "outlet_head": 1},
        {
            "lift": [inf],
            "friction_head": NOT_NEGATIVE,
            "minor_head": NOT_NEGATIVE,
            "outlet_head": NOT_NEGATIVE,
        },
    ),
    (hydraulic_power, {"flow": 1e-3, "head": 10, "density": 1000}, WATER),
    (
        wire_to_water_efficiency,
        {"flow": 1e-3, "head": 10, "electrical_power": 300, "density": 1000},
        {**WATER, "electrical_power": POSITIVE},
    ),
    (
        specific_energy_of_efficiency,
        {"head": 10, "efficiency": 0.4, "density": 1000},
        {"head": NOT_NEGATIVE, "efficiency": [0, 1.01], "density": POSITIVE},
    ),
    (specific_energy, {"power": 300, "flow": 1e-3}, {"power": NOT_NEGATIVE, "flow": POSITIVE}),
    (affinity_flow, {"flow": 1, "speed_ratio": 1}, {"flow": NOT_NEGATIVE, "speed_ratio": POSITIVE}),
    (affinity_head, {"head": 1, "speed_ratio": 1}, {"head": NOT_NEGATIVE, "speed_ratio": POSITIVE}),
    (affinity_power, {"power": 1, "speed_ratio": 1}, {"power": NOT_NEGATIVE, "speed_ratio": POSITIVE}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
