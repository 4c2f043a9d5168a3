"""Water properties against IAPWS-95 in CoolProp and against printed values."""

from math import inf

import pytest
from CoolProp.CoolProp import PropsSI

from sizing.formulas.water import (
    compressibility,
    dynamic_viscosity,
    kinematic_viscosity,
    pressure_head,
    static_head_pressure,
    thermal_expansivity,
    vapour_pressure,
    velocity_head,
    water_density,
)
from tests.sizing.formulas.refusal import assert_refused, refusals

TEMPERATURES = [0.01, 4, 10, 15, 20, 25, 30, 40, 50, 80]


def liquid(name: str, temperature: float) -> float:
    """A property of liquid water at one atmosphere: CoolProp, IAPWS-95 and IAPWS 2008 viscosity."""
    return PropsSI(name, "T", temperature + 273.15, "P", 101_325, "Water")


@pytest.mark.parametrize("temperature", TEMPERATURES)
def test_properties_agree_with_iapws_95(temperature):
    saturation = PropsSI("P", "T", temperature + 273.15, "Q", 0, "Water")
    assert water_density(temperature) == pytest.approx(liquid("D", temperature), rel=2e-5)
    assert dynamic_viscosity(temperature) == pytest.approx(liquid("V", temperature), rel=5e-5)
    assert vapour_pressure(temperature) == pytest.approx(saturation, rel=1e-4)
    assert compressibility(temperature) == pytest.approx(liquid("isothermal_compressibility", temperature), rel=2e-4)
    assert thermal_expansivity(temperature) == pytest.approx(
        liquid("isobaric_expansion_coefficient", temperature), abs=5e-7
    )


PRINTED_SATURATION = [  # temperature [°C], pressure [Pa], half the last digit, source
    (0.01, 611.657, 0.0006, "IAPWS SR1-86(1992), triple point"),
    (99.9743, 101_325, 5, "IAPWS SR1-86(1992), normal boiling point 373.1243 K"),
]


@pytest.mark.parametrize(("temperature", "pressure", "abs_tol", "source"), PRINTED_SATURATION)
def test_vapour_pressure_matches_the_release(temperature, pressure, abs_tol, source):
    assert vapour_pressure(temperature) == pytest.approx(pressure, abs=abs_tol), source


def test_viscosity_matches_the_check_value_of_the_release():
    # IAPWS SR6-08(2011), table 7: 889.996774 µPa·s at 298.15 K (from memory).
    assert dynamic_viscosity(25) == pytest.approx(889.996774e-6, rel=1e-8)


def test_water_is_densest_at_four_degrees():
    # Densest at 3.98 °C, 999.97 kg/m³: CRC Handbook of Chemistry and Physics (from memory).
    assert water_density(3.98) == pytest.approx(999.97, abs=0.005)
    assert thermal_expansivity(3.9) < 0 < thermal_expansivity(4.1)


def test_expansivity_is_the_slope_of_density():
    slope = (water_density(25.01) - water_density(24.99)) / 0.02
    assert thermal_expansivity(25) == pytest.approx(-slope / water_density(25), rel=1e-6)


def test_kinematic_viscosity_is_near_the_rounded_one_of_epanet():
    # EPANET 2.2 User Manual: 1.1e-5 ft²/s at 20 °C, two digits.
    assert kinematic_viscosity(20) == pytest.approx(1.1e-5 * 0.3048**2, rel=0.02)
    assert kinematic_viscosity(20) == pytest.approx(liquid("V", 20) / liquid("D", 20), rel=1e-4)


def test_a_foot_of_water_presses_0_433_psi():
    # 0.433 psi/ft and 2.31 ft/psi, MIL-HDBK-1164 and operators' texts.
    assert static_head_pressure(0.3048, water_density(15)) / 6894.757 == pytest.approx(0.433, abs=5e-4)
    assert pressure_head(6894.757, water_density(15)) / 0.3048 == pytest.approx(2.31, abs=5e-3)


def test_head_and_pressure_are_inverse():
    assert pressure_head(static_head_pressure(-7.3, 998.2), 998.2) == pytest.approx(-7.3)


def test_velocity_head_of_ten_feet_per_second():
    # 10 ft/s carry 1.55 ft: worked NPSH example, rotating-machinery text.
    assert velocity_head(3.048) / 0.3048 == pytest.approx(1.55, abs=0.005)
    assert velocity_head(2) == pytest.approx(4 * velocity_head(1))


LIQUID = {"temperature": [-0.1, 100.1, inf]}
BOUNDS = [
    *[
        (formula, {"temperature": 20}, LIQUID)
        for formula in (
            water_density,
            thermal_expansivity,
            compressibility,
            dynamic_viscosity,
            kinematic_viscosity,
        )
    ],
    (vapour_pressure, {"temperature": 20}, {"temperature": [-0.1, 370.1]}),
    (static_head_pressure, {"height": 1, "density": 1000}, {"height": [inf], "density": [0, -1, inf]}),
    (pressure_head, {"pressure": 1, "density": 1000}, {"pressure": [-inf], "density": [0, -1, inf]}),
    (velocity_head, {"velocity": 1}, {"velocity": [-0.1, inf]}),
]


@pytest.mark.parametrize(("formula", "arguments", "argument"), refusals(*BOUNDS))
def test_out_of_range_is_refused_by_name(formula, arguments, argument):
    assert_refused(formula, arguments, argument)
